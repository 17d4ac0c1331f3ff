//! What must hold of every text, whatever it says: a target each for fuzzing, and for the tests that try the texts kept.

#[path = "laid_out.rs"]
mod laid_out;
#[path = "over_data.rs"]
mod over_data;
#[path = "printed.rs"]
mod printed;
#[path = "typed.rs"]
mod typed;

use anyhow::{Result, ensure};
use catchwork::Request;
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::report::data::{Cell, Outcome};

/// What parts a worksheet from the data that it draws on, in a text of the target `csv`.
pub const DATA: &str = "=== beds.csv\n";

/// What parts a worksheet from what is typed into it, in a text of the target `editor`.
pub const MESSAGES: &str = "=== messages\n";

/// What the editor's server says of its end, as the command has it.
#[derive(Debug)]
pub enum Status {
    /// It ended as it should.
    Worked,
    /// It did not.
    No,
}

/// Something that must hold of every text.
#[derive(Clone, Copy)]
pub struct Target {
    /// What it is called.
    pub name: &'static str,
    /// Whether it holds of a text.
    pub holds: fn(&[u8]) -> Result<()>,
}

/// All of them.
pub const TARGETS: [Target; 5] = [
    Target { name: "work", holds: work },
    Target { name: "format", holds: laid_out::holds },
    Target { name: "csv", holds: over_data::holds },
    Target { name: "report", holds: printed::holds },
    Target { name: "editor", holds: typed::holds },
];

fn request() -> Request {
    Request { set: Vec::new(), today: Moment::parse("2026-04-12").expect("a date"), colour: false }
}

/// A text worked, standing alone.
fn report(bytes: &[u8]) -> Report {
    catchwork::work("sheet.worksheet", bytes.to_vec(), &request())
}

/// A text is worked, and what comes of it is whole.
fn work(bytes: &[u8]) -> Result<()> {
    whole(&report(bytes), bytes)
}

/// A report says of everything what it comes to, what it waits on, or what is wrong with it.
fn whole(report: &Report, bytes: &[u8]) -> Result<()> {
    let lines = bytes.iter().filter(|byte| **byte == b'\n').count() + 1;
    for trouble in &report.troubles {
        let is_there = trouble.file.is_some() || (1..=lines + 1).contains(&trouble.line);
        ensure!(is_there && trouble.column > 0 && !trouble.says.is_empty(), "a trouble without its place: {trouble:?}");
    }
    let cells = report.tables.iter().flat_map(|table| table.rows.iter().flat_map(|row| &row.cells));
    for cell in report.values.iter().map(|value| &value.cell).chain(cells) {
        says_something(cell, !report.troubles.is_empty())?;
    }
    for check in &report.checks {
        let waits = check.outcome == Outcome::Waiting;
        let has_reason = !check.waiting_on.is_empty() || !report.troubles.is_empty();
        ensure!(!waits || has_reason, "a check waits on nothing: {check:?}");
    }
    Ok(())
}

fn says_something(cell: &Cell, is_in_trouble: bool) -> Result<()> {
    let readings = cell.readings.iter().flatten().flatten();
    let numbers = [cell.value, cell.low, cell.high, cell.standard_uncertainty, cell.give_or_take];
    ensure!(
        numbers.into_iter().flatten().chain(readings.copied()).all(f64::is_finite),
        "a number that is none: {cell:?}"
    );
    ensure!(cell.standard_uncertainty.is_none_or(|doubt| doubt >= 0.0), "a doubt below 0: {cell:?}");
    // Ends that are the same may differ in their last digits.
    let is_forward = |(low, high): (f64, f64)| low <= high || low - high <= 1e-12 * low.abs();
    ensure!(cell.low.zip(cell.high).is_none_or(is_forward), "a range backwards: {cell:?}");
    let figures = [cell.value, cell.low, cell.high].into_iter().flatten().count();
    let says = figures > 0 || cell.readings.is_some() || cell.text.is_some();
    let waits = !cell.waiting_on.is_empty();
    ensure!(says || waits || is_in_trouble, "a value that says nothing and waits on nothing: {cell:?}");
    ensure!(!(figures > 0 && waits), "a value that waits and is there: {cell:?}");
    Ok(())
}
