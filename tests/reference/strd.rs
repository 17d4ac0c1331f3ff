//! NIST's Statistical Reference Datasets: mean and standard deviation of each against what NIST certifies, in digits.

use super::cases::{kept, number, number_of, rows, trial, worked};
use anyhow::{Context, Result, ensure};
use libtest_mimic::Trial;

/// The digits that each dataset comes to at least, mean and standard deviation: what is certified has 15.
///
/// The readings of NumAcc3 are off by 1e-10 as doubles and those of NumAcc4 by 1e-9, whatever is done with them, and so
/// are their deviations; `of_doubles` says what doubles can hold, and every figure comes to that.
const DIGITS: [(&str, f64, f64); 8] = [
    ("numacc1", 15.0, 15.0),
    ("mavro", 15.0, 13.0),
    ("lew", 15.0, 14.9),
    ("lottery", 15.0, 15.0),
    ("numacc2", 15.0, 15.0),
    ("numacc3", 15.0, 9.4),
    ("numacc4", 15.0, 8.2),
    ("pidigits", 15.0, 15.0),
];
const OF_DOUBLES: f64 = 14.9;
const HEAD: [&str; 5] = ["worksheet", "result", "certified", "of_decimals", "of_doubles"];

pub fn trials() -> Result<Vec<Trial>> {
    let rows = rows("strd/certified.tsv", HEAD, 2 * DIGITS.len())?;
    let one = |[sheet, result, certified, _, of_doubles]: [String; 5]| {
        trial(format!("strd: {result} of {sheet}"), move || hold(&sheet, &result, &certified, &of_doubles))
    };
    Ok(rows.into_iter().map(one).collect())
}

fn hold(sheet: &str, result: &str, certified: &str, of_doubles: &str) -> Result<()> {
    let report = worked(&kept(&format!("strd/{sheet}.worksheet"))?)?;
    let found = number_of(&report, result)?;
    let (_, mean, sd) = DIGITS.iter().find(|(name, ..)| *name == sheet).context("no digits are stated")?;
    let stated = if result == "mean" { *mean } else { *sd };
    let reached = digits(found, number(certified)?);
    ensure!(reached >= stated, "{found} has {reached:.1} digits of {certified}, not {stated}");
    let reached = digits(found, number(of_doubles)?);
    ensure!(reached >= OF_DOUBLES, "{found} has {reached:.1} digits of {of_doubles}, not {OF_DOUBLES}");
    Ok(())
}

/// The log relative error by which NIST compares programs, 15 where it is as good as certified.
fn digits(found: f64, kept: f64) -> f64 {
    let apart = (found - kept).abs() / kept.abs();
    if apart == 0.0 { 15.0 } else { (-libm::log10(apart)).min(15.0) }
}
