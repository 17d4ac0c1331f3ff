//! Arithmetic on ranges, as intervals.

use super::engine::Engine;
use super::formulas::{note_rough_divisor, power};
use super::waiting::{Outcome, Stop};
use crate::quantity::{Measured, Range, Value};
use crate::syntax::tree::Operator;
use crate::text::Place;
use crate::trouble::Kind;

/// Arithmetic on two values of which one is a range at least.
///
/// # Errors
/// A divisor that holds 0, and what the ends do not come to.
pub(super) fn of_ranges(
    engine: &mut Engine<'_>,
    place: Place,
    operator: Operator,
    left: Value,
    right: Value,
    right_place: Place,
) -> Outcome {
    let (Some(left), Some(right)) = (as_range(left), as_range(right)) else {
        return Err(Stop::trouble(place, Kind::NoNumber { found: "something else".to_owned() }));
    };
    let range = match operator {
        Operator::Plus => Range {
            low: ends(&left.low, &right.low, Measured::plus),
            high: ends(&left.high, &right.high, Measured::plus),
        },
        Operator::Minus => Range {
            low: ends(&left.low, &right.high, Measured::minus),
            high: ends(&left.high, &right.low, Measured::minus),
        },
        Operator::Times | Operator::Over => scaled(engine, place, operator, &left, &right, right_place)?,
        Operator::Power => powers(engine, place, &left, &right)?,
    };
    Ok(range.into())
}

fn as_range(value: Value) -> Option<Range> {
    match value {
        Value::Number(number) => Some(Range::closed(number.clone(), number)),
        Value::Range(range) => Some(*range),
        _ => None,
    }
}

fn ends(
    one: &Option<Measured>,
    other: &Option<Measured>,
    rule: fn(&Measured, &Measured) -> Measured,
) -> Option<Measured> {
    Some(rule(one.as_ref()?, other.as_ref()?))
}

fn scaled(
    engine: &mut Engine<'_>,
    place: Place,
    operator: Operator,
    left: &Range,
    right: &Range,
    right_place: Place,
) -> Result<Range, Stop> {
    if operator == Operator::Over {
        check_divisor(engine, right, right_place)?;
    }
    let (Some((a, b)), Some((c, d))) = (left.ends(), right.ends()) else {
        return half_scaled(engine, place, operator, left, right);
    };
    let rule =
        |one: &Measured, other: &Measured| if operator == Operator::Times { one.times(other) } else { one.over(other) };
    if operator == Operator::Over {
        [c, d].into_iter().for_each(|divisor| note_rough_divisor(engine, divisor));
    }
    let corners = [rule(a, c), rule(a, d), rule(b, c), rule(b, d)];
    Range::spanning(corners).ok_or_else(|| Stop::trouble(place, Kind::NotFinite))
}

/// A divisor that is 0, or a range that holds 0.
fn check_divisor(engine: &Engine<'_>, divisor: &Range, place: Place) -> Result<(), Stop> {
    let at_most_nothing = divisor.low.as_ref().is_none_or(|low| low.value <= 0.0 || low.is_nothing());
    let at_least_nothing = divisor.high.as_ref().is_none_or(|high| high.value >= 0.0 || high.is_nothing());
    match at_most_nothing && at_least_nothing {
        true => Err(Stop::trouble(place, Kind::DivisionByNothing { divisor: engine.text(place) })),
        false => Ok(()),
    }
}

/// A range without one end, multiplied or divided by one value above 0.
fn half_scaled(
    engine: &Engine<'_>,
    place: Place,
    operator: Operator,
    left: &Range,
    right: &Range,
) -> Result<Range, Stop> {
    let (open, one) = if left.ends().is_some() { (right, left) } else { (left, right) };
    let factor = one.low.as_ref().filter(|factor| factor.value > 0.0 && one.high.as_ref() == Some(factor));
    let Some(factor) = factor else {
        return Err(Stop::trouble(place, Kind::OpenRangeScaled { range: engine.text(place) }));
    };
    Ok(open.mapped(|end| if operator == Operator::Times { end.times(factor) } else { end.over(factor) }))
}

fn powers(engine: &mut Engine<'_>, place: Place, left: &Range, right: &Range) -> Result<Range, Stop> {
    let (Some((low, high)), Some((exponent, _))) = (left.ends(), right.ends()) else {
        return Err(Stop::trouble(place, Kind::OpenRange));
    };
    let mut corners = vec![power(engine, place, low, exponent)?, power(engine, place, high, exponent)?];
    // An even power of a range that holds 0 reaches down to 0.
    if low.value < 0.0 && high.value > 0.0 {
        corners.push(power(engine, place, &Measured::exact(0.0), exponent)?);
    }
    Range::spanning(corners).ok_or_else(|| Stop::trouble(place, Kind::NotFinite))
}
