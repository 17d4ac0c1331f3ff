//! What a value rests on: the results, entries and cells that its formula takes, and those that these take in turn. Of
//! a long column only the first rows are gone into; how many more there are is kept.

use crate::checked::Checked;
use crate::checked::model::{Argument, Does, Expression, Function, Origin};
use crate::checked::needs::{self, Need};
use crate::worked::again::{Again, InRow};
use std::collections::{BTreeMap, BTreeSet};

/// So many rows of a column are gone into.
pub const MOST_ROWS: usize = 12;

/// What a value rests on.
#[derive(Debug, Default)]
pub struct Reach {
    /// Entries and results.
    pub slots: BTreeSet<usize>,
    /// Rows of columns: by table and column.
    pub cells: BTreeMap<(usize, usize), BTreeSet<usize>>,
    /// All rows of columns that the value rests on, where there are more than are gone into.
    all: BTreeMap<(usize, usize), BTreeSet<usize>>,
}

impl Reach {
    /// How many more rows of a column the value rests on than are gone into.
    pub fn more(&self, table: usize, column: usize) -> usize {
        let shown = self.cells.get(&(table, column)).map_or(0, BTreeSet::len);
        self.all.get(&(table, column)).map_or(0, |all| all.len().saturating_sub(shown))
    }
}

/// Goes from a value down to what was written down.
pub struct Reacher<'r, 'a> {
    checked: &'a Checked,
    again: &'r mut Again<'a>,
    reach: Reach,
    open: Vec<Need>,
}

impl<'r, 'a> Reacher<'r, 'a> {
    /// Begins with nothing reached.
    pub fn new(checked: &'a Checked, again: &'r mut Again<'a>) -> Self {
        Self { checked, again, reach: Reach::default(), open: Vec::new() }
    }

    /// What slots and cells rest on, themselves among it.
    pub fn of_values(mut self, values: impl IntoIterator<Item = Need>) -> Reach {
        values.into_iter().for_each(|value| self.meet(value));
        self.finish()
    }

    /// What a condition rests on.
    pub fn of_condition(mut self, condition: &Expression) -> Reach {
        self.formula(condition, None);
        self.finish()
    }

    fn finish(mut self) -> Reach {
        while let Some(need) = self.open.pop() {
            self.go_into(need);
        }
        self.spread();
        for (column, all) in &mut self.reach.all {
            all.extend(self.reach.cells.get(column).into_iter().flatten());
        }
        self.reach
    }

    /// A worked-out column of which rows are left out leaves out those rows of the columns that it is worked from.
    fn spread(&mut self) {
        let mut open: Vec<(usize, usize)> = self.reach.all.keys().copied().collect();
        while let Some((table, column)) = open.pop() {
            let own = self.checked.tables.get(table).and_then(|table| table.columns.get(column));
            let Some(formula) = own.and_then(|own| own.formula.as_ref()) else { continue };
            let all = self.reach.all.get(&(table, column)).cloned().unwrap_or_default();
            for cell in cells_of(formula) {
                let cells = self.reach.all.entry((table, cell)).or_default();
                let before = cells.len();
                cells.extend(&all);
                if cells.len() > before {
                    open.push((table, cell));
                }
            }
        }
    }

    fn meet(&mut self, need: Need) {
        let is_new = match need {
            Need::Slot(slot) => self.reach.slots.insert(slot),
            Need::Cell(table, column, row) => self.reach.cells.entry((table, column)).or_default().insert(row),
            Need::Column(table, column) => {
                let count = self.checked.tables.get(table).map_or(0, |table| table.rows.len());
                self.rows(table, column, &(0..count).collect::<Vec<_>>());
                false
            }
        };
        if is_new {
            self.open.push(need);
        }
    }

    /// The first rows of those taken of a column.
    fn rows(&mut self, table: usize, column: usize, rows: &[usize]) {
        rows.iter().take(MOST_ROWS).for_each(|row| self.meet(Need::Cell(table, column, *row)));
        if rows.len() > MOST_ROWS {
            self.reach.all.entry((table, column)).or_default().extend(rows);
        }
    }

