//! Rows from a CSV file: columns found by their headers, units in headers converted, each cell settled like any other.

use super::data::{self, Header, Unsaid};
use super::model::{Column, Remark, Row, RowFrom, Table, Written};
use super::tables::Tables;
use super::types::NumberType;
use crate::syntax::parse;
use crate::syntax::tree::{self, FileName, RowsFrom};
use crate::text::{Place, single_spaced};
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

fn refuse_cell(tables: &mut Tables<'_>, from: &RowsFrom, row: usize, column: &str, kind: &Kind) {
    let (file, column) = (from.file.path.clone(), column.to_owned());
    let (says, instead) = (kind.says(), kind.instead().unwrap_or_default());
    tables.troubles.push(Trouble::new(from.file.place, Kind::InFile { file, row, column, says, instead }));
}

/// Where the file has each declared column; `None` where a header is wrong.
fn columns(
    tables: &mut Tables<'_>,
    table: &mut Table,
    from: &RowsFrom,
    entered: usize,
    headers: &csv::StringRecord,
) -> Option<Vec<Found>> {
    let before = tables.troubles.len();
    for (index, header) in headers.iter().enumerate() {
        if let Err(kind) = parse::check_text(header) {
            refuse(tables, &from.file, format!("the header of column {}: {}", index + 1, kind.says()));
        }
    }
    if tables.troubles.len() > before {
        return None;
    }
    let headers: Vec<Header> = headers.iter().map(Header::read).collect();
    for (index, Header { key, .. }) in headers.iter().enumerate() {
        if headers.iter().take(index).any(|other| other.key == *key) {
            refuse(tables, &from.file, format!("two columns are headed `{key}`"));
        }
    }
    let mut found = Vec::new();
    for (index, column) in table.columns.iter().enumerate().take(entered) {
        let key = tree::key(&column.name);
        let headed = headers.iter().enumerate().skip(1).find(|(_, header)| header.key == key);
        let Some((field, header)) = headed else {
            refuse(tables, &from.file, format!("no column is headed `{}`", column.name));
            continue;
        };
        if let Some(unsaid) = unsaid(tables, column, header, from) {
            found.push(Found { column: index, field, unsaid });
        }
    }
    let declared = |name: &str| table.columns.iter().any(|column| tree::key(&column.name) == name);
    let others: Vec<&str> =
        headers.iter().skip(1).map(|header| header.key.as_str()).filter(|name| !declared(name)).collect();
    if !others.is_empty() {
        table.remarks.push(Remark::ColumnsNotDeclared(others.join(", ")));
    }
    (tables.troubles.len() == before).then_some(found)
}

/// What a column's cells are when they say no unit. A header without one is refused for a column with a unit, unless
/// the table says `units as declared`.
#[allow(clippy::option_option, reason = "no number has no unit, and a wrong header has no column")]
fn unsaid(tables: &mut Tables<'_>, column: &Column, header: &Header, from: &RowsFrom) -> Option<Option<NumberType>> {
    let says = match header.unsaid(&column.kind, tables.measures) {
        Ok(unsaid) => return Some(unsaid),
        Err(Unsaid::NoUnit(_)) if from.units_as_declared => return Some(column.kind.number().cloned()),
        Err(Unsaid::NoUnit(unit)) => format!(
            "the header `{}` does not say its unit: write `{} ({unit})`, or `units as declared` in the table",
            column.name, column.name
        ),
        Err(Unsaid::Unfit(kind)) => {
            let unit = header.unit.as_deref().unwrap_or_default();
            format!("the header `{} ({unit})`: {}", column.name, kind.says())
        }
    };
    refuse(tables, &from.file, says);
    None
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
    let label = single_spaced(record.get(0).unwrap_or(""));
    if label.is_empty() {
        return refuse(tables, &from.file, format!("row {number} has no label in its first column"));
    }
    if let Err(kind) = parse::check_text(&label) {
        return refuse_cell(tables, from, number, &table.name, &kind);
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
            Err(kind) => refuse_cell(tables, from, number, &own.name, &kind),
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
    let count = tables.blanks.len();
    let cell = data::cell(text, &column.kind, unsaid, name, tables.measures, tables.blanks)?;
    // What is blank in a cell of the file stands where the file is named.
    tables.blanks.iter_mut().skip(count).for_each(|blank| blank.place = place);
    let Some(cell) = cell else { return Ok(tables.blank_cell(column, name, place)) };
    tables.check_cell(column, &cell.kind, place).map_err(|trouble| trouble.kind)?;
    let mut written = Written { place, ..cell.written };
    // A number in the header's unit, where that is not the declared one, says its unit itself.
    let declared = column.kind.number().map(|kind| &kind.unit);
    if let Some(kind) = unsaid.filter(|kind| !written.says_unit && declared != Some(&kind.unit)) {
        written.text = format!("{} {}", written.text, kind.unit.symbol(&tables.measures.crew));
        written.says_unit = true;
    }
    Ok(written)
}
