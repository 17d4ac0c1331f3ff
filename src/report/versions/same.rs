//! Whether two values are the same, and how far one has changed from the other.

use super::side::{Found, State};
use crate::checked::algebra::difference_unit;
use crate::checked::model::ShownIn;
use crate::checked::types::{NumberType, Type};
use crate::quantity::{Measured, Range, Summary, Value};
use crate::report::shown::Shower;
use crate::report::spaces::HELD;
use crate::units::vocabulary::Ratio;

/// Two values that differ by no more than this share of the larger size have the same fifteen digits.
const FIFTEEN_DIGITS: f64 = 1e-14;

/// Two doubts that differ by no more than this share are the same.
const SAME_DOUBT: f64 = 1e-9;

/// How two values stand to each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sameness {
    /// They are the same, doubt and all.
    Same,
    /// The same value, with another doubt.
    OtherDoubt,
    /// They differ.
    Differs,
}

impl Sameness {
    fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Differs, _) | (_, Self::Differs) => Self::Differs,
            (Self::OtherDoubt, _) | (_, Self::OtherDoubt) => Self::OtherDoubt,
            (Self::Same, Self::Same) => Self::Same,
        }
    }
}

/// Whether a value is the same on both sides: numbers to fifteen digits, whatever units they are in.
pub fn sameness(was: &Found<'_>, is: &Found<'_>) -> Sameness {
    if !is_same_kind(was, is) {
        return Sameness::Differs;
    }
    match (&was.state, &is.state) {
        (State::Value(one), State::Value(other)) => values(one, was, other, is),
        (State::List(one), State::List(other)) if one.len() == other.len() => {
            let each = one.iter().zip(*other).map(|pair| match pair {
                (Ok(one), Ok(other)) => values(one, was, other, is),
                (Err(_), Err(_)) => Sameness::Same,
                _ => Sameness::Differs,
            });
            each.fold(Sameness::Same, Sameness::and)
        }
        (State::Waits(one), State::Waits(other)) if one == other => Sameness::Same,
        (State::Trouble, State::Trouble) => Sameness::Same,
        _ => Sameness::Differs,
    }
}

/// Whether both measure the same, and are of the same; what waits may have no type yet.
fn is_same_kind(was: &Found<'_>, is: &Found<'_>) -> bool {
    match (was.kind.each(), is.kind.each()) {
        (Type::Number(one), Type::Number(other)) => {
            let labels = |shown: &[ShownIn]| shown.first().map(|shown| (shown.of.clone(), shown.per.clone()));
            measure_the_same((one, was), (other, is))
                && one.is_range() == other.is_range()
                && labels(was.shown) == labels(is.shown)
        }
        (one, other) => std::mem::discriminant(one) == std::mem::discriminant(other),
    }
}

fn values(one: &Value, was: &Found<'_>, other: &Value, is: &Found<'_>) -> Sameness {
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => numbers(one, was, other, is),
        (Value::Range(one), Value::Range(other)) => {
            let end = |one: &Option<Measured>, other: &Option<Measured>| match (one, other) {
                (Some(one), Some(other)) => numbers(one, was, other, is),
                (None, None) => Sameness::Same,
                _ => Sameness::Differs,
            };
            end(&one.low, &other.low).and(end(&one.high, &other.high))
        }
        (Value::Date(one), Value::Date(other)) => plain(one.to_string() == other.to_string()),
        (one, other) => plain(one == other),
    }
}

fn plain(is_same: bool) -> Sameness {
    if is_same { Sameness::Same } else { Sameness::Differs }
}

fn numbers(one: &Measured, was: &Found<'_>, other: &Measured, is: &Found<'_>) -> Sameness {
    let size = one.size.max(other.size).max(one.value.abs()).max(other.value.abs());
    if (one.told() - other.told()).abs() > FIFTEEN_DIGITS * size {
        return Sameness::Differs;
    }
    let close = |one: f64, other: f64| one == other || (one - other).abs() <= SAME_DOUBT * one.abs().max(other.abs());
    let is_same = match (summary(one, was), summary(other, is)) {
        (Some(one), Some(other)) => {
            close(one.standard, other.standard)
                && close(one.half_width, other.half_width)
                && close(one.freedom, other.freedom)
        }
        (one, other) => one.is_none() && other.is_none(),
    };
    if is_same { Sameness::Same } else { Sameness::OtherDoubt }
}

/// The doubt of a number in the unit that it is shown in.
fn summary(number: &Measured, found: &Found<'_>) -> Option<Summary> {
    let doubt = found.shown.first().and_then(|shown| found.sizes.doubt_in(number, &shown.unit));
    doubt.as_ref().unwrap_or(&number.doubt).summary(found.sizes.sources)
}

