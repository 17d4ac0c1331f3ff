//! Formulas worked: arithmetic on numbers with doubt, on ranges as intervals, on dates.

use super::conditions::{self, Truth};
use super::engine::Engine;
use super::functions;
use super::ranges;
use super::waiting::{Outcome, Stop, Wait, both};
use crate::checked::model::{Does, Expression, Node, Remark, Rough};
use crate::checked::types::Type;
use crate::quantity::date::SpanError;
use crate::quantity::{Measured, Moment, Range, Value};
use crate::syntax::tree::Operator;
use crate::text::Place;
use crate::trouble::Kind;

/// Works a formula.
pub fn work(engine: &mut Engine<'_>, expression: &Expression) -> Outcome {
    if is_number(expression) {
        return number(engine, expression).map(Value::Number);
    }
    let value = other(engine, expression)?;
    finite(expression.place, value)
}

/// Whether a formula comes to one number.
pub fn is_number(expression: &Expression) -> bool {
    matches!(&expression.kind, Type::Number(number) if number.range.is_none())
}

/// Works a formula to one number.
///
/// # Errors
/// What it waits on, or why it cannot be worked.
pub fn number(engine: &mut Engine<'_>, expression: &Expression) -> Result<Measured, Stop> {
    let mut number = Measured::default();
    number_into(engine, expression, &mut number)?;
    Ok(number)
}

/// Works a formula to one number and puts it into `number`, where the parts of it are worked too: most of the time
/// would else go into handing numbers on.
///
/// # Errors
/// What it waits on, or why it cannot be worked; `number` is then no number to go by.
pub fn number_into(engine: &mut Engine<'_>, expression: &Expression, number: &mut Measured) -> Result<(), Stop> {
    match &expression.does {
        Does::Negative(inner) => {
            number_into(engine, inner, number)?;
            *number = number.negated();
        }
        // A date less another comes to a number too.
        Does::Arithmetic(operator, left, right) if *operator != Operator::Power && is_number(left) => {
            let found = number_into(engine, left, number);
            let is_rough = match standing(engine, right) {
                Some(other) => {
                    found?;
                    of_two(engine, *operator, number, other, right.place)?
                }
                None => {
                    let mut other = Measured::default();
                    let other_found = number_into(engine, right, &mut other);
                    both(found, other_found)?;
                    of_two(engine, *operator, number, &other, right.place)?
                }
            };
            if is_rough {
                note_rough(engine);
            }
        }
        _ => match standing(engine, expression) {
            // It has been found to be finite when it came about.
            Some(standing) => {
                number.clone_from(standing);
                return Ok(());
            }
            None => *number = one(engine, expression)?,
        },
    }
    sound(expression.place, number)
}

/// A number that is there already: one that the formula has, or the value of a slot or of a cell of the row.
pub(super) fn standing<'v>(engine: &'v Engine<'_>, part: &'v Expression) -> Option<&'v Measured> {
    match &part.does {
        Does::Number(number) => Some(number),
        Does::Slot(slot) => engine.worked.slots.get(*slot)?.as_ref().ok()?.number(),
        Does::Cell(column) => {
            let (table, row) = engine.row?;
            engine.worked.columns.get(table)?.get(*column)?.get(row)?.as_ref().ok()?.number()
        }
        _ => None,
    }
}

/// What comes to one number by another way.
fn one(engine: &mut Engine<'_>, expression: &Expression) -> Result<Measured, Stop> {
    match other(engine, expression)? {
        Value::Number(number) => Ok(number),
        _ => Err(Stop::trouble(expression.place, Kind::RangeNotTaken { name: engine.text(expression.place) })),
    }
}

/// Works any formula, whatever it comes to.
fn other(engine: &mut Engine<'_>, expression: &Expression) -> Outcome {
    let place = expression.place;
    match &expression.does {
        Does::Number(number) => Ok(Value::Number(number.clone())),
        Does::Text(text) => Ok(Value::Text(text.as_str().into())),
        Does::Date(moment) => Ok(Value::Date(*moment)),
        Does::YesNo(yes) => Ok(Value::YesNo(*yes)),
        Does::Today => Ok(Value::Date(engine.today)),
        Does::Slot(slot) => slot_value(engine, *slot),
        Does::Cell(column) => cell_value(engine, engine.row, *column),
        Does::OuterCell(column) => cell_value(engine, engine.outer_row, *column),
        Does::RowLabel => row_label(engine),
        // Several values stand only where a function takes them.
        Does::Column(..) => Err(Stop::wait(Wait::Unread)),
        Does::Negative(inner) => work(engine, inner).map(negative),
        Does::Arithmetic(operator, left, right) => {
            let (one, other) = both(work(engine, left), work(engine, right))?;
            arithmetic(engine, place, *operator, (one, left.place), (other, right.place))
        }
        Does::Share(share, whole) => {
            let (share, whole) = both(work(engine, share), work(engine, whole))?;
            arithmetic(engine, place, Operator::Times, (share, place), (whole, place))
        }
        Does::To(low, high) => {
            let (low, high) = both(number(engine, low), number(engine, high))?;
            match low.compare(&high) {
                std::cmp::Ordering::Greater => {
                    Err(Stop::trouble(place, Kind::RangeBackward { range: engine.text(place) }))
                }
                _ => Ok(Range::closed(low, high).into()),
            }
        }
        Does::Call(function, arguments) => functions::call(engine, expression, *function, arguments),
        Does::If(condition, then, otherwise) => match conditions::holds(engine, condition)? {
            Truth::Yes => work(engine, then),
            Truth::No => work(engine, otherwise),
            Truth::InPart => {
                Err(Stop::trouble(condition.place, Kind::HoldsInPart { condition: engine.text(condition.place) }))
            }
        },
        Does::Comparison(..)
        | Does::WithinRange(..)
        | Does::WithinDistance(..)
        | Does::WithinShare(..)
        | Does::Not(_)
        | Does::Both(..)
        | Does::Either(..) => match conditions::holds(engine, expression)? {
            Truth::Yes => Ok(Value::YesNo(true)),
            Truth::No | Truth::InPart => Ok(Value::YesNo(false)),
        },
    }
}

