//! What may never stand on a sheet as a dose: a range, 0 for what is not nothing, or more than the label allows once it is
//! rounded to a spoon, a mark or a scoop without a check that forbids it. Each template that gives a dose is tried with
//! many sizes of job, rates up to the label's most, and jobs too small to measure.

use super::{clean, root, trial, worked};
use anyhow::{Context, Result, bail, ensure};
use catchwork::report::Report;
use catchwork::report::data::{Cell, Outcome};
use libtest_mimic::Trial;
use std::fs;

/// Jobs tried of each dose.
const JOBS: usize = 60;
/// What is met to this share is met.
const SAME: f64 = 1e-9;

/// A dose, and what stands in the way of too much of it.
struct Dose {
    template: &'static str,
    /// The case that is varied.
    case: &'static str,
    /// The result, or column of the first row.
    name: &'static str,
    /// Checks that must not say `no` for the dose to be measured out.
    guards: &'static [&'static str],
    /// The entries of the job of this number.
    job: fn(f64) -> Vec<String>,
    /// The most that the label allows, in fluid ounces or ounces.
    most: fn(&Report) -> Result<f64>,
}

pub fn trials() -> Vec<Trial> {
    let one = |dose: Dose| {
        let name =
            format!("{}: {} is never a range, never 0, never over the label by rounding", dose.template, dose.name);
        trial(name, move || dose.hold())
    };
    let mut trials: Vec<Trial> = tank_doses().into_iter().chain(hand_doses()).map(one).collect();
    trials.push(trial("a dose as it is shown is read back".into(), reads_back));
    trials
}

impl Dose {
    fn hold(&self) -> Result<()> {
        let path = root("tests/methods").join(self.template).join(format!("{}.worksheet", self.case));
        let text = fs::read_to_string(path)?;
        let (mut allowed, mut forbidden) = (0, 0);
        for number in 0..JOBS {
            let set = (self.job)(number as f64 / JOBS as f64);
            let report = worked(&text, set.clone())?;
            clean(&report)?;
            let guarded = self.hold_one(&report).with_context(|| format!("{set:?}"))?;
            *(if guarded { &mut forbidden } else { &mut allowed }) += 1;
        }
        ensure!(
            allowed > 0 && forbidden > 0,
            "{allowed} jobs allowed and {forbidden} forbidden: one kind was not tried"
        );
        Ok(())
    }

    /// Whether a check forbids this job.
    fn hold_one(&self, report: &Report) -> Result<bool> {
        let cell = cell(report, self.name)?;
        ensure!(cell.low.is_none() && cell.high.is_none(), "a range: {}", cell.shown);
        let value = cell.value.context("no value")?;
        let part = cell.parts.first().context("nothing shown")?;
        let shown = measured(&format!("{} {}", part.value, part.unit))?;
        ensure!(value == 0.0 || shown != Some(0.0), "0 is shown of {value}");
        let guards: Vec<Outcome> = report
            .checks
            .iter()
            .filter(|check| self.guards.contains(&check.label.as_str()))
            .map(|check| check.outcome)
            .collect();
        ensure!(guards.len() == self.guards.len(), "a guard is missing");
        if guards.contains(&Outcome::No) {
            return Ok(true);
        }
        let shown = shown.context("too small to measure, and no check forbids it")?;
        let most = (self.most)(report)?;
        ensure!(shown <= most * (1.0 + SAME), "{shown} is shown, and the label allows {most}");
        Ok(false)
    }
}

/// The result of that name, or the first row's cell of that column.
fn cell<'a>(report: &'a Report, name: &str) -> Result<&'a Cell> {
    if let Some(value) = report.values.iter().find(|value| value.name == name) {
        return Ok(&value.cell);
    }
    let (table, column) = name.split_once('.').with_context(|| format!("no {name}"))?;
    let table = report.tables.iter().find(|found| found.name == table).context("no such table")?;
    let place = table.columns.iter().position(|found| found.name == column).context("no such column")?;
    table.rows.first().and_then(|row| row.cells.get(place)).context("no such cell")
}

/// The number of that name in its unit.
fn number(report: &Report, name: &str) -> Result<f64> {
    cell(report, name)?.value.with_context(|| format!("{name} has no number"))
}