/// The change from one value to another, in words, numbers held together with their units; empty where none can be said.
pub fn change(was: &Found<'_>, is: &Found<'_>, shower: &Shower<'_>) -> String {
    let (State::Value(one), State::Value(other)) = (&was.state, &is.state) else { return String::new() };
    let (Type::Number(kind), true) = (is.kind, is_same_dimension(was, is)) else {
        return of_dates(one, other);
    };
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => of_numbers(one, other, kind, is.shown, shower),
        (Value::Range(one), Value::Range(other)) => of_ranges(one, other, kind, is.shown, shower),
        _ => String::new(),
    }
}

/// Whether both are numbers that measure the same, each in the currency and the counters of its own worksheet.
fn is_same_dimension(was: &Found<'_>, is: &Found<'_>) -> bool {
    match (was.kind, is.kind) {
        (Type::Number(one), Type::Number(other)) => measure_the_same((one, was), (other, is)),
        _ => false,
    }
}

fn measure_the_same((one, was): (&NumberType, &Found<'_>), (other, is): (&NumberType, &Found<'_>)) -> bool {
    let is_same = was.sizes.checked.bases(&one.dimension) == is.sizes.checked.bases(&other.dimension);
    is_same && one.is_point == other.is_point
}

fn of_dates(one: &Value, other: &Value) -> String {
    let (Value::Date(one), Value::Date(other)) = (one, other) else { return String::new() };
    let Ok(span) = other.minus(one) else { return String::new() };
    let (size, unit) = if span.in_days { (86_400.0, "days") } else { (3_600.0, "hours") };
    let count = span.seconds / size;
    let unit = if count.abs() == 1.0 { unit.trim_end_matches('s') } else { unit };
    format!("{}{HELD}{unit}", signed(count))
}

fn of_ranges(one: &Range, other: &Range, kind: &NumberType, shown: &[ShownIn], shower: &Shower<'_>) -> String {
    let end = |one: &Option<Measured>, other: &Option<Measured>| {
        Some(of_numbers(one.as_ref()?, other.as_ref()?, kind, shown, shower))
    };
    let (low, high) = (end(&one.low, &other.low), end(&one.high, &other.high));
    match (low, high) {
        (Some(low), Some(high)) if low == high => low,
        (Some(low), Some(high)) => {
            let or_none = |change: String| if change.is_empty() { format!("0{HELD}%") } else { change };
            format!("{} and {}", or_none(low), or_none(high))
        }
        (low, high) => low.or(high).unwrap_or_default(),
    }
}

/// The change of what is in percent itself, in points: `-3.73 points`.
pub fn points(was: &Found<'_>, is: &Found<'_>) -> Option<String> {
    let (State::Value(Value::Number(one)), State::Value(Value::Number(other))) = (&was.state, &is.state) else {
        return None;
    };
    let is_percent = |kind: &Type| kind.number().is_some_and(|number| number.ratio == Some(Ratio::Percent));
    (is_percent(was.kind) && is_percent(is.kind))
        .then(|| format!("{} points", signed((other.value - one.value) * 100.0)))
}

/// In percent of what it was; of a point of a temperature scale the difference.
fn of_numbers(one: &Measured, other: &Measured, kind: &NumberType, shown: &[ShownIn], shower: &Shower<'_>) -> String {
    let size = one.size.max(other.size);
    let difference = other.told() - one.told();
    if difference.abs() <= FIFTEEN_DIGITS * size {
        return String::new();
    }
    if kind.is_point {
        let shown = shown.first().map(|shown| ShownIn { unit: difference_unit(&shown.unit), ..shown.clone() });
        let words = shown.and_then(|shown| shower.with_half_width(&Measured::exact(difference), None, &shown));
        let sign = if difference > 0.0 { "+" } else { "" };
        return words.map(|words| format!("{sign}{words}")).unwrap_or_default();
    }
    if one.is_nothing() {
        return "from 0".to_owned();
    }
    format!("{}{HELD}%", signed(difference / one.value.abs() * 100.0))
}

/// A number with its sign and three significant digits, whole ones never cut.
fn signed(number: f64) -> String {
    // A change is told to three digits; what binary arithmetic leaves of -10 is -10.
    let number: f64 = format!("{number:.11e}").parse().unwrap_or(number);
    let magnitude = libm::floor(libm::log10(number.abs().max(f64::MIN_POSITIVE)));
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "between 0 and 17")]
    let decimals = (2.0 - magnitude).clamp(0.0, 17.0) as usize;
    let decimals = if number.fract() == 0.0 { 0 } else { decimals };
    format!("{number:+.decimals$}")
}

#[cfg(test)]
mod tests {
    use super::signed;

    #[test]
    fn a_change_has_three_digits() {
        let found = [3.0303, -12.5, 150.0, 1234.56, 0.01234, -0.000_01, 1.0, -9.999_999_999_999_9].map(signed);
        assert_eq!(found, ["+3.03", "-12.5", "+150", "+1235", "+0.0123", "-0.0000100", "+1", "-10"]);
    }
}
