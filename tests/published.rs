//! Published worked examples: each worksheet of `tests/published` comes to the figures beside it, one named test a case.
//! It knows the report's JSON and the tables of expectations (see the README there), and nothing of how values are worked.

use anyhow::{Context, Result, anyhow, ensure};
use libtest_mimic::{Arguments, Trial};
use serde_json::Value;
use std::fs;
use std::path::Path;
use std::process::{Command, ExitCode};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/published");
const CASES: usize = 60;
const HEAD: &str = "result\tunit\trecomputed\tto within\tprinted\tprinted to\toff by\twhy";

fn main() -> Result<ExitCode> {
    let arguments = Arguments::from_args();
    let names = names_of("worksheet")?;
    let mut trials: Vec<Trial> =
        names.iter().cloned().map(|name| trial(name.clone(), move || hold_case(&name))).collect();
    trials.push(trial("every case has its expectations".into(), move || hold_pairs(&names)));
    Ok(libtest_mimic::run(&arguments, trials).exit_code())
}

/// A named test that fails with the whole chain of what went wrong.
fn trial(name: String, test: impl FnOnce() -> Result<()> + Send + 'static) -> Trial {
    Trial::test(name, move || test().map_err(|error| format!("{error:#}").into()))
}

/// The cases that have a file of this ending, in name order.
fn names_of(ending: &str) -> Result<Vec<String>> {
    let mut names = Vec::new();
    for file in fs::read_dir(FOLDER).context(FOLDER)? {
        let path = file?.path();
        if path.extension().is_some_and(|found| found == ending) {
            names.extend(path.file_stem().and_then(|stem| stem.to_str()).map(str::to_owned));
        }
    }
    names.sort();
    Ok(names)
}

fn hold_pairs(worksheets: &[String]) -> Result<()> {
    ensure!(worksheets == names_of("expect")?, "a worksheet lacks its .expect file, or the other way round");
    ensure!(worksheets.len() == CASES, "{} cases, where {CASES} were published", worksheets.len());
    Ok(())
}

/// Works one case and reports everything that is wrong with it at once.
fn hold_case(name: &str) -> Result<()> {
    let path = Path::new(FOLDER).join(format!("{name}.worksheet"));
    ensure!(fs::read_to_string(&path)?.contains("\n-- Source: "), "no note names the source");
    let report = worked(&path)?;
    let expected = expectations(&path.with_extension("expect"))?;
    let mut wrong = clean(&report);
    wrong.extend(expected.iter().filter_map(|row| {
        let result = row.hold(&report);
        result.err().map(|error| format!("{}: {error:#}", row.result))
    }));
    ensure!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    Ok(())
}

/// The report of one worksheet, worked by the command.
fn worked(path: &Path) -> Result<Value> {
    let output =
        Command::new(env!("CARGO_BIN_EXE_catchwork")).arg("results").arg(path).args(["--as", "json"]).output()?;
    let said = String::from_utf8_lossy(&output.stderr);
    let reports: Value =
        serde_json::from_slice(&output.stdout).with_context(|| format!("no report; it said: {said}"))?;
    let report = reports.get(0).cloned().context("an empty report")?;
    let outcomes: Vec<_> = list(&report, "checks").iter().filter_map(|check| check["outcome"].as_str()).collect();
    let status = if !list(&report, "troubles").is_empty() { 2 } else { i32::from(outcomes.contains(&"no")) };
    let code = output.status.code();
    ensure!(code == Some(status), "exit status {code:?}, not {status}; it said: {said}");
    Ok(report)
}

fn list<'a>(value: &'a Value, key: &str) -> &'a [Value] {
    value[key].as_array().map_or(&[], Vec::as_slice)
}

/// The troubles and blanks of a report, one line each: there must be none.
fn clean(report: &Value) -> Vec<String> {
    let line = |kind: &str, found: &Value, text: &str| format!("line {}: {kind}: {}", found["line"], found[text]);
    let troubles = list(report, "troubles").iter().map(|trouble| line("trouble", trouble, "says"));
    let blanks = list(report, "waiting").iter().map(|blank| line("blank", blank, "name"));
    troubles.chain(blanks).collect()
}

/// One line of a table of expectations.
struct Expected {
    result: String,
    unit: String,
    recomputed: String,
    within: String,
    printed: String,
    place: String,
    off: String,
}

