//! Random worksheets of every kind, which an evaluator in `random/`, written from the notation alone, worked with a
//! general-purpose units library and an uncertainty library: values, doubts, checks, what waits, and which lines are
//! refused. `random/make.py` says how to try any number of them; five hundred are kept.

use super::cases::{all_agree, kept, trial, tried};
use anyhow::{Context, Result, ensure};
use catchwork::report::Report;
use catchwork::report::data::Cell;
use libtest_mimic::Trial;
use serde_json::{Map, Value};
use std::collections::BTreeSet;

/// How many worksheets are kept, and how many of them a test takes.
const COUNT: usize = 500;
const AT_ONCE: usize = 50;
/// By what share of it a value, and a doubt, may be off.
const VALUE: f64 = 1e-9;
const DOUBT: f64 = 1e-6;

pub fn trials() -> Result<Vec<Trial>> {
    let text = kept("random/kept.jsonl")?;
    let cases: Vec<Value> = text.lines().skip(1).map(serde_json::from_str).collect::<Result<_, _>>()?;
    ensure!(cases.len() == COUNT, "{} worksheets are kept, where {COUNT} were made", cases.len());
    let parts = cases.chunks(AT_ONCE).enumerate();
    Ok(parts
        .map(|(index, part)| {
            let (part, first) = (part.to_vec(), index * AT_ONCE);
            let name = format!("random worksheets {first} to {}", first + part.len() - 1);
            trial(name, move || part.iter().try_for_each(hold))
        })
        .collect())
}

fn hold(case: &Value) -> Result<()> {
    let text = case["worksheet"].as_str().context("no worksheet")?;
    let report = tried(text)?;
    let mut wrong = vec![refused_elsewhere(case, &report)];
    for (name, kept) in map(&case["values"])? {
        let found = report.values.iter().find(|value| value.name == *name).with_context(|| name.clone())?;
        wrong.extend(unlike(
            name,
            kept,
            &found.cell,
            [found.unit.as_deref(), found.of.as_deref(), found.per.as_deref()],
        )?);
    }
    let cells = map(&case["cells"])?;
    let mut seen = 0;
    for table in &report.tables {
        for row in &table.rows {
            for (column, cell) in table.columns.iter().zip(&row.cells) {
                let name = format!("{}.{}, {}", table.name, column.name, row.label);
                let Some(kept) = cells.get(&name) else { continue };
                seen += 1;
                wrong.extend(unlike(
                    &name,
                    kept,
                    cell,
                    [column.unit.as_deref(), column.of.as_deref(), column.per.as_deref()],
                )?);
            }
        }
    }
    ensure!(seen == cells.len(), "{seen} of {} cells are in the report of\n{text}", cells.len());
    for (label, kept) in map(&case["checks"])? {
        let check = report.checks.iter().find(|check| check.label == *label).with_context(|| label.clone())?;
        let outcome = serde_json::to_value(check.outcome)?;
        wrong.push((outcome != *kept).then(|| format!("? {label}: {outcome}, and {kept} is kept")));
    }
    all_agree(wrong).with_context(|| text.to_owned())
}

fn map(value: &Value) -> Result<&Map<String, Value>> {
    value.as_object().context("no object")
}

/// The lines that are refused are those of the mistakes made, each once.
fn refused_elsewhere(case: &Value, report: &Report) -> Option<String> {
    let mut lines: Vec<Option<u64>> = report.troubles.iter().map(|trouble| Some(trouble.line as u64)).collect();
    lines.sort_unstable();
    let kept: Vec<Option<u64>> = case["troubles"].as_array()?.iter().map(Value::as_u64).collect();
    (lines != kept).then(|| format!("troubles in {lines:?}, and {kept:?} are kept"))
}

/// What is said otherwise of a value or cell, in the form that `row` of make.py tells.
fn unlike(name: &str, kept: &Value, found: &Cell, units: [Option<&str>; 3]) -> Result<Vec<Option<String>>> {
    let Some(kept) = kept.as_array() else {
        let agrees = match (&kept["text"], &kept["waiting_on"]) {
            (Value::String(text), _) => found.text.as_ref() == Some(text),
            (_, blanks) => blanks_of(found) == serde_json::from_value(blanks.clone())?,
        };
        return Ok(vec![(!agrees).then(|| format!("{name}: {found:?}, and {kept} is kept"))]);
    };
    let (labels, figures) = kept.split_at_checked(3).with_context(|| name.to_owned())?;
    let mut wrong: Vec<Option<String>> = units
        .into_iter()
        .zip(labels)
        .map(|(unit, label)| {
            let agrees = words(unit.unwrap_or_default()) == words(label.as_str().unwrap_or_default());
            (!agrees).then(|| format!("{name}: {unit:?}, and {label} is kept"))
        })
        .collect();
    let compare = |what: &str, found: Option<f64>, kept: &Value, share: f64| {
        let agrees = match (found, kept.as_f64()) {
            (Some(found), Some(kept)) => (found - kept).abs() <= share * kept.abs(),
            (found, kept) => found == kept,
        };
        (!agrees).then(|| format!("{name}, {what}: {found:?}, and {kept} is kept"))
    };
    let doubt = |u: &Value| compare("standard_uncertainty", found.standard_uncertainty, u, DOUBT);
    let figures = match figures {
        [figures @ .., Value::String(shown)] if shown != "range" => {
            wrong.push(
                (!is_shown(&found.shown, shown)).then(|| format!("{name}: {}, and {shown} is kept", found.shown)),
            );
            figures
        }
        figures => figures,
    };
    match figures {
        [Value::String(_), low, high] => {
            wrong.extend([compare("low", found.low, low, VALUE), compare("high", found.high, high, VALUE)]);
        }
        [value, rest @ ..] => {
            wrong.push(compare("value", found.value, value, VALUE));
            wrong.extend(rest.first().map(doubt));
            if let [_, freedom, half] = rest {
                wrong.push(compare("degrees_of_freedom", found.degrees_of_freedom, freedom, DOUBT));
                wrong.push(compare("give_or_take", found.give_or_take, half, DOUBT));
            }
        }
        [] => ensure!(false, "{name} has no figures"),
    }
    Ok(wrong)
}

/// The blanks that a value waits on; of readings, whose they are.
fn blanks_of(found: &Cell) -> BTreeSet<String> {
    found.waiting_on.iter().map(|blank| blank.split(", reading").next().unwrap_or_default().to_owned()).collect()
}

/// The words of a unit above and below the line, in whatever order.
fn words(unit: &str) -> (BTreeSet<&str>, BTreeSet<&str>) {
    let mut sides = unit.split('/');
    (sides.next().unwrap_or_default().split('·').collect(), sides.collect())
}

/// Whether it is shown so; a second unit stands behind a semicolon, and a very small number has a power of ten.
fn is_shown(found: &str, kept: &str) -> bool {
    let found = found.split(';').next().unwrap_or_default();
    let numbers = |text: &str| {
        text.split(' ').map(str::parse::<f64>).filter_map(Result::ok).map(f64::to_bits).collect::<Vec<_>>()
    };
    found == kept || (found.contains('e') && numbers(found) == numbers(kept))
}
