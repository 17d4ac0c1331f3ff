//! How a number is shown: to the digits it deserves, to a step, or in measures a person has in hand. Showing never
//! changes a value. Numbers come in and go out in the unit they are shown in.

mod measures;
mod ranges;
mod steps;
#[cfg(test)]
mod tests;
mod written;

pub use ranges::{End, ShownRange, show_range};
pub use steps::{decimals, step, without_noise};

use compact_str::CompactString;
use measures::Amount;
use steps::{is_nothing, places, to_digits, to_step};
use written::{decimal, figure, named};

/// The step a result is shown to: `1/4` or `0.01`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Step {
    /// The step in the unit shown.
    pub size: f64,
    /// The denominator where the step was written as a fraction (`1/4`), so that figures are shown as fractions;
    /// 1 for a whole step (`5`), `None` for a decimal one (`0.25`).
    pub denominator: Option<u32>,
    /// Decimals of a decimal step as written: 2 for `0.25`.
    pub decimals: u8,
}

/// Which way a step rounds.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub enum Rounding {
    /// To the nearest step, ties away from zero.
    #[default]
    Nearest,
    /// `, up`
    Up,
    /// `, down`
    Down,
    /// Towards the inside of a range, for its lower end: up. (The upper end takes `Down`.)
    InwardLow,
    /// Towards the inside of a range, for its upper end: down.
    InwardHigh,
}

/// The form in which a number is shown in one unit, or in several that belong together.
#[derive(Debug, Clone, PartialEq)]
pub enum Form {
    /// With a ±, two significant digits of it; else four significant digits, whole-number digits never cut.
    Digits,
    /// To a step of one unit.
    Step(Step, Rounding),
    /// In measures, largest first (`[tbsp + 1/2 tsp]`), with carry. The number is in the first of them.
    Measures {
        /// How many of the next measure make one of this; one fewer than there are measures.
        ratios: Vec<f64>,
        /// The step of the last measure; `None` where it is written without one and shows digits.
        step: Option<Step>,
        /// Which way the last measure is rounded.
        rounding: Rounding,
    },
    /// Money alone: to the cent.
    Cents,
}

/// A number as shown.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Shown {
    /// The number that the text says, in the first unit: what `shown(x)` gives; 0 for *less than*.
    pub number: f64,
    /// The figures: `0.530`, `1 1/2`, `1/2 (7 % over)`; with their units only in measures, `2 tbsp 1 1/2 tsp`.
    pub text: String,
    /// The half-width: `0.028`, in measures with the last one's symbol; empty where there is none.
    pub give_or_take: String,
    /// What a step makes of it, where that has to be said; it stands in the text.
    pub off: Option<Off>,
}

/// What a step makes of a value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Off {
    /// It is so far from the value: `7 % over`.
    By(String),
    /// It is too large to show the value at all.
    TooLarge,
}

/// Shows an amount. The half-width is `None` or 0 where none is said; the names are the symbols of the unit, or of
/// the measures, largest first.
pub fn show(value: f64, size: f64, half_width: Option<f64>, form: &Form, names: &[CompactString]) -> Shown {
    let Rounded { number, mut text } = rounded(value, size, half_width, form, names);
    let step = form.step().filter(|_| !is_nothing(value, size));
    let off = match step {
        Some(_) if number == 0.0 => Some(Off::TooLarge),
        Some(_) => off_by(number, value).map(Off::By),
        None => None,
    };
    match (&off, step) {
        (Some(Off::By(off)), _) => text = format!("{text} ({off})"),
        (Some(Off::TooLarge), Some(step)) => text = too_small(value, &step, form, names),
        _ => {}
    }
    let give_or_take = give_or_take(half_width, form, names);
    let give_or_take = match off {
        Some(Off::TooLarge) => with_unit(give_or_take, form, names),
        _ => give_or_take,
    };
    Shown { number, text, give_or_take, off }
}