/// Refuses a range whose ends are no finite numbers; single numbers are looked at where they come about.
fn finite(place: Place, value: Value) -> Outcome {
    let is_sound = match &value {
        Value::Range(range) => [&range.low, &range.high].into_iter().flatten().all(is_finite),
        _ => true,
    };
    if is_sound { Ok(value) } else { Err(Stop::trouble(place, Kind::NotFinite)) }
}

/// Refuses a number that is not finite, or that became too small.
fn sound(place: Place, number: &Measured) -> Result<(), Stop> {
    match number {
        number if is_finite(number) => Ok(()),
        number if number.is_too_small() => Err(Stop::trouble(place, Kind::NumberTooSmall)),
        _ => Err(Stop::trouble(place, Kind::NotFinite)),
    }
}

/// Whether a number and its doubt are finite.
pub(super) fn is_finite(number: &Measured) -> bool {
    number.value.is_finite() && number.size.is_finite() && number.doubt.parts().iter().all(|(_, part)| part.is_finite())
}

/// The value of a slot.
pub fn slot_value(engine: &Engine<'_>, slot: usize) -> Outcome {
    engine.worked.slots.get(slot).cloned().unwrap_or(Err(Stop::wait(Wait::Broken(Node::Slot(slot)))))
}

fn cell_value(engine: &Engine<'_>, row: Option<(usize, usize)>, column: usize) -> Outcome {
    let cell = row.and_then(|(table, row)| engine.worked.columns.get(table)?.get(column)?.get(row));
    cell.cloned().unwrap_or(Err(Stop::wait(Wait::Unread)))
}

fn row_label(engine: &Engine<'_>) -> Outcome {
    let row = engine.row.and_then(|(table, row)| engine.checked.tables.get(table)?.rows.get(row));
    row.map(|row| Value::Text(row.label.as_str().into())).ok_or(Stop::wait(Wait::Unread))
}

fn negative(value: Value) -> Value {
    match value {
        Value::Number(number) => Value::Number(number.negated()),
        Value::Range(range) => range.mapped(Measured::negated).turned().into(),
        other => other,
    }
}

/// Arithmetic on two values that have been checked to go together.
pub fn arithmetic(
    engine: &mut Engine<'_>,
    place: Place,
    operator: Operator,
    (left, left_place): (Value, Place),
    (right, right_place): (Value, Place),
) -> Outcome {
    match (left, right) {
        (Value::Number(left), Value::Number(right)) => {
            of_numbers(engine, place, operator, &left, &right, right_place).map(Value::Number)
        }
        (Value::Date(date), Value::Date(other)) => match date.minus(&other) {
            Ok(span) => Ok(Value::Number(Measured::exact(span.seconds))),
            Err(error) => Err(Stop::trouble(place, date_trouble(&error))),
        },
        // A date is never taken from a time: such a formula is refused before it is worked.
        (Value::Number(time), Value::Date(date)) => moved(engine, place, &date, &time, left_place),
        (Value::Date(date), Value::Number(time)) => {
            let time = if operator == Operator::Minus { time.negated() } else { time };
            moved(engine, place, &date, &time, right_place)
        }
        (left, right) => ranges::of_ranges(engine, place, operator, left, right, right_place),
    }
}

/// A date moved by a time, whose ± a date cannot keep.
fn moved(engine: &mut Engine<'_>, place: Place, date: &Moment, time: &Measured, time_place: Place) -> Outcome {
    if !time.doubt.is_none() {
        engine.remark(Remark::RoundedDoubt(format!("the ± of {}", engine.text(time_place))));
    }
    date.plus(time).map(Value::Date).map_err(|error| Stop::trouble(place, date_trouble(&error)))
}

