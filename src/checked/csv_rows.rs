//! Rows from a CSV file: columns found by their headers, units in headers converted, each cell settled like any other.

use super::fit;
use super::literals::Literals;
use super::model::{Column, End, Remark, Row, RowFrom, Table, Written, WrittenValue};
use super::tables::Tables;
use super::types::{NumberType, Type};
use super::units::Position;
use crate::syntax::parse;
use crate::syntax::tree::{self, FileName, RowsFrom};
use crate::text::{Place, Source};
use crate::trouble::{Kind, Trouble};
use std::collections::HashMap;
use std::sync::Arc;

/// The most rows of a CSV file.
pub const MOST_ROWS: usize = 5_000_000;

/// A declared column, and where the file has it.
struct Found {
    column: usize,
    field: usize,
    /// What its cells are when they say no unit: the header's, or the declared one.
    unsaid: Option<NumberType>,
}

/// Reads the rows of a table from the text of its file.
pub fn rows(tables: &mut Tables<'_>, table: &mut Table, from: &RowsFrom, entered: usize, text: &str) {
    let before = tables.troubles.len();
    read(tables, table, from, entered, text);
    // A row that is left out, or a file that cannot be read, makes what needs the whole table wait.
    table.has_lost_rows |= tables.troubles.len() > before;
}

fn read(tables: &mut Tables<'_>, table: &mut Table, from: &RowsFrom, entered: usize, text: &str) {
    let mut reader = csv::ReaderBuilder::new()
        .has_headers(false)
        .flexible(true)
        .from_reader(text.trim_start_matches('\u{feff}').as_bytes());
    let mut records = reader.records();
    let headers = match records.next() {
        Some(Ok(headers)) => headers,
        Some(Err(error)) => return refuse(tables, &from.file, format!("it is no CSV: {error}")),
        None => return refuse(tables, &from.file, "it has no row of headers".to_owned()),
    };
    let Some(found) = columns(tables, table, from, entered, &headers) else { return };
    let mut labels: HashMap<String, usize> = HashMap::new();
    let file: Arc<str> = from.file.path.as_str().into();
    for (index, record) in records.enumerate() {
        let number = index + 2;
        if index >= MOST_ROWS {
            tables.troubles.push(Trouble::new(
                from.file.place,
                Kind::TooManyRows { file: from.file.path.clone(), most: MOST_ROWS },
            ));
            return;
        }
        match record {
            Ok(record) if record.iter().all(|field| field.trim().is_empty()) => {}
            Ok(record) if record.len() != headers.len() => {
                let says = format!("row {number} has {} cells, and the headers are {}", record.len(), headers.len());
                refuse(tables, &from.file, says);
            }
            Ok(record) => self::row(tables, table, from, entered, &found, &record, (&file, number), &mut labels),
            Err(error) => refuse(tables, &from.file, format!("row {number} is no CSV: {error}")),
        }
    }
}

fn refuse(tables: &mut Tables<'_>, file: &FileName, says: String) {
    tables.troubles.push(Trouble::new(file.place, Kind::FileHeader { file: file.path.clone(), says }));
}

/// A header's name and the unit in its brackets: `length (m)`.
fn header_parts(header: &str) -> (String, Option<String>) {
    let single = header.split_whitespace().collect::<Vec<_>>().join(" ");
    match single.strip_suffix(')').and_then(|rest| rest.rsplit_once('(')) {
        Some((name, unit)) => (tree::key(name.trim()), Some(unit.trim().to_owned())),
        None => (tree::key(&single), None),
    }
}

/// Where the file has each declared column; `None` where a header is wrong.
fn columns(
    tables: &mut Tables<'_>,
    table: &mut Table,
    from: &RowsFrom,
    entered: usize,
    headers: &csv::StringRecord,
) -> Option<Vec<Found>> {
    let parts: Vec<(String, Option<String>)> = headers.iter().map(header_parts).collect();
    let before = tables.troubles.len();
    for (index, (name, _)) in parts.iter().enumerate() {
        if parts.iter().take(index).any(|(other, _)| other == name) {
            refuse(tables, &from.file, format!("two columns are headed `{name}`"));
        }
    }
    let mut found = Vec::new();
    for (index, column) in table.columns.iter().enumerate().take(entered) {
        let key = tree::key(&column.name);
        let Some(field) = parts.iter().skip(1).position(|(name, _)| *name == key).map(|index| index + 1) else {
            refuse(tables, &from.file, format!("no column is headed `{}`", column.name));
            continue;
        };
        let unit = parts.get(field).and_then(|(_, unit)| unit.clone());
        if let Some(unsaid) = header_unit(tables, column, unit, from) {
            found.push(Found { column: index, field, unsaid });
        }
    }
    let declared = |name: &str| table.columns.iter().any(|column| tree::key(&column.name) == name);
    let others: Vec<&str> =
        parts.iter().skip(1).filter(|(name, _)| !declared(name)).map(|(name, _)| name.as_str()).collect();
    if !others.is_empty() {
        table.remarks.push(Remark::ColumnsNotDeclared(others.join(", ")));
    }
    (tables.troubles.len() == before).then_some(found)
}

