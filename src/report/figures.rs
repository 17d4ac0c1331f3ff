//! What all printed forms of a report share: its sections in order, the figures of a value in parts, the words for
//! where a value comes from, the line of counts. It knows no form.

use crate::hands;
use std::collections::BTreeMap;

use compact_str::{CompactString, format_compact};
use serde::{Serialize, Serializer};
use smallvec::{SmallVec, smallvec};

use super::data::{
    Cell, Note, Origin, Outcome, Report, ReportChart, ReportColumn, ReportRow, ReportTable, ReportTrouble, ReportValue,
    ShownPart, ValueKind,
};

/// A number cut to fifteen significant digits, so that 60.00000000000001 is 60, and no 0 is negative.
pub fn fifteen(number: f64) -> f64 {
    let cut = format!("{number:.14e}").parse().ok().filter(|cut: &f64| cut.is_finite());
    // The very largest numbers would be rounded up beyond what a number can hold.
    cut.unwrap_or(number) + 0.0
}

/// Serializes a number with fifteen significant digits.
pub fn fifteen_digits<S: Serializer>(number: &Option<f64>, serializer: S) -> Result<S::Ok, S::Error> {
    number.map(fifteen).serialize(serializer)
}

/// Serializes numbers with fifteen significant digits each.
pub fn fifteen_digits_each<S: Serializer>(
    numbers: &Option<Vec<Option<f64>>>,
    serializer: S,
) -> Result<S::Ok, S::Error> {
    let numbers = numbers.as_ref().map(|all| all.iter().map(|number| number.map(fifteen)).collect::<Vec<_>>());
    numbers.serialize(serializer)
}

/// What stands under one heading.
#[derive(Debug, Default)]
pub struct Section<'a> {
    /// The heading; none before the first.
    pub heading: Option<&'a str>,
    /// Its notes.
    pub notes: Vec<&'a Note>,
    /// Its entries and results.
    pub values: Vec<&'a ReportValue>,
    /// Its tables.
    pub tables: Vec<&'a ReportTable>,
    /// Its charts.
    pub charts: Vec<&'a ReportChart>,
}

/// The sections that have anything to print before the checks, in the order of the worksheet.
pub fn sections(report: &Report) -> Vec<Section<'_>> {
    let mut sections = Sections::default();
    for value in &report.values {
        sections.of(value.section.as_deref(), value.line, true).values.push(value);
    }
    for table in &report.tables {
        sections.of(table.section.as_deref(), table.line, false).tables.push(table);
    }
    for chart in &report.charts {
        sections.of(chart.section.as_deref(), chart.line, false).charts.push(chart);
    }
    for note in &report.notes {
        sections.of(note.section.as_deref(), note.line, false).notes.push(note);
    }
    sections.in_order()
}

#[derive(Default)]
struct Sections<'a> {
    by_heading: BTreeMap<Option<&'a str>, Section<'a>>,
    /// Headings with the line on which their first item stands.
    order: Vec<(Option<&'a str>, usize)>,
}

impl<'a> Sections<'a> {
    /// The section of a heading. Those with values come in the order of these. Of one with tables or notes alone the
    /// line is known, and it goes before the first that begins on a later one.
    fn of(&mut self, heading: Option<&'a str>, line: usize, has_values: bool) -> &mut Section<'a> {
        self.by_heading.entry(heading).or_insert_with(|| {
            let goes_before = |first: usize| heading.is_none() || !has_values && first > line;
            let later = self.order.iter().position(|(_, first)| goes_before(*first));
            self.order.insert(later.unwrap_or(self.order.len()), (heading, line));
            Section { heading, ..Section::default() }
        })
    }

    fn in_order(mut self) -> Vec<Section<'a>> {
        self.order.iter().filter_map(|(heading, _)| self.by_heading.remove(heading)).collect()
    }
}

/// A value as it is set in a table, with all that is to be said about it.
#[derive(Debug, Clone, PartialEq)]
pub struct Figures {
    /// One for each unit shown, one at least.
    pub parts: SmallVec<[ShownPart; 1]>,
    /// Whether the first part is in words rather than figures, and may be broken between any two.
    pub words: bool,
    /// The engine's remarks, then the writer's.
    pub remarks: Vec<String>,
}

