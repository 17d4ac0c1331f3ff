//! One of the two worksheets that are compared: its things by their names.

use super::meant::meant;
use crate::checked::Checked;
use crate::checked::model::{Column, Expression, Origin, ShownIn, Slot, Table};
use crate::checked::needs::Need;
use crate::checked::types::Type;
use crate::quantity::Value;
use crate::report::Report;
use crate::report::build::Sheet;
use crate::report::data::{Cell, ReportValue};
use crate::report::figures::of_cell;
use crate::report::formula::spelt;
use crate::report::shown::{Shower, part_words};
use crate::report::why::places::Places;
use crate::syntax::tree;
use crate::worked::showing::Sizes;
use crate::worked::{Outcome, Worked};
use std::collections::HashMap;

/// One worksheet, its things by name.
pub struct Side<'a> {
    /// The checked sheet.
    pub checked: &'a Checked,
    /// The worked sheet.
    pub worked: &'a Worked,
    /// Its report.
    pub report: &'a Report,
    /// Where its things stand.
    pub places: Places<'a>,
    slots: HashMap<String, usize>,
    tables: HashMap<String, usize>,
    rows: Vec<HashMap<String, usize>>,
    values: HashMap<&'a str, &'a ReportValue>,
}

/// A formula in words.
pub struct Formula {
    /// As one would write it.
    pub spelt: String,
    /// The same for all formulas that mean the same.
    pub meant: String,
}

