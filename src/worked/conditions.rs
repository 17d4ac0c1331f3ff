//! Conditions: whether they hold, for formulas; and how a check comes out, doubt counted in.

use super::engine::Engine;
use super::formulas;
use super::limits::Compared;
use super::waiting::{Outcome, Stop, Wait, Waits, both};
use crate::checked::model::{Does, Expression};
use crate::quantity::Value;
use crate::text::Place;
use crate::trouble::{Kind, Trouble};

/// Whether a condition holds.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Truth {
    /// It holds, for a range for the whole of it.
    Yes,
    /// It does not; for a range, its opposite holds for the whole.
    No,
    /// It holds for a part of a range only.
    InPart,
}

/// How a check comes out, the best first.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum CheckOutcome {
    /// The limit is met, doubt and all.
    Ok,
    /// It is met, but the doubt reaches past it.
    Close,
    /// A blank stands in the way.
    Waiting,
    /// It is not met.
    No,
}

/// How a check came out.
#[derive(Debug, Clone)]
pub struct Judged {
    /// The outcome.
    pub outcome: CheckOutcome,
    /// What it waits on, where it does.
    pub waits: Option<Waits>,
    /// Values that it went by without their doubt, which is not known.
    pub by_value: Vec<String>,
    /// The values compared, by place.
    pub values: Vec<(Place, Outcome)>,
    /// What could not be worked in it.
    pub trouble: Option<Trouble>,
}

impl Judged {
    /// A check that waits.
    pub fn waiting(waits: Waits) -> Self {
        Self {
            outcome: CheckOutcome::Waiting,
            waits: Some(waits),
            by_value: Vec::new(),
            values: Vec::new(),
            trouble: None,
        }
    }

    /// A check that came out so, of which nothing else is known.
    pub(super) fn of(outcome: CheckOutcome) -> Self {
        Self { outcome, waits: None, by_value: Vec::new(), values: Vec::new(), trouble: None }
    }

    /// One of two parts counts: the worse with `and`, the better with `or`; what was compared is kept of both.
    fn with(mut self, mut other: Self, worse: bool) -> Self {
        let takes_other = if worse { other.outcome > self.outcome } else { other.outcome < self.outcome };
        if takes_other {
            std::mem::swap(&mut self, &mut other);
            other.values.append(&mut self.values);
            std::mem::swap(&mut self.values, &mut other.values);
        } else {
            self.values.append(&mut other.values);
        }
        if self.outcome == CheckOutcome::Waiting {
            self.waits = match (self.waits.take(), other.waits.take()) {
                (Some(one), Some(other)) => Some(one.and(&other)),
                (one, other) => one.or(other),
            };
        }
        self.by_value.append(&mut other.by_value);
        self.trouble = self.trouble.or(other.trouble);
        self
    }
}

/// How a check comes out.
pub fn judge(engine: &mut Engine<'_>, condition: &Expression) -> Judged {
    judged(engine, condition, false)
}

fn judged(engine: &mut Engine<'_>, condition: &Expression, turned: bool) -> Judged {
    match &condition.does {
        Does::Not(inner) => judged(engine, inner, !turned),
        Does::Both(left, right) => judged(engine, left, turned).with(judged(engine, right, turned), !turned),
        Does::Either(left, right) => judged(engine, left, turned).with(judged(engine, right, turned), turned),
        Does::If(first, then, otherwise) => match holds(engine, first) {
            Ok(Truth::Yes) => judged(engine, then, turned),
            Ok(Truth::No) => judged(engine, otherwise, turned),
            Ok(Truth::InPart) => {
                stopped(Stop::trouble(first.place, Kind::HoldsInPart { condition: engine.text(first.place) }))
            }
            Err(stop) => stopped(stop),
        },
        Does::Comparison(..) | Does::WithinRange(..) | Does::WithinDistance(..) | Does::WithinShare(..) => {
            let compared = Compared::of(engine, condition);
            let judged = match compared.limits(engine, condition, turned) {
                Ok(limits) => limits.judge(engine, condition, &compared.values),
                Err(stop) => stopped(stop),
            };
            Judged { values: compared.values.into(), ..judged }
        }
        _ => match formulas::work(engine, condition) {
            Ok(Value::YesNo(yes)) => Judged::of(if yes == turned { CheckOutcome::No } else { CheckOutcome::Ok }),
            Ok(_) => Judged::of(CheckOutcome::No),
            Err(stop) => stopped(stop),
        },
    }
}

fn stopped(stop: Stop) -> Judged {
    match stop {
        Stop::Waits(waits) => Judged::waiting(waits),
        Stop::Trouble(trouble) => {
            let on = Waits::on(Wait::Unread);
            Judged { trouble: Some(*trouble), ..Judged::waiting(on) }
        }
    }
}

/// Whether a condition holds, by the values.
///
/// # Errors
/// What it waits on, or why it cannot be worked.
pub fn holds(engine: &mut Engine<'_>, condition: &Expression) -> Result<Truth, Stop> {
    match &condition.does {
        Does::Not(inner) => Ok(match holds(engine, inner)? {
            Truth::Yes => Truth::No,
            Truth::No => Truth::Yes,
            Truth::InPart => Truth::InPart,
        }),
        Does::Both(left, right) => {
            let parts = (holds(engine, left), holds(engine, right));
            if matches!(parts, (Ok(Truth::No), _) | (_, Ok(Truth::No))) {
                return Ok(Truth::No);
            }
            let (left, right) = both(parts.0, parts.1)?;
            Ok(if left == Truth::Yes { right } else { left })
        }
        Does::Either(left, right) => {
            let parts = (holds(engine, left), holds(engine, right));
            if matches!(parts, (Ok(Truth::Yes), _) | (_, Ok(Truth::Yes))) {
                return Ok(Truth::Yes);
            }
            let (left, right) = both(parts.0, parts.1)?;
            Ok(if left == Truth::No { right } else { left })
        }
        Does::Comparison(..) | Does::WithinRange(..) | Does::WithinDistance(..) | Does::WithinShare(..) => {
            let compared = Compared::of(engine, condition);
            if compared.limits(engine, condition, false)?.are_met() {
                return Ok(Truth::Yes);
            }
            let turned = compared.limits(engine, condition, true)?;
            Ok(if turned.are_met() { Truth::No } else { Truth::InPart })
        }
        _ => match formulas::work(engine, condition)? {
            Value::YesNo(true) => Ok(Truth::Yes),
            _ => Ok(Truth::No),
        },
    }
}
