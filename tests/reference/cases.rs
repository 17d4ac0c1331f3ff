//! What the reference cases share: kept files read, worksheets worked through the library, figures held to each other.
//! It knows no case.

use anyhow::{Context, Result, anyhow, ensure};
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::report::data::ReportValue;
use catchwork::{Request, work};
use libtest_mimic::Trial;
use std::fs;
use std::path::Path;

/// Figures agree where they are no further apart than this share of the kept one.
pub const CLOSE: f64 = 1e-9;

/// A kept file of this folder.
pub fn kept(name: &str) -> Result<String> {
    let path = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reference").join(name);
    fs::read_to_string(&path).with_context(|| path.display().to_string())
}

/// The rows of a kept table, which has that head below its remarks, and so many rows.
pub fn rows<const COLUMNS: usize>(name: &str, head: [&str; COLUMNS], count: usize) -> Result<Vec<[String; COLUMNS]>> {
    let text = kept(name)?;
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    ensure!(lines.next() == Some(head.join("\t").as_str()), "the head of {name} is another one");
    let cells = |line: &str| line.split('\t').map(str::to_owned).collect::<Vec<_>>().try_into();
    let rows: Result<Vec<[String; COLUMNS]>> =
        lines.map(|line| cells(line).map_err(|cells| anyhow!("{name}: {cells:?}"))).collect();
    let rows = rows?;
    ensure!(rows.len() == count, "{name} has {} rows, where {count} were made", rows.len());
    Ok(rows)
}

/// A named test that fails with the whole chain of what went wrong.
pub fn trial(name: String, test: impl FnOnce() -> Result<()> + Send + 'static) -> Trial {
    Trial::test(name, move || test().map_err(|error| format!("{error:#}").into()))
}

/// A worksheet worked, whatever comes of it.
pub fn tried(text: &str) -> Result<Report> {
    let today = Moment::parse("2026-04-12").map_err(|error| anyhow!("{error:?}"))?;
    Ok(work("reference.worksheet", text.as_bytes().to_vec(), &Request { set: Vec::new(), today, colour: false }))
}

/// A worksheet worked that has neither troubles nor blanks.
pub fn worked(text: &str) -> Result<Report> {
    let report = tried(text)?;
    let troubles: Vec<&str> = report.troubles.iter().map(|trouble| trouble.display.as_str()).collect();
    ensure!(troubles.is_empty(), "troubles in\n{text}\n{}", troubles.join("\n"));
    ensure!(report.waiting.is_empty(), "blanks in\n{text}");
    Ok(report)
}

/// The value of that name.
pub fn value<'a>(report: &'a Report, name: &str) -> Result<&'a ReportValue> {
    report.values.iter().find(|value| value.name == name).with_context(|| format!("no value is called {name}"))
}

/// The number of that name.
pub fn number_of(report: &Report, name: &str) -> Result<f64> {
    value(report, name)?.cell.value.with_context(|| format!("{name} has no number"))
}

/// What is wrong with a figure; nothing where it agrees with the kept one. A kept 0 is held to absolutely.
pub fn off(what: &str, found: Option<f64>, kept: Option<f64>) -> Option<String> {
    let agrees = match (found, kept) {
        (Some(found), Some(kept)) => (found - kept).abs() <= CLOSE * kept.abs(),
        (None, None) => true,
        _ => false,
    };
    (!agrees).then(|| format!("{what}: {found:?}, and {kept:?} is kept"))
}

/// Fails with everything that is wrong at once.
pub fn all_agree(wrong: impl IntoIterator<Item = Option<String>>) -> Result<()> {
    let wrong: Vec<String> = wrong.into_iter().flatten().collect();
    ensure!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    Ok(())
}

/// A number in a kept file.
pub fn number(text: &str) -> Result<f64> {
    text.parse().with_context(|| format!("{text} is no number"))
}