/// What a value has come to.
pub enum State<'a> {
    /// A value.
    Value(&'a Value),
    /// Readings.
    List(&'a [Outcome]),
    /// It waits on these.
    Waits(&'a [String]),
    /// It is in trouble itself.
    Trouble,
}

/// A value with all that tells whether another is the same.
pub struct Found<'a> {
    /// What it has come to.
    pub state: State<'a>,
    /// Its type.
    pub kind: &'a Type,
    /// What it is shown in.
    pub shown: &'a [ShownIn],
    /// How large the crew measures of its sheet are, and where its doubt comes from.
    pub sizes: Sizes<'a>,
    /// As it is printed.
    pub words: String,
}

impl<'a> Side<'a> {
    /// One of the two.
    pub fn new(sheet: &Sheet<'a>, report: &'a Report) -> Self {
        let checked = sheet.checked;
        let numbered =
            |names: Vec<String>| names.into_iter().enumerate().map(|(number, name)| (name, number)).collect();
        let labels = |table: &Table| table.rows.iter().map(|row| tree::key(&row.label)).collect();
        Self {
            checked,
            worked: sheet.worked,
            report,
            places: Places::of(sheet),
            slots: numbered(checked.slots.iter().map(|slot| tree::key(&slot.name)).collect()),
            tables: numbered(checked.tables.iter().map(|table| tree::key(&table.name)).collect()),
            rows: checked.tables.iter().map(|table| numbered(labels(table))).collect(),
            values: report.values.iter().map(|value| (value.name.as_str(), value)).collect(),
        }
    }

    /// Whether nothing of it could be worked.
    pub fn is_unworked(&self) -> bool {
        let is_empty =
            self.checked.slots.is_empty() && self.checked.tables.is_empty() && self.checked.checks.is_empty();
        is_empty && !self.report.troubles.is_empty()
    }

    /// What has the same name as a thing of the other side.
    pub fn same_name(&self, other: &Side<'_>, need: Need) -> Option<Need> {
        match need {
            Need::Slot(slot) => self.slot(&other.checked.slots.get(slot)?.name).map(Need::Slot),
            Need::Column(table, column) => {
                let (own, kind) = other.column(table, column)?;
                let (table, column) = self.column_named(&own.name, &kind.name)?;
                Some(Need::Column(table, column))
            }
            Need::Cell(table, column, row) => {
                let (own, kind) = other.column(table, column)?;
                let (table, column) = self.column_named(&own.name, &kind.name)?;
                Some(Need::Cell(table, column, self.row(table, &own.rows.get(row)?.label)?))
            }
        }
    }

    fn slot(&self, name: &str) -> Option<usize> {
        self.slots.get(&tree::key(name)).copied()
    }

    /// The table of that name.
    pub fn table(&self, name: &str) -> Option<usize> {
        self.tables.get(&tree::key(name)).copied()
    }

    /// The row of a table with that label.
    pub fn row(&self, table: usize, label: &str) -> Option<usize> {
        self.rows.get(table)?.get(&tree::key(label)).copied()
    }

    /// A table and one of its columns.
    pub fn column(&self, table: usize, column: usize) -> Option<(&'a Table, &'a Column)> {
        let own = self.checked.tables.get(table)?;
        Some((own, own.columns.get(column)?))
    }

    fn column_named(&self, table: &str, column: &str) -> Option<(usize, usize)> {
        let number = self.table(table)?;
        let columns = &self.checked.tables.get(number)?.columns;
        Some((number, columns.iter().position(|own| tree::key(&own.name) == tree::key(column))?))
    }

    /// What a thing is called.
    pub fn name(&self, need: Need) -> String {
        match need {
            Need::Slot(slot) => self.checked.slots.get(slot).map(|slot| slot.name.clone()).unwrap_or_default(),
            Need::Column(table, column) => self
                .column(table, column)
                .map(|(table, column)| format!("{}.{}", table.name, column.name))
                .unwrap_or_default(),
            Need::Cell(table, column, row) => {
                let label = self.checked.tables.get(table).and_then(|table| table.rows.get(row));
                let label = label.map_or("", |row| &row.label);
                format!("{}, {label}", self.name(Need::Column(table, column)))
            }
        }
    }

    /// Whether it is worked out, not written down.
    pub fn is_worked(&self, need: Need) -> bool {
        match need {
            Need::Slot(slot) => {
                self.checked.slots.get(slot).is_some_and(|slot| !matches!(slot.origin, Origin::Entered(_)))
            }
            Need::Column(table, column) | Need::Cell(table, column, _) => {
                self.column(table, column).is_some_and(|(_, column)| column.formula.is_some() || column.is_broken)
            }
        }
    }

    /// The formula of a result or column; none of what is written down.
    pub fn formula(&self, need: Need) -> Option<Formula> {
        match need {
            Need::Slot(slot) => match &self.checked.slots.get(slot)?.origin {
                Origin::Worked(formula) => Some(self.told(formula, None)),
                _ => None,
            },
            Need::Column(table, column) | Need::Cell(table, column, _) => {
                Some(self.told(self.column(table, column)?.1.formula.as_ref()?, Some(table)))
            }
        }
    }

    /// A formula or a condition as it is spelt and by what it means.
    pub fn told(&self, formula: &Expression, table: Option<usize>) -> Formula {
        let spelt = spelt(formula, &|place| self.places.text(place));
        Formula { spelt, meant: meant(formula, self.checked, table) }
    }

    /// What a slot or a cell has come to.
    pub fn found(&self, need: Need) -> Option<Found<'a>> {
        match need {
            Need::Slot(slot) => self.found_slot(slot, self.checked.slots.get(slot)?),
            Need::Cell(table, column, row) => self.found_cell(table, column, row),
            Need::Column(..) => None,
        }
    }

    fn found_slot(&self, slot: usize, own: &'a Slot) -> Option<Found<'a>> {
        let value = self.values.get(own.name.as_str());
        let outcome = self.worked.slots.get(slot)?;
        let state = match (self.worked.lists.get(&slot), outcome, value) {
            (_, _, None) => State::Trouble,
            (Some(list), _, _) => State::List(list),
            (None, Ok(value), _) => State::Value(value),
            (None, Err(_), Some(value)) => State::Waits(&value.cell.waiting_on),
        };
        let words = value.map_or_else(|| "in trouble".to_owned(), |value| cell_words(&value.cell, &own.name));
        Some(Found { state, kind: &own.kind, shown: &own.shown, sizes: self.sizes(), words })
    }

    fn found_cell(&self, table: usize, column: usize, row: usize) -> Option<Found<'a>> {
        let (own, kind) = self.column(table, column)?;
        let outcome = self.worked.columns.get(table)?.get(column)?.get(row)?;
        let line = self.places.line(own.place);
        let report = self.report.tables.iter().find(|table| table.name == own.name && table.line == line)?;
        let cell = report.rows.get(row)?.cells.get(column)?;
        let state = match outcome {
            Ok(value) => State::Value(value),
            Err(_) => State::Waits(&cell.waiting_on),
        };
        let words = cell_words(cell, &self.name(Need::Cell(table, column, row)));
        Some(Found { state, kind: &kind.kind, shown: &kind.shown, sizes: self.sizes(), words })
    }

    fn sizes(&self) -> Sizes<'a> {
        Sizes { checked: self.checked, slots: &self.worked.slots, sources: &self.worked.sources }
    }

    /// Puts values into figures.
    pub fn shower(&self) -> Shower<'a> {
        Shower::new(self.checked, self.worked)
    }
}

/// A value in the first unit that it is shown in, `±` and all; or what it waits on.
fn cell_words(cell: &Cell, name: &str) -> String {
    let figures = of_cell(cell, "", name);
    match figures.parts.first() {
        Some(part) if part.value == "waiting" => {
            figures.remarks.first().cloned().unwrap_or_else(|| part.value.to_string())
        }
        Some(part) => part_words(part),
        None => String::new(),
    }
}
