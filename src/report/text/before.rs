//! What values, cells and checks were in an earlier report of the same worksheet, where they now are shown otherwise.

use crate::report::data::{Cell, Outcome, Report, ReportCheck, ReportRow, ReportTable, ReportValue};
use crate::report::figures::{outcome_word, with_doubt};

/// An earlier report.
#[derive(Clone, Copy)]
pub(super) struct Before<'a>(pub(super) &'a Report);

impl Before<'_> {
    /// Whether any entry or result is shown otherwise now.
    pub(super) fn has_other_values(&self, now: &Report) -> bool {
        now.values.iter().any(|value| self.value(value).is_some())
    }

    /// What a value was, in figures; with its unit where that was another.
    pub(super) fn value(&self, now: &ReportValue) -> Option<String> {
        let was = self.0.values.iter().find(|was| was.name == now.name)?;
        differs(&was.cell, &now.cell).then(|| said(&was.cell, &now.cell))
    }

    /// What cells of a row were: each with the name of its column.
    pub(super) fn row(&self, table: &ReportTable, now: &ReportRow) -> Vec<String> {
        let Some(own) = self.0.tables.iter().find(|own| own.name == table.name) else { return Vec::new() };
        let Some(was) = own.rows.iter().find(|was| was.label == now.label) else { return Vec::new() };
        let cell = |name: &str| {
            let place = own.columns.iter().position(|column| column.name == name)?;
            was.cells.get(place)
        };
        let named = table.columns.iter().zip(&now.cells);
        let changed = named.filter_map(|(column, now)| {
            let was = cell(&column.name)?;
            differs(was, now).then(|| format!("{} was {}", column.name, said(was, now)))
        });
        changed.collect()
    }

    /// How a check came out, and what it compared.
    pub(super) fn check(&self, now: &ReportCheck) -> Option<String> {
        let was = self.0.checks.iter().find(|was| was.label == now.label)?;
        let compared = if was.outcome == Outcome::Waiting { String::new() } else { format!(": {}", was.compared) };
        let is_other = was.outcome != now.outcome || was.compared != now.compared;
        is_other.then(|| format!("was {}{compared}", outcome_word(was.outcome)))
    }
}

/// Whether two cells are shown otherwise; of one that waits, that is all there is to show.
fn differs(was: &Cell, now: &Cell) -> bool {
    let waits = |cell: &Cell| !cell.waiting_on.is_empty();
    waits(was) != waits(now) || !waits(now) && (was.parts != now.parts || was.shown != now.shown)
}

fn said(was: &Cell, now: &Cell) -> String {
    if !was.waiting_on.is_empty() {
        return "waiting".to_owned();
    }
    let unit = |cell: &Cell| cell.parts.first().map(|part| part.unit.clone()).unwrap_or_default();
    match was.parts.first() {
        Some(part) if unit(was) != unit(now) => format!("{} {}", with_doubt(part), part.unit).trim_end().to_owned(),
        Some(part) => with_doubt(part).into(),
        None => was.shown.to_string(),
    }
}
