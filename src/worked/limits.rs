//! The limits that a comparison holds a value against, and how it stands to them, doubt counted in.

use super::conditions::{CheckOutcome, Judged};
use super::engine::Engine;
use super::formulas;
use super::functions::doubts;
use super::showing::Sizes;
use super::waiting::{Outcome, Stop, Wait, both};
use crate::checked::model::{Does, Expression};
use crate::quantity::{Measured, Value};
use crate::syntax::tree::Relation;
use crate::text::Place;
use crate::trouble::Kind;
use smallvec::{SmallVec, smallvec};
use std::borrow::Cow;

/// How a check of numbers that stand there already comes out, where the outcome is all that there is to say; `None`
/// where it has to be judged as any other.
pub(super) fn outcome(engine: &Engine<'_>, condition: &Expression) -> Option<CheckOutcome> {
    let standing = |part| formulas::standing(engine, part);
    let limits = match &condition.does {
        Does::WithinRange(value, range) => {
            let Does::To(low, high) = &range.does else { return None };
            let (own, low, high) = (standing(value)?, standing(low)?, standing(high)?);
            if low.compare(high).is_gt() {
                return None;
            }
            let as_written = doubts::as_written(engine, value, own);
            within(&Side::of_one(own), Some(Cow::Borrowed(low)), Some(Cow::Borrowed(high)), false, as_written)
        }
        Does::Comparison(relation, left, right) if !matches!(relation, Relation::Is | Relation::IsNot) => {
            let (one, other) = (standing(left)?, standing(right)?);
            let as_written = |part, own: &Measured, other: &Measured| match other.doubt.is_none() {
                true => doubts::as_written(engine, part, own),
                false => None,
            };
            let as_written = as_written(left, one, other).or_else(|| as_written(right, other, one));
            ordered(*relation, &Side::of_one(one), &Side::of_one(other), as_written)
        }
        _ => return None,
    };
    let Limits::Numbers { limits, any: false } = limits else { return None };
    let mut worst = CheckOutcome::Ok;
    for limit in &limits {
        match limit.outcome(engine) {
            (_, true) => return None,
            (outcome, false) => worst = worst.max(outcome),
        }
    }
    Some(worst)
}

/// Limits that a value is held against.
pub(super) enum Limits<'v> {
    /// All of them must be met, or (turned round) any.
    Numbers { limits: SmallVec<[Limit<'v>; 2]>, any: bool },
    /// A comparison that knows no doubt: text, dates, yes or no.
    Plain(bool),
}

/// One value against one limit; an end that a range lacks is met or missed whatever the other side is.
pub(super) struct Limit<'v> {
    pub(super) value: Option<&'v Measured>,
    pub(super) relation: Relation,
    pub(super) limit: Option<Cow<'v, Measured>>,
    /// The half-width of a value that is shown as written, where it is compared just so.
    pub(super) as_written: Option<f64>,
}

impl Limit<'_> {
    fn is_met(&self) -> bool {
        let (Some(value), Some(limit)) = (self.value, &self.limit) else { return false };
        self.relation.holds(value.compare(limit))
    }

    /// The outcome, and whether the doubt of it is not known.
    pub(super) fn outcome(&self, engine: &Engine<'_>) -> (CheckOutcome, bool) {
        let (Some(value), Some(limit)) = (self.value, self.limit.as_deref()) else {
            return (CheckOutcome::No, false);
        };
        let is_unknown = value.doubt.is_unknown() || limit.doubt.is_unknown();
        if !self.is_met() {
            return (CheckOutcome::No, is_unknown);
        }
        let difference = value.without_doubt().minus(&limit.without_doubt());
        let sources = &engine.worked.sources;
        let summary = match (value.doubt.is_none(), limit.doubt.is_none()) {
            (_, true) => value.doubt.summary(sources),
            // Of a doubt turned round the figures are the same.
            (true, false) => limit.doubt.summary(sources),
            (false, false) => value.doubt.combined(1.0, &limit.doubt, -1.0).summary(sources),
        };
        let Some(summary) = summary else { return (CheckOutcome::Ok, true) };
        let half_width = self.as_written.unwrap_or(summary.half_width);
        let left = if difference.is_nothing() { 0.0 } else { difference.value.abs() };
        // Met to the same twelve digits is met: a doubt that just reaches the limit does not reach past it.
        let reaches_past = half_width > left * (1.0 + crate::quantity::measured::SAMENESS);
        (if reaches_past { CheckOutcome::Close } else { CheckOutcome::Ok }, false)
    }
}