fn expectations(path: &Path) -> Result<Vec<Expected>> {
    let text = fs::read_to_string(path).with_context(|| path.display().to_string())?;
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    ensure!(lines.next() == Some(HEAD), "the columns of {} are not those of the README", path.display());
    let rows = lines.map(|line| {
        let cells: Vec<_> = line.split('\t').map(str::to_owned).collect();
        let cells: [String; 8] = cells.try_into().map_err(|cells| anyhow!("not eight cells: {cells:?}"))?;
        let [result, unit, recomputed, within, printed, place, off, _why] = cells;
        Ok(Expected { result, unit, recomputed, within, printed, place, off })
    });
    let rows = rows.collect::<Result<Vec<_>>>()?;
    ensure!(!rows.is_empty(), "nothing is expected in {}", path.display());
    Ok(rows)
}

impl Expected {
    fn hold(&self, report: &Value) -> Result<()> {
        if let Some(label) = self.result.strip_prefix("? ") {
            let check = named(list(report, "checks"), "label", label)?;
            ensure!(check["outcome"] == self.recomputed.as_str(), "{}, not {}", check["outcome"], self.recomputed);
            return Ok(());
        }
        let (head, cell) = self.figure(report)?;
        ensure!(head["origin"] == "worked", "{}, not worked", head["origin"]);
        ensure!(unit_of(head) == self.unit, "shown in {}, not in {}", unit_of(head), self.unit);
        let value = cell["value"].as_f64().with_context(|| format!("no value, but {cell}"))?;
        self.hold_recomputed(value)?;
        self.hold_printed(value)
    }

    /// What says the unit and the origin (the value itself, or its column), and what says the figure.
    fn figure<'a>(&self, report: &'a Value) -> Result<(&'a Value, &'a Value)> {
        let Some((table, column, label)) = self.cell() else {
            let value = named(list(report, "values"), "name", &self.result)?;
            return Ok((value, value));
        };
        let table = named(list(report, "tables"), "name", table)?;
        let columns = list(table, "columns");
        let place = columns.iter().position(|found| found["name"] == column).context("no such column")?;
        let cells = list(named(list(table, "rows"), "label", label)?, "cells");
        Ok((columns.get(place).context("no such column")?, cells.get(place).context("no such cell")?))
    }

    /// Table, column and row label, where the result is a cell.
    fn cell(&self) -> Option<(&str, &str, &str)> {
        let (path, label) = self.result.split_once(", ")?;
        let (table, column) = path.split_once('.')?;
        Some((table, column, label))
    }

    fn hold_recomputed(&self, value: f64) -> Result<()> {
        let recomputed = number(&self.recomputed)?;
        let size = if recomputed == 0.0 { 1.0 } else { recomputed.abs() };
        let apart = (value - recomputed).abs() / size;
        ensure!(apart <= number(&self.within)?, "{value}, not {recomputed}: {apart:.1e} apart");
        Ok(())
    }

    /// The printed figure is the value rounded, or is off by what the table says.
    fn hold_printed(&self, value: f64) -> Result<()> {
        if self.printed == "-" {
            ensure!(self.off == "-" && self.place == "-", "off without a printed figure");
            return Ok(());
        }
        let (printed, half) = (number(&self.printed)?, number(&self.place)? / 2.0);
        let difference = printed - value;
        let slack = f64::max(half, number(&self.within)? * value.abs());
        let agrees = difference.abs() <= slack * (1.0 + 1e-9);
        if self.off == "-" {
            ensure!(agrees, "{value} does not round to the printed {}", self.printed);
            return Ok(());
        }
        ensure!(!agrees, "{value} rounds to the printed {}, which is said to be off", self.printed);
        let apart = (difference - number(&self.off)?).abs();
        ensure!(apart <= last_place(&self.off) / 2.0 * (1.0 + 1e-9), "off by {difference}, not by {}", self.off);
        Ok(())
    }
}

fn named<'a>(values: &'a [Value], key: &str, name: &str) -> Result<&'a Value> {
    values.iter().find(|value| value[key] == name).with_context(|| format!("the report has no {key} {name}"))
}

/// The unit with its substances, as people read it: `fl oz of product/1000 ft²`; `-` for a plain number.
fn unit_of(head: &Value) -> String {
    let unit = head["unit"].as_str().unwrap_or("-");
    let label = |key: &str| head[key].as_str().map(|label| format!(" of {label}")).unwrap_or_default();
    let (above, below) = unit.split_at(unit.find('/').unwrap_or(unit.len()));
    format!("{above}{}{below}{}", label("of"), label("per"))
}

fn number(text: &str) -> Result<f64> {
    text.parse().with_context(|| format!("{text} is no number"))
}

/// The size of the last digit written: 0.001 for `-0.667`, 1 for `+47300`.
fn last_place(text: &str) -> f64 {
    let digits = text.split_once('.').map_or(0, |(_, digits)| digits.len());
    (0..digits).fold(1.0, |place, _| place / 10.0)
}