/// The upper end of a range.
fn high(report: &Report, name: &str) -> Result<f64> {
    cell(report, name)?.high.with_context(|| format!("{name} has no upper end"))
}

/// What is measured out, read from what is shown: fluid ounces, or ounces of weight, or scoops; none where the measure is
/// too large for it.
fn measured(shown: &str) -> Result<Option<f64>> {
    if shown.starts_with("less than ") {
        return Ok(None);
    }
    let plain = shown.split(" of ").next().unwrap_or_default();
    let plain = match plain.split_once(" (").zip(plain.split_once(')')) {
        Some(((before, _), (_, after))) => format!("{before}{after}"),
        None => plain.to_owned(),
    };
    let (mut total, mut pending) = (0.0, None);
    for word in plain.split_whitespace() {
        if word.starts_with(|c: char| c.is_ascii_digit()) {
            pending = Some(pending.unwrap_or(0.0) + fraction(word)?);
            continue;
        }
        let size = match word {
            "cup" | "cups" => 8.0,
            "tbsp" => 0.5,
            "tsp" => 1.0 / 6.0,
            "mL" => 1.0 / 29.573_529_562_5,
            "lb" => 16.0,
            "oz" | "scoop" | "scoops" | "fl" => 1.0,
            other => bail!("no measure is called {other} in {shown}"),
        };
        total += pending.take().unwrap_or(0.0) * size;
    }
    ensure!(pending.is_none(), "a number without its measure in {shown}");
    Ok(Some(total))
}

fn fraction(word: &str) -> Result<f64> {
    match word.split_once('/') {
        Some((above, below)) => Ok(above.parse::<f64>()? / below.parse::<f64>()?),
        None => Ok(word.parse()?),
    }
}

fn reads_back() -> Result<()> {
    for (shown, amount) in [
        ("9 tbsp 1/2 tsp of liquid", Some(4.5 + 1.0 / 12.0)),
        ("1 cup 2 1/2 tsp (9 % over) of liquid", Some(8.0 + 2.5 / 6.0)),
        ("0.1 (31 % over) oz of powder", Some(0.1)),
        ("1 lb 2.7 oz of product", Some(18.7)),
        ("2 1/2 (10 % over) scoop", Some(2.5)),
        ("less than 1/4 tsp: too small for this measure of product", None),
    ] {
        let found = measured(shown)?;
        let agrees = found.zip(amount).map_or(found == amount, |(found, kept)| (found - kept).abs() < 1e-9);
        ensure!(agrees, "{shown} is read as {found:?}");
    }
    Ok(())
}

/// A rate from half of the label's most to a hair above it.
fn up_to(share: f64, most: f64) -> f64 {
    most * (0.5 + 0.52 * share)
}

fn tank_job(share: f64) -> Vec<String> {
    let times = 1.0 + share * 8.5;
    vec![
        format!("area : {:.3} ft²", 12.0 * times * times * times),
        format!("liquid rate : {:.5} fl oz of liquid per 1000 ft²", up_to((share * 31.0).fract(), 1.5)),
        format!("powder rate : {:.5} oz of powder per 1000 ft²", up_to((share * 37.0).fract(), 2.0)),
        format!("adjuvant strength : {:.5} % v/v of adjuvant", up_to((share * 41.0).fract(), 0.5)),
    ]
}

/// Ground that a tank covers, in units of 1000 ft².
fn last_ground(report: &Report) -> Result<f64> {
    Ok(number(report, "last tank")? / number(report, "spray volume")?)
}

fn full_ground(report: &Report) -> Result<f64> {
    Ok(number(report, "tank fill")? / number(report, "spray volume")?)
}

fn tank_doses() -> Vec<Dose> {
    let dose = |name, guards, most| Dose { template: "tank-mix", case: "usual", name, guards, job: tank_job, most };
    let liquid: &[&str] = &["liquid rate", "liquid, as measured", "fine enough"];
    let powder: &[&str] = &["powder rate", "powder, as measured", "fine enough, powder"];
    let adjuvant: &[&str] = &["adjuvant", "adjuvant, as measured"];
    vec![
        dose("last tank liquid", liquid, |report| Ok(high(report, "liquid label rate")? * last_ground(report)?)),
        dose("full tank liquid", liquid, |report| Ok(high(report, "liquid label rate")? * full_ground(report)?)),
        dose("last tank powder", powder, |report| Ok(high(report, "powder label rate")? * last_ground(report)?)),
        dose("full tank powder", powder, |report| Ok(high(report, "powder label rate")? * full_ground(report)?)),
        dose("last tank adjuvant", adjuvant, |report| {
            Ok(high(report, "adjuvant label strength")? / 100.0 * number(report, "last tank")? * 128.0)
        }),
        dose("full tank adjuvant", adjuvant, |report| {
            Ok(high(report, "adjuvant label strength")? / 100.0 * number(report, "tank fill")? * 128.0)
        }),
    ]
}

