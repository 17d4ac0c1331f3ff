//! What an editor shows beside the lines: each result with its ±, how each check comes out, the worked-out cells of each
//! row. It computes nothing: what it shows is the report's.

use super::sheet::Sheet;
use crate::checked::model::{Origin, Slot, Table};
use crate::report::data::{Cell, Outcome, ReportCheck, ReportTable};
use crate::report::figures::{outcome_word, waits_on};
use crate::report::letters::clean;
use crate::report::shown::part_words;
use std::collections::HashMap;

/// Something shown beside a line.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Hint {
    /// The byte behind which it stands: the end of the statement.
    pub at: u32,
    /// What it shows: `= 0.825 ± 0.039 gal/1000 ft²`, `ok`.
    pub shows: String,
    /// What else there is to say: remarks, what was compared, advice; empty where nothing is.
    pub more: String,
}

/// All hints of a worksheet, in the order of their lines.
pub fn hints(sheet: &Sheet) -> Vec<Hint> {
    let mut hints: Vec<Hint> = values(sheet).chain(checks(sheet)).chain(rows(sheet)).collect();
    hints.sort_by_key(|hint| hint.at);
    hints
}

fn values(sheet: &Sheet) -> impl Iterator<Item = Hint> {
    let cells: HashMap<&str, &Cell> =
        sheet.report.values.iter().map(|value| (value.name.as_str(), &value.cell)).collect();
    let is_worked = |slot: &&Slot| {
        slot.place.source == 0 && matches!(slot.origin, Origin::Worked(_) | Origin::Stuck(_)) && !slot.is_crew_measure
    };
    let slots = sheet.settled.checked.slots.iter().filter(is_worked);
    slots.filter_map(move |slot| {
        let cell = cells.get(slot.name.as_str())?;
        Some(Hint { at: slot.place.end, shows: value(cell)?, more: lines(&cell.remarks) })
    })
}

/// `= 108.0 ± 4.0 ft²; 10.03 ± 0.37 m²`, or what it waits on.
fn value(cell: &Cell) -> Option<String> {
    let words = figures(cell)?;
    Some(if cell.waiting_on.is_empty() { format!("= {words}") } else { words })
}

fn figures(cell: &Cell) -> Option<String> {
    if !cell.waiting_on.is_empty() {
        return Some(clean(&waits_on(&cell.waiting_on)));
    }
    let parts: Vec<String> = cell.parts.iter().map(part_words).filter(|part| !part.is_empty()).collect();
    (!parts.is_empty()).then(|| clean(&parts.join("; ")))
}

fn checks(sheet: &Sheet) -> impl Iterator<Item = Hint> {
    let settled = &sheet.settled;
    let judged = settled.checked.checks.iter().zip(&settled.worked.checks);
    // The report leaves out those that are in trouble themselves.
    let sound = judged.filter(|(_, judged)| judged.trouble.is_none()).map(|(check, _)| check.place);
    let own = sound.zip(&sheet.report.checks).filter(|(place, _)| place.source == 0);
    own.map(|(place, check)| Hint { at: place.end, shows: outcome(check), more: details(check) })
}

/// `ok`, or more where somebody has to look at it.
fn outcome(check: &ReportCheck) -> String {
    let word = outcome_word(check.outcome);
    clean(&match check.outcome {
        Outcome::Ok => word.to_owned(),
        Outcome::Waiting => waits_on(&check.waiting_on),
        Outcome::Close | Outcome::No => format!("{word}: {}", check.compared),
    })
}

fn details(check: &ReportCheck) -> String {
    let advice = check.advice.iter().filter(|_| matches!(check.outcome, Outcome::Close | Outcome::No)).cloned();
    lines(&std::iter::once(check.compared.clone()).chain(advice).chain(check.remarks.clone()).collect::<Vec<_>>())
}

fn rows(sheet: &Sheet) -> impl Iterator<Item = Hint> {
    let tables: HashMap<&str, &ReportTable> =
        sheet.report.tables.iter().map(|table| (table.name.as_str(), table)).collect();
    sheet
        .settled
        .checked
        .tables
        .iter()
        .filter_map(move |table| Some((table, *tables.get(table.name.as_str())?)))
        .flat_map(|(table, report)| {
            let rows = table.rows.iter().zip(&report.rows);
            let own = rows.filter(|(row, _)| row.place.source == 0 && row.from.is_none());
            let own = own.filter_map(|(row, cells)| {
                let (shows, more) = worked_cells(table, report, &cells.cells)?;
                Some(Hint { at: row.place.end, shows, more })
            });
            own.chain(rows_from_files(table)).collect::<Vec<_>>()
        })
}

/// `flow 0.2162 ± 0.0054 gal/min, pace 1.9 mph`
fn worked_cells(table: &Table, report: &ReportTable, cells: &[Cell]) -> Option<(String, String)> {
    let columns =
        table.columns.iter().zip(&report.columns).zip(cells).filter(|((column, _), _)| column.formula.is_some());
    let mut remarks = Vec::new();
    let shown: Vec<String> = columns
        .filter_map(|((_, column), cell)| {
            remarks.extend(cell.remarks.iter().map(|remark| format!("{}: {remark}", column.name)));
            Some(format!("{} {}", clean(&column.name), figures(cell)?))
        })
        .collect();
    (!shown.is_empty()).then(|| (shown.join(", "), lines(&remarks)))
}

/// How many rows a table has from other files.
fn rows_from_files(table: &Table) -> Option<Hint> {
    let count = table.rows.len();
    let shows = format!("{count} row{}", if count == 1 { "" } else { "s" });
    (table.is_from_files && table.place.source == 0).then(|| Hint { at: table.place.end, shows, more: String::new() })
}

fn lines(said: &[String]) -> String {
    said.iter().filter(|words| !words.is_empty()).map(|words| clean(words)).collect::<Vec<_>>().join("\n")
}
