//! Functions, a file for each family of the notation.

mod beds;
mod doubts;
mod numbers;
mod patterns;
mod settings;
mod statistics;

use super::engine::Engine;
use super::waiting::Outcome;
use crate::checked::model::{Argument, Expression, Function};

/// Works a call of a function.
pub fn call(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
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
