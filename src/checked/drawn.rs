//! What a worksheet draws on from others, as plain data: values with their types, rows, and the text of a CSV file. It
//! knows no file and no folder; whoever settles a sheet brings these along.

use super::model::{SheetRow, ShownIn};
use super::types::Type;
use crate::quantity::{Source, Value};
use crate::trouble::Kind;
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::sync::Arc;

/// A value from elsewhere, with the sources that its doubt comes from.
#[derive(Debug, Clone)]
pub struct GivenValue {
    /// The value, or what it waits on.
    pub value: Result<Value, String>,
    /// The sources in its doubt, by the number they have in it.
    pub sources: Vec<(u32, Source)>,
    /// Whether it rests on the day that `today` was taken to be.
    pub rests_on_today: bool,
}

impl GivenValue {
    /// A value that waits on something.
    pub fn waiting(on: String) -> Self {
        Self { value: Err(on), sources: Vec::new(), rests_on_today: false }
    }
}

/// A value of another worksheet.
#[derive(Debug, Clone)]
pub struct DrawnValue {
    /// Its name there.
    pub name: String,
    /// Its type, in that worksheet's own numbers: [`DrawnValue::taken`] gives it in those of another.
    pub kind: Type,
    /// How it is shown there.
    pub shown: Vec<ShownIn>,
    /// The currency, where it is an amount of money.
    pub currency: Option<u16>,
    /// The counters of that worksheet's own that it is counted in, by their numbers there.
    pub counters: Vec<(u16, String)>,
    /// The value.
    pub given: Arc<GivenValue>,
    /// Whether it waits on a table from a pattern that was left out when the worksheet was worked.
    pub rests_on_left_out: bool,
}

/// A table of another worksheet: its rows' labels, and cells by column.
#[derive(Debug, Clone, Default)]
pub struct DrawnTable {
    /// The labels of its rows.
    pub labels: Vec<String>,
    /// Its columns by key.
    pub columns: BTreeMap<String, Vec<DrawnValue>>,
}

/// Another worksheet, worked.
#[derive(Debug, Clone, Default)]
pub struct Drawn {
    /// Its fingerprint.
    pub fingerprint: String,
    /// Its results and entries by key.
    pub values: BTreeMap<String, DrawnValue>,
    /// Its readings by key: they cannot be drawn, and are known only to say so.
    pub readings: BTreeSet<String>,
    /// Its tables by key.
    pub tables: BTreeMap<String, DrawnTable>,
    /// How many troubles it has.
    pub troubles: usize,
}

/// A row made of another worksheet, its cells in the order of the entered columns.
#[derive(Debug, Clone)]
pub struct GivenRow {
    /// Its label: the file, or file and row.
    pub label: String,
    /// The worksheet.
    pub from: SheetRow,
    /// Its cells; what is missing waits.
    pub cells: Vec<Result<DrawnValue, String>>,
}

/// The rows of a table that come from elsewhere.
#[derive(Debug, Clone)]
pub enum GivenRows {
    /// The text of a CSV file.
    Csv(Arc<str>),
    /// Worksheets that a pattern matched.
    Sheets(Vec<GivenRow>),
    /// They cannot be had.
    Refused(Kind),
}

impl GivenRows {
    /// Whether a cell rests on the day that `today` was taken to be.
    pub fn rest_on_today(&self) -> bool {
        let Self::Sheets(rows) = self else { return false };
        rows.iter().flat_map(|row| &row.cells).flatten().any(|cell| cell.given.rests_on_today)
    }
}

/// Everything that a worksheet draws on.
#[derive(Debug, Clone, Default)]
pub struct Given {
    /// Other worksheets, by the key of the name they are drawn as.
    pub sheets: HashMap<String, Result<Arc<Drawn>, Kind>>,
    /// Rows of tables, by the number of the table.
    pub rows: HashMap<usize, GivenRows>,
}
