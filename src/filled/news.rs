//! News: what an answer has brought about, told from the reports before and after it.

use crate::report::Report;
use crate::report::data::{Cell, Origin, Outcome, ReportCheck, ReportTable, ReportValue};

/// Results that have become worked or have changed, and checks that have come out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct News {
    /// Results, in the order of the sheet.
    pub values: Vec<ReportValue>,
    /// Cells that are worked out, each with what it is called: `passes.flow, first`.
    pub cells: Vec<(String, Cell)>,
    /// Checks that are no longer waiting, or come out otherwise or by other figures.
    pub checks: Vec<ReportCheck>,
}

impl News {
    /// What has changed from one report to the next of the same worksheet.
    pub fn between(before: &Report, after: &Report) -> Self {
        let value = |value: &&ReportValue| {
            let old = before.values.iter().find(|old| old.name == value.name);
            value.origin == Origin::Worked && is_new(old.map(|old| &old.cell), &value.cell)
        };
        let check = |check: &&ReportCheck| {
            let old = before.checks.iter().find(|old| old.label == check.label);
            check.outcome != Outcome::Waiting && old != Some(*check)
        };
        let tables = after.tables.iter().flat_map(|table| {
            let old = before.tables.iter().find(|old| old.name == table.name);
            cells(old, table)
        });
        Self {
            values: after.values.iter().filter(value).cloned().collect(),
            cells: tables.collect(),
            checks: after.checks.iter().filter(check).cloned().collect(),
        }
    }
}

/// The cells of a table that have become worked or have changed, row by row.
fn cells(old: Option<&ReportTable>, table: &ReportTable) -> Vec<(String, Cell)> {
    let mut found = Vec::new();
    for (number, row) in table.rows.iter().enumerate() {
        let old = old.and_then(|old| old.rows.get(number));
        for (index, (cell, column)) in row.cells.iter().zip(&table.columns).enumerate() {
            let old = old.and_then(|old| old.cells.get(index));
            if column.origin == Origin::Worked && is_new(old, cell) {
                found.push((format!("{}.{}, {}", table.name, column.name, row.label), cell.clone()));
            }
        }
    }
    found
}

/// Whether a value is worked, and was not before or came to something else.
fn is_new(old: Option<&Cell>, cell: &Cell) -> bool {
    let is_worked = |cell: &Cell| cell.waiting_on.is_empty() && !cell.shown.is_empty();
    is_worked(cell) && !old.is_some_and(|old| is_worked(old) && old.parts == cell.parts)
}
