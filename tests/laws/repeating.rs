//! A row of data is the worksheet with that row's entries: every result and check comes out as it does there, to the
//! last digit, whatever rows stand before it.

use crate::sheets::{Draft, Form, Statement, Written};
use crate::tape::{Tape, tapes};
use crate::{config, request, worked};
use catchwork::book::Book;
use catchwork::each::{Data, Each};
use catchwork::report::Report;
use catchwork::report::data::{Cell, Origin, Outcome};
use catchwork::report::figures::fifteen;
use catchwork::text::Source;
use catchwork::text::crew_folder::Alone;
use proptest::prelude::*;
use std::sync::Arc;

proptest! {
    #![proptest_config(config(250))]

    #[test]
    fn a_row_is_the_sheet_with_its_entries(mut tape in tapes(400)) {
        let drafts = drafts(&mut tape);
        let (template, data) = (with_shown(&drafts[0]), data(&drafts, &mut tape));
        let Some(rows) = rows(&template, &data) else { return Ok(()) };
        for (draft, row) in drafts.iter().zip(&rows) {
            let report = worked(&with_shown(draft));
            let differences = differences(&report, row);
            prop_assert!(differences.is_empty(), "{template}\n--- over ---\n{data}\n{differences:#?}\n{row:#?}");
        }
        prop_assert_eq!(rows.len(), drafts.len());
    }
}

/// A sheet, and the same with some entries measured again.
fn drafts(tape: &mut Tape) -> Vec<Draft> {
    let mut drafts = vec![Draft::made(tape)];
    for _ in 0..tape.between(1, 3) {
        let mut next = drafts[0].clone();
        for _ in 0..tape.between(1, 3) {
            next = next.measured_again(tape).map_or(next, |(again, _)| again);
        }
        drafts.push(next);
    }
    drafts
}

/// The sheet with the number that each result shows, by name.
fn with_shown(draft: &Draft) -> String {
    let mut text = draft.text();
    for number in 1..=5 {
        if text.contains(&format!("\nresult {number} = ")) {
            text += &format!("\nseen {number} = shown(result {number})\n");
        }
    }
    text
}

/// The entries of each draft, a row each, headed by their names and units.
fn data(drafts: &[Draft], tape: &mut Tape) -> String {
    let rows: Vec<Vec<(&str, &Written)>> = drafts.iter().map(entries).collect();
    let head = |(name, value): &(&str, &Written)| {
        let unit = format!("{}{}", value.figures[0].unit.symbol, of(value));
        if unit.is_empty() { (*name).to_owned() } else { format!("{name} ({unit})") }
    };
    let mut data = rows[0].iter().map(head).collect::<Vec<_>>().join(",") + "\n";
    for row in &rows {
        let cells: Vec<String> = row.iter().map(|(_, value)| format!("\"{}\"", cell(value, tape))).collect();
        data += &(cells.join(",") + "\n");
    }
    data
}

fn of(value: &Written) -> String {
    value.of.map(|of| format!(" of {of}")).unwrap_or_default()
}

fn entries(draft: &Draft) -> Vec<(&str, &Written)> {
    let statements = draft.statements.iter();
    statements
        .filter_map(|statement| match statement {
            Statement::Entry { name, value } if value.form != Form::Scoops => Some((name.as_str(), value)),
            _ => None,
        })
        .collect()
}

/// The value with its unit, or as it stands under its header.
fn cell(value: &Written, tape: &mut Tape) -> String {
    match value.form {
        Form::Blank => ["", "____"][tape.below(2)].to_owned(),
        Form::Single if value.give.is_none() && tape.chance(70) => value.figures[0].bare().to_owned(),
        _ => value.to_string(),
    }
}

/// Cells with their headers, in order.
type Row = Vec<(String, String)>;

/// The rows that come out, each cell by its header; none where the template is in trouble.
fn rows(template: &str, data: &str) -> Option<Vec<Row>> {
    let source = Source::of_text("law.worksheet", template.to_owned());
    let settled = Book::new(Arc::new(Alone), request()).settle(source, "");
    let mut data = Data::new(data.as_bytes());
    let headers = data.headers().unwrap_or_default();
    let each = Each::new(settled, &request(), "data.csv", &headers).ok()?;
    let mut out = Vec::new();
    each.run(&mut data, &mut out, |_| {}).unwrap_or_else(|error| panic!("{error}"));
    let mut reader = csv::Reader::from_reader(out.as_slice());
    let heads = reader.headers().cloned().unwrap_or_else(|error| panic!("{error}"));
    let row = |record: csv::Result<csv::StringRecord>| {
        let record = record.unwrap_or_else(|error| panic!("{error}"));
        heads.iter().map(str::to_owned).zip(record.iter().map(str::to_owned)).collect()
    };
    Some(reader.records().map(row).collect())
}

fn differences(report: &Report, row: &Row) -> Vec<String> {
    let mut found = Vec::new();
    let mut same = |what: &str, sheet: &str, row: &str| {
        if sheet != row {
            found.push(format!("{what}: {sheet} in the sheet, {row} in the row"));
        }
    };
    for value in report.values.iter().filter(|value| value.origin == Origin::Worked) {
        let seen = value.name.replace("result", "seen");
        let seen = report.values.iter().find(|other| other.name == seen).unwrap_or(value);
        number(&value.name, row, value.cell.value, seen.cell.value, &value.cell, &mut same);
        number(&format!("{} low", value.name), row, value.cell.low, seen.cell.low, &value.cell, &mut same);
        number(&format!("{} high", value.name), row, value.cell.high, seen.cell.high, &value.cell, &mut same);
        if let Some(half_width) = column(row, &format!("{} ±", value.name)) {
            same(&format!("{} ±", value.name), &written(value.cell.give_or_take), half_width);
        }
    }
    for check in &report.checks {
        let outcome = match check.outcome {
            Outcome::Ok => "ok",
            Outcome::Close => "close",
            Outcome::Waiting => "waiting",
            Outcome::No => "no",
        };
        same(&check.label, outcome, headed(row, &format!("? {}", check.label)));
    }
    let in_trouble = |trouble: bool| if trouble { "in trouble" } else { "in none" };
    same("the row", in_trouble(!report.troubles.is_empty()), in_trouble(!headed(row, "trouble").is_empty()));
    found
}

/// A number is the value with all its digits, or the one that is shown.
fn number(
    name: &str,
    row: &Row,
    value: Option<f64>,
    seen: Option<f64>,
    cell: &Cell,
    same: &mut impl FnMut(&str, &str, &str),
) {
    let Some(own) = column(row, name) else { return };
    if own.starts_with("less than") {
        return same(name, cell.parts[0].value.split(": ").next().unwrap_or_default(), own);
    }
    let is_seen = || Some((own.parse::<f64>().ok()? - seen?).abs() <= 1e-11 * seen?.abs());
    if written(value) != *own && is_seen() != Some(true) {
        same(name, &written(value), own);
    }
}

fn headed<'r>(row: &'r Row, wanted: &str) -> &'r str {
    row.iter().find(|(head, _)| head == wanted).map_or("", |(_, cell)| cell)
}

/// The cell under a name and its first unit.
fn column<'r>(row: &'r Row, name: &str) -> Option<&'r String> {
    let first = |head: &String| head == name || head.strip_prefix(name).is_some_and(|rest| rest.starts_with(" ("));
    row.iter().find(|(head, _)| first(head)).map(|(_, cell)| cell)
}

fn written(number: Option<f64>) -> String {
    number.map_or_else(String::new, |number| format!("{:?}", fifteen(number)))
}
