//! The sixty job records: what one says of another sheet is so, and the season is the one that the crew's page tells.

use super::sheets::{book, cell, column, example, number, paths, records, text, worked};
use catchwork::book::Book;
use catchwork::report::Report;
use catchwork::report::data::Outcome;
use std::collections::{BTreeMap, BTreeSet};
use std::fs;

/// Places outside the bed list that the crew also treats, with their area in square feet.
const OTHER_PLACES: [(&str, f64); 3] = [("gravel edge", 120.0), ("drive gravel", 900.0), ("path gravel", 640.0)];
/// A figure carried from one sheet to another by hand has three digits at least.
const BY_HAND: f64 = 0.002;

/// What one record says lay on one bed, in fluid ounces or pounds.
struct Laid {
    number: String,
    bed: String,
    day: String,
    area: f64,
    amount: f64,
}

fn reports() -> Vec<(String, Report)> {
    let folder = example();
    let book = book(&folder);
    records().into_iter().map(|path| (path.clone(), worked(&book, &folder, &path))).collect()
}

fn laid(report: &Report) -> Vec<Laid> {
    let columns = ["registration", "bed", "day", "area", "liquid", "dry"].map(|name| column(report, "applied", name));
    let [numbers, beds, days, areas, liquids, dries] = columns;
    let rows = 0..numbers.len();
    let say = |cells: &[(&str, &catchwork::report::data::Cell)], row: usize| cells[row].1.text.clone().unwrap();
    rows.map(|row| Laid {
        number: say(&numbers, row),
        bed: say(&beds, row),
        day: say(&days, row),
        area: areas[row].1.value.unwrap(),
        amount: liquids[row].1.value.unwrap() + dries[row].1.value.unwrap(),
    })
    .collect()
}

#[test]
fn sixty_records_by_a_crew_with_its_tools() {
    let reports = reports();
    assert_eq!(reports.len(), 60);
    let all = |name: &str| reports.iter().map(|(_, report)| text(report, name).unwrap()).collect::<BTreeSet<_>>();
    let tools: BTreeSet<String> =
        all("equipment").iter().map(|tool| tool.split(',').next().unwrap().to_owned()).collect();
    assert_eq!(all("person").len(), 4);
    assert_eq!(all("registration").len(), 6);
    let expected = ["Blue 2", "Blue 4", "Bottle 1", "Green 1", "Green 3", "Spreader A", "Spreader B"];
    assert_eq!(tools.iter().map(String::as_str).collect::<Vec<_>>(), expected);
}

/// One record says `no`, and its correction line and the next calibration say what came of it.
#[test]
fn records_are_in_no_trouble_and_pinned() {
    let mut refused = Vec::new();
    for (path, report) in reports() {
        assert!(report.troubles.is_empty(), "{path}: {}", report.troubles[0].display);
        let [template] = report.templates.as_slice() else { panic!("{path} fills {:?}", report.templates) };
        assert!(template.pinned && template.file.ends_with("methods/job-record.worksheet"), "{path}: {template:?}");
        let said = report.checks.iter().filter(|check| check.outcome == Outcome::No);
        refused.extend(said.map(|check| format!("{path}: {}", check.label)));
    }
    assert_eq!(refused, ["jobs/2026/2026-06-12-spots.worksheet: volume"]);
}

/// Area in square feet by bed: the list, and the measures that it was made from.
fn areas() -> BTreeMap<String, f64> {
    let list = fs::read_to_string(example().join("bed-list.csv")).unwrap();
    let listed = list.lines().skip(1).map(|line| {
        let (bed, area) = line.split_once(',').unwrap();
        (bed.to_owned(), area.parse().unwrap())
    });
    let others = OTHER_PLACES.iter().map(|(place, area)| ((*place).to_owned(), *area));
    listed.chain(others).collect()
}

#[test]
fn the_bed_list_is_what_was_measured() {
    let folder = example();
    let report = worked(&book(&folder), &folder, "bed-areas.worksheet");
    let areas = areas();
    let mut measured = 0;
    for table in &report.tables {
        let Some(place) = table.columns.iter().position(|column| column.name == "area") else { continue };
        for row in &table.rows {
            assert_eq!(areas[&row.label], row.cells[place].value.unwrap().round(), "{}", row.label);
            measured += 1;
        }
    }
    assert_eq!(measured + OTHER_PLACES.len(), areas.len());
}

#[test]
fn what_was_laid_lies_on_beds_of_the_list() {
    let areas = areas();
    for (path, report) in reports() {
        let (product, first) = (text(&report, "registration").unwrap(), text(&report, "start").unwrap());
        for row in laid(&report) {
            let bed = areas.get(&row.bed).unwrap_or_else(|| panic!("{path}: no bed is called {}", row.bed));
            assert!(row.area <= bed * (1.0 + 1e-9), "{path}: {} ft² of {}", row.area, row.bed);
            assert_eq!((&row.number, &row.day[..]), (&product, &first[..10]), "{path}");
        }
    }
}