impl Limits<'_> {
    /// Whether they are met, by the values.
    pub(super) fn are_met(&self) -> bool {
        match self {
            Self::Plain(holds) => *holds,
            Self::Numbers { limits, any: true } => limits.iter().any(Limit::is_met),
            Self::Numbers { limits, any: false } => limits.iter().all(Limit::is_met),
        }
    }

    /// How a check of them comes out.
    pub(super) fn judge(&self, engine: &Engine<'_>, condition: &Expression, values: &[(Place, Outcome)]) -> Judged {
        let (limits, any) = match self {
            Self::Plain(holds) => return Judged::of(if *holds { CheckOutcome::Ok } else { CheckOutcome::No }),
            Self::Numbers { limits, any } => (limits, *any),
        };
        let outcomes: SmallVec<[_; 2]> = limits.iter().map(|limit| limit.outcome(engine)).collect();
        let found = outcomes.iter().map(|(outcome, _)| *outcome);
        let outcome = if any { found.min() } else { found.max() };
        let is_unknown = outcomes.iter().any(|(_, unknown)| *unknown);
        let by_value = if is_unknown { in_unknown_doubt(engine, condition, values) } else { Vec::new() };
        Judged { by_value, ..Judged::of(outcome.unwrap_or(CheckOutcome::No)) }
    }
}

/// The values compared whose doubt is not known, as they are written.
fn in_unknown_doubt(engine: &Engine<'_>, condition: &Expression, values: &[(Place, Outcome)]) -> Vec<String> {
    let is_unknown = |number: &Measured| number.doubt.is_unknown();
    let is_meant = |outcome: &Outcome| match outcome {
        Ok(Value::Number(number)) => is_unknown(number),
        Ok(Value::Range(range)) => [&range.low, &range.high].into_iter().flatten().any(is_unknown),
        _ => false,
    };
    let mut names: Vec<String> =
        values.iter().filter(|(_, outcome)| is_meant(outcome)).map(|(place, _)| engine.text(*place)).collect();
    names.dedup();
    if names.is_empty() { vec![engine.text(condition.place)] } else { names }
}

/// The value's side, low and high end; one number is both.
struct Side<'v> {
    low: Option<&'v Measured>,
    high: Option<&'v Measured>,
}

impl<'v> Side<'v> {
    fn of_one(number: &'v Measured) -> Self {
        Self { low: Some(number), high: Some(number) }
    }

    fn of(value: &'v Value) -> Option<Self> {
        match value {
            Value::Number(number) => Some(Self::of_one(number)),
            Value::Range(range) => Some(Self { low: range.low.as_ref(), high: range.high.as_ref() }),
            _ => None,
        }
    }
}

/// What a comparison holds against each other, worked.
pub(super) struct Compared {
    /// The two sides with their places.
    pub(super) values: [(Place, Outcome); 2],
    /// The distance or share of `within … of`.
    amount: Option<Result<Measured, Stop>>,
}

impl Compared {
    /// Works what a condition compares.
    pub(super) fn of(engine: &mut Engine<'_>, condition: &Expression) -> Self {
        let mut worked = |expression: &Expression| (expression.place, formulas::work(engine, expression));
        match &condition.does {
            Does::Comparison(_, one, other) | Does::WithinRange(one, other) => {
                Self { values: [worked(one), worked(other)], amount: None }
            }
            Does::WithinDistance(value, amount, base) | Does::WithinShare(value, amount, base) => {
                let value = worked(value);
                let amount = Some(formulas::number(engine, amount));
                Self { values: [value, (base.place, formulas::work(engine, base))], amount }
            }
            _ => {
                let unread = || (condition.place, Err(Stop::wait(Wait::Unread)));
                Self { values: [unread(), unread()], amount: None }
            }
        }
    }

