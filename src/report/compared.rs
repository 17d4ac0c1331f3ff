//! What a check compared, with the figures put in the place of names.

use super::shown::Shower;
use crate::checked::display;
use crate::checked::model::{Does, Expression, ShownIn};
use crate::checked::types::{NumberType, Type};
use crate::syntax::tree::Relation;
use crate::text::Place;
use crate::worked::conditions::Judged;

/// `0.208 ± 0.003 gal/min within 10 % of 0.200 gal/min`
pub fn words(condition: &Expression, judged: &Judged, shower: &Shower<'_>, text: &dyn Fn(Place) -> String) -> String {
    Writer { judged, shower, text }.condition(condition)
}

struct Writer<'a> {
    judged: &'a Judged,
    shower: &'a Shower<'a>,
    text: &'a dyn Fn(Place) -> String,
}

impl Writer<'_> {
    fn condition(&self, condition: &Expression) -> String {
        match &condition.does {
            Does::Comparison(relation, left, right) => {
                format!("{} {} {}", self.operand(left, right), relation_words(*relation), self.operand(right, left))
            }
            Does::WithinRange(value, range) => {
                format!("{} within {}", self.operand(value, range), self.operand(range, value))
            }
            Does::WithinDistance(value, distance, base) | Does::WithinShare(value, distance, base) => {
                format!(
                    "{} within {} of {}",
                    self.operand(value, base),
                    self.written(distance),
                    self.operand(base, value)
                )
            }
            Does::Not(inner) => format!("not ({})", self.condition(inner)),
            Does::Both(left, right) => format!("{} and {}", self.part(left), self.part(right)),
            Does::Either(left, right) => format!("{} or {}", self.condition(left), self.condition(right)),
            Does::If(first, then, otherwise) => {
                format!("if {} then {} else {}", self.written(first), self.condition(then), self.condition(otherwise))
            }
            _ => self.written(condition),
        }
    }

    /// A part of `and`; an `or` in it stands in brackets.
    fn part(&self, part: &Expression) -> String {
        match part.does {
            Does::Either(..) => format!("({})", self.condition(part)),
            _ => self.condition(part),
        }
    }

    /// A value with its figures; numbers and what waits stand as they were written. What has no name of its own is shown
    /// in the unit of what it is compared with.
    fn operand(&self, operand: &Expression, other: &Expression) -> String {
        let found = self.judged.values.iter().find(|(place, _)| *place == operand.place).map(|(_, outcome)| outcome);
        let is_written = is_written(operand);
        match found {
            Some(outcome) if !is_written && outcome.is_ok() => {
                let words = match operand.does {
                    Does::Slot(_) if operand.kind == Type::YesNo => self
                        .shower
                        .in_words(outcome, &[], &operand.kind)
                        .map(|yes| format!("{} ({yes})", self.written(operand))),
                    Does::Slot(slot) => self.shower.slot_words(slot, outcome),
                    _ => self.shower.in_words(outcome, &self.shown_in(operand, other), &operand.kind),
                };
                words.unwrap_or_else(|| self.written(operand))
            }
            _ => self.written(operand),
        }
    }

    fn shown_in(&self, operand: &Expression, other: &Expression) -> Vec<ShownIn> {
        let (Type::Number(own), measures) = (&operand.kind, self.shower.measures()) else { return Vec::new() };
        let kind = match &other.kind {
            Type::Number(other) if own.dimension == other.dimension && own.is_point == other.is_point => {
                Type::Number(NumberType { unit: other.unit.clone(), ..own.clone() })
            }
            _ => operand.kind.clone(),
        };
        display::in_own_unit(&kind, &measures)
    }

    fn written(&self, part: &Expression) -> String {
        (self.text)(part.place)
    }
}

/// Whether it stands in the formula as it is, no name in it.
fn is_written(operand: &Expression) -> bool {
    let mut written = !matches!(
        operand.does,
        Does::Slot(_)
            | Does::Cell(_)
            | Does::OuterCell(_)
            | Does::Column(..)
            | Does::RowLabel
            | Does::Today
            | Does::Call(..)
    );
    operand.each_part(&mut |part| written &= is_written(part));
    written
}

/// A relation in words.
pub fn relation_words(relation: Relation) -> &'static str {
    match relation {
        Relation::Less => "less than",
        Relation::AtMost => "at most",
        Relation::More => "more than",
        Relation::AtLeast => "at least",
        Relation::Is => "is",
        Relation::IsNot => "is not",
    }
}
