//! Functions of numbers, of ranges and of labels.

use super::settled;
use crate::checked::model::{Argument, Expression, Function, Remark, Rough};
use crate::quantity::shown::{self, Rounding};
use crate::quantity::{Measured, Range, Value};
use crate::trouble::Kind;
use crate::worked::engine::Engine;
use crate::worked::formulas;
use crate::worked::showing::Sizes;
use crate::worked::waiting::{Outcome, Stop, both};

/// Works a function of one number, or of a number and a step.
pub fn work(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    let first = settled(arguments.first(), call)?;
    match function {
        Function::Round | Function::RoundUp | Function::RoundDown => round(engine, call, function, arguments),
        Function::Low | Function::High | Function::Middle => of_range(engine, call, function, &first.value),
        Function::Amount => formulas::work(engine, &first.value),
        _ => match formulas::work(engine, &first.value)? {
            Value::Number(number) => of_number(engine, call, function, &number).map(Value::Number),
            Value::Range(range) => rising(engine, call, function, &range),
            _ => settled(None, call),
        },
    }
}

fn of_number(
    engine: &mut Engine<'_>,
    call: &Expression,
    function: Function,
    number: &Measured,
) -> Result<Measured, Stop> {
    let value = number.value;
    Ok(match function {
        Function::Sqrt => formulas::root(engine, call.place, number)?,
        Function::Abs => absolute(engine, number),
        Function::Sin => number.mapped(libm::sin(value), libm::cos(value)),
        Function::Cos => number.mapped(libm::cos(value), -libm::sin(value)),
        Function::Tan => tangent(engine, call, number)?,
        Function::Atan => number.mapped(libm::atan(value), 1.0 / (1.0 + value * value)),
        Function::Exp => {
            let raised = libm::exp(value);
            if raised < f64::MIN_POSITIVE {
                return Err(Stop::trouble(call.place, Kind::NumberTooSmall));
            }
            number.mapped(raised, raised)
        }
        _ => {
            if value <= 0.0 || number.is_nothing() {
                return Err(Stop::trouble(call.place, Kind::LogarithmOfNone { value: engine.text(call.place) }));
            }
            number.mapped(libm::log(value), 1.0 / value)
        }
    })
}

/// The size of a number, which is the root of its square: at 0 it turns, and first order knows one side of it only.
fn absolute(engine: &mut Engine<'_>, number: &Measured) -> Measured {
    if number.is_nothing() && !number.doubt.is_none() {
        engine.remark(Remark::RoughDoubt(Rough::RootAtNothing));
    }
    number.mapped(number.value.abs(), if number.value < 0.0 { -1.0 } else { 1.0 })
}

fn tangent(engine: &Engine<'_>, call: &Expression, number: &Measured) -> Result<Measured, Stop> {
    let cosine = libm::cos(number.value);
    if cosine.abs() <= 1e-12 {
        return Err(Stop::trouble(call.place, Kind::DivisionByNothing { divisor: engine.text(call.place) }));
    }
    Ok(number.mapped(libm::tan(number.value), 1.0 / (cosine * cosine)))
}

/// A range through a function that only rises.
fn rising(engine: &mut Engine<'_>, call: &Expression, function: Function, range: &Range) -> Outcome {
    let (low, high) = settled(range.ends(), call)?;
    let (low, high) = (of_number(engine, call, function, low)?, of_number(engine, call, function, high)?);
    Ok(Range::closed(low, high).into())
}

/// `round`, `round up`, `round down`: the value itself changes, and is exact from then on but for its step; a doubt that
/// nobody can state cannot be set aside.
fn round(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    let [value, step] = settled(<&[Argument; 2]>::try_from(arguments).ok(), call)?;
    let (found, size) = both(formulas::work(engine, &value.value), formulas::number(engine, &step.value))?;
    if size.value <= 0.0 || size.is_nothing() {
        return Err(Stop::trouble(step.value.place, Kind::StepNotAboveZero));
    }
    let rounding = match function {
        Function::RoundUp => Rounding::Up,
        Function::RoundDown => Rounding::Down,
        _ => Rounding::Nearest,
    };
    // A point of a temperature scale is rounded on its scale, not from absolute zero.
    let zero = value.value.kind.number().map_or(0.0, |kind| kind.unit.zero());
    let unit = value.value.kind.number().map_or(1.0, |kind| kind.unit.size());
    let one = |number: &Measured| {
        let steps = shown::step((number.value - zero) / unit, number.size / unit, size.value / unit, rounding);
        let rounded = steps * unit + zero;
        // Of the value nothing is left but how many steps it comes to; a step keeps its own doubt, as a scoop does.
        let own = size.doubt.scaled(steps * unit / size.value);
        Measured::new(rounded, if number.doubt.is_unknown() { number.doubt.clone() } else { own })
    };
    match found {
        Value::Number(number) => {
            note_set_aside(engine, value, &number, (step, &size));
            Ok(Value::Number(one(&number)))
        }
        Value::Range(range) => {
            [&range.low, &range.high].into_iter().flatten().for_each(|end| {
                note_set_aside(engine, value, end, (step, &size));
            });
            Ok(range.mapped(one).into())
        }
        other => Ok(other),
    }
}

/// Says which ± a rounding set aside: none of what comes to an exact number of steps, as scoops rounded to scoops do.
fn note_set_aside(engine: &mut Engine<'_>, argument: &Argument, number: &Measured, step: (&Argument, &Measured)) {
    if number.doubt.is_none() || number.over(step.1).doubt.is_none() {
        return;
    }
    let (Some(kind), Some(of_step)) = (argument.value.kind.number(), step.0.value.kind.number()) else { return };
    // Counted in a crew measure it may be surer than it is in the unit that it was rounded in.
    let unit = if kind.unit.crew_words().next().is_some() { &of_step.unit } else { &kind.unit };
    let sizes = Sizes { checked: engine.checked, slots: &engine.worked.slots, sources: &engine.worked.sources };
    let own = sizes.in_unit(number, unit).and_then(|own| sizes.summary(&own));
    let Some(half_width) = own.map(|summary| summary.half_width) else { return };
    let decimals = usize::try_from(shown::decimals(0.0, Some(half_width))).unwrap_or(0);
    let symbol = unit.symbol(&engine.checked.crew);
    let name = engine.text(argument.value.place);
    let said = format!("± {half_width:.decimals$} {symbol}");
    let remark = Remark::RoundedDoubt(format!("{} of {name}", said.trim_end()));
    engine.remark(remark);
}

fn of_range(engine: &mut Engine<'_>, call: &Expression, function: Function, argument: &Expression) -> Outcome {
    let range = match formulas::work(engine, argument)? {
        Value::Range(range) => range,
        _ => return settled(None, call),
    };
    let end = match function {
        Function::Low => range.low,
        Function::High => range.high,
        _ => range.ends().map(|(low, high)| low.plus(high).scaled(0.5)),
    };
    end.map(Value::Number).ok_or_else(|| Stop::trouble(call.place, Kind::OpenRange))
}
