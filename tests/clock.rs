//! The clock goes back, or stands wrong: a file's dates say nothing about whether it was saved, results rest on no clock
//! but where `today` is asked for, and what day that was taken to be stands on every output.
//!
//! A wrong clock is shown to the program by `faketime`, which `.ci/run` installs; where it is not to be had, those tests
//! say so and pass.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

#[path = "clock/today.rs"]
mod today;
#[path = "watch/watched.rs"]
mod watched;
#[path = "clock/wrong.rs"]
mod wrong;

use std::fs::{self, File, FileTimes};
use std::path::Path;
use std::process::{Command, Output};
use std::thread::sleep;
use std::time::{Duration, SystemTime};
use tempfile::TempDir;
use watched::{Watched, strip};

const HOUR: Duration = Duration::from_secs(3600);

const YEAR: Duration = Duration::from_secs(365 * 24 * 3600);

/// What stands on the line of the result after a save that makes 50 ft of 60 ft.
const AREA_WAS: &str = "area    100    ft²   worked   120\n";

fn modified(path: &Path) -> SystemTime {
    path.metadata().unwrap().modified().unwrap()
}

/// Dates a file, as a clock that stood wrong would have, or a copy that keeps its date.
fn date(path: &Path, modified: SystemTime) {
    File::options().write(true).open(path).unwrap().set_times(FileTimes::new().set_modified(modified)).unwrap();
}

#[test]
fn a_save_is_seen_whatever_date_it_has() {
    let now = SystemTime::now();
    let dates = [now - HOUR, now - 20 * YEAR, SystemTime::UNIX_EPOCH - YEAR, now + HOUR, now + 50 * YEAR];
    let manners: [&[&str]; 2] = [&[], &["--look", "1"]];
    for (manner, modified) in manners.into_iter().flat_map(|manner| dates.map(|date| (manner, date))) {
        let watched = Watched::strip(manner);
        // Put in its place in one go, so that the date is all that there is to go by.
        watched.write("new", &strip("50"));
        date(&watched.path("new"), modified);
        fs::rename(watched.path("new"), watched.path("strip.worksheet")).unwrap();
        watched.shows(AREA_WAS);
    }
}

#[test]
fn a_save_into_the_same_file_is_seen_that_keeps_its_date_and_its_length() {
    for manner in [&["--look", "1"][..], &[]] {
        let watched = Watched::strip(manner);
        let sheet = watched.path("strip.worksheet");
        let before = modified(&sheet);
        fs::write(&sheet, strip("50")).unwrap();
        date(&sheet, before);
        assert_eq!(modified(&sheet), before);
        watched.shows(AREA_WAS);
    }
}

#[test]
fn saves_within_one_second_are_all_seen_where_it_looks() {
    let watched = Watched::strip(&["--look", "1"]);
    let sheet = watched.path("strip.worksheet");
    // The second time has come after the first was looked at, and bears a date within the same second.
    let second = SystemTime::UNIX_EPOCH + 1_000_000 * HOUR;
    watched.write("strip.worksheet", &strip("50"));
    date(&sheet, second);
    watched.shows(AREA_WAS);
    watched.write("strip.worksheet", &strip("40"));
    date(&sheet, second + Duration::from_millis(1));
    watched.shows("area    80     ft²   worked   100\n");
}

#[test]
fn looking_it_sees_files_come_and_go_and_others_in_their_place() {
    let watched = Watched::new(&[("jobs/one.worksheet", "amount : 2 lb\n")], &["crew", "--look", "1"]);
    watched.write("jobs/two.worksheet", "amount : 3 lb\n");
    watched.shows("crew/jobs/two.worksheet");
    fs::create_dir(watched.path("later")).unwrap();
    watched.write("later/three.worksheet", "amount : 4 lb\n");
    watched.shows("crew/later/three.worksheet");
    fs::remove_file(watched.path("jobs/two.worksheet")).unwrap();
    watched.told("crew/jobs/two.worksheet cannot be read");
    watched.write("jobs/two.worksheet", "amount : 5 lb\n");
    watched.shows("entered  3\n");
}