    fn go_into(&mut self, need: Need) {
        let checked = self.checked;
        match need {
            Need::Slot(slot) => {
                if let Some(Origin::Worked(formula)) = checked.slots.get(slot).map(|slot| &slot.origin) {
                    self.formula(formula, None);
                }
            }
            Need::Cell(table, column, row) => {
                let own = checked.tables.get(table).and_then(|table| table.columns.get(column));
                if let Some(formula) = own.and_then(|own| own.formula.as_ref()) {
                    self.formula(formula, Some((table, row)));
                }
            }
            Need::Column(..) => {}
        }
        // Sizes of the crew's own measures stand in no formula.
        let is_measure = |need: &Need| match need {
            Need::Slot(slot) => checked.slots.get(*slot).is_some_and(|slot| slot.is_crew_measure),
            _ => false,
        };
        needs::of(checked, need).into_iter().filter(is_measure).for_each(|measure| self.meet(measure));
    }

    fn formula(&mut self, part: &Expression, row: InRow) {
        match &part.does {
            Does::Slot(slot) => self.meet(Need::Slot(*slot)),
            Does::Cell(column) | Does::OuterCell(column) => {
                if let Some((table, row)) = row {
                    self.meet(Need::Cell(table, *column, row));
                }
            }
            Does::Column(table, column) => self.meet(Need::Column(*table, *column)),
            Does::Call(function, arguments) => {
                arguments.iter().for_each(|argument| self.argument(part, *function, argument, row));
            }
            Does::If(condition, then, otherwise) => {
                self.formula(condition, row);
                // The branch that was not taken has no part in the value.
                match self.again.holds(condition, row) {
                    Some(true) => self.formula(then, row),
                    Some(false) => self.formula(otherwise, row),
                    None => [then, otherwise].into_iter().for_each(|branch| self.formula(branch, row)),
                }
            }
            _ => part.each_part(&mut |inner| self.formula(inner, row)),
        }
    }

    fn argument(&mut self, call: &Expression, function: Function, argument: &Argument, row: InRow) {
        let Does::Column(table, column) = argument.value.does else { return self.formula(&argument.value, row) };
        if let Some(choice) = &argument.choice {
            // Left stand cells of the rows chosen from; right what they are compared with.
            let slots = needs::of_choice(choice, table, &|cell| row.map(|(table, row)| Need::Cell(table, cell, row)));
            slots.into_iter().filter(|need| !matches!(need, Need::Column(..))).for_each(|need| self.meet(need));
        }
        let taken = match function {
            Function::Pick => picked(self.checked, self.again, call, row).map(|row| vec![row]),
            _ => self.again.rows(argument, row),
        };
        match taken {
            Some(rows) => self.rows(table, column, &rows),
            None => self.meet(Need::Column(table, column)),
        }
    }
}

/// The row that `pick` takes.
pub fn picked(checked: &Checked, again: &mut Again<'_>, call: &Expression, row: InRow) -> Option<usize> {
    let Does::Call(Function::Pick, arguments) = &call.does else { return None };
    let [column, label] = arguments.as_slice() else { return None };
    let Does::Column(table, _) = column.value.does else { return None };
    let crate::quantity::Value::Text(wanted) = again.part(&label.value, row).ok()? else { return None };
    let wanted = wanted.to_lowercase();
    checked.tables.get(table)?.rows.iter().position(|row| row.label.to_lowercase() == wanted)
}

/// The columns whose cell of the same row a formula takes.
fn cells_of(formula: &Expression) -> impl Iterator<Item = usize> {
    let columns = needs::of_formula(formula, &|cell| Some(Need::Cell(0, cell, 0)));
    columns.into_iter().filter_map(|need| if let Need::Cell(_, cell, _) = need { Some(cell) } else { None })
}
