//! What `today` is taken to be where the computer's clock stands wrong, or goes back while the program runs.

use super::run;
use super::watched::Watched;
use super::wrong::{set, shown_by};
use std::fs;
use std::io::Read;
use std::process::{Command, Stdio};
use tempfile::TempDir;

/// A record that was written by a clock that stood right.
const SHEET: &str = "\
# Age
! Wear gloves.
calibrated : 2026-04-12
age = today - calibrated [day]
due = calibrated + 30 day
? fresh : today - calibrated at most 30 days else Calibrate anew.
? sound : today - calibrated within 0 to 30 days else Look at the date of the computer.
";

/// A folder with a worksheet, and a clock beside it that can be set.
struct Desk(TempDir);

impl Desk {
    fn new(day: &str) -> Self {
        let desk = Self(TempDir::new().unwrap());
        desk.write("age.worksheet", SHEET);
        desk.set(day);
        desk
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).unwrap();
    }

    /// Sets the clock to a day, from one moment to the next.
    fn set(&self, day: &str) {
        set(&self.0.path().join("clock"), day);
    }

    fn command(&self) -> Option<Command> {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("catchwork"));
        command.envs(shown_by(&self.0.path().join("clock"))?).current_dir(self.0.path());
        Some(command)
    }

    /// What a call prints where the clock shows what it shows.
    fn prints(&self, call: &[&str]) -> Option<String> {
        let output = self.command()?.args(call).output().unwrap();
        assert_ne!(output.status.code(), None, "{output:?}");
        Some(String::from_utf8(output.stdout).unwrap())
    }
}

#[test]
fn every_form_says_which_day_a_wrong_clock_makes_it() {
    let desk = Desk::new("2020-01-01");
    for form in ["text", "markdown", "csv", "json", "jsonl", "html"] {
        let Some(printed) = desk.prints(&["results", "age.worksheet", "--as", form]) else { return };
        assert!(printed.contains("2020-01-01"), "{form}: {printed}");
        // 2293 days lie between the two; the result says that they are still to come.
        assert!(printed.contains("-2293") || printed.contains("−2293"), "{form}: {printed}");
        let told = run(desk.0.path(), &["results", "age.worksheet", "--as", form, "--today", "2020-01-01"]).stdout;
        assert_eq!(printed, String::from_utf8(told).unwrap(), "a day is a day, from the clock or from the call");
    }
}

#[test]
fn other_commands_say_it_too() {
    let desk = Desk::new("2020-01-01");
    desk.write("rows.csv", "calibrated\n2026-04-12\n");
    let calls: [&[&str]; 3] = [
        &["why", "age.worksheet", "age"],
        &["compare", "age.worksheet", "age.worksheet"],
        &["each", "age.worksheet", "rows.csv"],
    ];
    for call in calls {
        let Some(printed) = desk.prints(call) else { return };
        assert!(printed.contains("2020-01-01"), "{call:?}: {printed}");
    }
    let Some(printed) = desk.prints(&["card", "age.worksheet", "--out", "card.html"]) else { return };
    assert_eq!(printed, "");
    let card = fs::read_to_string(desk.0.path().join("card.html")).unwrap();
    assert!(card.contains("2020-01-01"), "{card}");
}

/// A limit on both sides tells a clock that stands wrong, which one on one side alone cannot.
#[test]
fn a_day_before_the_record_is_shown_as_such() {
    let desk = Desk::new("2026-04-11");
    let Some(printed) = desk.prints(&["results", "age.worksheet"]) else { return };
    for words in
        ["today taken to be  2026-04-11", "-1.000", "ok  fresh  -1.000 day at most 30", "NO  sound  -1.000 day"]
    {
        assert!(printed.contains(words), "{words}: {printed}");
    }
}

#[test]
fn watched_while_the_clock_goes_back() {
    let desk = Desk::new("2026-05-22");
    let Some(variables) = shown_by(&desk.0.path().join("clock")) else { return };
    for manner in [&[][..], &["--look", "1"]] {
        desk.set("2026-05-22");
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("catchwork"));
        command.envs(variables.clone());
        let call: Vec<&str> = ["crew/age.worksheet"].iter().chain(manner).copied().collect();
        let watched = Watched::by(command, &[("age.worksheet", SHEET)], &call);
        watched.shows("today taken to be  2026-05-22");
        watched.shows("40.00");
        desk.set("2026-05-02");
        watched.write("age.worksheet", &SHEET.replace("04-12", "04-13"));
        watched.shows("today taken to be  2026-05-02");
        watched.shows("19.00");
        desk.set("2019-05-02");
        watched.write("age.worksheet", &SHEET.replace("04-12", "04-14"));
        watched.shows("today taken to be  2019-05-02");
    }
}

/// Rows are worked, with how far that has come told on a terminal, while every clock there is goes back over and over.
#[test]
fn rows_while_the_clock_goes_back() {
    let desk = Desk::new("2026-05-22");
    let Some(variables) = shown_by(&desk.0.path().join("clock")) else { return };
    desk.write("double.worksheet", "! Wear gloves.\nwidth : ____ ft\n\ndouble = 2 * width [0.1 ft]\n");
    let rows: String = (0..60_000).map(|row| format!("{row}\n")).collect();
    desk.write("rows.csv", &format!("width (ft)\n{rows}"));
    let call = ["each", "double.worksheet", "rows.csv", "--out", "out.csv", "--replace"];
    assert!(run(desk.0.path(), &call).status.success());
    let right = fs::read_to_string(desk.0.path().join("out.csv")).unwrap();
    fs::remove_file(desk.0.path().join("out.csv")).unwrap();

    let (mut terminal, pts) = pty_process::blocking::open().unwrap();
    terminal.resize(pty_process::Size::new(24, 80)).unwrap();
    let mut command = pty_process::blocking::Command::new(assert_cmd::cargo::cargo_bin!("catchwork"))
        .args(call)
        .current_dir(desk.0.path())
        .stdin(Stdio::null());
    for (name, value) in variables.iter().filter(|(name, _)| !name.contains("MONOTONIC")) {
        command = command.env(name, value);
    }
    let mut child = command.spawn(pts).unwrap();
    let seen = std::thread::spawn(move || {
        let mut seen = Vec::new();
        let _ = terminal.read_to_end(&mut seen);
        String::from_utf8_lossy(&seen).into_owned()
    });
    let mut day = 28;
    let status = loop {
        if let Some(status) = child.try_wait().unwrap() {
            break status;
        }
        desk.set(&format!("2026-05-{day:02}"));
        day = if day > 1 { day - 1 } else { 28 };
    };
    let seen = seen.join().unwrap();
    assert!(status.success() && !seen.contains("panicked"), "{status}: {seen}");
    assert!(seen.contains("rows/s"), "how far it has come is told: {seen}");
    assert_eq!(fs::read_to_string(desk.0.path().join("out.csv")).unwrap(), right);
}
