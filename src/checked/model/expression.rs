//! Formulas settled: what each part does, and its type.

use super::functions::Function;
use crate::checked::types::Type;
use crate::quantity::{Measured, Moment};
use crate::syntax::tree::{Operator, Relation};
use crate::text::Place;
use std::sync::Arc;

/// A formula, settled.
#[derive(Debug, Clone)]
pub struct Expression {
    /// Where.
    pub place: Place,
    /// Its type.
    pub kind: Type,
    /// What it does.
    pub does: Does,
}

/// What an expression does.
#[derive(Debug, Clone)]
pub enum Does {
    /// A number in SI units, without doubt.
    Number(Measured),
    /// Text.
    Text(String),
    /// A date.
    Date(Moment),
    /// `yes` or `no`.
    YesNo(bool),
    /// `today`
    Today,
    /// A slot's value.
    Slot(usize),
    /// The cell of this row in a column of the same table.
    Cell(usize),
    /// The cell, in that column, of the row a formula is worked for, seen from a choice of another table's rows.
    OuterCell(usize),
    /// A whole column of a table.
    Column(usize, usize),
    /// The label of this row, in a choice of rows.
    RowLabel,
    /// `-a`
    Negative(Box<Expression>),
    /// `a + b`
    Arithmetic(Operator, Box<Expression>, Box<Expression>),
    /// `10 % of x`
    Share(Box<Expression>, Box<Expression>),
    /// `1 to 3 mph`: a range of two single values, with the number that marks it as one.
    To(Box<Expression>, Box<Expression>),
    /// A function.
    Call(Function, Vec<Argument>),
    /// `if a then b else c`
    If(Box<Expression>, Box<Expression>, Box<Expression>),
    /// `a at most b`
    Comparison(Relation, Box<Expression>, Box<Expression>),
    /// `x within a to b`
    WithinRange(Box<Expression>, Box<Expression>),
    /// `x within d of y`
    WithinDistance(Box<Expression>, Box<Expression>, Box<Expression>),
    /// `x within 10 % of y`
    WithinShare(Box<Expression>, Box<Expression>, Box<Expression>),
    /// `not a`
    Not(Box<Expression>),
    /// `a and b`
    Both(Box<Expression>, Box<Expression>),
    /// `a or b`
    Either(Box<Expression>, Box<Expression>),
}

/// What the values of a mean are called, and their scatter: `passes.flow`, `scatter of passes.flow`.
#[derive(Debug, Clone)]
pub struct Repeats {
    /// The values.
    pub values: Arc<str>,
    /// Their scatter.
    pub scatter: Arc<str>,
}

impl Repeats {
    /// By what the values are called.
    pub fn of(values: &str) -> Self {
        Self { values: values.into(), scatter: format!("scatter of {values}").into() }
    }
}

/// An argument of a function.
#[derive(Debug, Clone)]
pub struct Argument {
    /// Its value.
    pub value: Expression,
    /// The choice of rows: its condition, which is worked row by row.
    pub choice: Option<Box<Expression>>,
    /// What its values are called, where a mean or median takes them.
    pub repeats: Option<Repeats>,
}

impl Expression {
    /// Calls back with each direct part.
    pub fn each_part<'e>(&'e self, call: &mut dyn FnMut(&'e Self)) {
        match &self.does {
            Does::Number(_)
            | Does::Text(_)
            | Does::Date(_)
            | Does::YesNo(_)
            | Does::Today
            | Does::Slot(_)
            | Does::Cell(_)
            | Does::OuterCell(_)
            | Does::Column(..)
            | Does::RowLabel => {}
            Does::Negative(inner) | Does::Not(inner) => call(inner),
            Does::Arithmetic(_, left, right)
            | Does::Share(left, right)
            | Does::To(left, right)
            | Does::Comparison(_, left, right)
            | Does::WithinRange(left, right)
            | Does::Both(left, right)
            | Does::Either(left, right) => {
                call(left);
                call(right);
            }
            Does::If(first, second, third)
            | Does::WithinDistance(first, second, third)
            | Does::WithinShare(first, second, third) => {
                call(first);
                call(second);
                call(third);
            }
            Does::Call(_, arguments) => {
                for argument in arguments {
                    call(&argument.value);
                    argument.choice.iter().for_each(|choice| call(choice));
                }
            }
        }
    }
}