/// The figures of an entry or a result.
pub fn of_value(value: &ReportValue) -> Figures {
    let unit = value.unit.as_deref().unwrap_or_default();
    let words = matches!(value.kind, ValueKind::Text | ValueKind::YesNo | ValueKind::Date);
    let mut figures = of_cell(&value.cell, unit, &value.name);
    figures.words |= words;
    figures
}

/// The figures of a table's cell. A blank that waits on nothing but itself, by the name given, is a blank.
pub fn of_cell(cell: &Cell, unit: &str, name: &str) -> Figures {
    let mut figures = Figures { parts: parts(cell, unit), words: cell.text.is_some(), remarks: cell.remarks.clone() };
    if !cell.waiting_on.is_empty() {
        // One unit is enough to say what it will be.
        figures.parts.truncate(1);
    }
    if let Some(first) = figures.parts.first_mut().filter(|_| !cell.waiting_on.is_empty()) {
        let own = cell.waiting_on.iter().all(|blank| is_of(blank, name));
        if first.value.is_empty() {
            first.value = if own { "____" } else { "waiting" }.into();
        }
        if !own {
            figures.remarks.insert(0, waits_on(&cell.waiting_on));
        }
    }
    figures.split_too_small();
    figures
}

/// Whether a blank is an entry itself or one of its readings: `catch, reading 3`.
fn is_of(blank: &str, name: &str) -> bool {
    blank == name || blank.strip_prefix(name).is_some_and(|rest| rest.starts_with(", reading "))
}

/// What a value or a check waits on: names as they are, several cells of one table counted together.
pub fn waits_on(names: &[String]) -> String {
    let mut counted: Vec<(&str, Option<&str>, usize)> = Vec::new();
    for name in names {
        let table = cell_name(name).map(|(column, _)| column.split('.').next().unwrap_or_default());
        match counted.iter_mut().find(|(_, other, _)| table.is_some() && *other == table) {
            Some((_, _, count)) => *count += 1,
            None => counted.push((name, table, 1)),
        }
    }
    let words = counted.iter().map(|(name, table, count)| match table {
        Some(table) if *count > 1 => format!("{count} cells of {table}"),
        _ => (*name).to_owned(),
    });
    format!("waits on {}", words.collect::<Vec<_>>().join("; "))
}

/// The column and the row of a cell's name: `beds.width, south`.
fn cell_name(name: &str) -> Option<(&str, &str)> {
    name.split_once(", ").filter(|(column, _)| column.contains('.'))
}

/// So many of what waits on a blank are named; the others are counted.
const MOST_NAMED: usize = 3;

/// A blank still to be measured, or the cells of one column that serve the same.
#[derive(Debug, Clone, PartialEq)]
pub struct Blank<'a> {
    /// Its name, or the column's.
    pub name: &'a str,
    /// Its unit or kind.
    pub unit: &'a str,
    /// The rows of the cells.
    pub rows: Vec<&'a str>,
    /// What waits on it.
    pub needed_by: &'a [String],
}

impl Blank<'_> {
    /// `first, second; for flow`
    pub fn details(&self) -> String {
        let (named, more) = self.needed_by.split_at(self.needed_by.len().min(MOST_NAMED));
        let more = if more.is_empty() { String::new() } else { format!(" and {} more", more.len()) };
        let needed = (!named.is_empty()).then(|| format!("for {}{more}", named.join(", ")));
        let rows = (!self.rows.is_empty()).then(|| self.rows.join(", "));
        rows.into_iter().chain(needed).collect::<Vec<_>>().join("; ")
    }
}

/// The blanks still to be measured, cells of one column together.
pub fn blanks(report: &Report) -> Vec<Blank<'_>> {
    let mut blanks: Vec<Blank> = Vec::new();
    for waiting in &report.waiting {
        let (name, row) =
            cell_name(&waiting.name).map_or((waiting.name.as_str(), None), |(name, row)| (name, Some(row)));
        let (unit, needed_by) = (waiting.head.as_str(), waiting.needed_by.as_slice());
        let own = Blank { name, unit, rows: row.into_iter().collect(), needed_by };
        let alike = |other: &&mut Blank| (other.name, other.unit, other.needed_by) == (name, unit, needed_by);
        match blanks.iter_mut().find(alike) {
            Some(other) => other.rows.extend(own.rows),
            None => blanks.push(own),
        }
    }
    blanks
}

fn parts(cell: &Cell, unit: &str) -> SmallVec<[ShownPart; 1]> {
    if !cell.parts.is_empty() {
        return cell.parts.clone();
    }
    smallvec![ShownPart { value: cell.shown.clone(), unit: unit.into(), ..ShownPart::default() }]
}

