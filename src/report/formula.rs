//! Formulas written anew from what they mean, with something else in the place of names: the numbers put in, or the
//! names alone as one spells them. Spacing and brackets are always the same. It looks nothing up itself.

use super::compared::relation_words;
use crate::checked::model::{Argument, Does, Expression, Function};
use crate::checked::types::Type;
use crate::syntax::tree::Operator;
use crate::text::Place;

/// How closely words hold together, loosest first: what binds less than its surroundings stands in brackets.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Binds {
    /// `if a then b else c`
    Choice,
    /// `a or b`
    Or,
    /// `a and b`
    And,
    /// `not (a)`
    Not,
    /// `a at most b`
    Comparison,
    /// `1 to 3 mph`
    To,
    /// `a + b`, and what begins with a minus
    Sum,
    /// `a * b`
    Product,
    /// `10 % of x`
    Share,
    /// `60 ft`, `a ^ 2`
    Amount,
    /// A name, a plain number, a call, brackets
    Whole,
}

/// A part of a formula in words.
#[derive(Debug, Clone, PartialEq)]
pub struct Words {
    /// The words.
    pub text: String,
    /// How closely they hold together.
    pub binds: Binds,
}

impl Words {
    /// Words that need no brackets anywhere.
    pub fn whole(text: String) -> Self {
        Self { text, binds: Binds::Whole }
    }

    /// A value: in brackets where it would read on into its surroundings.
    pub fn value(text: String, is_range: bool) -> Self {
        let binds = match text.strip_prefix('-') {
            _ if is_range => Binds::To,
            Some(_) => Binds::Sum,
            None if text.contains([' ', '\u{a0}']) && !text.starts_with('"') => Binds::Amount,
            None => Binds::Whole,
        };
        Self { text, binds }
    }

    fn at_least(self, binds: Binds) -> String {
        if self.binds < binds { format!("({})", self.text) } else { self.text }
    }
}

/// What stands in a formula in the place of its parts.
pub trait Parts {
    /// The words for a part as a whole; none for one that is written from its own parts.
    fn part(&mut self, part: &Expression) -> Option<Words>;

    /// The words for the argument of a call.
    fn argument(&mut self, call: &Expression, argument: &Argument) -> String;
}

/// A formula as one would write it, by the texts of its names and numbers.
pub fn spelt(formula: &Expression, text: &dyn Fn(Place) -> String) -> String {
    written(formula, &mut AsSpelt(text)).text
}

struct AsSpelt<'t>(&'t dyn Fn(Place) -> String);

impl Parts for AsSpelt<'_> {
    fn part(&mut self, part: &Expression) -> Option<Words> {
        let is_amount = matches!(&part.does, Does::Arithmetic(_, left, _) if left.place == part.place);
        let mut has_parts = false;
        part.each_part(&mut |_| has_parts = true);
        let is_call = matches!(part.does, Does::Call(..));
        (is_amount || !has_parts && !is_call).then(|| Words::value((self.0)(part.place), false))
    }

    fn argument(&mut self, _: &Expression, argument: &Argument) -> String {
        let value = written(&argument.value, self).text;
        match &argument.choice {
            Some(choice) => format!("{value} where {}", written(choice, self).text),
            None => value,
        }
    }
}

/// Writes a formula.
pub fn written(part: &Expression, parts: &mut dyn Parts) -> Words {
    if let Some(words) = parts.part(part) {
        return words;
    }
    let mut write = |part: &Expression, least: Binds| written(part, parts).at_least(least);
    let (text, binds) = match &part.does {
        Does::Negative(inner) => (format!("-{}", write(inner, Binds::Share)), Binds::Sum),
        Does::Arithmetic(operator, left, right) => {
            let (sign, binds, lefts, rights) = arithmetic(*operator);
            (format!("{}{sign}{}", write(left, lefts), write(right, rights)), binds)
        }
        Does::Share(share, whole) => {
            (format!("{} of {}", write(share, Binds::Amount), write(whole, Binds::Amount)), Binds::Share)
        }
        Does::To(low, high) => (format!("{} to {}", write(low, Binds::Sum), write(high, Binds::Sum)), Binds::To),
        Does::Comparison(relation, left, right) => {
            let relation = relation_words(*relation);
            (format!("{} {relation} {}", write(left, Binds::To), write(right, Binds::To)), Binds::Comparison)
        }
        Does::WithinRange(value, range) => {
            (format!("{} within {}", write(value, Binds::To), write(range, Binds::To)), Binds::Comparison)
        }
        Does::WithinDistance(value, distance, base) | Does::WithinShare(value, distance, base) => {
            let (value, distance) = (write(value, Binds::To), write(distance, Binds::Sum));
            (format!("{value} within {distance} of {}", write(base, Binds::Sum)), Binds::Comparison)
        }
        Does::Not(inner) => (format!("not ({})", write(inner, Binds::Choice)), Binds::Not),
        Does::Both(left, right) => {
            (format!("{} and {}", write(left, Binds::And), write(right, Binds::And)), Binds::And)
        }
        Does::Either(left, right) => (format!("{} or {}", write(left, Binds::Or), write(right, Binds::Or)), Binds::Or),
        Does::If(condition, then, otherwise) => {
            let (condition, then) = (write(condition, Binds::Or), write(then, Binds::Or));
            (format!("if {condition} then {then} else {}", write(otherwise, Binds::Choice)), Binds::Choice)
        }
        Does::Call(function, arguments) => (call(part, *function, arguments, parts), Binds::Whole),
        // What has no parts has words of its own.
        _ => (String::new(), Binds::Whole),
    };
    Words { text, binds }
}

/// A call. Where one of its arguments is a list, all of them stand apart by semicolons.
pub fn call(part: &Expression, function: Function, arguments: &[Argument], parts: &mut dyn Parts) -> String {
    let words: Vec<String> = arguments.iter().map(|own| parts.argument(part, own)).collect();
    let is_list = |own: &Argument| matches!(own.value.kind, Type::Several(_));
    let is_apart = arguments.iter().any(is_list) && words.iter().any(|words| words.contains(", "));
    format!("{}({})", function.name(), words.join(if is_apart { "; " } else { ", " }))
}

/// An operator's sign, how closely it holds together, and how closely its sides must: a right side of the same kind had
/// brackets.
fn arithmetic(operator: Operator) -> (&'static str, Binds, Binds, Binds) {
    match operator {
        Operator::Plus => (" + ", Binds::Sum, Binds::Sum, Binds::Product),
        Operator::Minus => (" - ", Binds::Sum, Binds::Sum, Binds::Product),
        Operator::Times => (" * ", Binds::Product, Binds::Product, Binds::Share),
        Operator::Over => (" / ", Binds::Product, Binds::Product, Binds::Share),
        Operator::Power => ("^", Binds::Amount, Binds::Whole, Binds::Whole),
    }
}