fn hand_doses() -> Vec<Dose> {
    vec![
        Dose {
            template: "bottle",
            case: "usual",
            name: "measured dose",
            guards: &["strength made", "measurable"],
            job: |share| {
                vec![
                    format!("plants : {} plant", 1 + (share * 60.0) as u32),
                    format!("strength used : {:.5} fl oz of product per gal", up_to((share * 31.0).fract(), 1.0)),
                    format!("finest mark : {} mL", if share > 0.5 { 0.5 } else { 0.1 }),
                ]
            },
            most: |report| Ok(high(report, "label strength")? * number(report, "mix made")? / 128.0),
        },
        Dose {
            template: "spot",
            case: "usual",
            name: "product",
            guards: &["strength", "as measured", "treated acre"],
            job: |share| {
                let times = 1.0 + share * 3.0;
                vec![
                    format!("spray volume : {:.4} gal/1000 ft²", 0.1 * times * times),
                    format!("strength used : {:.5} fl oz of product per gal", up_to((share * 31.0).fract(), 2.0)),
                ]
            },
            most: |report| {
                let by_strength = high(report, "label strength")? * number(report, "mix needed")? / 128.0;
                let by_ground = number(report, "acre most")? * number(report, "treated area")? / 43560.0;
                Ok(by_strength.min(by_ground))
            },
        },
        Dose {
            template: "spray-to-wet",
            case: "usual",
            name: "product",
            guards: &["strength", "as measured", "ceiling"],
            job: |share| {
                vec![
                    format!("planting area : {:.2} ft²", 60.0 + 500.0 * share),
                    format!("strength used : {:.5} fl oz of product per 100 gal", up_to((share * 31.0).fract(), 24.0)),
                ]
            },
            most: |report| {
                let by_strength = high(report, "label strength")? * number(report, "total mix")? / 100.0;
                let by_ground = number(report, "acre ceiling")? * number(report, "planting area")? / 43560.0;
                Ok(by_strength.min(by_ground))
            },
        },
        Dose {
            template: "scoop",
            case: "usual",
            name: "dose laid",
            guards: &["dose laid", "label's most"],
            job: |share| {
                let dose = 0.4 + 60.0 * share;
                vec![format!("dose : {dose:.3} oz of product"), format!("most : {:.3} oz of product", dose * 1.02)]
            },
            // What is shown has four digits; a scoop is struck by hand.
            most: |report| Ok(number(report, "most")? * 1.0005),
        },
        Dose {
            template: "bed-dose",
            case: "edge-over-by-rounding",
            name: "beds.each way",
            guards: &["rate used", "as weighed", "weighable"],
            job: bed_job,
            most: |report| Ok(high(report, "label rate")? * 16.0 * number(report, "beds.area")? / 2000.0),
        },
        Dose {
            template: "bed-dose",
            case: "edge-over-by-rounding",
            name: "beds.scoops each way",
            guards: &["rate used", "by scoops"],
            job: bed_job,
            most: |report| {
                let ounces = high(report, "label rate")? * 16.0 * number(report, "beds.area")? / 2000.0;
                Ok(ounces / number(report, "scoop holds")?)
            },
        },
    ]
}

/// The bed is the same, so the rate and the scoop are varied.
fn bed_job(share: f64) -> Vec<String> {
    vec![
        format!("rate used : {:.5} lb of product per 1000 ft²", up_to((share * 31.0).fract(), 4.0)),
        format!("scoop holds : {:.3} oz of product per scoop", 0.3 + 6.0 * share),
        format!("scale mark : {} oz", if (share * 7.0).fract() > 0.5 { 0.1 } else { 0.15 }),
    ]
}
