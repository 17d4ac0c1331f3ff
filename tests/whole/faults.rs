//! Faults of every sort, in every command that writes: killed, out of room, without permission, with nobody to hear it,
//! with files that come and go while they are read.

use super::{Desk, ended, killed_at, long};
use std::fs;
use std::os::unix::fs::PermissionsExt;
use std::process::{Command, Stdio};
use std::sync::atomic::{AtomicBool, Ordering};
use std::time::{Duration, SystemTime};

/// A template, and data to fill it row by row.
const TEMPLATE: &str = "! Wear gloves.\nwater : ____ gal\ndose = water * 2 fl oz/gal [1/2 fl oz]\n";

fn desk_with_rows(rows: u32) -> Desk {
    let desk = Desk::new(TEMPLATE);
    let data: String = (1..=rows).map(|row| format!("{row}\n")).collect();
    desk.write("data.csv", &format!("water (gal)\n{data}"));
    desk
}

const FILL: [&str; 5] = ["fill", "sheet.worksheet", "new.worksheet", "water : 3 gal", "--replace"];
const EACH: [&str; 6] = ["each", "sheet.worksheet", "data.csv", "--out", "out.csv", "--replace"];

#[test]
fn a_new_worksheet_is_the_old_or_the_new_one_whenever_it_is_killed() {
    killed_at(&Desk::new(TEMPLATE), &FILL, "new.worksheet", "old : 1 gal\n");
}

#[test]
fn rows_are_the_old_or_the_new_ones_whenever_they_are_killed() {
    killed_at(&desk_with_rows(20_000), &EACH, "out.csv", "the old rows\n");
}

/// What does not replace anything is not there, or whole.
#[test]
fn a_file_that_was_not_there_is_whole_or_still_not_there_whenever_it_is_killed() {
    let desk = desk_with_rows(20_000);
    let call = &EACH[..5];
    assert!(desk.command(call).status().unwrap().success());
    let whole = desk.read("out.csv");
    let mut random = fastrand::Rng::with_seed(2);
    let mut missing = 0;
    for _ in 0..60 {
        fs::remove_file(desk.0.path().join("out.csv")).ok();
        let mut child = desk.command(call).spawn().unwrap();
        std::thread::sleep(Duration::from_micros(random.u64(..40_000)));
        let _ = child.kill();
        child.wait().unwrap();
        match fs::read_to_string(desk.0.path().join("out.csv")) {
            Ok(found) => assert_eq!(found, whole),
            Err(_) => missing += 1,
        }
    }
    assert!(missing > 0, "it was killed too late every time");
}

#[test]
fn what_finds_no_room_leaves_the_old_file() {
    for (call, file) in [(&FILL[..], "new.worksheet"), (&EACH[..], "out.csv")] {
        let desk = desk_with_rows(20_000);
        desk.write(file, "old\n");
        let before = desk.files();
        let room = if file == "out.csv" { 64 } else { 0 };
        let (status, says) = ended(&desk.with_little_room(room, call));
        assert_eq!(status, Some(2), "{call:?}: {says}");
        assert!(says.contains(&format!("{file} is not written: File too large")), "{says}");
        assert_eq!(desk.read(file), "old\n");
        assert_eq!(desk.files(), before);
    }
}

/// Nothing that prints is silent about a disk that is full, nor does it say that it worked.
#[test]
fn what_cannot_be_printed_is_said() {
    let calls: [&[&str]; 16] = [
        &["results", "sheet.worksheet"],
        &["results", "sheet.worksheet", "--as", "markdown"],
        &["results", "sheet.worksheet", "--as", "csv"],
        &["results", "sheet.worksheet", "--as", "json"],
        &["results", "sheet.worksheet", "--as", "jsonl"],
        &["results", "sheet.worksheet", "--as", "html"],
        &["blanks", "sheet.worksheet"],
        &["why", "sheet.worksheet", "dose"],
        &["compare", "sheet.worksheet", "other.worksheet"],
        &["each", "sheet.worksheet", "data.csv"],
        &["format", "messy.worksheet"],
        &["templates"],
        &["units"],
        &["units", "gal"],
        &["manual"],
        &["completions", "bash"],
    ];
    for call in calls {
        let desk = desk_with_rows(3);
        desk.write("other.worksheet", "! Wear gloves.\nwater : 5 gal\n");
        desk.write("messy.worksheet", "water:5 gal\n");
        let full = || fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        let output = desk.command(call).stdout(full()).stderr(Stdio::piped()).output().unwrap();
        let (status, says) = ended(&output);
        assert_eq!(status, Some(2), "{call:?}: {says}");
        assert!(says.contains("error: No space left on device"), "{call:?}: {says}");
        // Where not even that can be said, the status still tells it.
        let status = desk.command(call).stdout(full()).stderr(full()).status().unwrap();
        assert_eq!(status.code(), Some(2), "{call:?}");
    }
}

