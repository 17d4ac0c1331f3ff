//! How many standard uncertainties hold 95 %: the normal's quantile and Student's. It knows nothing of sources or
//! values.

mod table;

use super::measured::SAMENESS;

/// The 97.5 % quantile of the normal distribution: half of what holds 95 %. The nearest double, checked with mpmath.
pub const Z_95: f64 = 1.959963984540054;

/// The factor for 95 % at that many degrees of freedom, two-sided: the 97.5 % quantile of Student's t. No degrees of
/// freedom at all count as one.
pub fn t_95(freedom: u32) -> f64 {
    let place = freedom.saturating_sub(1) as usize;
    table::T_975.get(place).copied().unwrap_or_else(|| past_table(f64::from(freedom)))
}

/// The factor for 95 % at effective degrees of freedom: they are cut to the next lower whole number (GUM G.4.1), at
/// least 1, but what agrees with a whole number to twelve digits is that number.
pub fn coverage_95(freedom: f64) -> f64 {
    if freedom.is_infinite() {
        return Z_95;
    }
    let whole = whole_freedom(freedom);
    if whole <= table::T_975.len() as f64 { t_95(whole as u32) } else { past_table(whole) }
}

/// Effective degrees of freedom as GUM G.4.1 uses them: whole, at least 1; infinite ones stay so.
pub fn whole_freedom(freedom: f64) -> f64 {
    let nearest = freedom.round();
    let agrees = (freedom - nearest).abs() <= SAMENESS * freedom;
    (if agrees { nearest } else { freedom.floor() }).max(1.0)
}

/// Fisher and Cornish's series of Student's quantile about the normal's (Abramowitz & Stegun 26.7.5), to the fourth
/// power of 1/freedom: past 1000 the next term is below 3 × 10⁻¹⁵.
fn past_table(freedom: f64) -> f64 {
    let [first, second, third, fourth] = cornish_fisher(Z_95);
    let share = 1.0 / freedom;
    Z_95 + share * (first + share * (second + share * (third + share * fourth)))
}

fn cornish_fisher(x: f64) -> [f64; 4] {
    let square = x * x;
    [
        x * (square + 1.0) / 4.0,
        x * ((5.0 * square + 16.0) * square + 3.0) / 96.0,
        x * (((3.0 * square + 19.0) * square + 17.0) * square - 15.0) / 384.0,
        x * ((((79.0 * square + 776.0) * square + 1482.0) * square - 1920.0) * square - 945.0) / 92160.0,
    ]
}
