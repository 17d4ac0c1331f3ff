//! Formulas that are sums, differences, products and quotients of numbers and nothing else, laid out once as steps that
//! need no looking round, for sheets that are worked again and again. Each step is that of the formula itself, on the
//! same numbers in the same order; where one is not to be had, or does not come off, the formula is worked as any other.

use super::engine::Engine;
use super::formulas::{is_finite, is_number, is_rough_divisor, note_rough};
use crate::checked::model::{Does, Expression};
use crate::quantity::{Measured, Value};
use crate::syntax::tree::Operator;

/// A formula laid out.
#[derive(Debug, Default)]
pub(super) struct Straight {
    steps: Vec<Step>,
    /// How many numbers are put aside on the way.
    aside: usize,
}

/// What is done to the number that is being worked.
#[derive(Debug)]
enum Step {
    /// It begins anew.
    Take(Operand),
    /// It is joined with another.
    Join(Operator, Operand),
    /// `-a`
    Turn,
    /// It is put aside for later.
    PutAside(usize),
}

#[derive(Debug)]
enum Operand {
    Constant(Measured),
    Slot(usize),
    Aside(usize),
}

/// Numbers on the way.
#[derive(Debug, Default)]
pub(super) struct Desk {
    /// The one that is being worked, and in the end what has come of it.
    pub(super) number: Measured,
    aside: Vec<Measured>,
}

impl Straight {
    /// A formula laid out; none where there is more to it.
    pub(super) fn of(formula: &Expression) -> Option<Self> {
        let mut straight = Self::default();
        straight.lay(formula)?;
        Some(straight)
    }

    fn lay(&mut self, part: &Expression) -> Option<()> {
        match &part.does {
            Does::Negative(inner) => {
                self.lay(inner)?;
                self.steps.push(Step::Turn);
            }
            Does::Arithmetic(operator, left, right) if is_number(left) => {
                self.lay_two(*operator, left, right)?;
            }
            _ => self.steps.push(Step::Take(leaf(part)?)),
        }
        Some(())
    }

    fn lay_two(&mut self, operator: Operator, left: &Expression, right: &Expression) -> Option<()> {
        if operator == Operator::Power {
            return None;
        }
        if let Some(right) = leaf(right) {
            self.lay(left)?;
            self.steps.push(Step::Join(operator, right));
            return Some(());
        }
        let first = match leaf(left) {
            Some(left) => left,
            None => self.lay_aside(left)?,
        };
        let second = self.lay_aside(right)?;
        self.steps.extend([Step::Take(first), Step::Join(operator, second)]);
        Some(())
    }

    fn lay_aside(&mut self, part: &Expression) -> Option<Operand> {
        self.lay(part)?;
        self.steps.push(Step::PutAside(self.aside));
        self.aside += 1;
        Some(Operand::Aside(self.aside - 1))
    }

    /// Works it to `desk.number`; `None` where it has to be worked as any other formula.
    pub(super) fn work(&self, engine: &mut Engine<'_>, desk: &mut Desk) -> Option<()> {
        if desk.aside.len() < self.aside {
            desk.aside.resize_with(self.aside, Measured::default);
        }
        let Desk { number, aside } = desk;
        for step in &self.steps {
            match step {
                Step::Take(operand) => number.clone_from(operand.find(engine, aside)?),
                Step::Join(operator, operand) => {
                    let is_rough = join(engine, *operator, number, operand.find(engine, aside)?)?;
                    if is_rough {
                        note_rough(engine);
                    }
                }
                Step::Turn => *number = number.negated(),
                Step::PutAside(place) => std::mem::swap(number, aside.get_mut(*place)?),
            }
        }
        Some(())
    }
}

/// A number that stands there by itself.
fn leaf(part: &Expression) -> Option<Operand> {
    match &part.does {
        Does::Number(number) => Some(Operand::Constant(number.clone())),
        Does::Slot(slot) => Some(Operand::Slot(*slot)),
        _ => None,
    }
}

impl Operand {
    fn find<'v>(&'v self, engine: &'v Engine<'_>, aside: &'v [Measured]) -> Option<&'v Measured> {
        match self {
            Self::Constant(number) => Some(number),
            Self::Slot(slot) => match engine.worked.slots.get(*slot) {
                Some(Ok(Value::Number(number))) => Some(number),
                _ => None,
            },
            Self::Aside(place) => aside.get(*place),
        }
    }
}

/// Joins a number with another; whether first order is rough there.
fn join(engine: &Engine<'_>, operator: Operator, number: &mut Measured, other: &Measured) -> Option<bool> {
    let mut is_rough = false;
    match operator {
        Operator::Plus => number.add(other),
        Operator::Minus => number.subtract(other),
        Operator::Times => number.multiply(other),
        Operator::Over if !other.is_nothing() => {
            number.divide(other);
            is_rough = is_rough_divisor(engine, other);
        }
        Operator::Over | Operator::Power => return None,
    }
    is_finite(number).then_some(is_rough)
}