fn date_trouble(error: &SpanError) -> Kind {
    match error {
        SpanError::Mixed => Kind::MixedDates,
        SpanError::PartOfDay => Kind::PartOfDay,
        SpanError::OutOfYears => Kind::OutOfYears,
    }
}

fn of_numbers(
    engine: &mut Engine<'_>,
    place: Place,
    operator: Operator,
    left: &Measured,
    right: &Measured,
    right_place: Place,
) -> Result<Measured, Stop> {
    if operator == Operator::Power {
        return power(engine, place, left, right);
    }
    let mut number = left.clone();
    if of_two(engine, operator, &mut number, right, right_place)? {
        note_rough(engine);
    }
    Ok(number)
}

/// A sum, difference, product or quotient put in the place of its left side; whether first order is rough there.
fn of_two(
    engine: &Engine<'_>,
    operator: Operator,
    number: &mut Measured,
    other: &Measured,
    other_place: Place,
) -> Result<bool, Stop> {
    match operator {
        Operator::Plus => number.add(other),
        Operator::Minus => number.subtract(other),
        Operator::Times => number.multiply(other),
        Operator::Over | Operator::Power => {
            if other.is_nothing() {
                return Err(Stop::trouble(other_place, Kind::DivisionByNothing { divisor: engine.text(other_place) }));
            }
            number.divide(other);
            return Ok(is_rough_divisor(engine, other));
        }
    }
    Ok(false)
}

/// A divisor with over 20 % doubt makes first order rough.
pub fn note_rough_divisor(engine: &mut Engine<'_>, divisor: &Measured) {
    if is_rough_divisor(engine, divisor) {
        note_rough(engine);
    }
}

/// Whether a divisor has over 20 % doubt.
pub(super) fn is_rough_divisor(engine: &Engine<'_>, divisor: &Measured) -> bool {
    if divisor.doubt.is_none() {
        return false;
    }
    let half_width = divisor.doubt.summary(&engine.worked.sources).map_or(0.0, |summary| summary.half_width);
    Measured::exact(half_width).compare(&Measured::exact(0.2 * divisor.value.abs())).is_gt()
}

/// Notes that one has.
pub(super) fn note_rough(engine: &mut Engine<'_>) {
    engine.remark(Remark::RoughDoubt(Rough::Divisor));
}

/// `base ^ exponent`; whole powers by multiplication, which every machine does alike.
pub(super) fn power(
    engine: &mut Engine<'_>,
    place: Place,
    base: &Measured,
    exponent: &Measured,
) -> Result<Measured, Stop> {
    let (value, power) = (base.told(), exponent.value);
    let is_whole = power.fract() == 0.0;
    if base.is_nothing() && power <= 0.0 {
        return Err(Stop::trouble(place, Kind::DivisionByNothing { divisor: engine.text(place) }));
    }
    // Beside a whole power of a negative number lie powers that are none: in doubt, it cannot be told from these.
    if value < 0.0 && !(is_whole && exponent.doubt.is_none()) {
        return Err(Stop::trouble(place, Kind::RootOfNegative { value: engine.text(place) }));
    }
    let raised = libm::pow(value, power);
    if value != 0.0 && raised.abs() < f64::MIN_POSITIVE {
        return Err(Stop::trouble(place, Kind::NumberTooSmall));
    }
    if value == 0.0 && power < 1.0 && !base.doubt.is_none() {
        return Ok(rough_root(engine, place));
    }
    let derivative = if value == 0.0 { if power == 1.0 { 1.0 } else { 0.0 } } else { power * raised / value };
    if value == 0.0 && power != 1.0 && !base.doubt.is_none() {
        engine.remarks.push(Remark::RoughDoubt(Rough::RootAtNothing));
    }
    let of_base = base.mapped(raised, derivative);
    if exponent.doubt.is_none() {
        return Ok(of_base);
    }
    let of_exponent = if value > 0.0 { raised * libm::log(value) } else { 0.0 };
    let doubt = of_base.doubt.combined(1.0, &exponent.doubt, of_exponent);
    Ok(Measured { doubt, ..of_base })
}

/// A root at 0, where the derivative has no end: its doubt cannot be told to first order.
pub fn rough_root(engine: &mut Engine<'_>, place: Place) -> Measured {
    let name = engine.text(place);
    let doubt = engine.root_doubt(&name);
    Measured { value: 0.0, size: 0.0, doubt }
}

/// A square root.
///
/// # Errors
/// Where the value is negative, or no finite number.
pub fn root(engine: &mut Engine<'_>, place: Place, value: &Measured) -> Result<Measured, Stop> {
    // What is beyond all numbers is nothing beside its size, too.
    sound(place, value)?;
    if value.is_nothing() {
        return Ok(if value.doubt.is_none() { Measured::exact(0.0) } else { rough_root(engine, place) });
    }
    if value.value < 0.0 {
        return Err(Stop::trouble(place, Kind::RootOfNegative { value: engine.text(place) }));
    }
    let root = value.value.sqrt();
    Ok(value.mapped(root, 0.5 / root))
}
