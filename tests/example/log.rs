//! The season's log follows its records: what they add up to, a record added, one broken, one with a blank, a number
//! written in two ways.

use super::sheets::{book, column, example, number, records, worked};
use catchwork::report::Report;
use catchwork::report::data::Outcome;
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;
use tempfile::TempDir;
use walkdir::WalkDir;

const LOG: &str = "season-2026.worksheet";
const RECORD: &str = "jobs/2026/2026-09-14-drive.worksheet";

/// A copy of the example that a test may change.
fn copy() -> TempDir {
    let (copy, from) = (TempDir::new().unwrap(), example());
    for entry in WalkDir::new(&from) {
        let entry = entry.unwrap();
        let to = copy.path().join(entry.path().strip_prefix(&from).unwrap());
        match entry.file_type().is_dir() {
            true => fs::create_dir_all(to).unwrap(),
            false => fs::copy(entry.path(), to).map(|_| ()).unwrap(),
        }
    }
    copy
}

fn log(folder: &Path) -> Report {
    worked(&book(folder), folder, LOG)
}

/// Puts a record in the place of that one, or beside it.
fn write(folder: &Path, path: &str, change: impl Fn(String) -> String) {
    let text = fs::read_to_string(folder.join(RECORD)).unwrap();
    fs::write(folder.join(path), change(text)).unwrap();
}

fn outcome(report: &Report, label: &str) -> Outcome {
    report.checks.iter().find(|check| check.label == label).unwrap().outcome
}

/// Uses and liquid of the product with that number.
fn product(report: &Report, label: &str) -> (Option<f64>, Option<f64>) {
    let of = |name: &str| column(report, "products", name).iter().find(|(row, _)| *row == label).unwrap().1.value;
    (of("uses"), of("liquid used"))
}

#[test]
fn its_totals_are_those_of_the_records() {
    let folder = example();
    let book = book(&folder);
    let mut sums = BTreeMap::<String, (f64, f64, f64)>::new();
    for path in records() {
        let report = worked(&book, &folder, &path);
        let of =
            |name: &str| column(&report, "applied", name).into_iter().map(|(_, cell)| cell.clone()).collect::<Vec<_>>();
        for ((number, liquid), dry) in of("registration").iter().zip(of("liquid")).zip(of("dry")) {
            let sum = sums.entry(number.text.clone().unwrap()).or_default();
            *sum = (sum.0 + 1.0, sum.1 + liquid.value.unwrap(), sum.2 + dry.value.unwrap());
        }
    }
    let report = log(&folder);
    assert!(report.troubles.is_empty() && report.waiting.is_empty());
    assert!(report.checks.iter().all(|check| check.outcome == Outcome::Ok), "{:?}", report.checks);
    let columns = ["number", "uses", "liquid used", "dry used"].map(|name| column(&report, "products", name));
    let [numbers, uses, liquids, dries] = columns;
    assert_eq!(numbers.len(), sums.len());
    for (row, (_, number)) in numbers.iter().enumerate() {
        let sum = sums[number.text.as_deref().unwrap()];
        for (found, expected) in [(&uses, sum.0), (&liquids, sum.1), (&dries, sum.2)] {
            let found = found[row].1.value.unwrap();
            assert!((found - expected).abs() <= 1e-9 * expected.max(1.0), "{found}, and {expected} was laid");
        }
    }
}

#[test]
fn a_record_added_changes_it() {
    let folder = copy();
    let before = log(folder.path());
    write(folder.path(), "jobs/2026/2026-09-28-drive.worksheet", |text| text.replace("2026-09-14", "2026-09-28"));
    let after = log(folder.path());
    assert_eq!(number(&after, "rows in all").unwrap(), number(&before, "rows in all").unwrap() + 1.0);
    let (before_uses, before_used) = product(&before, "weed concentrate");
    let (uses, used) = product(&after, "weed concentrate");
    assert_eq!(uses.unwrap(), before_uses.unwrap() + 1.0);
    assert!((used.unwrap() - before_used.unwrap() - 1.125).abs() < 1e-9, "{used:?} after {before_used:?}");
    // A third full rate in one season on the drive is more than the label allows, and the log says so.
    assert_eq!(outcome(&before, "liquid limits"), Outcome::Ok);
    assert_eq!(outcome(&after, "liquid limits"), Outcome::No);
    assert_eq!(outcome(&after, "long enough"), Outcome::No);
}

#[test]
fn a_broken_record_makes_its_totals_wait_and_is_named() {
    let folder = copy();
    write(folder.path(), RECORD, |text| text.replace("0.72 gal", "0,72 gal"));
    let report = log(folder.path());
    let (uses, used) = product(&report, "weed concentrate");
    assert_eq!((uses, used), (None, None));
    let waits = column(&report, "products", "liquid used")[0].1.waiting_on.join("; ");
    assert!(waits.contains(RECORD), "it waits on {waits}");
    assert!(number(&report, "liquid in all").is_none());
    assert_eq!(outcome(&report, "every row"), Outcome::Waiting);
}

#[test]
fn a_blank_in_a_record_makes_its_totals_wait_and_is_named() {
    let folder = copy();
    write(folder.path(), RECORD, |text| text.replace("| 1.125", "| ____ "));
    let report = log(folder.path());
    let waits = column(&report, "products", "liquid used")[0].1.waiting_on.join("; ");
    assert!(waits.contains("2026-09-14-drive"), "it waits on {waits}");
    // Another product's total does not need that row.
    assert!(product(&report, "mildew liquid").1.is_some());
}

#[test]
fn a_number_or_bed_written_in_two_ways_is_found() {
    let folder = copy();
    write(folder.path(), RECORD, |text| text.replace("EX-0001", "EX-0010"));
    assert_eq!(outcome(&log(folder.path()), "every row"), Outcome::No);
    let folder = copy();
    write(folder.path(), RECORD, |text| text.replace("| drive gravel", "| drive gravl "));
    let report = log(folder.path());
    assert_eq!((outcome(&report, "every row"), outcome(&report, "every place")), (Outcome::Ok, Outcome::No));
}

#[test]
fn a_form_that_changed_stops_the_records_pinned_to_it() {
    let folder = copy();
    let form = folder.path().join("methods/job-record.worksheet");
    let text = fs::read_to_string(&form).unwrap();
    fs::write(&form, text.replace("within 10 % of spray volume", "within 50 % of spray volume")).unwrap();
    let report = worked(&book(folder.path()), folder.path(), RECORD);
    assert_eq!(report.troubles.iter().map(|trouble| trouble.kind.as_str()).collect::<Vec<_>>(), ["template-changed"]);
    assert!(number(&log(folder.path()), "liquid in all").is_none());
}

/// What the costs say was used is what the log says, as far as it was copied.
#[test]
fn the_costs_go_by_it() {
    let folder = example();
    let (log, costs) = (log(&folder), worked(&book(&folder), &folder, "cost.worksheet"));
    for (table, used) in [("liquids", "liquid used"), ("dry goods", "dry used")] {
        for (label, cell) in column(&costs, table, "used") {
            let name = if label == "bed food" { "slow bed food" } else { label };
            let kept = column(&log, "products", used).iter().find(|(row, _)| *row == name).unwrap().1.value.unwrap();
            let said = cell.value.unwrap();
            assert!((said - kept).abs() <= 0.0005 * kept, "{label}: {said}, and the log has {kept}");
        }
    }
    let ground = number(&log, "ground treated").unwrap();
    let on_average = ground / number(&costs, "visits").unwrap();
    assert!((number(&costs, "treated").unwrap() - on_average).abs() < 1.0, "{on_average} ft² on an average visit");
}
