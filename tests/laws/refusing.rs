//! What is refused in one order of two operands is refused in the other, for the same reason: every kind of value with
//! every other, under `+` and every comparison. What is taken comes to the same.

use crate::worked;
use catchwork::report::Report;
use catchwork::report::data::ReportValue;
use std::collections::{BTreeMap, BTreeSet};

/// One value of every kind that matters to what goes together.
const OPERANDS: [&str; 38] = [
    "3 ft",
    "36 in ± 1 in",
    "2 s",
    "4 fl oz",
    "4 fl oz of product",
    "4 fl oz of water",
    "4 oz of product",
    "1 to 2 ft",
    "up to 4 ft",
    "at least 2 ft",
    "1 to 2 fl oz of product",
    "60 °F",
    "15 °C ± 1 °C",
    "50 to 90 °F",
    "5 Δ°F",
    "2026-04-12",
    "2026-04-12 14:30",
    "3 day",
    "2.5 h",
    "\"green\"",
    "\"red\"",
    "yes",
    "no",
    "9, 8, 7 ft",
    "$4",
    "$4 per gal",
    "5 %",
    "5 % v/v of product",
    "0.05",
    "0.05 ± 0.01",
    "30 deg",
    "3 plant",
    "2 fl oz/plant",
    "2 fl oz of product per gal",
    "2 fl oz of product per gal of mix",
    "2 fl oz per gal of mix",
    "____ ft",
    "____ text",
];

/// Relations, each with the one that says the same with its operands changed over.
const RELATIONS: [(&str, &str); 7] = [
    ("+", "+"),
    ("at most", "at least"),
    ("less than", "more than"),
    ("at least", "at most"),
    ("more than", "less than"),
    ("is", "is"),
    ("is not", "is not"),
];

/// What came of a line: nothing where it is refused, else its value and its unit.
#[derive(Debug, PartialEq)]
struct Taken {
    numbers: [Option<String>; 4],
    text: Option<String>,
    unit: Option<String>,
    waits_on: Vec<String>,
}

fn taken(report: &Report) -> BTreeMap<usize, Taken> {
    let number = |number: Option<f64>| number.map(|number| format!("{number:.9e}"));
    let one = |value: &ReportValue| {
        let cell = &value.cell;
        let numbers = [cell.value, cell.low, cell.high, cell.standard_uncertainty].map(number);
        let mut waits_on = cell.waiting_on.clone();
        waits_on.sort();
        Taken { numbers, text: cell.text.clone(), unit: value.unit.as_deref().map(str::to_owned), waits_on }
    };
    report.values.iter().map(|value| (value.line, one(value))).collect()
}

/// A sum is shown in the unit met first; in another unit its number is another one.
fn is_same(one: Option<&Taken>, other: Option<&Taken>) -> bool {
    match (one, other) {
        (Some(one), Some(other)) if one.unit != other.unit => true,
        (one, other) => one == other,
    }
}

/// Pairs to a worksheet: far fewer troubles than a report stops at.
const TOGETHER: usize = 30;

#[test]
fn what_is_refused_one_way_round_is_refused_the_other() {
    let places = 0..OPERANDS.len();
    let pairs: Vec<(usize, usize)> = places.flat_map(|one| (0..one).map(move |other| (one, other))).collect();
    let mut wrong = Vec::new();
    for relation in RELATIONS {
        pairs.chunks(TOGETHER).for_each(|pairs| wrong.extend(told_apart(relation, pairs)));
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The pairs of which one way round comes to something else than the other.
fn told_apart((relation, turned): (&str, &str), pairs: &[(usize, usize)]) -> Vec<String> {
    let entries = OPERANDS.iter().enumerate().map(|(number, value)| format!("v {number} : {value}\n"));
    let lines = pairs.iter().map(|(one, other)| {
        format!("one {one} {other} = v {one} {relation} v {other}\nother {one} {other} = v {other} {turned} v {one}\n")
    });
    let report = worked(&entries.chain(lines).collect::<String>());
    let found = taken(&report);
    let refused: BTreeSet<usize> = report.troubles.iter().map(|trouble| trouble.line).collect();
    let one = |(place, (one, other)): (usize, &(usize, usize))| {
        let line = OPERANDS.len() + 1 + 2 * place;
        let (straight, turned_round) = (found.get(&line), found.get(&(line + 1)));
        let is_told = [line, line + 1].iter().all(|line| found.contains_key(line) != refused.contains(line));
        let words = || format!("{} {relation} {}", OPERANDS[*one], OPERANDS[*other]);
        (!is_same(straight, turned_round) || !is_told)
            .then(|| format!("{}: {straight:?}, turned round {turned_round:?}", words()))
    };
    pairs.iter().enumerate().filter_map(one).collect()
}