/// Troubles that nobody can be told do not turn into success, nor into a crash.
#[test]
fn what_cannot_be_complained_of_is_still_no_success() {
    let desk = Desk::new("water : 3 foo\n");
    let calls: [&[&str]; 9] = [
        &["results", "sheet.worksheet"],
        &["results", "none.worksheet"],
        &["blanks", "sheet.worksheet"],
        &["why", "sheet.worksheet", "water"],
        &["compare", "sheet.worksheet", "sheet.worksheet"],
        &["card", "sheet.worksheet", "--out", "card.html"],
        &["format", "sheet.worksheet"],
        &["fill", "none.worksheet", "new.worksheet", "a : 1"],
        &["results", "--no-such-option"],
    ];
    for call in calls {
        let full = fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
        assert_eq!(desk.command(call).stderr(full).status().unwrap().code(), Some(2), "{call:?}");
        let closed = "exec \"$0\" \"$@\" 2>&-";
        let mut command = Command::new("sh");
        command.args(["-c", closed]).arg(assert_cmd::cargo::cargo_bin!("catchwork")).args(call);
        let status = command.current_dir(desk.0.path()).stdin(Stdio::null()).stdout(Stdio::null()).status().unwrap();
        assert_eq!(status.code(), Some(2), "{call:?}");
    }
}

/// Calls the program as somebody whom permissions bind, which root is not.
fn as_anybody(desk: &Desk, call: &[&str]) -> (Option<i32>, String) {
    let program = assert_cmd::cargo::cargo_bin!("catchwork");
    let is_root = String::from_utf8(Command::new("id").arg("-u").output().unwrap().stdout).unwrap().trim() == "0";
    let mut command = if is_root {
        // Root's own folder may be closed to anybody else: so the program goes where it can be reached. Another process
        // copies it, since what this one has open to write its other tests' children have open too, and it could not run.
        assert!(Command::new("cp").arg(program).arg(desk.0.path().join("program")).status().unwrap().success());
        let mut command = Command::new("setpriv");
        command.args(["--reuid", "65534", "--regid", "65534", "--clear-groups", "./program"]);
        command
    } else {
        Command::new(program)
    };
    ended(&command.args(call).current_dir(desk.0.path()).stdin(Stdio::null()).output().unwrap())
}

fn open_to(desk: &Desk, name: &str, mode: u32) {
    fs::set_permissions(desk.0.path().join(name), fs::Permissions::from_mode(mode)).unwrap();
}

#[test]
fn without_permission_nothing_is_written_and_that_is_said() {
    let desk = desk_with_rows(3);
    desk.write("messy.worksheet", "water:5 gal\n");
    for file in ["sheet.worksheet", "data.csv", "messy.worksheet", "crew-folder.txt"] {
        open_to(&desk, file, 0o644);
    }
    let calls: [(&[&str], &str); 5] = [
        (&["card", "messy.worksheet", "--out", "card.html"], "card.html is not written: Permission denied"),
        (&FILL[..4], "new.worksheet is not written: Permission denied"),
        (&EACH[..5], "out.csv is not written: Permission denied"),
        (&["format", "messy.worksheet"], "messy.worksheet is as it was, since it cannot be written: Permission denied"),
        (&["templates", "--into", "."], "is not written: Permission denied"),
    ];
    open_to(&desk, "", 0o755);
    as_anybody(&desk, &["units"]);
    let before = desk.files();
    open_to(&desk, "", 0o555);
    for (call, says) in calls {
        let (status, said) = as_anybody(&desk, call);
        assert_eq!(status, Some(2), "{call:?}: {said}");
        assert!(said.contains(says), "{call:?}: {said}");
    }
    open_to(&desk, "", 0o755);
    assert_eq!(desk.files(), before);
    assert_eq!(desk.read("messy.worksheet"), "water:5 gal\n");
}