    /// The limits of a comparison; turned round, those of its opposite.
    pub(super) fn limits(&self, engine: &Engine<'_>, condition: &Expression, turned: bool) -> Result<Limits<'_>, Stop> {
        let [(_, one), (_, other)] = &self.values;
        let ((one, other), amount) = match (both_of(one, other), &self.amount) {
            (Ok(sides), None) => (sides, None),
            (Ok(sides), Some(Ok(amount))) => (sides, Some(amount)),
            (Err(stop), Some(Err(more))) => return Err(stop.and(more.clone())),
            (Err(stop), _) => return Err(stop),
            (_, Some(Err(stop))) => return Err(stop.clone()),
        };
        match &condition.does {
            Does::Comparison(relation, left, right) => {
                let relation = if turned { opposite(*relation) } else { *relation };
                check_equality(engine, condition, relation, one, other)?;
                let as_written = written_half_width(engine, left, one, &[other])
                    .or_else(|| written_half_width(engine, right, other, &[one]));
                Ok(compared(relation, one, other, as_written))
            }
            Does::WithinRange(value, _) => {
                let as_written = written_half_width(engine, value, one, &[]);
                let (Some(value), Some(range)) = (Side::of(one), Side::of(other)) else {
                    return Ok(Limits::Plain(false));
                };
                Ok(within(&value, range.low.map(Cow::Borrowed), range.high.map(Cow::Borrowed), turned, as_written))
            }
            Does::WithinDistance(value, ..) | Does::WithinShare(value, ..) => {
                let (Some(own), Some(base), Some(amount)) = (Side::of(one), other.number(), amount) else {
                    return Ok(Limits::Plain(false));
                };
                let as_written = written_half_width(engine, value, one, &[]);
                let is_share = matches!(condition.does, Does::WithinShare(..));
                let size = if base.value < 0.0 { Cow::Owned(base.negated()) } else { Cow::Borrowed(base) };
                let distance = if is_share { Cow::Owned(size.times(amount)) } else { Cow::Borrowed(amount) };
                let (low, high) = (base.minus(&distance), base.plus(&distance));
                Ok(within(&own, Some(Cow::Owned(low)), Some(Cow::Owned(high)), turned, as_written))
            }
            _ => Ok(Limits::Plain(false)),
        }
    }
}

fn both_of<'v>(one: &'v Outcome, other: &'v Outcome) -> Result<(&'v Value, &'v Value), Stop> {
    both(one.as_ref().map_err(Stop::clone), other.as_ref().map_err(Stop::clone))
}

/// Both ends included; turned round, outside of either. The half-width as it is written holds against an end that is
/// exact.
fn within<'v>(
    value: &Side<'v>,
    low: Option<Cow<'v, Measured>>,
    high: Option<Cow<'v, Measured>>,
    turned: bool,
    as_written: Option<f64>,
) -> Limits<'v> {
    let mut limits = SmallVec::new();
    let (at_low, at_high) =
        if turned { (Relation::Less, Relation::More) } else { (Relation::AtLeast, Relation::AtMost) };
    // Whole ranges: its lower end must be above the lower limit, its upper end below the upper one; turned round, all
    // of it must lie outside.
    let (for_low, for_high) = if turned { (value.high, value.low) } else { (value.low, value.high) };
    for (value, relation, limit) in [(for_low, at_low, low), (for_high, at_high, high)] {
        if let Some(end) = &limit {
            let as_written = as_written.filter(|_| end.doubt.is_none());
            limits.push(Limit { value, relation, limit, as_written });
        }
    }
    Limits::Numbers { limits, any: turned }
}