/// What a column's cells are when they say no unit. A header without one is refused for a column with a unit, unless
/// the table says `units as declared`.
#[allow(clippy::option_option, reason = "no number has no unit, and a wrong header has no column")]
fn header_unit(
    tables: &mut Tables<'_>,
    column: &Column,
    unit: Option<String>,
    from: &RowsFrom,
) -> Option<Option<NumberType>> {
    let Type::Number(declared) = &column.kind else { return Some(None) };
    let Some(unit) = unit else {
        if declared.unit.is_plain() || from.units_as_declared {
            return Some(Some(declared.clone()));
        }
        let symbol = declared.unit.symbol(&tables.measures.crew);
        refuse(
            tables,
            &from.file,
            format!(
                "the header `{}` does not say its unit: write `{} ({symbol})`, or `units as declared` in the table",
                column.name, column.name
            ),
        );
        return None;
    };
    let source = Source::of_text(&from.file.path, unit.clone());
    let settled = parse::parse_unit(&source, u16::MAX)
        .and_then(|unit| tables.measures.settle(&unit, Position::Value, &|_| false));
    let kind = settled
        .map_err(|trouble| trouble.kind)
        .and_then(|settled| fit::fit(&Type::Number(settled.kind), &column.kind, tables.measures));
    match kind {
        Ok(Type::Number(kind)) => Some(Some(kind)),
        Ok(_) => Some(None),
        Err(kind) => {
            refuse(tables, &from.file, format!("the header `{} ({unit})`: {}", column.name, kind.says()));
            None
        }
    }
}

#[allow(clippy::too_many_arguments, reason = "one row of one table of one file")]
fn row(
    tables: &mut Tables<'_>,
    table: &mut Table,
    from: &RowsFrom,
    entered: usize,
    found: &[Found],
    record: &csv::StringRecord,
    (file, number): (&Arc<str>, usize),
    labels: &mut HashMap<String, usize>,
) {
    let place = from.file.place;
    let label = record.get(0).unwrap_or("").split_whitespace().collect::<Vec<_>>().join(" ");
    if label.is_empty() {
        return refuse(tables, &from.file, format!("row {number} has no label in its first column"));
    }
    if let Some(first) = labels.insert(label.to_lowercase(), number) {
        return refuse(
            tables,
            &from.file,
            format!("row {number} has the label `{label}`, which row {first} has already"),
        );
    }
    let mut cells: Vec<Option<Written>> = vec![None; entered];
    for Found { column, field, unsaid } in found {
        let Some(own) = table.columns.get(*column) else { continue };
        let name = format!("{}.{}, {label}", table.name, own.name);
        let text = record.get(*field).unwrap_or("").trim();
        match cell(tables, own, &name, text, unsaid.as_ref(), place) {
            Ok(written) => {
                if let Some(cell) = cells.get_mut(*column) {
                    *cell = Some(written);
                }
            }
            Err(kind) => {
                let kind = Kind::InFile {
                    file: from.file.path.clone(),
                    row: number,
                    column: own.name.clone(),
                    says: kind.says(),
                    instead: kind.instead().unwrap_or_default(),
                };
                tables.troubles.push(Trouble::new(place, kind));
            }
        }
    }
    table.rows.push(Row { label, place, cells, remark: None, from: Some(RowFrom::Csv(file.clone(), number)) });
}

fn cell(
    tables: &mut Tables<'_>,
    column: &Column,
    name: &str,
    text: &str,
    unsaid: Option<&NumberType>,
    place: Place,
) -> Result<Written, Kind> {
    if text.is_empty() || text.len() >= 2 && text.bytes().all(|byte| byte == b'_') {
        return Ok(tables.blank_cell(column, name, place));
    }
    if column.kind == Type::Text {
        return Ok(Written {
            place,
            value: WrittenValue::Text(text.to_owned()),
            text: text.to_owned(),
            doubt_text: String::new(),
            says_unit: false,
        });
    }
    if let (Some(kind), Some(number)) = (unsaid, plain_number(text)) {
        let crew = kind.unit.crew_words().collect();
        let number = number * kind.unit.size() + kind.unit.zero();
        let end = End { number: Some(number), blank: None, doubt: None, crew };
        return Ok(shown_as(
            tables,
            column,
            kind,
            Written {
                place,
                value: WrittenValue::Number(end),
                text: text.to_owned(),
                doubt_text: String::new(),
                says_unit: false,
            },
        ));
    }
    let source = Source::of_text(name, text.to_owned());
    let literal =
        parse::parse_literal(&source, u16::MAX, Place::new(u16::MAX, 0, text.len())).map_err(|trouble| trouble.kind)?;
    let mut literals = Literals { measures: tables.measures, sources: tables.sources, blanks: tables.blanks };
    let (written, kind) = literals.settle(&literal, name, unsaid).map_err(|trouble| trouble.kind)?;
    tables.check_cell(column, &kind, place).map_err(|trouble| trouble.kind)?;
    let says_unit = written.says_unit || kind.number().is_some_and(|kind| Some(kind) != unsaid);
    Ok(Written { place, text: text.to_owned(), says_unit, ..written })
}

/// A number in the header's unit, where that is not the declared one, says its unit itself.
fn shown_as(tables: &Tables<'_>, column: &Column, kind: &NumberType, mut written: Written) -> Written {
    let declared = column.kind.number().map(|kind| &kind.unit);
    if declared != Some(&kind.unit) {
        written.text = format!("{} {}", written.text, kind.unit.symbol(&tables.measures.crew));
        written.says_unit = true;
    }
    written
}

/// Digits with a point at the most, which need no grammar.
fn plain_number(text: &str) -> Option<f64> {
    let digits = text.strip_prefix('-').unwrap_or(text);
    let is_plain = digits.bytes().all(|byte| byte.is_ascii_digit() || byte == b'.')
        && digits.bytes().any(|byte| byte.is_ascii_digit())
        && !digits.ends_with('.');
    if is_plain { text.parse().ok() } else { None }
}
