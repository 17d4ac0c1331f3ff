//! The same text gives the same bytes: every form of output of the whole example, again, on one thread and on two, under
//! three locales and time zones, is one and the same, and the one whose fingerprints are kept in `tests/same.tsv`. The
//! kept fingerprints hold the builds to each other as well:
//!
//! `UPDATE=1 cargo test --test same` writes them, once the outputs have been looked at elsewhere;
//! `cargo test --release --test same` asks the same of the optimised program.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use sha2::{Digest, Sha256};
use std::fmt::Write;
use std::fs;
use std::path::{Path, PathBuf};

const CALLS: [&[&str]; 14] = [
    &["results", ".", "--as", "text"],
    &["results", ".", "--as", "text", "--plain"],
    &["results", ".", "--as", "markdown"],
    &["results", ".", "--as", "csv"],
    &["results", ".", "--as", "json"],
    &["results", ".", "--as", "jsonl"],
    &["results", ".", "--as", "html"],
    &["results", "season-2026.worksheet", "--as", "html"],
    &["blanks", "methods/job-record.worksheet"],
    &["why", "calibration/green-3-odile-timed-june.worksheet", "spray volume"],
    &["compare", "calibration/green-3-odile-timed.worksheet", "calibration/green-3-odile-timed-june.worksheet"],
    &["each", "../../tests/each/rows/template.worksheet", "../../tests/each/rows/data.csv"],
    &["card", "mixes/2026-05-20-leaf-spot.worksheet", "--out", "CARD"],
    &["units"],
];

/// Threads, locale and time zone of each run.
const SURROUNDINGS: [[&str; 3]; 4] = [
    ["2", "C", "UTC"],
    ["2", "C", "UTC"],
    ["2", "de_DE.UTF-8", "Pacific/Kiritimati"],
    ["1", "tr_TR.UTF-8", "America/St_Johns"],
];

fn root() -> PathBuf {
    PathBuf::from(env!("CARGO_MANIFEST_DIR"))
}

/// What a call prints and writes: its exit status, both streams, and the page.
fn output(call: &[&str], [threads, locale, zone]: [&str; 3]) -> Vec<u8> {
    let page = tempfile::tempdir().unwrap();
    let path = page.path().join("card.html");
    let arguments = call.iter().map(|argument| if *argument == "CARD" { path.as_os_str() } else { argument.as_ref() });
    let mut command = assert_cmd::cargo::cargo_bin_cmd!("catchwork");
    command.current_dir(root().join("worksheets/example")).args(arguments);
    if !matches!(call[0], "units" | "blanks") {
        command.args(["--today", "2026-10-01"]);
    }
    let variables = [("RAYON_NUM_THREADS", threads), ("LANG", locale), ("LC_ALL", locale), ("TZ", zone)];
    let output = command.envs(variables).output().unwrap();
    let mut bytes = format!("{:?}\n", output.status.code()).into_bytes();
    bytes.extend(output.stdout);
    bytes.extend(output.stderr);
    // Where the page was written is told, and is another folder each time.
    let written = page.path().display().to_string();
    let text = String::from_utf8(bytes).unwrap().replace(&written, "");
    let mut bytes = text.into_bytes();
    bytes.extend(fs::read(&path).unwrap_or_default());
    bytes
}

fn fingerprint(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().take(8).fold(String::new(), |mut text, byte| {
        write!(text, "{byte:02x}").unwrap();
        text
    })
}

/// A call with the fingerprint of what comes of it, which is the same in all surroundings. JSON, which has everything
/// in it that the other forms print, is tried in each; those in the most and the least usual.
fn row(call: &[&str]) -> String {
    let [first, others @ .., last] = SURROUNDINGS;
    let usual = output(call, first);
    let others = if call.last() == Some(&"json") { others.to_vec() } else { Vec::new() };
    for around in others.into_iter().chain([last]) {
        assert!(output(call, around) == usual, "{call:?} comes out otherwise with {around:?}");
    }
    assert!(usual.len() > 300, "{call:?} prints nothing: {}", String::from_utf8_lossy(&usual));
    format!("{}\t{}\n", call.join(" "), fingerprint(&usual))
}

#[test]
fn every_output_of_the_example_is_the_same_wherever_it_is_worked() {
    let path: PathBuf = root().join("tests/same.tsv");
    // Two calls at a time: the program in a debug build takes seconds for a form of the whole example.
    let (even, odd): (Vec<_>, Vec<_>) = CALLS.into_iter().enumerate().partition(|(index, _)| index % 2 == 0);
    let rows = |calls: Vec<(usize, &'static [&'static str])>| -> Vec<(usize, String)> {
        calls.into_iter().map(|(index, call)| (index, row(call))).collect()
    };
    let mut found = std::thread::scope(|scope| {
        let others = scope.spawn(|| rows(odd));
        let mut found = rows(even);
        found.extend(others.join().unwrap());
        found
    });
    found.sort_unstable();
    let found: String = found.into_iter().map(|(_, row)| row).collect();
    if std::env::var_os("UPDATE").is_some() {
        fs::write(&path, &found).unwrap();
    }
    assert_eq!(found, kept(&path), "look at the outputs, then UPDATE=1 cargo test --test same");
}

fn kept(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_default()
}
