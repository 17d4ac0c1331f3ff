//! A number split over measures a person has in hand, largest first, with carry: `2 tbsp 1 1/2 tsp`, never 3 tsp.

use super::steps::{count, places, to_digits, to_step};
use super::written::{decimal, figure};
use super::{Rounded, Rounding, Step};
use compact_str::CompactString;

/// What is to be split, in the first measure.
pub(super) struct Amount {
    pub value: f64,
    pub size: f64,
    pub half_width: Option<f64>,
}

pub(super) fn rounded(
    amount: &Amount,
    ratios: &[f64],
    step: Option<&Step>,
    rounding: Rounding,
    names: &[CompactString],
) -> Rounded {
    let places = places_of_last(amount, ratios);
    let rounding = if amount.value < 0.0 { turned(rounding) } else { rounding };
    let mut wholes = Vec::with_capacity(ratios.len());
    let (mut rest, mut size) = (amount.value.abs(), amount.size);
    for ratio in ratios {
        let whole = count(rest, size, 1.0, Rounding::Down);
        wholes.push(whole);
        rest = (rest - whole).max(0.0) * ratio;
        size *= ratio;
    }
    let mut last = match step {
        Some(step) => to_step(rest, size, step, rounding),
        None => to_digits(rest, size, places, rounding),
    };
    carry(&mut wholes, &mut last, ratios);
    let number = libm::copysign(together(&wholes, last, ratios), amount.value) + 0.0;
    let last_text = step.map_or_else(|| decimal(last, places), |step| figure(last, step));
    let text = text(&wholes, (last, &last_text), number < 0.0, names);
    Rounded { number, text }
}

/// The decimals of a last measure without a step: those that the whole amount would have in it.
fn places_of_last(amount: &Amount, ratios: &[f64]) -> i32 {
    let in_last: f64 = ratios.iter().product();
    places(amount.value * in_last, amount.size * in_last, amount.half_width.map(|half_width| half_width * in_last))
}

/// Of a negative amount the magnitude is rounded, so up is down.
fn turned(rounding: Rounding) -> Rounding {
    match rounding {
        Rounding::Nearest => Rounding::Nearest,
        Rounding::Up | Rounding::InwardLow => Rounding::Down,
        Rounding::Down | Rounding::InwardHigh => Rounding::Up,
    }
}

/// Turns a last measure that has become a whole one of the next larger into that, and so on upwards.
fn carry(wholes: &mut [f64], last: &mut f64, ratios: &[f64]) {
    let mut smaller = last;
    for (whole, ratio) in wholes.iter_mut().zip(ratios).rev() {
        if *smaller < ratio * (1.0 - 1e-12) {
            break;
        }
        *smaller = 0.0;
        *whole += 1.0;
        smaller = whole;
    }
}

/// The parts added up again, in the first measure.
fn together(wholes: &[f64], last: f64, ratios: &[f64]) -> f64 {
    wholes.iter().zip(ratios).rev().fold(last, |smaller, (whole, ratio)| whole + smaller / ratio)
}

/// The parts that are not 0, each with its symbol; `0` of the last measure where there is none.
fn text(wholes: &[f64], (last, last_text): (f64, &str), negative: bool, names: &[CompactString]) -> String {
    let nothing = last == 0.0 && wholes.iter().all(|whole| *whole == 0.0);
    let figures = wholes.iter().map(|whole| (*whole, decimal(*whole, 0)));
    let last = if nothing { (1.0, "0".to_owned()) } else { (last, last_text.to_owned()) };
    let parts: Vec<String> = figures
        .chain([last])
        .zip(names)
        .filter(|((number, _), _)| *number != 0.0)
        .map(|((_, figure), name)| format!("{figure} {name}"))
        .collect();
    format!("{}{}", if negative { "-" } else { "" }, parts.join(" "))
}
