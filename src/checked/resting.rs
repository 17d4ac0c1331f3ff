//! Which values rest on the day that `today` is taken to be: by their own formulas, or by what they are worked from.

use super::model::{Checked, Does, Expression, Node, Origin, Written, WrittenValue};
use super::needs::{self, Need};

/// The values of a sheet that rest on `today`.
#[derive(Debug, Default)]
pub struct Resting {
    slots: Vec<bool>,
    columns: Vec<Vec<bool>>,
}

impl Resting {
    /// Of a sheet; where nothing asks for `today` there is nothing to go through.
    pub fn of(checked: &Checked) -> Self {
        if !checked.asks_today {
            return Self::default();
        }
        let columns = checked.tables.iter().map(|table| vec![false; table.columns.len()]).collect();
        let mut resting = Self { slots: vec![false; checked.slots.len()], columns };
        for node in &checked.order {
            match *node {
                Node::Slot(slot) => {
                    let own = resting.own_slot(checked, slot);
                    resting.slots.iter_mut().skip(slot).take(1).for_each(|place| *place = own);
                }
                Node::Column(table, column) => {
                    let own = resting.own_column(checked, table, column);
                    let columns = resting.columns.get_mut(table).into_iter().flatten();
                    columns.skip(column).take(1).for_each(|place| *place = own);
                }
            }
        }
        resting
    }

    /// Whether a slot's value does.
    pub fn slot(&self, slot: usize) -> bool {
        self.slots.get(slot).copied().unwrap_or_default()
    }

    /// Whether some cell of a column does.
    pub fn column(&self, table: usize, column: usize) -> bool {
        self.columns.get(table).and_then(|table| table.get(column)).copied().unwrap_or_default()
    }

    fn own_slot(&self, checked: &Checked, slot: usize) -> bool {
        match checked.slots.get(slot).map(|slot| &slot.origin) {
            Some(Origin::Entered(written)) => is_given_so(written),
            Some(Origin::Worked(formula)) => self.formula(formula, None),
            _ => false,
        }
    }

    fn own_column(&self, checked: &Checked, table: usize, column: usize) -> bool {
        let Some((own, kind)) = checked.column(table, column) else { return false };
        match &kind.formula {
            Some(formula) => self.formula(formula, Some(table)),
            None => own.rows.iter().filter_map(|row| row.cells.get(column)?.as_ref()).any(is_given_so),
        }
    }

    fn formula(&self, formula: &Expression, table: Option<usize>) -> bool {
        let cell = |column: usize| table.map(|table| Need::Column(table, column));
        names_today(formula)
            || needs::of_formula(formula, &cell).into_iter().any(|need| match need {
                Need::Slot(slot) => self.slot(slot),
                Need::Column(table, column) | Need::Cell(table, column, _) => self.column(table, column),
            })
    }
}

/// Whether a value from elsewhere rests on `today` there.
fn is_given_so(written: &Written) -> bool {
    matches!(&written.value, WrittenValue::Given(given) if given.rests_on_today)
}

fn names_today(part: &Expression) -> bool {
    let mut names = matches!(part.does, Does::Today);
    part.each_part(&mut |inner| names |= names_today(inner));
    names
}