/// Shows a point of a scale, such as a temperature, of which no share can be said and whose 0 is no nothing: a step
/// that is off goes without its percentage, and 0 is 0.
pub fn show_point(value: f64, size: f64, half_width: Option<f64>, form: &Form, names: &[CompactString]) -> Shown {
    let Rounded { number, text } = rounded(value, size, half_width, form, names);
    Shown { number, text, give_or_take: give_or_take(half_width, form, names), off: None }
}

/// A number rounded to its form and written, before anything is said about how far off that is.
struct Rounded {
    number: f64,
    text: String,
}

fn rounded(value: f64, size: f64, half_width: Option<f64>, form: &Form, names: &[CompactString]) -> Rounded {
    match form {
        Form::Digits => digits(value, size, half_width),
        Form::Step(step, rounding) => stepped(value, size, step, *rounding),
        Form::Cents => stepped(value, size, &CENT, Rounding::Nearest),
        Form::Measures { ratios, step, rounding } => {
            let amount = Amount { value, size, half_width };
            measures::rounded(&amount, ratios, step.as_ref(), *rounding, names)
        }
    }
}

/// Below here a number has fewer digits than it would be shown with.
const LEAST: f64 = 1e-290;

fn digits(value: f64, size: f64, half_width: Option<f64>) -> Rounded {
    if value != 0.0 && value.abs() < LEAST {
        return Rounded { number: value, text: format!("{value:e}") };
    }
    let places = places(value, size, half_width);
    let number = to_digits(value, size, places, Rounding::Nearest);
    Rounded { number, text: decimal(number, places) }
}

fn stepped(value: f64, size: f64, step: &Step, rounding: Rounding) -> Rounded {
    let number = to_step(value, size, step, rounding);
    Rounded { number, text: figure(number, step) }
}

/// The smallest coin: a cent, or a penny.
const CENT: Step = Step { size: 0.01, denominator: None, decimals: 2 };

impl Form {
    /// The step that is shown to, if any.
    fn step(&self) -> Option<Step> {
        match self {
            Form::Digits => None,
            Form::Step(step, _) => Some(*step),
            Form::Measures { step, .. } => *step,
            Form::Cents => Some(CENT),
        }
    }
}

/// What stands in the place of a number that would be shown as 0 and is not nothing.
fn too_small(value: f64, step: &Step, form: &Form, names: &[CompactString]) -> String {
    let step = named(step, form, names);
    let side = if value < 0.0 { " below 0" } else { "" };
    format!("less than {step}{side}: too small for this measure")
}

/// A half-width with its unit, beside words that leave no other place for it; in measures it has one.
fn with_unit(half_width: String, form: &Form, names: &[CompactString]) -> String {
    match (form, names.last()) {
        (Form::Measures { .. }, _) | (_, None) => half_width,
        _ if half_width.is_empty() => half_width,
        (Form::Cents, Some(currency)) => format!("{currency}{half_width}"),
        (_, Some(name)) => format!("{half_width} {name}").trim_end().to_owned(),
    }
}

/// How far a number shown lies from its value, in whole percent, where that is more than 1 %: `7 % over`.
fn off_by(number: f64, value: f64) -> Option<String> {
    let percent = (number.abs() / value.abs() - 1.0) * 100.0;
    // A percentage of just 1 is not more than 1; the sameness of values is that of hundreds of percent here.
    if value == 0.0 || percent.abs() <= 1.0 + 1e-9 {
        return None;
    }
    Some(format!("{} % {}", decimal(percent.abs().round(), 0), if percent > 0.0 { "over" } else { "under" }))
}

/// The half-width with two significant digits, money's at least to the cent.
fn give_or_take(half_width: Option<f64>, form: &Form, names: &[CompactString]) -> String {
    let Some(half_width) = half_width.filter(|half_width| *half_width > 0.0) else {
        return String::new();
    };
    match form {
        Form::Cents => written::half_width(half_width, 2),
        Form::Measures { ratios, .. } => {
            let last = written::half_width(half_width * ratios.iter().product::<f64>(), i32::MIN);
            names.last().map_or_else(|| last.clone(), |name| format!("{last} {name}"))
        }
        _ => written::half_width(half_width, i32::MIN),
    }
}
