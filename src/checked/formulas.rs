//! Formulas settled: names found, dimensions and labels checked, all before a number is known.

mod arithmetic;
mod comparisons;
mod operands;

use super::calls;
use super::literals::described;
use super::model::{Does, Expression, Remark};
use super::scope::Scope;
use super::types::{NumberType, Type};
use crate::syntax::tree::{Formula, FormulaKind, Operator};
use crate::text::Place;
use crate::trouble::{Kind, Trouble};

/// Settles formulas in one scope, collecting what is wrong with them.
pub struct Typing<'a> {
    /// What names mean here.
    pub scope: Scope<'a>,
    /// What is wrong.
    pub troubles: Vec<Trouble>,
    /// What the engine noticed.
    pub remarks: Vec<Remark>,
    /// Whether `today` is asked for.
    pub asks_today: bool,
}

impl<'a> Typing<'a> {
    /// Begins in a scope.
    pub fn new(scope: Scope<'a>) -> Self {
        Self { scope, troubles: Vec::new(), remarks: Vec::new(), asks_today: false }
    }

    /// Notes a trouble, and gives what stands in the place of what could not be settled.
    pub fn refuse(&mut self, place: Place, kind: Kind) -> Expression {
        self.troubles.push(Trouble::new(place, kind));
        unknown(place)
    }

    /// Settles a formula that may come to anything.
    pub fn formula(&mut self, formula: &Formula) -> Expression {
        let place = formula.place;
        match &formula.kind {
            FormulaKind::Amount(amount) => self.amount(amount, None),
            FormulaKind::Text(text) => Expression { place, kind: Type::Text, does: Does::Text(text.clone()) },
            FormulaKind::Date(moment) => {
                Expression { place, kind: Type::Date { hour: moment.has_hour() }, does: Does::Date(*moment) }
            }
            FormulaKind::Name(name) => self.name(name),
            FormulaKind::Member(table, member) => self.member(table, member),
            FormulaKind::Call(function, arguments) => calls::call(self, place, function, arguments),
            FormulaKind::Negative(inner) => self.negative(place, inner),
            FormulaKind::Not(inner) => {
                let inner = self.condition(inner);
                yes_no(place, Does::Not(Box::new(inner)))
            }
            FormulaKind::Arithmetic(operator, left, right) => self.arithmetic(place, *operator, left, right),
            FormulaKind::Comparison(relation, left, right) => self.comparison(place, *relation, left, right),
            FormulaKind::Both(left, right) => {
                let (left, right) = (self.condition(left), self.condition(right));
                yes_no(place, Does::Both(Box::new(left), Box::new(right)))
            }
            FormulaKind::Either(left, right) => {
                let (left, right) = (self.condition(left), self.condition(right));
                yes_no(place, Does::Either(Box::new(left), Box::new(right)))
            }
            FormulaKind::To(low, high) => self.to(place, low, high),
            FormulaKind::Share(share, whole) => self.share(place, share, whole),
            FormulaKind::WithinRange(value, range) => self.within_range(place, value, range),
            FormulaKind::WithinDistance(value, amount, base) => self.within_distance(place, value, amount, base),
            FormulaKind::If(condition, then, otherwise) => self.choose(place, condition, then, otherwise),
        }
    }

    /// Settles a formula that must come to yes or no.
    pub fn condition(&mut self, formula: &Formula) -> Expression {
        let settled = self.formula(formula);
        match settled.kind {
            Type::YesNo | Type::Unknown => settled,
            ref other => {
                let found = self.describe(other);
                self.refuse(formula.place, Kind::NoCondition { found })
            }
        }
    }

    /// Settles a formula that must come to one number (or range), not to several.
    pub fn one_number(&mut self, formula: &Formula) -> Option<(Expression, NumberType)> {
        let settled = self.formula(formula);
        self.as_one_number(settled)
    }

    /// Takes a settled formula as one number, or notes why it is none.
    pub fn as_one_number(&mut self, settled: Expression) -> Option<(Expression, NumberType)> {
        match &settled.kind {
            Type::Number(number) => {
                let number = number.clone();
                Some((settled, number))
            }
            Type::Unknown => None,
            Type::Several(_) => {
                self.refuse_several(&settled);
                None
            }
            other => {
                let found = self.describe(other);
                self.refuse(settled.place, Kind::NoNumber { found });
                None
            }
        }
    }

    /// `catch has 3 readings; write mean(catch)`
    pub fn refuse_several(&mut self, settled: &Expression) {
        if settled.kind.is_unknown() {
            return;
        }
        let name = self.scope.text(settled.place);
        let count = self.scope.count_of(settled);
        self.refuse(settled.place, Kind::ReadingsAsOne { mean: format!("mean({name})"), name, count });
    }

    /// A type in the trade's words.
    pub fn describe(&self, kind: &Type) -> String {
        match kind {
            Type::Number(number) if number.is_range() => {
                format!("a range of {}", described(number, self.scope.measures))
            }
            Type::Number(number) => described(number, self.scope.measures),
            Type::Text => "text".to_owned(),
            Type::Date { hour: true } => "a date with an hour".to_owned(),
            Type::Date { .. } => "a date".to_owned(),
            Type::YesNo => "yes or no".to_owned(),
            Type::Several(each) => format!("several values, each {}", self.describe(each)),
            Type::Unknown => "something that could not be read".to_owned(),
        }
    }

    /// What a value is called and is, for messages: `strip length is a length (ft)`.
    fn named(&self, settled: &Expression) -> String {
        format!("{} is {}", self.scope.text(settled.place), self.describe(&settled.kind))
    }
}

/// What stands in the place of a formula that could not be settled.
pub fn unknown(place: Place) -> Expression {
    Expression { place, kind: Type::Unknown, does: Does::YesNo(false) }
}

fn yes_no(place: Place, does: Does) -> Expression {
    Expression { place, kind: Type::YesNo, does }
}

/// The number of a formula of plain numbers alone: `2`, `-1`, `(1/3)`.
pub fn constant(expression: &Expression) -> Option<f64> {
    match &expression.does {
        Does::Number(number) => Some(number.value),
        Does::Negative(inner) => constant(inner).map(|number| -number),
        Does::Arithmetic(operator, left, right) => {
            let (left, right) = (constant(left)?, constant(right)?);
            match operator {
                Operator::Plus => Some(left + right),
                Operator::Minus => Some(left - right),
                Operator::Times => Some(left * right),
                Operator::Over => Some(left / right),
                Operator::Power => None,
            }
        }
        _ => None,
    }
}