impl Figures {
    /// Parts `less than 1/4 tsp: too small for this measure`, which says its unit, into figures and a remark.
    fn split_too_small(&mut self) {
        for part in &mut self.parts {
            if let Some((figure, rest)) = part.value.split_once(": ").filter(|_| part.value.starts_with("less than ")) {
                self.remarks.insert(0, rest.to_owned());
                self.words = true;
                (part.value, part.unit) = (figure.into(), CompactString::default());
            }
        }
    }
}

/// A table as it is set: a column shown in two units is two columns.
#[derive(Debug, Clone, PartialEq)]
pub struct TableFigures<'a> {
    /// The columns, the row labels' left out.
    pub columns: Vec<ColumnHead<'a>>,
    /// The rows.
    pub rows: Vec<RowFigures<'a>>,
}

/// What stands over a column.
#[derive(Debug, Clone, PartialEq)]
pub struct ColumnHead<'a> {
    /// Its name.
    pub name: &'a str,
    /// Its unit with labels.
    pub unit: &'a str,
    /// Where it comes from.
    pub origin: Origin,
    /// Which of the table's columns it is, and in which of its units.
    place: (usize, usize),
}

impl ColumnHead<'_> {
    /// Which of the table's columns it is.
    pub fn column(&self) -> usize {
        self.place.0
    }
}

/// A table's row as it is set.
#[derive(Debug, Clone, PartialEq)]
pub struct RowFigures<'a> {
    /// Its label.
    pub label: &'a str,
    /// The cells, one for each column.
    pub cells: Vec<CellText>,
    /// What is said about the cells, then about the row.
    pub remarks: Vec<String>,
}

/// A cell's figures with their doubt, or its words.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct CellText {
    /// `0.208 ± 0.003`
    pub text: CompactString,
    /// Whether it is in words rather than figures.
    pub words: bool,
}

/// So many rows are worth sharing out.
const MANY_ROWS: usize = 200;

/// The figures of a table.
pub fn of_table(table: &ReportTable) -> TableFigures<'_> {
    let columns: Vec<ColumnHead> =
        table.columns.iter().enumerate().flat_map(|(place, column)| heads(table, place, column)).collect();
    let rows = hands::over(&table.rows, MANY_ROWS, |row| of_row(table, &columns, row));
    TableFigures { columns, rows }
}

/// A head for each unit in which a column is shown.
fn heads<'a>(table: &'a ReportTable, place: usize, column: &'a ReportColumn) -> Vec<ColumnHead<'a>> {
    let cells = || table.rows.iter().filter_map(move |row| row.cells.get(place));
    let units = cells().map(|cell| cell.parts.len()).max().unwrap_or(1).max(1);
    let unit = |part: usize| match part {
        0 => column.head.as_str(),
        _ => cells().find_map(|cell| cell.parts.get(part)).map_or("", |part| part.unit.as_str()),
    };
    let head = |part| ColumnHead { name: &column.name, unit: unit(part), origin: column.origin, place: (place, part) };
    (0..units).map(head).collect()
}

fn of_row<'a>(table: &ReportTable, columns: &[ColumnHead<'_>], row: &'a ReportRow) -> RowFigures<'a> {
    let mut remarks = Vec::new();
    let mut cells: Vec<Figures> = Vec::new();
    for (cell, column) in row.cells.iter().zip(&table.columns) {
        let mut figures = of_cell(cell, "", &format!("{}.{}, {}", table.name, column.name, row.label));
        if waits_on_own_row(cell, table, row) {
            // One sees the blanks beside it.
            figures.remarks.retain(|remark| *remark != waits_on(&cell.waiting_on));
        }
        remarks.extend(figures.remarks.iter().map(|remark| format!("{}: {remark}", column.name)));
        cells.push(figures);
    }
    remarks.extend(row.remark.clone());
    let text = |column: &ColumnHead| {
        let (place, part) = column.place;
        let figures = cells.get(place)?;
        Some(CellText { text: with_doubt(figures.parts.get(part)?), words: figures.words })
    };
    let cells = columns.iter().map(|column| text(column).unwrap_or_default()).collect();
    RowFigures { label: &row.label, cells, remarks }
}

fn waits_on_own_row(cell: &Cell, table: &ReportTable, row: &ReportRow) -> bool {
    let is_own = |name: &String| {
        cell_name(name)
            .is_some_and(|(column, label)| label == row.label && column.split('.').next() == Some(&table.name))
    };
    cell.waiting_on.iter().all(is_own)
}

