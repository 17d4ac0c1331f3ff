//! A clock that stands wrong, shown to the program by `faketime`, which `.ci/run` installs.

use std::fs;
use std::path::Path;
use std::process::Command;

/// The variables by which `faketime` shows a program the clock that stands in a file, told anew at each look; nothing
/// where it is not to be had.
pub fn shown_by(clock: &Path) -> Option<Vec<(&'static str, String)>> {
    let Ok(output) = Command::new("faketime").args(["-f", "+0", "sh", "-c", "printf %s \"$LD_PRELOAD\""]).output()
    else {
        eprintln!("NOT TRIED: there is no faketime here to set a clock wrong with");
        return None;
    };
    let library = String::from_utf8(output.stdout).unwrap();
    Some(vec![
        ("LD_PRELOAD", library),
        ("FAKETIME_TIMESTAMP_FILE", clock.display().to_string()),
        ("FAKETIME_NO_CACHE", "1".to_owned()),
        // As with a real clock, only the one on the wall goes back, and the dates of files stay what they are.
        ("FAKETIME_DONT_FAKE_MONOTONIC", "1".to_owned()),
        ("NO_FAKE_STAT", "1".to_owned()),
    ])
}

/// Sets the clock that stands in a file to noon of a day, from one moment to the next.
pub fn set(clock: &Path, day: &str) {
    let new = clock.with_extension("new");
    fs::write(&new, format!("@{day} 12:00:00\n")).unwrap();
    fs::rename(new, clock).unwrap();
}
