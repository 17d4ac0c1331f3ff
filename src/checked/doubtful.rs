//! Which values can come to have a doubt, told before any number is known: so that a column for a `±` stands where one
//! may be needed and nowhere else.

use super::model::{Argument, Checked, Does, End, Expression, Function, Node, Origin, WrittenValue};
use super::types::Type;
use crate::units::Unit;

/// The values of a sheet that can have a doubt.
#[derive(Debug, Default)]
pub struct Doubtful {
    slots: Vec<bool>,
    columns: Vec<Vec<bool>>,
}

impl Doubtful {
    /// Of a sheet of which columns of data give some entries: a cell may say a `±`.
    pub fn of(checked: &Checked, given: &[usize]) -> Self {
        let columns = checked.tables.iter().map(|table| vec![false; table.columns.len()]).collect();
        let mut doubtful = Self { slots: vec![false; checked.slots.len()], columns };
        for node in &checked.order {
            match *node {
                Node::Slot(slot) => {
                    let own = given.contains(&slot) && is_number(checked, slot) || doubtful.own_slot(checked, slot);
                    if let Some(place) = doubtful.slots.get_mut(slot) {
                        *place = own;
                    }
                }
                Node::Column(table, column) => {
                    let own = doubtful.own_column(checked, table, column);
                    if let Some(place) = doubtful.columns.get_mut(table).and_then(|table| table.get_mut(column)) {
                        *place = own;
                    }
                }
            }
        }
        doubtful
    }

    /// Whether a slot's value can.
    pub fn slot(&self, slot: usize) -> bool {
        self.slots.get(slot).copied().unwrap_or_default()
    }

    /// Whether what is shown of it can: counted in a crew measure it has the doubt of that.
    pub fn is_shown(&self, checked: &Checked, slot: usize) -> bool {
        let mut units = checked.slots.get(slot).into_iter().flat_map(|slot| &slot.shown);
        self.slot(slot) || units.any(|shown| self.unit(checked, &shown.unit))
    }

    fn column(&self, table: usize, column: usize) -> bool {
        self.columns.get(table).and_then(|table| table.get(column)).copied().unwrap_or_default()
    }

    fn own_slot(&self, checked: &Checked, slot: usize) -> bool {
        match checked.slots.get(slot).map(|slot| &slot.origin) {
            Some(Origin::Entered(written)) => self.written(checked, &written.value),
            Some(Origin::Worked(expression)) => self.formula(checked, expression, None),
            _ => false,
        }
    }

    fn own_column(&self, checked: &Checked, table: usize, column: usize) -> bool {
        let Some((own, kind)) = checked.column(table, column) else { return false };
        match &kind.formula {
            Some(formula) => self.formula(checked, formula, Some(table)),
            None => {
                let cells = own.rows.iter().filter_map(|row| row.cells.get(column)?.as_ref());
                kind.doubt.is_some() || cells.into_iter().any(|cell| self.written(checked, &cell.value))
            }
        }
    }

    /// A `±` of its own, or that of a crew measure it is counted in; what another worksheet has may have one.
    fn written(&self, checked: &Checked, value: &WrittenValue) -> bool {
        let crew = |words: &[(u16, i16)]| words.iter().any(|(word, _)| self.crew_word(checked, *word));
        let end = |end: &End| end.doubt.is_some() || crew(&end.crew);
        match value {
            WrittenValue::Number(number) => end(number),
            WrittenValue::Range(low, high) => low.iter().chain(high).any(end),
            WrittenValue::Readings(_, doubt, words) => doubt.is_some() || crew(words),
            WrittenValue::Given(_) => true,
            WrittenValue::Text(_) | WrittenValue::Date(_) | WrittenValue::YesNo(_) | WrittenValue::Blank(_) => false,
        }
    }

    fn unit(&self, checked: &Checked, unit: &Unit) -> bool {
        unit.crew_words().any(|(word, _)| self.crew_word(checked, word))
    }

    fn crew_word(&self, checked: &Checked, word: u16) -> bool {
        checked.crew_slots.get(usize::from(word)).copied().flatten().is_some_and(|slot| self.slot(slot))
    }

    /// What is shown in a crew measure is so many of them, each as sure as its size.
    fn shown(&self, checked: &Checked, value: &Expression, table: Option<usize>) -> bool {
        let shown = match value.does {
            Does::Slot(slot) => checked.slots.get(slot).and_then(|slot| slot.shown.first()),
            Does::Cell(column) => {
                table.and_then(|table| checked.column(table, column)).and_then(|(_, column)| column.shown.first())
            }
            _ => None,
        };
        shown.is_some_and(|shown| self.unit(checked, &shown.unit))
    }

    /// A formula, in a column that of a row of its table.
    fn formula(&self, checked: &Checked, formula: &Expression, table: Option<usize>) -> bool {
        match &formula.does {
            Does::Slot(slot) => self.slot(*slot),
            Does::Column(table, column) => self.column(*table, *column),
            Does::Cell(column) | Does::OuterCell(column) => table.is_some_and(|table| self.column(table, *column)),
            Does::If(_, then, otherwise) => {
                self.formula(checked, then, table) || self.formula(checked, otherwise, table)
            }
            Does::Call(Function::Shown, arguments) => {
                arguments.first().is_some_and(|argument| self.shown(checked, &argument.value, table))
            }
            Does::Call(function, arguments) => {
                let own = |own: &Argument| self.formula(checked, &own.value, table);
                let arguments: Vec<bool> = arguments.iter().map(own).collect();
                of_call(*function, &arguments)
            }
            _ => {
                let mut own = false;
                formula.each_part(&mut |part| own |= self.formula(checked, part, table));
                own
            }
        }
    }
}

fn is_number(checked: &Checked, slot: usize) -> bool {
    checked.slots.get(slot).is_some_and(|slot| matches!(slot.kind.each(), Type::Number(_)))
}

/// Of a function, by its arguments. A rounded value is exact but for its step; a mean has the doubt of its scatter.
fn of_call(function: Function, arguments: &[bool]) -> bool {
    match function {
        Function::Mean | Function::Median => true,
        Function::Count
        | Function::Sd
        | Function::Cv
        | Function::Spread
        | Function::GiveOrTake
        | Function::StandardUncertainty
        | Function::DegreesOfFreedom => false,
        Function::Round | Function::RoundUp | Function::RoundDown => arguments.get(1).copied().unwrap_or_default(),
        _ => arguments.contains(&true),
    }
}
