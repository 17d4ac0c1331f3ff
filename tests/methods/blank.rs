//! A template as it is handed out: the parts that a paper form has, on two printed pages, and nothing worked or wrong yet.

use super::{clean, root, trial, worked};
use anyhow::{Result, ensure};
use catchwork::report::data::{Origin, Outcome};
use libtest_mimic::Trial;
use std::fs;

/// Lines of a template as it is written.
const LINES: usize = 110;
/// Two pages of US Letter with half an inch of margin in nine point type: so many lines of so many characters.
const PRINTED: usize = 160;
const ACROSS: usize = 100;
/// What a worksheet for a crew does not speak of.
const PROGRAMMERS: [&str; 7] = ["function", "variable", "parameter", "null", "array", "boolean", "syntax"];

pub fn trials(templates: &[String]) -> Vec<Trial> {
    let both = |name: &String| {
        let (form, blank) = (name.clone(), name.clone());
        [
            trial(format!("{name}: reads like a form"), move || hold_form(&form)),
            trial(format!("{name}: blank, nothing is worked and nothing is wrong"), move || hold_blank(&blank)),
        ]
    };
    templates.iter().flat_map(both).collect()
}

fn text(name: &str) -> Result<String> {
    Ok(fs::read_to_string(root("worksheets/methods").join(format!("{name}.worksheet")))?)
}

fn hold_form(name: &str) -> Result<()> {
    let text = text(name)?;
    let lines: Vec<&str> = text.lines().collect();
    let begins = |with: &str| lines.iter().filter(|line| line.starts_with(with)).count();
    ensure!(lines.first().is_some_and(|line| line.starts_with("# ")), "it opens without a title");
    ensure!(begins("! ") >= 2, "{} cautions", begins("! "));
    ensure!(text.to_lowercase().contains("label"), "the label is not spoken of");
    ensure!(begins("-- Have in hand: ") == 1, "it does not say what to have in hand");
    ensure!(begins("-- Source") == 1, "it names no sources");
    ensure!(lines.iter().any(|line| line.starts_with("-- ") && line.contains('?')), "no note asks what it answers");
    ensure!(text.contains("____"), "it has no blanks");
    let checks: Vec<&&str> = lines.iter().filter(|line| line.starts_with("? ")).collect();
    ensure!(!checks.is_empty(), "it checks nothing");
    for check in checks {
        ensure!(check.contains(" else "), "a check without advice: {check}");
    }
    for word in PROGRAMMERS {
        let said = lines.iter().filter(|line| line.starts_with(['!', '-', '#', '?']));
        let found = said.flat_map(|line| line.split(|c: char| !c.is_alphabetic())).any(|found| found == word);
        ensure!(!found, "a programmer's word: {word}");
    }
    hold_length(&lines)
}

fn hold_length(lines: &[&str]) -> Result<()> {
    ensure!(lines.len() <= LINES, "{} lines", lines.len());
    let printed: usize = lines.iter().map(|line| line.chars().count().div_ceil(ACROSS).max(1)).sum();
    ensure!(printed <= PRINTED, "{printed} printed lines");
    Ok(())
}

/// Checks that rest on defaults alone may be there; nothing may be said of a number that nobody measured.
fn hold_blank(name: &str) -> Result<()> {
    let report = worked(&format!("from \"{name}\"\n"), Vec::new())?;
    clean(&report)?;
    ensure!(!report.waiting.is_empty(), "no blank waits");
    ensure!(!report.cautions.is_empty(), "no cautions");
    for check in &report.checks {
        ensure!(check.outcome == Outcome::Waiting, "`{}` is {:?} on a blank sheet", check.label, check.outcome);
    }
    let worked = report.values.iter().filter(|value| value.origin == Origin::Worked);
    let (waiting, known): (Vec<_>, Vec<_>) = worked.partition(|value| !value.cell.waiting_on.is_empty());
    ensure!(!waiting.is_empty(), "no result waits");
    // Known without a single measurement: what is the same on every course.
    let known: Vec<&str> = known.iter().map(|value| value.name.as_str()).collect();
    let constant: &[&str] = match name {
        "sprayer-128th-acre" => &["course area", "one fl oz here"],
        "spreader-pattern" => &["first pan", "last pan"],
        _ => &[],
    };
    ensure!(known == constant, "worked on a blank sheet: {known:?}");
    Ok(())
}
