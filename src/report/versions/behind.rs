//! What is behind a difference: of all that differs by itself, what the differing value depends on, in the new worksheet
//! or in the old one.

use super::side::Side;
use crate::checked::model::Expression;
use crate::checked::needs::{self, Need};
use std::collections::BTreeSet;

/// So many cells of one column are named; more are counted.
const MOST_CELLS: usize = 3;

/// So many things are named behind a difference; more are counted.
const MOST_NAMED: usize = 8;

/// What differs by itself on one side.
#[derive(Debug, Default)]
pub struct Causes {
    /// Entries and cells that differ, or that the other side does not have.
    pub entries: BTreeSet<Need>,
    /// Results and columns whose formula differs.
    pub formulas: BTreeSet<Need>,
    /// Columns whose device's `±` differs.
    pub devices: BTreeSet<Need>,
    /// Rows that the other side does not have: table and row.
    pub rows: BTreeSet<(usize, usize)>,
}

/// The names of what is behind a difference, those of the new side first.
pub fn behind(sides: [(&Side<'_>, &Causes, BTreeSet<Need>); 2]) -> Vec<String> {
    let mut names: Vec<String> = Vec::new();
    for (side, causes, reached) in sides {
        for name in causes.within(side, &reached) {
            if !names.contains(&name) {
                names.push(name);
            }
        }
    }
    if names.len() > MOST_NAMED {
        let more = names.len() - MOST_NAMED;
        names.truncate(MOST_NAMED);
        names.push(format!("{more} more"));
    }
    names
}

/// Everything that a value needs, itself among it.
pub fn of_value(side: &Side<'_>, need: Option<Need>) -> BTreeSet<Need> {
    needs::all(side.checked, need)
}

/// Everything that a condition needs.
pub fn of_condition(side: &Side<'_>, condition: Option<&Expression>) -> BTreeSet<Need> {
    let needs = condition.map(|condition| needs::of_formula(condition, &|_| None)).unwrap_or_default();
    needs::all(side.checked, needs)
}

impl Causes {
    fn within(&self, side: &Side<'_>, reached: &BTreeSet<Need>) -> Vec<String> {
        let mut names = Vec::new();
        for need in reached {
            match *need {
                Need::Slot(_) => names.extend(self.entries.contains(need).then(|| side.name(*need))),
                Need::Cell(table, column, _) => {
                    // What of a whole column differs is told below.
                    if !reached.contains(&Need::Column(table, column)) {
                        names.extend(self.entries.contains(need).then(|| side.name(*need)));
                        names.extend(self.of_column(side, Need::Column(table, column)));
                    }
                }
                Need::Column(table, column) => {
                    names.extend(self.cells(side, table, column));
                    names.extend(self.of_column(side, *need));
                }
            }
            names.extend(self.formulas.contains(need).then(|| formula_of(side, *need)));
        }
        let tables: BTreeSet<usize> = reached
            .iter()
            .filter_map(|need| if let Need::Column(table, _) = need { Some(*table) } else { None })
            .collect();
        tables.into_iter().for_each(|table| names.extend(self.rows(side, table)));
        names
    }

    /// What belongs to a column as a whole: its formula, the `±` in its head.
    fn of_column(&self, side: &Side<'_>, column: Need) -> Vec<String> {
        let formula = self.formulas.contains(&column).then(|| formula_of(side, column));
        let device = self.devices.contains(&column).then(|| format!("the ± of {}", side.name(column)));
        formula.into_iter().chain(device).collect()
    }

    fn cells(&self, side: &Side<'_>, table: usize, column: usize) -> Vec<String> {
        let all = Need::Cell(table, column, 0)..=Need::Cell(table, column, usize::MAX);
        let cells: Vec<&Need> = self.entries.range(all).collect();
        if cells.len() > MOST_CELLS {
            return vec![format!("{} ({} cells)", side.name(Need::Column(table, column)), cells.len())];
        }
        cells.into_iter().map(|cell| side.name(*cell)).collect()
    }

    fn rows(&self, side: &Side<'_>, table: usize) -> Vec<String> {
        let Some(own) = side.checked.tables.get(table) else { return Vec::new() };
        let rows: Vec<usize> = self.rows.range((table, 0)..=(table, usize::MAX)).map(|(_, row)| *row).collect();
        if rows.len() > MOST_CELLS {
            return vec![format!("{} rows of {}", rows.len(), own.name)];
        }
        let label = |row: usize| own.rows.get(row).map(|row| format!("row {} of {}", row.label, own.name));
        rows.into_iter().filter_map(label).collect()
    }
}

fn formula_of(side: &Side<'_>, need: Need) -> String {
    format!("the formula of {}", side.name(need))
}
