//! Spread patterns against a field that was walked pass by pass: the CV of every swath, the widest that meets a limit,
//! the lowest CV, and the narrower swaths that do not meet it.

use super::cases::{CLOSE, number, number_of, rows, trial, tried, value, worked};
use anyhow::{Context, Result, ensure};
use libtest_mimic::Trial;

const HEAD: [&str; 8] = ["style", "catches", "spacing", "cv", "limit", "widest", "lowest", "misses"];
const COUNT: usize = 120;
/// The smallest swath, in half spacings.
const FIRST: usize = 4;

pub fn trials() -> Result<Vec<Trial>> {
    let one = |(index, row): (usize, [String; 8])| {
        trial(format!("pattern {}: {}", index + 1, row[0]), move || {
            hold_variations(&row)?;
            if row[5] == "none" { hold_none(&row) } else { hold_widest(&row) }
        })
    };
    Ok(rows("swath/patterns.tsv", HEAD, COUNT)?.into_iter().enumerate().map(one).collect())
}

fn entries([_, catches, spacing, ..]: &[String; 8]) -> String {
    format!("catches : {} g\nspacing : {spacing} ft\n", catches.replace(',', ", "))
}

/// Every swath is written as the decimal that a person would measure.
fn hold_variations(row: &[String; 8]) -> Result<()> {
    let [style, _, spacing, variations, ..] = row;
    let spacing = number(spacing)?;
    let kept: Vec<&str> = variations.split(',').collect();
    let mut text = entries(row);
    for halves in (FIRST..).take(kept.len()) {
        let swath = spacing * halves as f64 / 2.0;
        text += &format!("cv {halves} = swath cv(catches, spacing, {swath:.3} ft, \"{style}\")\n");
    }
    let report = worked(&text)?;
    for (halves, kept) in (FIRST..).zip(kept) {
        let (found, kept) = (number_of(&report, &format!("cv {halves}"))?, number(kept)?);
        ensure!((found - kept).abs() <= CLOSE * kept, "cv of {halves} halves: {found}, and {kept} is kept");
    }
    Ok(())
}

fn widest(row: &[String; 8]) -> String {
    let (style, limit) = (&row[0], &row[4]);
    format!("{}widest = widest swath(catches, spacing, {limit}, \"{style}\")\n", entries(row))
}

fn hold_widest(row: &[String; 8]) -> Result<()> {
    let [_, _, spacing, variations, _, widest_swath, _, misses] = row;
    let report = worked(&widest(row))?;
    let (found, kept) = (number_of(&report, "widest")?, number(widest_swath)?);
    ensure!((found - kept).abs() <= CLOSE * kept, "widest: {found}, and {kept} is kept");
    let remarks = &value(&report, "widest")?.cell.remarks;
    let narrower = remarks.iter().find_map(|remark| remark.strip_prefix("a narrower swath, "));
    let Some(narrower) = narrower else {
        ensure!(misses.is_empty(), "no remark names one of {misses}");
        return Ok(());
    };
    let (swath, rest) =
        narrower.split_once(" ft, does not meet the limit: its CV is ").context("the remark's words")?;
    let swath = number(swath)?;
    let missed = misses.split(',').filter_map(|miss| miss.parse().ok()).any(|miss: f64| (miss - swath).abs() < 1e-9);
    ensure!(missed, "{swath} is none of {misses}");
    let halves = (2.0 * swath / number(spacing)?).round() as usize;
    hold_percent(rest, variations.split(',').nth(halves - FIRST).context("no such swath")?)
}

fn hold_none(row: &[String; 8]) -> Result<()> {
    let report = tried(&widest(row))?;
    let [trouble] = report.troubles.as_slice() else { anyhow::bail!("{} troubles", report.troubles.len()) };
    ensure!(trouble.kind == "no-swath-meets", "refused otherwise:\n{}", trouble.display);
    let lowest = trouble.says.split_once("the lowest CV is ").and_then(|(_, rest)| rest.split_once(','));
    hold_percent(lowest.context("the words")?.0, &row[6])
}

/// A share said in percent, to the two decimals that it is said with.
fn hold_percent(said: &str, kept: &str) -> Result<()> {
    let percent = number(said.strip_suffix(" %").context("no percent")?)?;
    let kept = 100.0 * number(kept)?;
    ensure!((percent - kept).abs() <= 0.005 + 1e-9, "{said}, and {kept} % is kept");
    Ok(())
}
