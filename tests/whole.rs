//! Files that the program writes are whole or not there: it is killed at random moments, runs out of room, and may not
//! write where it is told to. The old file stands every time.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

#[path = "whole/faults.rs"]
mod faults;

use std::fs;
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// So many times each call is killed; four calls make a thousand.
const KILLS: u32 = 250;

const SMALL: &str = "! Wear gloves.\nwater:3 gal\ndose = water * 2 fl oz/gal [1/2 fl oz]\n";

/// A worksheet that takes a while to lay out.
fn long() -> String {
    let line = |number: u32| format!("length {number}:{number} ft\narea {number}   =   length {number}*2 ft [ft²]\n");
    (1..80).map(line).collect()
}

/// A crew folder with a worksheet.
struct Desk(TempDir);

impl Desk {
    fn new(text: &str) -> Self {
        let folder = TempDir::new().unwrap();
        fs::write(folder.path().join("crew-folder.txt"), "").unwrap();
        fs::write(folder.path().join("sheet.worksheet"), text).unwrap();
        Self(folder)
    }

    fn command(&self, call: &[&str]) -> Command {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("catchwork"));
        command.args(call).current_dir(self.0.path()).stdin(Stdio::null());
        command.stdout(Stdio::null()).stderr(Stdio::null());
        command
    }

    /// The program called where a file may be no longer than so many blocks of 512 or 1024 bytes, and told of that
    /// instead of being stopped.
    fn with_little_room(&self, blocks: u32, call: &[&str]) -> Output {
        let limit = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
        let mut command = Command::new("sh");
        command.args(["-c", &limit]).arg(assert_cmd::cargo::cargo_bin!("catchwork")).args(call);
        command.current_dir(self.0.path()).stdin(Stdio::null()).output().unwrap()
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).unwrap();
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    /// What lies in the folder.
    fn files(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }
}

/// Kills a call at random moments, and holds what is then in a file against what was in it and what was to come.
fn killed(sheet: &str, call: &[&str], file: &str, old: &str) {
    killed_at(&Desk::new(sheet), call, file, old);
}

fn killed_at(desk: &Desk, call: &[&str], file: &str, old: &str) {
    desk.write(file, old);
    let begun = Instant::now();
    assert!(desk.command(call).status().unwrap().success());
    let took = begun.elapsed();
    let new = desk.read(file);
    assert_ne!(new, old);
    let mut random = fastrand::Rng::with_seed(1);
    let (mut stayed, mut came) = (0, 0);
    for _ in 0..KILLS {
        desk.write(file, old);
        let mut child = desk.command(call).spawn().unwrap();
        std::thread::sleep(took.mul_f64(random.f64() * 1.3));
        let _ = child.kill();
        child.wait().unwrap();
        match desk.read(file) {
            found if found == old => stayed += 1,
            found if found == new => came += 1,
            found => panic!("neither the old nor the new: {found:?}"),
        }
    }
    assert!(stayed > 0 && came > 0, "killed too early or too late: {stayed} times the old, {came} times the new");
    // What a killed program leaves behind is hidden from every folder of worksheets.
    let left = desk.files().into_iter().filter(|name| name.starts_with('.')).count();
    assert!(left < KILLS as usize);
    assert!(desk.files().iter().all(|name| name.starts_with(".catchwork-") || !name.starts_with('.')));
}

#[test]
fn a_worksheet_laid_out_is_the_old_or_the_new_one_whenever_it_is_killed() {
    killed(&long(), &["format", "sheet.worksheet"], "sheet.worksheet", &long());
}

#[test]
fn a_card_is_the_old_or_the_new_one_whenever_it_is_killed() {
    killed(SMALL, &["card", "sheet.worksheet", "--out", "card.html", "--replace"], "card.html", "the old card\n");
}

fn ended(output: &Output) -> (Option<i32>, String) {
    (output.status.code(), String::from_utf8_lossy(&output.stderr).into_owned())
}