/// `0.208 ± 0.003`
pub fn with_doubt(part: &ShownPart) -> CompactString {
    match part.give_or_take.is_empty() {
        true => part.value.clone(),
        false => format_compact!("{} ± {}", part.value, part.give_or_take),
    }
}

/// Where a trouble stands: `line 3`, with the file where that is another one.
pub fn trouble_place(trouble: &ReportTrouble) -> String {
    let file = trouble.file.as_ref().map_or_else(String::new, |file| format!("{file}, "));
    format!("{file}line {}", trouble.line)
}

/// Where a value comes from: `entered`, `worked`, `template`, `other` worksheet; `blank` where it is still to come.
pub fn origin(value: &ReportValue) -> &'static str {
    match value.origin {
        Origin::Entered | Origin::Template if is_blank(&value.cell) => "blank",
        origin => origin_word(origin),
    }
}

/// The other worksheets that values are drawn from, each with the name that it has here.
pub fn others(report: &Report) -> Vec<(&str, &str)> {
    let mut others = Vec::new();
    for value in &report.values {
        let other = value.from.as_deref().map(|file| (value.name.split('.').next().unwrap_or_default(), file));
        others.extend(other.filter(|other| !others.contains(other)));
    }
    others
}

/// The ending of a worksheet's file.
pub const ENDING: &str = ".worksheet";

/// Whether nothing of a value is written down yet; readings may be in part.
fn is_blank(cell: &Cell) -> bool {
    !cell.waiting_on.is_empty() && cell.shown.is_empty()
}

/// One word for where a value comes from.
pub fn origin_word(origin: Origin) -> &'static str {
    match origin {
        Origin::Entered => "entered",
        Origin::Worked => "worked",
        Origin::Template => "template",
        Origin::Other => "other",
    }
}

/// One word for how a check comes out.
pub fn outcome_word(outcome: Outcome) -> &'static str {
    match outcome {
        Outcome::Ok => "ok",
        Outcome::Close => "close",
        Outcome::Waiting => "waiting",
        Outcome::No => "no",
    }
}

/// Whether a check's advice is to be followed.
pub fn needs_advice(outcome: Outcome) -> bool {
    matches!(outcome, Outcome::No | Outcome::Close)
}

/// How many of everything: `7 entered, 5 worked, 1 waiting; checks: 2 ok, 1 close; 1 blank`.
pub fn counts(report: &Report) -> String {
    let origins = [
        (Origin::Entered, "entered"),
        (Origin::Template, "from the template"),
        (Origin::Other, "from elsewhere"),
        (Origin::Worked, "worked"),
    ];
    let stands = |value: &&ReportValue| value.cell.waiting_on.is_empty();
    let values = origins.map(|(origin, words)| {
        counted(report.values.iter().filter(stands).filter(|value| value.origin == origin).count(), words)
    });
    let is_result = |value: &&ReportValue| value.origin == Origin::Worked && !value.cell.waiting_on.is_empty();
    let waiting = counted(report.values.iter().filter(is_result).count(), "waiting");
    let values: Vec<Option<String>> = values.into_iter().chain([waiting]).collect();
    let checks = [Outcome::No, Outcome::Close, Outcome::Waiting, Outcome::Ok].map(|outcome| {
        let count = report.checks.iter().filter(|check| check.outcome == outcome).count();
        counted(count, outcome_word(outcome))
    });
    let mut counts = vec![listed("", &values), listed("checks: ", &checks)];
    counts.push(plural(report.waiting.len(), "blank"));
    counts.push(plural(report.troubles.len(), "trouble"));
    counts.retain(|part| !part.is_empty());
    if counts.is_empty() { "nothing to work out".to_owned() } else { counts.join("; ") }
}

fn counted(count: usize, word: &str) -> Option<String> {
    (count > 0).then(|| format!("{count} {word}"))
}

fn listed(before: &str, counts: &[Option<String>]) -> String {
    let counts: Vec<&str> = counts.iter().flatten().map(String::as_str).collect();
    if counts.is_empty() { String::new() } else { format!("{before}{}", counts.join(", ")) }
}

fn plural(count: usize, word: &str) -> String {
    match count {
        0 => String::new(),
        1 => format!("1 {word}"),
        _ => format!("{count} {word}s"),
    }
}
