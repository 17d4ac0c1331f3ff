//! Functions, a file for each family of the notation.

mod beds;
pub(super) mod doubts;
mod numbers;
mod patterns;
mod settings;
mod statistics;

use super::engine::{Engine, Kept};
use super::waiting::{Outcome, Stop};
use crate::checked::model::{Argument, Does, Expression, Function};
use crate::trouble::Kind;

/// Works a call of a function. In a column, one that is the same in every row (`sum(beds.area)`) is worked once.
pub fn call(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    if engine.row.is_none() {
        return work(engine, call, function, arguments);
    }
    match engine.kept.get(&call.place) {
        Some(Kept::OfEachRow) => work(engine, call, function, arguments),
        Some(Kept::OfAllRows(outcome, remarks)) => {
            let (outcome, remarks) = (outcome.clone(), remarks.clone());
            remarks.into_iter().for_each(|remark| engine.remark(remark));
            outcome
        }
        None => {
            let before = std::mem::take(&mut engine.remarks);
            let outcome = work(engine, call, function, arguments);
            let own = std::mem::replace(&mut engine.remarks, before);
            engine.remarks.extend(own.iter().cloned());
            let is_same = is_same_in_all_rows(call, false);
            engine
                .kept
                .insert(call.place, if is_same { Kept::OfAllRows(outcome.clone(), own) } else { Kept::OfEachRow });
            outcome
        }
    }
}

/// Whether a part of a column's formula looks at no cell of the row; a choice looks at cells of its own rows.
fn is_same_in_all_rows(part: &Expression, in_choice: bool) -> bool {
    match &part.does {
        Does::OuterCell(_) => false,
        Does::Cell(_) | Does::RowLabel => in_choice,
        Does::Call(_, arguments) => arguments.iter().all(|argument| {
            is_same_in_all_rows(&argument.value, in_choice)
                && argument.choice.as_ref().is_none_or(|choice| is_same_in_all_rows(choice, true))
        }),
        _ => {
            let mut is_same = true;
            part.each_part(&mut |inner| is_same &= is_same_in_all_rows(inner, in_choice));
            is_same
        }
    }
}

/// What has been made sure of where the call was settled, such as how many values it takes.
fn settled<T>(found: Option<T>, call: &Expression) -> Result<T, Stop> {
    found.ok_or_else(|| Stop::trouble(call.place, Kind::MissingValue))
}

fn work(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    use Function as F;
    match function {
        F::Mean | F::Median | F::Average | F::Sum | F::Count | F::Min | F::Max | F::Sd | F::Cv | F::Spread => {
            statistics::work(engine, call, function, arguments)
        }
        F::Sqrt
        | F::Abs
        | F::Round
        | F::RoundUp
        | F::RoundDown
        | F::Sin
        | F::Cos
        | F::Tan
        | F::Atan
        | F::Exp
        | F::Ln
        | F::Low
        | F::High
        | F::Middle
        | F::Amount => numbers::work(engine, call, function, arguments),
        F::Shown | F::GiveOrTake | F::StandardUncertainty | F::DegreesOfFreedom => {
            doubts::work(engine, call, function, arguments)
        }
        F::Circle
        | F::CircleAround
        | F::Ellipse
        | F::Triangle
        | F::Trapezoid
        | F::Quadrilateral
        | F::Offsets
        | F::Polygon => beds::work(engine, call, function, arguments),
        F::Interpolate | F::Pick => settings::work(engine, call, function, arguments),
        F::SwathCv | F::WidestSwath => patterns::work(engine, call, function, arguments),
    }
}
