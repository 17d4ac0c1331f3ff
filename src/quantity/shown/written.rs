//! Figures in writing: decimals, fractions and half-widths, such that the notation reads back what is written. It
//! rounds nothing but half-widths.

use super::steps::{decimals, exponent, to_digits};
use super::{Form, Rounding, Step};
use compact_str::CompactString;

/// From here on, and below the other, numbers are written with a power of ten.
const LARGE: f64 = 1e15;
const SMALL: f64 = 1e-6;

/// A number that is rounded already, written with so many decimals.
pub(super) fn decimal(number: f64, decimals: i32) -> String {
    let magnitude = number.abs();
    if magnitude >= LARGE && decimals >= 0 {
        return format!("{number:e}");
    }
    if magnitude >= LARGE || (magnitude < SMALL && number != 0.0) {
        let digits_after = (exponent(magnitude, 15) + decimals).max(0) as usize;
        return format!("{number:.digits_after$e}");
    }
    let places = decimals.max(0) as usize;
    format!("{number:.places$}")
}

/// A multiple of a step: as a fraction where the step was written as one, else with its decimals.
pub(super) fn figure(number: f64, step: &Step) -> String {
    match step.denominator {
        Some(denominator) => fraction(number, denominator),
        None => decimal(number, i32::from(step.decimals)),
    }
}

/// `1 1/2`, `3/4`, `-2`, in lowest terms.
fn fraction(number: f64, denominator: u32) -> String {
    // What is so large has no such parts left.
    if number.abs() >= LARGE / f64::from(denominator) {
        return format!("{number:e}");
    }
    let sign = if number < 0.0 { "-" } else { "" };
    let whole = libm::floor(number.abs());
    let parts = libm::round((number.abs() - whole) * f64::from(denominator)) as u32;
    let shared = greatest_common_divisor(parts, denominator);
    let (top, bottom) = (parts / shared, denominator / shared);
    match (whole > 0.0, top) {
        (_, 0) => format!("{sign}{whole:.0}"),
        (true, _) => format!("{sign}{whole:.0} {top}/{bottom}"),
        (false, _) => format!("{sign}{top}/{bottom}"),
    }
}

fn greatest_common_divisor(left: u32, right: u32) -> u32 {
    if right == 0 { left } else { greatest_common_divisor(right, left % right) }
}

/// A half-width with two significant digits, or with more decimals where a least number of them is asked for.
pub(super) fn half_width(half_width: f64, least: i32) -> String {
    let places = decimals(half_width, Some(half_width)).max(least);
    decimal(to_digits(half_width, half_width, places, Rounding::Nearest), places)
}

/// A step with its symbol: `1/2 tsp`, `$0.01`.
pub(super) fn named(step: &Step, form: &Form, names: &[CompactString]) -> String {
    let figure = figure(step.size, step);
    match (form, names.last()) {
        (_, None) => figure,
        (Form::Cents, Some(currency)) => format!("{currency}{figure}"),
        (_, Some(name)) => format!("{figure} {name}").trim_end().to_owned(),
    }
}
