//! The report: everything a worked worksheet has to say, as plain data. The keys are those of the JSON report.

use compact_str::CompactString;
use serde::Serialize;
use smallvec::SmallVec;

use super::figures::{fifteen_digits, fifteen_digits_each};

/// The line that stands on every output, whatever the worksheet says.
pub const NOTICE: &str =
    "The product label and local rules decide; this program does not replace a licensed applicator's judgement.";

/// One worksheet, worked.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Report {
    /// Program and version.
    pub program: String,
    /// The version of this shape.
    pub schema: u32,
    /// The path as given.
    pub worksheet: String,
    /// First eight hexadecimal digits of the SHA-256 of the text, line ends aside.
    pub fingerprint: String,
    /// The title line, if there is one.
    pub title: Option<String>,
    /// The caution lines, the worksheet's own and its templates'.
    pub cautions: Vec<String>,
    /// The line that the label and local rules decide.
    pub notice: String,
    /// What was set for this run, as given.
    pub set: Vec<String>,
    /// Which day `today` was taken to be, where the worksheet asks.
    pub today: Option<String>,
    /// The templates used.
    pub templates: Vec<TemplateUsed>,
    /// The notes, with their sections.
    pub notes: Vec<Note>,
    /// Entries and results in the order of the lines.
    pub values: Vec<ReportValue>,
    /// Tables.
    pub tables: Vec<ReportTable>,
    /// Charts; their figures stand in the tables, so that other programs need no more of them.
    #[serde(skip)]
    pub charts: Vec<ReportChart>,
    /// Checks.
    pub checks: Vec<ReportCheck>,
    /// Blanks still to be measured.
    pub waiting: Vec<WaitingBlank>,
    /// Troubles.
    pub troubles: Vec<ReportTrouble>,
}

/// A template that a worksheet fills.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct TemplateUsed {
    /// As written in the `from` line.
    pub file: String,
    /// Its fingerprint.
    pub fingerprint: String,
    /// Whether the worksheet pins it.
    pub pinned: bool,
}

/// A note line.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct Note {
    /// The section it stands in.
    pub section: Option<String>,
    /// Its line.
    pub line: usize,
    /// Its text.
    pub text: String,
}

/// Where a value comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Origin {
    /// A person wrote it down in this worksheet (or set it for this run).
    Entered,
    /// The engine worked it out.
    Worked,
    /// A template's default.
    Template,
    /// Drawn from another worksheet or file.
    Other,
}

/// What kind of value.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub enum ValueKind {
    /// A plain number.
    #[serde(rename = "number")]
    Number,
    /// A number with a unit.
    #[serde(rename = "quantity")]
    Quantity,
    /// Money alone or per something.
    #[serde(rename = "money")]
    Money,
    /// Repeats of one thing.
    #[serde(rename = "readings")]
    Readings,
    /// Limits.
    #[serde(rename = "range")]
    Range,
    /// Text.
    #[serde(rename = "text")]
    Text,
    /// A date, with or without the hour.
    #[serde(rename = "date")]
    Date,
    /// Yes or no.
    #[serde(rename = "yes/no")]
    YesNo,
}

/// An entry or a result.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportValue {
    /// Its name as first written.
    pub name: String,
    /// The section it stands in.
    pub section: Option<String>,
    /// Its line.
    pub line: usize,
    /// Where it comes from.
    pub origin: Origin,
    /// What kind of value it is.
    pub kind: ValueKind,
    /// The unit as shown, without labels; null for a plain number.
    pub unit: Option<CompactString>,
    /// The label above the line, as shown.
    pub of: Option<String>,
    /// The label below the line, as shown.
    pub per: Option<String>,
    /// The value itself.
    #[serde(flatten)]
    pub cell: Cell,
    /// The name of the other worksheet it is drawn from, if it is.
    pub from: Option<String>,
}

/// A value's figures: what a table cell has too.
#[derive(Debug, Clone, Default, PartialEq, Serialize)]
pub struct Cell {
    /// The number in the unit, unrounded.
    #[serde(serialize_with = "fifteen_digits")]
    pub value: Option<f64>,
    /// A range's lower end.
    #[serde(serialize_with = "fifteen_digits")]
    pub low: Option<f64>,
    /// A range's upper end.
    #[serde(serialize_with = "fifteen_digits")]
    pub high: Option<f64>,
    /// Readings.
    #[serde(serialize_with = "fifteen_digits_each")]
    pub readings: Option<Vec<Option<f64>>>,
    /// Text, date, or yes or no.
    pub text: Option<String>,
    /// Combined standard uncertainty in the unit; null where none can be said, 0 where exact.
    #[serde(serialize_with = "fifteen_digits")]
    pub standard_uncertainty: Option<f64>,
    /// Degrees of freedom, not cut; null where infinite.
    #[serde(serialize_with = "fifteen_digits")]
    pub degrees_of_freedom: Option<f64>,
    /// The 95 % half-width in the unit.
    #[serde(serialize_with = "fifteen_digits")]
    pub give_or_take: Option<f64>,
    /// The figures as printed, the first unit left out.
    pub shown: CompactString,
    /// The blanks it waits on.
    pub waiting_on: Vec<String>,
    /// What the engine has to say about it, then the writer's remark.
    pub remarks: Vec<String>,
    /// The same figures in the parts that a table sets apart; one for each unit shown.
    #[serde(skip)]
    pub parts: SmallVec<[ShownPart; 1]>,
    /// Whether it is an amount that somebody measures out as shown: in measures, or by the steps of a cup or a scale.
    #[serde(skip)]
    pub is_measured_out: bool,
}

