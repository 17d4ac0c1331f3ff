//! Two reports of what should be the same worksheet, compared by name: what differs, in words.

use catchwork::report::Report;
use catchwork::report::data::{Cell, Origin, ReportValue};

/// How much of the reports has to be the same.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum What {
    /// Everything but the order of things.
    Everything,
    /// What was worked out: what was measured may be written otherwise.
    Worked,
    /// The numbers of what was worked out.
    Numbers,
}

/// Numbers that went through other roundings on the way agree to so many digits.
const CLOSE: f64 = 1e-10;

/// What differs; nothing where the reports say the same.
pub fn differences(one: &Report, other: &Report, what: What) -> Vec<String> {
    let mut found = Differences { what, found: Vec::new() };
    found.same("troubles", &kinds(one), &kinds(other));
    let names = |report: &Report| sorted(report.values.iter().map(|value| value.name.clone()));
    found.same("names", &names(one), &names(other));
    for value in &one.values {
        let twin = other.values.iter().find(|twin| twin.name == value.name);
        let Some(twin) = twin.filter(|_| what == What::Everything || value.origin == Origin::Worked) else { continue };
        found.values(value, twin);
    }
    found.tables(one, other);
    found.checks(one, other);
    found.found
}

fn kinds(report: &Report) -> Vec<String> {
    sorted(report.troubles.iter().map(|trouble| trouble.kind.clone()))
}

fn sorted(texts: impl Iterator<Item = String>) -> Vec<String> {
    let mut texts: Vec<String> = texts.collect();
    texts.sort();
    texts
}

struct Differences {
    what: What,
    found: Vec<String>,
}

impl Differences {
    fn same<T: PartialEq + std::fmt::Debug>(&mut self, what: &str, one: &T, other: &T) {
        if one != other {
            self.found.push(format!("{what}: {one:?} became {other:?}"));
        }
    }

    fn values(&mut self, one: &ReportValue, other: &ReportValue) {
        let name = &one.name;
        // Without brackets a result takes the units of what its formula names, and that is what has changed.
        if self.what == What::Numbers && head(one) != head(other) {
            return;
        }
        self.same(&format!("{name}, head"), &head(one), &head(other));
        self.cells(name, &one.cell, &other.cell);
    }

    fn cells(&mut self, name: &str, one: &Cell, other: &Cell) {
        let size = one.value.unwrap_or_default().abs();
        self.close(&format!("{name}, value"), one.value, other.value, 0.0);
        self.close(&format!("{name}, low"), one.low, other.low, 0.0);
        self.close(&format!("{name}, high"), one.high, other.high, 0.0);
        let uncertainty = (one.standard_uncertainty, other.standard_uncertainty);
        self.close(&format!("{name}, standard uncertainty"), uncertainty.0, uncertainty.1, size);
        self.close(&format!("{name}, freedom"), one.degrees_of_freedom, other.degrees_of_freedom, 0.0);
        self.close(&format!("{name}, give or take"), one.give_or_take, other.give_or_take, size);
        if self.what == What::Numbers {
            return;
        }
        self.same(&format!("{name}, text"), &one.text, &other.text);
        self.same(&format!("{name}, shown"), &one.shown, &other.shown);
        self.same(&format!("{name}, remarks"), &self.remarks(one), &self.remarks(other));
        let waits = |cell: &Cell| sorted(cell.waiting_on.iter().cloned());
        self.same(&format!("{name}, waits"), &waits(one), &waits(other));
    }

    /// Remarks in any order; a `±` in one is in the unit that was written, and told apart only where that is the same.
    fn remarks(&self, cell: &Cell) -> Vec<String> {
        let kept = |remark: &String| match remark.split_once('±') {
            Some((before, _)) if self.what == What::Worked => before.to_owned(),
            _ => remark.clone(),
        };
        sorted(cell.remarks.iter().map(kept))
    }

    /// Numbers agree, or differ by what is nothing beside a size.
    fn close(&mut self, what: &str, one: Option<f64>, other: Option<f64>, size: f64) {
        let agrees = match (one, other) {
            (Some(one), Some(other)) => (one - other).abs() <= CLOSE * one.abs().max(1e-3 * size),
            (None, None) => true,
            _ => false,
        };
        if !agrees {
            self.found.push(format!("{what}: {one:?} became {other:?}"));
        }
    }

    fn tables(&mut self, one: &Report, other: &Report) {
        for table in &one.tables {
            let Some(twin) = other.tables.iter().find(|twin| twin.name == table.name) else {
                self.found.push(format!("no table {}", table.name));
                continue;
            };
            self.same(&table.name, &table.remarks, &twin.remarks);
            for (row, twin_row) in table.rows.iter().zip(&twin.rows) {
                for ((cell, twin_cell), column) in row.cells.iter().zip(&twin_row.cells).zip(&table.columns) {
                    if self.what == What::Everything || column.origin == Origin::Worked {
                        self.cells(&format!("{}.{}, {}", table.name, column.name, row.label), cell, twin_cell);
                    }
                }
            }
        }
    }

    fn checks(&mut self, one: &Report, other: &Report) {
        for check in &one.checks {
            let Some(twin) = other.checks.iter().find(|twin| twin.label == check.label) else {
                self.found.push(format!("no check {}", check.label));
                continue;
            };
            self.same(&check.label, &check.outcome, &twin.outcome);
            self.same(&check.label, &check.remarks, &twin.remarks);
            if self.what == What::Everything {
                self.same(&check.label, &check.compared, &twin.compared);
            }
        }
    }
}

type Head<'a> = (Option<&'a str>, Option<&'a str>, Option<&'a str>, Origin);

fn head(value: &ReportValue) -> Head<'_> {
    (value.unit.as_deref(), value.of.as_deref(), value.per.as_deref(), value.origin)
}
