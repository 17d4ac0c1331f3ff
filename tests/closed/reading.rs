//! The cases of `reading.cases`: a worksheet each, and the troubles it is refused with.

use crate::desk::{Desk, said};
use libtest_mimic::{Failed, Trial};
use serde_json::Value;
use std::fs;
use std::sync::Mutex;

const FILE: &str = "tests/closed/reading.cases";

/// A case: its name and its lines.
pub struct Case {
    name: String,
    lines: Vec<String>,
}

pub fn cases() -> Vec<Case> {
    let text = fs::read_to_string(FILE).unwrap();
    let cases: Vec<Case> = text
        .split("\n=== ")
        .skip(1)
        .map(|case| {
            let mut lines = case.lines().map(str::to_owned);
            Case { name: lines.next().unwrap(), lines: lines.collect() }
        })
        .collect();
    assert!(cases.len() >= 60, "there are only {} attempts", cases.len());
    cases
}

pub fn trial(case: Case) -> Trial {
    Trial::test(case.name.clone(), move || holds(&case))
}

fn holds(case: &Case) -> Result<(), Failed> {
    let put: Vec<&str> = case.lines.iter().filter_map(|line| line.strip_prefix(". ")).collect();
    let is_sheet = |line: &&String| !line.is_empty() && !line.starts_with(". ") && expectation(line).is_none();
    let sheet: String = case.lines.iter().filter(is_sheet).map(|line| format!("{}\n", unescaped(line))).collect();
    let expected = case.lines.iter().find_map(|line| expectation(line)).ok_or("the case expects nothing")?;
    let desk = Desk::new(&sheet, &put);
    let output = desk.call(&["results", "crew/sheet.worksheet", "--as", "jsonl"], expected == "works");
    let report: Value = serde_json::from_slice(&output.stdout).map_err(|_| said(&output))?;
    let kinds: Vec<&str> =
        report["troubles"].as_array().unwrap().iter().map(|trouble| trouble["kind"].as_str().unwrap()).collect();
    let found = match kinds.as_slice() {
        [] if waits(&report) => "waits".to_owned(),
        [] => "works".to_owned(),
        kinds => format!("refused: {}", kinds.join(", ")),
    };
    if std::env::var_os("UPDATE").is_some() {
        update(case, &expected, &found)?;
    } else if found != expected {
        return Err(format!("expected `{expected}`, and it is `{found}`:\n{}", said(&output)).into());
    }
    let status = if kinds.is_empty() { 0 } else { 2 };
    assert_eq!(output.status.code(), Some(status), "{}", said(&output));
    Ok(())
}

/// Whether a row of a table waits.
fn waits(report: &Value) -> bool {
    let rows = report["tables"].as_array().into_iter().flatten().flat_map(|table| table["rows"].as_array().unwrap());
    let mut cells = rows.flat_map(|row| row["cells"].as_array().unwrap());
    cells.any(|cell| cell["waiting_on"].as_array().is_some_and(|waiting| !waiting.is_empty()))
}

fn expectation(line: &str) -> Option<String> {
    (["works", "waits"].contains(&line) || line.starts_with("refused:")).then(|| line.to_owned())
}

fn unescaped(line: &str) -> String {
    line.replace("\\u{202e}", "\u{202e}").replace("\\u{0}", "\0")
}

/// Writes what a case is refused with; one that should be refused and works is left to fail.
fn update(case: &Case, expected: &str, found: &str) -> Result<(), Failed> {
    static FILES: Mutex<()> = Mutex::new(());
    let _one = FILES.lock();
    if (expected == "works") != (found == "works") {
        return Err(format!("expected `{expected}`, and it is `{found}`").into());
    }
    let text = fs::read_to_string(FILE)?;
    let (before, rest) = text.split_once(&format!("\n=== {}\n", case.name)).ok_or("the case is gone")?;
    let written = format!("{before}\n=== {}\n{}", case.name, rest.replacen(expected, found, 1));
    Ok(fs::write(FILE, written)?)
}