#[test]
fn looking_it_prints_nothing_again_that_has_not_changed() {
    let watched = Watched::strip(&["--look", "1"]);
    // It has other dates and stands in another file, and says what it said.
    watched.write("new", &strip("60"));
    fs::rename(watched.path("new"), watched.path("strip.worksheet")).unwrap();
    sleep(Duration::from_millis(2500));
    watched.write("strip.worksheet", &strip("50"));
    watched.shows(AREA_WAS);
    assert_eq!(watched.screen().matches("── ").count(), 1, "{}", watched.screen());
}

/// A crew folder with a template, a worksheet that draws on it and on a CSV file, and one that draws on that.
fn crew() -> TempDir {
    let folder = TempDir::new().unwrap();
    let files = [
        ("crew-folder.txt", ""),
        ("template.worksheet", "! Wear gloves.\nwidth : ____ ft\n\ntwice = 2 * width  [0.1 ft]\n"),
        ("beds.csv", "bed,area (ft2)\nnorth,100\nsouth,50\n"),
        (
            "beds.worksheet",
            "from \"template.worksheet\"\n\nwidth : 3 ft\n\n| beds from \"beds.csv\" | area : ft2 |\n\n\
             all beds = sum(beds.area) [1 ft²]\n",
        ),
        ("mix.worksheet", "beds from \"beds.worksheet\"\ndose = beds.all beds * 2 oz per 100 ft2 [oz]\n"),
        ("rows.csv", "width (ft)\n3\n4\n"),
    ];
    files.iter().for_each(|(name, text)| fs::write(folder.path().join(name), text).unwrap());
    folder
}

fn run(folder: &Path, call: &[&str]) -> Output {
    Command::new(assert_cmd::cargo::cargo_bin!("catchwork")).args(call).current_dir(folder).output().unwrap()
}

/// What every kind of call prints and writes, the dates of the files being as they are.
fn all_of(folder: &Path) -> Vec<(String, Vec<u8>)> {
    let calls: [&[&str]; 7] = [
        &["results", "mix.worksheet", "beds.worksheet", "template.worksheet", "--as", "json"],
        &["why", "mix.worksheet", "dose"],
        &["compare", "beds.worksheet", "mix.worksheet"],
        &["each", "template.worksheet", "rows.csv", "--out", "out.csv", "--replace"],
        &["card", "mix.worksheet", "--out", "out.html", "--replace"],
        &["fill", "template.worksheet", "out.worksheet", "width : 3 ft", "--replace"],
        &["format", "template.worksheet", "--check"],
    ];
    let mut all = Vec::new();
    for call in calls {
        let output = run(folder, call);
        let ended = format!("{call:?} {:?} {}", output.status.code(), String::from_utf8_lossy(&output.stderr));
        all.push((ended, output.stdout));
    }
    for name in ["out.csv", "out.html", "out.worksheet"] {
        all.push((name.to_owned(), fs::read(folder.join(name)).unwrap()));
        fs::remove_file(folder.join(name)).unwrap();
    }
    all
}

#[test]
fn the_dates_of_files_change_nothing() {
    let folder = crew();
    let right = all_of(folder.path());
    assert!(right.iter().take(7).all(|(ended, _)| ended.contains("Some(0)")), "{right:#?}");
    let now = SystemTime::now();
    let mut names: Vec<_> = fs::read_dir(folder.path()).unwrap().map(|entry| entry.unwrap().path()).collect();
    names.sort();
    // All long past, all to come; and each older than the one before it, and the other way round.
    let steps: [fn(u32) -> (bool, Duration); 4] =
        [|_| (false, 50 * YEAR), |_| (true, 50 * YEAR), |place| (false, HOUR * place), |place| (true, HOUR * place)];
    for step in steps {
        for (place, path) in (0..).zip(&names) {
            let (is_to_come, distance) = step(place);
            date(path, if is_to_come { now + distance } else { now - distance });
        }
        assert_eq!(all_of(folder.path()), right);
    }
}
