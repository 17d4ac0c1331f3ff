//! Cases of each template, held to figures that were worked a second way: every result, worked cell and check.

use super::{clean, named, root, trial, worked};
use anyhow::{Context, Result, anyhow, ensure};
use catchwork::report::Report;
use catchwork::report::data::{Cell, Origin, Outcome};
use libtest_mimic::Trial;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

/// Figures agree where they are no further apart than this share of the kept one, or of 1 where they are that small.
const CLOSE: f64 = 1e-9;
const NOTHING: f64 = 1e-12;
const HEAD: &str = "case\tresult\tfigure\tunit";

/// What a case comes to: figure and unit by the name of the result.
type Figures = BTreeMap<String, (String, String)>;

pub fn trials(templates: &[String]) -> Result<Vec<Trial>> {
    let mut trials = Vec::new();
    for template in templates {
        let folder = root("tests/methods").join(template);
        let cases = named(&folder, "worksheet").with_context(|| format!("{template} has no cases"))?;
        let kept = kept(template)?;
        let (names, has) = (kept.keys().cloned().collect::<Vec<_>>(), cases.clone());
        trials.push(trial(format!("{template}: has its kinds of cases"), move || hold_kinds(&names, &has)));
        for case in cases {
            let figures = kept.get(&case).cloned().unwrap_or_default();
            let path = folder.join(format!("{case}.worksheet"));
            let name = format!("{template}: {}", case.replace('-', " "));
            trials.push(trial(name, move || hold(&fs::read_to_string(&path)?, &figures)));
        }
    }
    Ok(trials)
}

/// The figures of a template's cases.
fn kept(template: &str) -> Result<BTreeMap<String, Figures>> {
    let path = root("tests/methods").join(template).join("figures.tsv");
    let text = fs::read_to_string(&path).with_context(|| path.display().to_string())?;
    let mut lines = text.lines().filter(|line| !line.starts_with('#'));
    ensure!(lines.next() == Some(HEAD), "the head of {} is another one", path.display());
    let mut cases: BTreeMap<String, Figures> = BTreeMap::new();
    for line in lines {
        let cells: Vec<&str> = line.split('\t').collect();
        let [case, result, figure, unit] = cells.as_slice() else { anyhow::bail!("not four cells: {line}") };
        let figures = cases.entry((*case).to_owned()).or_default();
        let before = figures.insert((*result).to_owned(), ((*figure).to_owned(), (*unit).to_owned()));
        ensure!(before.is_none(), "{case} has {result} twice");
    }
    Ok(cases)
}

/// A template is tried in ordinary use or against a published case, in metric units, and at two edges at least.
fn hold_kinds(kept: &[String], cases: &[String]) -> Result<()> {
    ensure!(kept == cases, "figures are kept of {kept:?}, and the cases are {cases:?}; make.py writes them");
    let count = |word: &str| cases.iter().filter(|case| case.split('-').any(|part| part == word)).count();
    ensure!(count("usual") + count("published") >= 1, "no ordinary or published case");
    ensure!(count("metric") >= 1, "no metric case");
    ensure!(count("edge") >= 2, "{} cases at an edge", count("edge"));
    Ok(())
}

fn hold(text: &str, figures: &Figures) -> Result<()> {
    let sourced = ["\n-- Source: ", "\n-- Worked by hand, no published case."].iter().any(|with| text.contains(with));
    ensure!(sourced, "it names no source, nor says that it is worked by hand");
    let report = worked(text, Vec::new())?;
    clean(&report)?;
    let mut wrong = Vec::new();
    let mut seen = BTreeSet::new();
    for found in all(&report) {
        seen.insert(found.name.clone());
        if let Err(error) = found.hold(figures) {
            wrong.push(format!("{}: {error:#}", found.name));
        }
    }
    let plain = figures.keys().filter(|name| !name.ends_with(" ±"));
    wrong.extend(plain.filter(|name| !seen.contains(*name)).map(|name| format!("{name}: not in the report")));
    ensure!(wrong.is_empty(), "\n{}", wrong.join("\n"));
    Ok(())
}

/// Something that the program worked out.
struct Found {
    name: String,
    unit: String,
    cell: Option<Cell>,
    outcome: Option<Outcome>,
}

/// Every result, worked cell and check.
fn all(report: &Report) -> Vec<Found> {
    let results = report.values.iter().filter(|value| value.origin == Origin::Worked).map(|value| Found {
        name: value.name.clone(),
        unit: value.unit.clone().unwrap_or_default().into(),
        cell: Some(value.cell.clone()),
        outcome: None,
    });
    let cells = report.tables.iter().flat_map(|table| {
        table.rows.iter().flat_map(move |row| {
            let both = table.columns.iter().zip(&row.cells).filter(|(column, _)| column.origin == Origin::Worked);
            both.map(move |(column, cell)| Found {
                name: format!("{}.{}, {}", table.name, column.name, row.label),
                unit: column.unit.clone().unwrap_or_default().into(),
                cell: Some(cell.clone()),
                outcome: None,
            })
        })
    });
    let checks = report.checks.iter().map(|check| Found {
        name: format!("? {}", check.label),
        unit: String::new(),
        cell: None,
        outcome: Some(check.outcome),
    });
    results.chain(cells).chain(checks).collect()
}

impl Found {
    fn hold(&self, figures: &Figures) -> Result<()> {
        let (figure, unit) = figures.get(&self.name).context("no figure is kept")?;
        if let Some(outcome) = self.outcome {
            let outcome = format!("{outcome:?}").to_lowercase();
            ensure!(outcome == *figure, "{outcome}, and {figure} is kept");
            return Ok(());
        }
        let cell = self.cell.as_ref().context("neither a check nor a value")?;
        if figure == "waiting" || !cell.waiting_on.is_empty() {
            ensure!(figure == "waiting", "waits on {:?}, and {figure} is kept", cell.waiting_on);
            ensure!(!cell.waiting_on.is_empty(), "{} is worked out, and is to wait", cell.shown);
            return Ok(());
        }
        if let Some(text) = &cell.text {
            ensure!(text == figure, "{text}, and {figure} is kept");
            return Ok(());
        }
        ensure!(self.unit == *unit, "in {}, and {unit} is kept", self.unit);
        if let (Some(low), Some(high)) = (cell.low, cell.high) {
            let (kept_low, kept_high) = figure.split_once(" to ").context("no range is kept")?;
            agree("low end", low, kept_low)?;
            return agree("high end", high, kept_high);
        }
        agree("value", cell.value.context("no value")?, figure)?;
        let Some((half, _)) = figures.get(&format!("{} ±", self.name)) else { return Ok(()) };
        agree("±", cell.give_or_take.context("no ±")?, half)
    }
}

fn agree(what: &str, found: f64, kept: &str) -> Result<()> {
    let kept: f64 = kept.parse().map_err(|_| anyhow!("{kept} is no number"))?;
    let apart = (found - kept).abs();
    ensure!(apart <= CLOSE * kept.abs() || apart <= NOTHING, "{what}: {found}, and {kept} is kept");
    Ok(())
}