fn compared<'v>(relation: Relation, one: &'v Value, other: &'v Value, as_written: Option<f64>) -> Limits<'v> {
    let plain = |is_same: bool| Limits::Plain(if relation == Relation::IsNot { !is_same } else { is_same });
    match (one, other) {
        (Value::Text(one), Value::Text(other)) => plain(one.to_lowercase() == other.to_lowercase()),
        (Value::YesNo(one), Value::YesNo(other)) => plain(one == other),
        (Value::Date(one), Value::Date(other)) => {
            Limits::Plain(one.partial_cmp(other).is_some_and(|order| relation.holds(order)))
        }
        (one, other) => match (Side::of(one), Side::of(other)) {
            (Some(one), Some(other)) => ordered(relation, &one, &other, as_written),
            _ => Limits::Plain(false),
        },
    }
}

/// A comparison holds when it holds for the whole of a range.
fn ordered<'v>(relation: Relation, one: &Side<'v>, other: &Side<'v>, as_written: Option<f64>) -> Limits<'v> {
    let limit = |value: Option<&'v Measured>, relation, limit: Option<&'v Measured>| {
        let limit = limit.map(Cow::Borrowed);
        Limit { value, relation, limit, as_written }
    };
    let limits = match relation {
        Relation::Less | Relation::AtMost => smallvec![limit(one.high, relation, other.low)],
        Relation::More | Relation::AtLeast => smallvec![limit(one.low, relation, other.high)],
        Relation::Is => smallvec![limit(one.low, relation, other.high), limit(one.high, relation, other.low)],
        Relation::IsNot => {
            let less = limit(one.high, Relation::Less, other.low);
            let more = limit(one.low, Relation::More, other.high);
            return Limits::Numbers { limits: smallvec![less, more], any: true };
        }
    };
    Limits::Numbers { limits, any: false }
}

fn opposite(relation: Relation) -> Relation {
    match relation {
        Relation::Less => Relation::AtLeast,
        Relation::AtMost => Relation::More,
        Relation::More => Relation::AtMost,
        Relation::AtLeast => Relation::Less,
        Relation::Is => Relation::IsNot,
        Relation::IsNot => Relation::Is,
    }
}

/// `is` between two values with doubt is refused; counted in the same crew measure they are as sure as their counts.
fn check_equality(
    engine: &Engine<'_>,
    condition: &Expression,
    relation: Relation,
    one: &Value,
    other: &Value,
) -> Result<(), Stop> {
    let Does::Comparison(_, left, right) = &condition.does else { return Ok(()) };
    let sizes = Sizes { checked: engine.checked, slots: &engine.worked.slots, sources: &engine.worked.sources };
    let in_doubt = |value: &Value| value.number().is_some_and(|number| !number.doubt.is_none());
    let is_count = |value: &Value| {
        let unit = left.kind.number().map(|kind| &kind.unit);
        let doubt = value.number().zip(unit).and_then(|(number, unit)| sizes.doubt_in(number, unit));
        doubt.is_some_and(|doubt| doubt.is_none())
    };
    let is_in_doubt = in_doubt(one) && in_doubt(other) && !(is_count(one) && is_count(other));
    if is_in_doubt && matches!(relation, Relation::Is | Relation::IsNot) {
        let (left, right) = (engine.text(left.place), engine.text(right.place));
        return Err(Stop::trouble(
            condition.place,
            Kind::SameWithDoubt { instead: format!("{left} within 5 % of {right}, or another distance") },
        ));
    }
    Ok(())
}

/// The half-width of an entry with a limit of error, which is shown as written, where all else that is compared is
/// exact.
fn written_half_width(engine: &Engine<'_>, value: &Expression, found: &Value, others: &[&Value]) -> Option<f64> {
    let is_exact = |value: &&Value| match value {
        Value::Number(number) => number.doubt.is_none(),
        Value::Range(range) => [&range.low, &range.high].into_iter().flatten().all(|end| end.doubt.is_none()),
        _ => false,
    };
    let number = found.number().filter(|_| others.iter().all(is_exact))?;
    doubts::as_written(engine, value, number)
}
