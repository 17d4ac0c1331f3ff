//! Doubts: value, standard uncertainty, degrees of freedom and half-width of every result of the worksheets in
//! `doubt/`, which were worked with 60 digits by moving every source, and by a general-purpose uncertainty library.

use super::cases::{all_agree, kept, off, trial, value, worked};
use anyhow::{Context, Result, ensure};
use libtest_mimic::Trial;
use serde_json::{Map, Value};

/// The kept files with how many worksheets each has.
const FILES: [(&str, usize); 2] = [("doubt", 417), ("limits", 107)];

pub fn trials() -> Result<Vec<Trial>> {
    let mut trials = Vec::new();
    for (file, count) in FILES {
        let text = kept(&format!("doubt/{file}.jsonl"))?;
        let cases: Vec<&str> = text.lines().skip(1).collect();
        ensure!(cases.len() == count, "{file} has {} worksheets, where {count} were made", cases.len());
        for (index, case) in cases.into_iter().enumerate() {
            let case: Value = serde_json::from_str(case).with_context(|| format!("{file}, line {}", index + 2))?;
            let title = case["worksheet"].as_str().and_then(|text| text.lines().next()).unwrap_or_default();
            let name = format!("{file}, line {}: {}", index + 2, title.trim_start_matches("# "));
            trials.push(trial(name, move || hold(&case)));
        }
    }
    Ok(trials)
}

fn hold(case: &Value) -> Result<()> {
    let text = case["worksheet"].as_str().context("no worksheet")?;
    let results = case["results"].as_object().context("no results")?;
    ensure!(!results.is_empty(), "no results");
    let report = worked(text)?;
    let mut wrong = Vec::new();
    for (name, kept) in results {
        let (found, kept) = (value(&report, name)?, kept.as_object().context("no figures")?);
        wrong.push((found.unit.as_deref() != kept["unit"].as_str()).then(|| format!("{name}: in {:?}", found.unit)));
        let figures = [
            ("value", found.cell.value),
            ("standard_uncertainty", found.cell.standard_uncertainty),
            ("degrees_of_freedom", found.cell.degrees_of_freedom),
            ("give_or_take", found.cell.give_or_take),
        ];
        wrong.extend(figures.map(|(key, figure)| off(&format!("{name}, {key}"), figure, figure_of(kept, key))));
    }
    all_agree(wrong).with_context(|| text.to_owned())
}

fn figure_of(kept: &Map<String, Value>, key: &str) -> Option<f64> {
    kept.get(key).and_then(Value::as_f64)
}