#[test]
fn a_worksheet_that_finds_no_room_stays_as_it_is() {
    let desk = Desk::new(&long());
    let (status, says) = ended(&desk.with_little_room(4, &["format", "sheet.worksheet"]));
    assert_eq!(status, Some(2), "{says}");
    assert!(says.contains("sheet.worksheet") && says.contains("File too large"), "{says}");
    assert_eq!(desk.read("sheet.worksheet"), long());
    assert_eq!(desk.files(), ["crew-folder.txt", "sheet.worksheet"]);
}

#[test]
fn a_card_that_finds_no_room_leaves_the_old_one() {
    let desk = Desk::new(SMALL);
    desk.write("card.html", "the old card\n");
    let call = ["card", "sheet.worksheet", "--out", "card.html", "--replace"];
    let (status, says) = ended(&desk.with_little_room(1, &call));
    assert_eq!((status, says.as_str()), (Some(2), "error: card.html is not written: File too large (os error 27)\n"));
    assert_eq!(desk.read("card.html"), "the old card\n");
    assert_eq!(desk.files(), ["card.html", "crew-folder.txt", "sheet.worksheet"]);
}

#[test]
fn templates_that_find_no_room_are_not_there() {
    let desk = Desk::new(SMALL);
    let (status, says) = ended(&desk.with_little_room(1, &["templates", "--into", "crew"]));
    assert_eq!(status, Some(2), "{says}");
    assert!(says.contains("File too large"), "{says}");
    let crew = desk.0.path().join("crew");
    let whole = |name: &str| fs::read(crew.join(name)).unwrap().ends_with(b"\n");
    let found: Vec<String> =
        fs::read_dir(&crew).unwrap().map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
    assert!(found.iter().all(|name| whole(name)), "{found:?}");
}

#[test]
fn results_that_find_no_room_say_so() {
    let desk = Desk::new(SMALL);
    let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = desk.command(&["results", "sheet.worksheet"]).stdout(full).stderr(Stdio::piped()).output().unwrap();
    assert_eq!(ended(&output), (Some(2), "error: No space left on device (os error 28)\n".to_owned()));
}

#[test]
fn where_nothing_may_be_written_that_is_said() {
    let desk = Desk::new(SMALL);
    let call = ["card", "sheet.worksheet", "--out", "/proc/card.html"];
    let output = desk.command(&call).stderr(Stdio::piped()).output().unwrap();
    let (status, says) = ended(&output);
    assert_eq!(status, Some(2), "{says}");
    assert!(says.starts_with("error: /proc/card.html is not written: "), "{says}");
    let output = desk.command(&["card", "sheet.worksheet", "--out", "none/card.html"]).stderr(Stdio::piped()).output();
    assert!(ended(&output.unwrap()).1.starts_with("error: none/card.html is not written: No such file or directory"));
}

#[test]
fn a_protected_page_is_not_replaced() {
    let desk = Desk::new(SMALL);
    desk.write("card.html", "the old card\n");
    let path = desk.0.path().join("card.html");
    let mut permissions = fs::metadata(&path).unwrap().permissions();
    permissions.set_readonly(true);
    fs::set_permissions(&path, permissions).unwrap();
    let call = ["card", "sheet.worksheet", "--out", "card.html", "--replace"];
    let output = desk.command(&call).stderr(Stdio::piped()).output().unwrap();
    let says = "error: card.html is not written: it is protected against writing\n".to_owned();
    assert_eq!(ended(&output), (Some(2), says));
    assert_eq!(desk.read("card.html"), "the old card\n");
}

/// Nobody listens any more: the program ends, and says nothing.
#[test]
fn a_broken_pipe_ends_quietly() {
    let desk = Desk::new(&long());
    let mut child =
        desk.command(&["results", "sheet.worksheet"]).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    std::thread::sleep(Duration::from_millis(1));
    let output = child.wait_with_output().unwrap();
    assert_eq!(ended(&output), (Some(0), String::new()));
}