/// The sheet of that day for that tool and person.
fn calibration(book: &Book, tool: &str, person: &str, day: &str) -> Option<Report> {
    let folder = example();
    paths("calibration").into_iter().map(|path| worked(book, &folder, &path)).find(|report| {
        let named = |name: &str| report.values.iter().find(|value| value.name == name);
        let is = |name: &str, wanted: &str| {
            named(name).and_then(|value| value.cell.text.as_deref()).is_some_and(|found| found.starts_with(wanted))
        };
        // A sheet about tips alone says nothing of what lies on the ground.
        let measures = ["spray volume", "rate laid", "full setting", "one squeeze"];
        let tells = measures.iter().any(|name| named(name).is_some());
        let tool = ["sprayer", "spreader", "bottle"].iter().any(|name| is(name, tool));
        tells && tool && is("person", person) && is("test date", day)
    })
}

/// Spraying until wet goes by a water test of the day instead.
#[test]
fn records_name_a_calibration_that_is_there() {
    let folder = example();
    let book = book(&folder);
    for (path, report) in reports() {
        let (tool, person) = (text(&report, "equipment").unwrap(), text(&report, "person").unwrap());
        let tool = tool.split(',').next().unwrap();
        let day = text(&report, "calibrated").unwrap();
        if text(&report, "registration").as_deref() == Some("EX-0005")
            && text(&report, "start").unwrap().starts_with(&day)
        {
            continue;
        }
        let sheet = calibration(&book, tool, &person, &day);
        let sheet = sheet.unwrap_or_else(|| panic!("{path}: {tool} was not calibrated with {person} on {day}"));
        let Some(volume) = number(&report, "spray volume") else { continue };
        let found = number(&sheet, "spray volume").unwrap();
        assert!((volume - found).abs() <= BY_HAND * found, "{path}: {volume}, and {} has {found}", sheet.worksheet);
    }
}

/// `last use` and `used before` are what the records before say: the latest day and the most on any of the beds.
#[test]
fn records_count_what_lay_there_before() {
    let areas = areas();
    let mut before: Vec<Laid> = Vec::new();
    for (path, report) in reports() {
        let own = laid(&report);
        let same = |bed: &str| {
            let number = own[0].number.clone();
            before.iter().filter(|other| other.number == number && other.bed == bed).collect::<Vec<_>>()
        };
        let last = own.iter().flat_map(|row| same(&row.bed)).map(|other| other.day.clone()).max();
        assert_eq!(text(&report, "last use"), last, "{path}");
        let most = own
            .iter()
            .map(|row| same(&row.bed).iter().map(|other| other.amount).sum::<f64>() / areas[&row.bed] * 1000.0)
            .fold(0.0, f64::max);
        let dry = cell(&report, "dry in all").value.unwrap() > 0.0;
        if let Some(said) = number(&report, if dry { "dry used before" } else { "used before" }) {
            let unit = &cell(&report, if dry { "dry used before" } else { "used before" }).parts[0].unit;
            let most = if unit.starts_with("oz ") { most * 16.0 } else { most };
            assert!(
                said >= most * (1.0 - 1e-9) && said <= most + 0.0011,
                "{path}: {said} {unit}, and {most} lay there"
            );
        }
        before.extend(own);
    }
}

/// A limit that was nearly passed: a bed's patches were brought to within a hundredth of the season's most.
#[test]
fn one_limit_was_nearly_passed() {
    let share = |report: &Report| Some(number(report, "season liquid")? / number(report, "season most")?);
    let near: Vec<String> = reports()
        .into_iter()
        .filter(|(_, report)| share(report).is_some_and(|share| share > 0.99))
        .map(|(path, _)| path)
        .collect();
    assert_eq!(near, ["jobs/2026/2026-06-24-spots.worksheet"]);
}

/// The record as first written is kept beside the one put right, which names it by its fingerprint.
#[test]
fn the_record_put_right_names_the_one_first_written() {
    let folder = example();
    let book = book(&folder);
    let first = paths("jobs/2026/first-written");
    assert_eq!(first.len(), 1);
    let old = worked(&book, &folder, &first[0]);
    let new = worked(&book, &folder, &first[0].replace("first-written/", ""));
    let said =
        column(&new, "corrections", "what").iter().map(|(_, cell)| cell.text.clone().unwrap()).collect::<Vec<_>>();
    let named = first[0].strip_prefix("jobs/2026/").unwrap();
    let line = said.iter().find(|line| line.contains(named)).unwrap();
    assert!(line.contains(&format!("fingerprint {}", old.fingerprint)), "{line}, and it is {}", old.fingerprint);
    let numbers = |report: &Report| laid(report).into_iter().map(|row| row.number).collect::<BTreeSet<_>>();
    assert_ne!(numbers(&old), numbers(&new));
}
