//! Formulas by what they mean, for telling whether two mean the same: names by their keys, numbers by their size, spaces
//! and brackets aside. It is never printed.

use crate::checked::Checked;
use crate::checked::model::{Argument, Does, Expression};
use crate::checked::types::Type;
use crate::report::formula::{Parts, Words, written};
use crate::syntax::tree;

/// What a formula means; two that mean the same give the same text. `table` is the one whose rows it is worked for.
pub fn meant(formula: &Expression, checked: &Checked, table: Option<usize>) -> String {
    written(formula, &mut Meant { checked, table, outer: None }).text
}

struct Meant<'a> {
    checked: &'a Checked,
    /// The table whose cells are named.
    table: Option<usize>,
    /// The table whose row the formula is worked for, in a choice of another's rows.
    outer: Option<usize>,
}

impl Meant<'_> {
    fn column(&self, table: Option<usize>, column: usize) -> String {
        let own = table.and_then(|table| self.checked.tables.get(table));
        let kind = own.and_then(|own| own.columns.get(column));
        let (table, column) = (own.map_or("", |own| &own.name), kind.map_or("", |kind| &kind.name));
        format!("{}.{}", tree::key(table), tree::key(column))
    }

    /// A number to fourteen digits, with what it measures and is of.
    fn number(&self, value: f64, kind: &Type) -> String {
        let Type::Number(own) = kind else { return format!("{value:.13e}") };
        let label = |label: Option<&crate::units::Substance>| label.map(ToString::to_string).unwrap_or_default();
        let labels = (label(own.labels.only_above()), label(own.labels.only_below()));
        let bases = self.checked.bases(&own.dimension);
        format!("{value:.13e} {:?} of {} per {}", bases, labels.0, labels.1)
    }
}

impl Parts for Meant<'_> {
    fn part(&mut self, part: &Expression) -> Option<Words> {
        let text = match &part.does {
            Does::Number(number) => self.number(number.value, &part.kind),
            Does::Text(text) => format!("\"{}\"", text.to_lowercase()),
            Does::Date(moment) => moment.to_string(),
            Does::YesNo(yes) => yes.to_string(),
            Does::Today => "today".to_owned(),
            Does::Slot(slot) => self.checked.slots.get(*slot).map(|slot| tree::key(&slot.name)).unwrap_or_default(),
            Does::Cell(column) => self.column(self.table, *column),
            Does::OuterCell(column) => self.column(self.outer, *column),
            Does::Column(table, column) => self.column(Some(*table), *column),
            Does::RowLabel => "row".to_owned(),
            _ => return None,
        };
        Some(Words::whole(text))
    }

    fn argument(&mut self, _: &Expression, argument: &Argument) -> String {
        let value = written(&argument.value, self).text;
        let (Some(choice), Does::Column(table, _)) = (&argument.choice, &argument.value.does) else { return value };
        let mut within = Meant { checked: self.checked, table: Some(*table), outer: self.table };
        format!("{value} where {}", written(choice, &mut within).text)
    }
}
