//! Statements that were read where they stood before, moved to where they stand now: the same tree, each place as many
//! bytes further on.

use super::tree::{
    Amount, Argument, Chart, Check, Column, ColumnKind, Display, Doubt, FileName, Formula, FormulaKind, Head, Item,
    Literal, LiteralKind, Measure, Name, Part, Promise, RowsFrom, Statement, StatementKind, Term, Unit,
};
use crate::text::Place;
use crate::trouble::Trouble;

/// Something with places in it.
pub(super) trait Moved {
    /// Moves each of its places by so many bytes; `by` counts round, so that it can lead backwards.
    fn move_on(&mut self, by: u32);
}

impl Moved for Place {
    fn move_on(&mut self, by: u32) {
        self.start = self.start.wrapping_add(by);
        self.end = self.end.wrapping_add(by);
    }
}

impl<T: Moved> Moved for Vec<T> {
    fn move_on(&mut self, by: u32) {
        self.iter_mut().for_each(|part| part.move_on(by));
    }
}

impl<T: Moved> Moved for Option<T> {
    fn move_on(&mut self, by: u32) {
        self.iter_mut().for_each(|part| part.move_on(by));
    }
}

impl<T: Moved> Moved for Box<T> {
    fn move_on(&mut self, by: u32) {
        self.as_mut().move_on(by);
    }
}

impl<T: Moved, E: Moved> Moved for Result<T, E> {
    fn move_on(&mut self, by: u32) {
        match self {
            Ok(read) => read.move_on(by),
            Err(trouble) => trouble.move_on(by),
        }
    }
}

impl<A: Moved, B: Moved> Moved for (A, B) {
    fn move_on(&mut self, by: u32) {
        self.0.move_on(by);
        self.1.move_on(by);
    }
}

/// Moves the parts of something that have places, each by its name.
macro_rules! moved {
    ($($kind:ty: $($part:ident),+;)+) => {
        $(impl Moved for $kind {
            fn move_on(&mut self, by: u32) {
                $(self.$part.move_on(by);)+
            }
        })+
    };
}

moved! {
    Trouble: place, beside;
    Statement: place, kind;
    Name: place;
    Check: condition;
    Chart: ys, xs;
    Head: name, rows_from, columns;
    RowsFrom: file, table;
    Column: place, name, kind;
    Literal: place, kind;
    Item: place, amount, doubt, upper;
    Amount: place, parts;
    Part: place, unit;
    Unit: place, terms;
    Term: place, words_place, label;
    Doubt: place, amount;
    Promise: place, displays;
    Display: place, measures;
    Measure: place, unit;
    Formula: place, kind;
    Argument: value, choice;
}

impl Moved for FileName {
    fn move_on(&mut self, by: u32) {
        self.place.move_on(by);
        self.pinned.iter_mut().for_each(|(place, _)| place.move_on(by));
    }
}

impl Moved for StatementKind {
    fn move_on(&mut self, by: u32) {
        match self {
            Self::Title(_) | Self::Section(_) | Self::Note(_) | Self::Caution(_) => {}
            Self::Entry(name, literal) => {
                name.move_on(by);
                literal.move_on(by);
            }
            Self::Result(name, formula, promise) => {
                name.move_on(by);
                formula.move_on(by);
                promise.move_on(by);
            }
            Self::Draw(name, file) => {
                name.move_on(by);
                file.move_on(by);
            }
            Self::Fills(file) => file.move_on(by),
            Self::Check(check) => check.move_on(by),
            Self::Crew(name, size) => {
                name.move_on(by);
                size.move_on(by);
            }
            Self::Head(head) => head.move_on(by),
            Self::Row(cells) => cells.move_on(by),
            Self::Chart(chart) => chart.move_on(by),
        }
    }
}

impl Moved for ColumnKind {
    fn move_on(&mut self, by: u32) {
        match self {
            Self::Entered(unit, doubt) => {
                unit.move_on(by);
                doubt.move_on(by);
            }
            Self::Other(_) => {}
            Self::Worked(formula, promise) => {
                formula.move_on(by);
                promise.move_on(by);
            }
        }
    }
}

impl Moved for LiteralKind {
    fn move_on(&mut self, by: u32) {
        match self {
            Self::Text(_) | Self::Date(_) | Self::YesNo(_) | Self::Blank(_) => {}
            Self::Open(_, item) => item.move_on(by),
            Self::Items(items) => items.move_on(by),
        }
    }
}

impl Moved for FormulaKind {
    fn move_on(&mut self, by: u32) {
        match self {
            Self::Text(_) | Self::Date(_) => {}
            Self::Amount(amount) => amount.move_on(by),
            Self::Name(name) => name.move_on(by),
            Self::Member(name, member) => {
                name.move_on(by);
                member.move_on(by);
            }
            Self::Call(name, arguments) => {
                name.move_on(by);
                arguments.move_on(by);
            }
            Self::Negative(inner) | Self::Not(inner) => inner.move_on(by),
            Self::Arithmetic(_, left, right)
            | Self::Comparison(_, left, right)
            | Self::Both(left, right)
            | Self::Either(left, right)
            | Self::To(left, right)
            | Self::Share(left, right)
            | Self::WithinRange(left, right) => {
                left.move_on(by);
                right.move_on(by);
            }
            Self::WithinDistance(first, second, third) | Self::If(first, second, third) => {
                first.move_on(by);
                second.move_on(by);
                third.move_on(by);
            }
        }
    }
}