#[test]
fn what_may_not_be_read_is_said() {
    let desk = Desk::new("beds from \"closed.worksheet\"\n| rows from \"closed.csv\" | length : ft |\n");
    for (file, text) in [("closed.worksheet", "area : 3 ft²\n"), ("closed.csv", "rows,length (ft)\na,3\n")] {
        desk.write(file, text);
        open_to(&desk, file, 0o000);
    }
    open_to(&desk, "", 0o755);
    let (status, says) = as_anybody(&desk, &["results", "sheet.worksheet"]);
    assert_eq!(status, Some(2), "{says}");
    assert_eq!(says.matches("Permission denied").count(), 2, "{says}");
    let (status, says) = as_anybody(&desk, &["results", "closed.worksheet"]);
    assert_eq!((status, says.contains("Permission denied")), (Some(2), true), "{says}");
}

/// Records, data and templates that come and go: each run works with what it finds, or says what is missing.
#[test]
fn files_that_come_and_go_are_there_or_missed() {
    let sheet = "from \"method.worksheet\"\nother from \"other.worksheet\"\ntwice = other.area * 2 [ft²]\n\
                 | beds from \"beds.csv\" | length : ft |\n\n| log from \"jobs/*.worksheet\" | area : ft² |\n";
    let desk = Desk::new(sheet);
    fs::create_dir(desk.0.path().join("jobs")).unwrap();
    desk.write("jobs/first.worksheet", "area : 3 ft²\n");
    let files = [
        ("method.worksheet", "! Wear gloves.\nwidth : 3 ft\n"),
        ("other.worksheet", "area : 7 ft²\n"),
        ("beds.csv", "beds,length (ft)\nnorth,3\n"),
        ("jobs/second.worksheet", "area : 4 ft²\n"),
    ];
    let is_done = AtomicBool::new(false);
    let ends = std::thread::scope(|scope| {
        scope.spawn(|| {
            while !is_done.load(Ordering::Relaxed) {
                for (file, text) in files {
                    // Renamed into its place, as an editor does it: a file half written is another matter.
                    desk.write("aside", text);
                    fs::rename(desk.0.path().join("aside"), desk.0.path().join(file)).unwrap();
                }
                for (file, _) in files {
                    fs::remove_file(desk.0.path().join(file)).unwrap();
                }
            }
        });
        let ends: Vec<_> = (0..80)
            .map(|_| ended(&desk.command(&["results", "sheet.worksheet"]).stderr(Stdio::piped()).output().unwrap()))
            .collect();
        is_done.store(true, Ordering::Relaxed);
        ends
    });
    for (status, says) in ends {
        let is_missed = says.contains("there is no file") || says.contains("No such file");
        assert!(status == Some(0) && says.is_empty() || status == Some(2) && is_missed, "{status:?}: {says}");
    }
}

/// A clock that was wrong leaves files from before there were computers, and from years to come; nothing goes by that.
#[test]
fn the_time_of_a_file_means_nothing() {
    let desk = Desk::new(&long());
    let results = || desk.command(&["results", "sheet.worksheet"]).stdout(Stdio::piped()).output().unwrap().stdout;
    let before = results();
    assert!(!before.is_empty());
    for time in [SystemTime::UNIX_EPOCH, SystemTime::now() + Duration::from_secs(100_000_000)] {
        let file = fs::File::options().write(true).open(desk.0.path().join("sheet.worksheet")).unwrap();
        file.set_modified(time).unwrap();
        assert_eq!(results(), before);
        desk.write("card.html", "old\n");
        let card = ["card", "sheet.worksheet", "--out", "card.html", "--replace"];
        desk.command(&card).status().unwrap();
        assert_ne!(desk.read("card.html"), "old\n");
    }
    assert!(desk.command(&["format", "sheet.worksheet"]).status().unwrap().success());
}
