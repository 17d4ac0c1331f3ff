//! Rounding to digits and to steps, with the twelve-digit sameness of the notation. It writes no text.

use super::super::measured::SAMENESS;
use super::{Rounding, Step};

/// Whole numbers up to here are exact; what is larger has no digits left to round.
const EXACT: f64 = 9_007_199_254_740_992.0;

/// How many decimals are shown where there is no step (negative: so many whole-number digits are rounded away). With
/// a half-width, two significant digits of it (GUM 7.2.6); else four significant digits of the value, whole-number
/// digits never cut. `0.530 ± 0.028`: 3.
pub fn decimals(value: f64, half_width: Option<f64>) -> i32 {
    match half_width {
        Some(half_width) if half_width > 0.0 => 1 - exponent(half_width, 1),
        _ if value == 0.0 => 0,
        _ => (3 - exponent(value, 3)).max(0),
    }
}

/// The decimals that are shown in fact: no digits that binary arithmetic has lost, none of a bare nothing, and at
/// least one of what is not nothing, however far below its doubt.
pub(super) fn places(value: f64, size: f64, half_width: Option<f64>) -> i32 {
    let doubted = half_width.is_some_and(|half_width| half_width > 0.0);
    if is_nothing(value, size) && !doubted {
        return 0;
    }
    let places = meaningful(decimals(value, half_width), size.max(value.abs()));
    let vanishes = count(value, size, power_of_ten(-places), Rounding::Nearest) == 0.0;
    if vanishes && !is_nothing(value, size) { -exponent(value, 0) } else { places }
}

/// Decimals cut to twelve digits of the size.
fn meaningful(decimals: i32, size: f64) -> i32 {
    if size == 0.0 { decimals } else { decimals.min((11 - exponent(size, 0)).max(0)) }
}

/// The power of ten of a number's first digit, once it is rounded to that digit and so many after it: -1 for 0.0996
/// rounded to `1.0e-1`.
pub(super) fn exponent(value: f64, digits_after: i32) -> i32 {
    let value = value.abs() * (1.0 + SAMENESS);
    if value == 0.0 || !value.is_finite() {
        return 0;
    }
    // The logarithm may miss a power of ten by its last bit, either way: what is so near to one counts as that.
    let exponent = libm::floor(libm::log10(value)) as i32;
    let carries_from = (10.0 - 0.5 * power_of_ten(-digits_after)) * power_of_ten(exponent);
    if value >= carries_from { exponent + 1 } else { exponent }
}

/// A power of ten, correctly rounded.
pub(super) fn power_of_ten(exponent: i32) -> f64 {
    const EXACT_POWERS: [f64; 16] =
        [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];
    let known = EXACT_POWERS.get(exponent.unsigned_abs() as usize);
    match known {
        Some(power) if exponent >= 0 => *power,
        Some(power) => 1.0 / power,
        None => format!("1e{exponent}").parse().unwrap_or(f64::INFINITY),
    }
}

/// The multiple of a step that a value rounds to, all in one unit. Ties go away from zero; what differs from a
/// multiple or a tie by no more than twelve digits of the size is that multiple or tie. `round(x, 1/4 fl oz)`
pub fn step(value: f64, size: f64, step: f64, rounding: Rounding) -> f64 {
    let count = count(value, size, step, rounding);
    let per_one = libm::round(1.0 / step);
    // A step of 0.1 is not exact in binary, one tenth of a whole number is as near as can be.
    if same(per_one * step, 1.0) { count / per_one } else { count * step }
}

/// The multiple of a step as written, by exact parts of the step: 3 times `0.1` is 0.3.
pub(super) fn to_step(value: f64, size: f64, step: &Step, rounding: Rounding) -> f64 {
    let count = count(value, size, step.size, rounding);
    let parts = step.denominator.map_or_else(|| power_of_ten(i32::from(step.decimals)), f64::from);
    let numerator = libm::round(step.size * parts);
    if same(numerator / parts, step.size) { count * numerator / parts } else { count * step.size }
}

/// A value rounded to so many decimals.
pub(super) fn to_digits(value: f64, size: f64, decimals: i32, rounding: Rounding) -> f64 {
    let count = count(value, size, power_of_ten(-decimals), rounding);
    if decimals >= 0 { count / power_of_ten(decimals) } else { count * power_of_ten(-decimals) }
}

/// A value to the digits that are left of it: fifteen of its size. A point of a temperature scale has lost those that
/// its distance from absolute zero takes up, and 84.965 °F would come back as 84.96500000000003.
pub fn without_noise(value: f64, size: f64) -> f64 {
    to_digits(value, size, 14 - exponent(size, 14), Rounding::Nearest)
}

/// How many steps a value comes to: a whole number, never a negative zero. What is nothing for its size is none, however
/// small the step.
pub(super) fn count(value: f64, size: f64, step: f64, rounding: Rounding) -> f64 {
    if is_nothing(value, size) {
        return 0.0;
    }
    let quotient = value / step;
    if quotient.abs() >= EXACT {
        return quotient;
    }
    let sameness = SAMENESS * size.max(value.abs()) / step;
    let nearest = libm::round(quotient);
    if (quotient - nearest).abs() <= sameness {
        return nearest + 0.0;
    }
    let count = match rounding {
        Rounding::Nearest => libm::copysign(libm::floor(quotient.abs() + 0.5 + sameness), quotient),
        Rounding::Up | Rounding::InwardLow => libm::ceil(quotient),
        Rounding::Down | Rounding::InwardHigh => libm::floor(quotient),
    };
    count + 0.0
}

/// Whether a value is the same as 0, for its size.
pub(super) fn is_nothing(value: f64, size: f64) -> bool {
    value.abs() <= SAMENESS * size.max(value.abs())
}

fn same(left: f64, right: f64) -> bool {
    (left - right).abs() <= SAMENESS * right.abs()
}