/// Figures in one unit, as set in a table.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ShownPart {
    /// The number, range, list or measures: `0.530`, `1 to 1 1/2`, `2 tbsp 1 1/2 tsp`.
    pub value: CompactString,
    /// The half-width: `0.028`; empty where there is none.
    pub give_or_take: CompactString,
    /// The unit with its labels as people read it: `fl oz of concentrate per 1000 ft²`; empty where the value says it.
    pub unit: CompactString,
}

/// A table.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportTable {
    /// Its name.
    pub name: String,
    /// The section it stands in.
    pub section: Option<String>,
    /// Its line.
    pub line: usize,
    /// Its columns, the row labels' left out.
    pub columns: Vec<ReportColumn>,
    /// Its rows.
    pub rows: Vec<ReportRow>,
    /// What the engine has to say about it.
    pub remarks: Vec<String>,
}

/// A table's column.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportColumn {
    /// Its name.
    pub name: String,
    /// Its unit as shown, without labels.
    pub unit: Option<CompactString>,
    /// The label above the line.
    pub of: Option<String>,
    /// The label below the line.
    pub per: Option<String>,
    /// Entered, worked or other.
    pub origin: Origin,
    /// The unit with its labels, as people read it.
    #[serde(skip)]
    pub head: String,
}

/// A table's row.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportRow {
    /// Its label.
    pub label: String,
    /// Its cells, one for each column.
    pub cells: Vec<Cell>,
    /// The remark on its line.
    pub remark: Option<String>,
}

/// A chart.
#[derive(Debug, Clone, PartialEq)]
pub struct ReportChart {
    /// Its title.
    pub title: String,
    /// The section it stands in.
    pub section: Option<String>,
    /// Its line.
    pub line: usize,
    /// What it is drawn along.
    pub x_name: String,
    /// The unit along.
    pub x_unit: String,
    /// The unit upwards.
    pub y_unit: String,
    /// What is drawn.
    pub series: Vec<ChartSeries>,
}

/// One thing drawn in a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartSeries {
    /// What it is.
    pub name: String,
    /// Its points, in order.
    pub points: Vec<ChartPoint>,
}

/// A point of a chart.
#[derive(Debug, Clone, PartialEq)]
pub struct ChartPoint {
    /// Where it stands along, in the unit.
    pub x: Option<f64>,
    /// How high it is, in the unit; none where it waits.
    pub y: Option<f64>,
    /// The same as printed.
    pub y_shown: String,
    /// Its 95 % half-width.
    pub half_width: Option<f64>,
}

/// How a check comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize)]
#[serde(rename_all = "lowercase")]
pub enum Outcome {
    /// The limit is met, doubt and all.
    Ok,
    /// It is met, but the doubt reaches past it.
    Close,
    /// A blank stands in the way.
    Waiting,
    /// It is not met.
    No,
}

/// A check.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportCheck {
    /// Its label.
    pub label: String,
    /// The section it stands in.
    pub section: Option<String>,
    /// Its line.
    pub line: usize,
    /// How it comes out.
    pub outcome: Outcome,
    /// What was compared, with the figures put in.
    pub compared: String,
    /// What to do if it does not hold.
    pub advice: Option<String>,
    /// The blanks it waits on.
    pub waiting_on: Vec<String>,
    /// What the engine has to say about it.
    pub remarks: Vec<String>,
}

/// A blank still to be measured.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct WaitingBlank {
    /// Its name; of a cell `beds.width, south`.
    pub name: String,
    /// Its line.
    pub line: usize,
    /// Its unit or kind.
    pub unit: Option<CompactString>,
    /// The unit with its labels, as people read it.
    #[serde(skip)]
    pub head: String,
    /// What waits on it.
    #[serde(skip)]
    pub needed_by: Vec<String>,
}

/// A trouble.
#[derive(Debug, Clone, PartialEq, Serialize)]
pub struct ReportTrouble {
    /// The file it stands in, where that is not the worksheet itself.
    pub file: Option<String>,
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// The length in characters.
    pub length: usize,
    /// What kind of trouble.
    pub kind: String,
    /// What is wrong.
    pub says: String,
    /// What to write instead, where that is known.
    pub instead: Option<String>,
    /// The trouble with its line shown and the spot marked, for a terminal.
    #[serde(skip)]
    pub display: String,
}
