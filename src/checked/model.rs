//! The checked sheet: every name, unit, dimension and label settled, so that working it can meet no unit that does
//! not fit. Blanks included: a blank is a value whose type is known.

mod expression;
mod functions;
mod written;

pub use expression::{Argument, Does, Expression, Repeats};
pub use functions::{FUNCTIONS, Function};
pub use written::{End, HalfWidth, Written, WrittenDoubt, WrittenValue};

use super::types::Type;
use super::units::Measures;
use crate::quantity::shown::Form;
use crate::text::Place;
use crate::trouble::Trouble;
use crate::units::dimension::WHOLE;
use crate::units::{Base, CrewWord, Dimension, Labels, Substance, Unit, describe, vocabulary};
use compact_str::CompactString;
use smallvec::SmallVec;
use std::cell::Cell;
use std::collections::BTreeMap;
use std::sync::Arc;

/// A worksheet that has been settled. What could not be is in `troubles`; the rest can be worked.
#[derive(Debug, Default)]
pub struct Checked {
    /// The title.
    pub title: Option<String>,
    /// The cautions in order.
    pub cautions: Vec<String>,
    /// Section titles, with the first byte from which each holds, in order.
    pub sections: Vec<(Place, String)>,
    /// Notes with their places.
    pub notes: Vec<(Place, String)>,
    /// Entries, results and crew measures, in the order of their lines.
    pub slots: Vec<Slot>,
    /// Tables.
    pub tables: Vec<Table>,
    /// Checks in order.
    pub checks: Vec<Check>,
    /// Charts in order.
    pub charts: Vec<Chart>,
    /// Measures of the crew's own.
    pub crew: Vec<CrewWord>,
    /// What one of each is of.
    pub crew_labels: Vec<Labels>,
    /// The currency, where one is met.
    pub currency: Option<u16>,
    /// The slot that holds the size of each crew measure; none for a bare counter.
    pub crew_slots: Vec<Option<usize>>,
    /// Blanks, by the number that values carry.
    pub blanks: Vec<Blank>,
    /// What to work, each after all that it needs.
    pub order: Vec<Node>,
    /// Whether `today` is asked for.
    pub asks_today: bool,
    /// The order in which the texts' lines stand.
    pub ranks: Vec<usize>,
    /// What could not be settled.
    pub troubles: Vec<Trouble>,
}

impl Checked {
    /// A column, with the table it is in.
    pub fn column(&self, table: usize, column: usize) -> Option<(&Table, &Column)> {
        let table = self.tables.get(table)?;
        Some((table, table.columns.get(column)?))
    }

    /// What a dimension is made of, by words that mean the same in every worksheet, in order, with the powers.
    pub fn bases(&self, dimension: &Dimension) -> Vec<(String, i16)> {
        let word = |base: Base| match (base, self.currency) {
            (Base::Money, Some(currency)) => vocabulary::symbol(currency),
            (base, _) => describe::in_si(&Dimension::of(base, WHOLE), &self.crew).to_lowercase(),
        };
        let mut bases: Vec<_> = dimension.powers().iter().map(|(base, power)| (word(*base), *power)).collect();
        bases.sort();
        bases
    }

    /// What its units are looked up in, for values that come later.
    pub fn measures(&self) -> Measures {
        let index = |(index, own): (usize, &CrewWord)| Some((own.word.to_lowercase(), u16::try_from(index).ok()?));
        Measures {
            crew: self.crew.clone(),
            crew_labels: self.crew_labels.clone(),
            crew_index: self.crew.iter().enumerate().filter_map(index).collect(),
            currency: Cell::new(self.currency),
            ..Measures::default()
        }
    }
}

/// One thing to work.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Node {
    /// A slot.
    Slot(usize),
    /// A column of a table.
    Column(usize, usize),
}

/// A named value.
#[derive(Debug)]
pub struct Slot {
    /// Its name as first written.
    pub name: String,
    /// Where the name stands.
    pub place: Place,
    /// The remark on its line.
    pub remark: Option<String>,
    /// Its type.
    pub kind: Type,
    /// How it comes about.
    pub origin: Origin,
    /// How it is shown.
    pub shown: Vec<ShownIn>,
    /// What the engine noticed before working it.
    pub remarks: Vec<Remark>,
    /// Whether it is a crew measure, which is shown as one.
    pub is_crew_measure: bool,
    /// Whether it is a template's own value, not one of the worksheet that fills it.
    pub is_default: bool,
    /// The other worksheet it is drawn from.
    pub from: Option<String>,
}

/// How a slot's value comes about.
#[derive(Debug)]
pub enum Origin {
    /// A person wrote it down.
    Entered(Written),
    /// The engine works it out.
    Worked(Expression),
    /// It is in trouble itself; what depends on it waits.
    Broken,
    /// It needs these, which are in trouble, and waits on them.
    Stuck(Vec<String>),
}

/// A blank.
#[derive(Debug, Clone)]
pub struct Blank {
    /// Its name; of a cell `beds.width, south`.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// Its unit, or its kind in words.
    pub unit: Option<CompactString>,
    /// What it is of, and per what.
    pub labels: Labels,
}

/// The symbols of measures.
pub type Symbols = SmallVec<[CompactString; 1]>;

/// One unit or set of measures in which a value is shown.
#[derive(Debug, Clone)]
pub struct ShownIn {
    /// The unit of the number, the first of several measures.
    pub unit: Unit,
    /// Its size, crew measures taken as 1.
    pub size: f64,
    /// Whether its size is all that there is to it: no crew measure, and no zero of its own.
    pub is_simple: bool,
    /// The form.
    pub form: Form,
    /// The symbols of the measures, largest first; one where there is one unit.
    pub symbols: Symbols,
    /// The label above the line.
    pub of: Option<Substance>,
    /// The label below the line.
    pub per: Option<Substance>,
}

impl ShownIn {
    /// In a unit, in a form with these symbols; of and per nothing named.
    pub fn new(unit: Unit, form: Form, symbols: Symbols) -> Self {
        let is_simple = unit.zero() == 0.0 && unit.crew_words().next().is_none();
        Self { size: unit.size(), is_simple, unit, form, symbols, of: None, per: None }
    }
}

/// A remark of the engine, as data; `report/remarks.rs` words it.
#[derive(Debug, Clone, PartialEq)]
pub enum Remark {
    /// A mean of one reading, or of readings all alike, without any ±.
    DoubtUnknown(String),
    /// A root of 0, of which first order cannot tell a doubt.
    RootUnknown(String),
    /// So few digits are left of a value that it counts as 0.
    CountsAsNothing,
    /// A table without rows was summed up or counted.
    NoRows(String),
    /// The same with a device's ±: repeatability is not in it.
    RepeatabilityMissing(String),
    /// Under three readings: how wide t is.
    FewReadings {
        /// What was taken the mean of.
        of: String,
        /// How many readings.
        count: usize,
        /// Student's t.
        t: f64,
    },
    /// Two bare means of lists of equal count in one formula.
    UnpairedMeans(String, String),
    /// A rounded value is exact, and this ± was set aside.
    RoundedDoubt(String),
    /// First order is rough here.
    RoughDoubt(Rough),
    /// A choice that keeps no row: the column, and what it holds.
    NoRowChosen(String, String),
    /// A catch in an outermost pan.
    OuterPan,
    /// A smaller swath than the widest does not meet the limit: it, and its CV in percent.
    NarrowerFails(String, String),
    /// No step lies inside the range.
    NoStepInside(String),
    /// Rows alike in every cell: two of them, and how many more.
    RowsAlike(String, String, usize),
    /// Columns of a file that the table does not declare.
    ColumnsNotDeclared(String),
    /// An entry that nothing uses is called nearly like one of the template's.
    NearTemplates(String),
    /// A template's default was departed from: the default as written.
    Departs(String),
    /// Set for this run: the value in the sheet as written.
    SetForRun(String),
    /// A check goes by the value alone.
    CheckedByValue(String),
}

/// Why first-order propagation is rough.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rough {
    /// `sqrt` or a power at 0.
    RootAtNothing,
    /// A divisor with over 20 % doubt.
    Divisor,
}

/// A table.
#[derive(Debug)]
pub struct Table {
    /// Its name.
    pub name: String,
    /// Where its first row stands.
    pub place: Place,
    /// Its columns, the label column aside.
    pub columns: Vec<Column>,
    /// Its rows.
    pub rows: Vec<Row>,
    /// Whether a row could not be read: what needs the whole table waits.
    pub has_lost_rows: bool,
    /// Whether its rows come from other files.
    pub is_from_files: bool,
    /// What the engine noticed.
    pub remarks: Vec<Remark>,
    /// The remark on its first row.
    pub remark: Option<String>,
}

/// A column.
#[derive(Debug)]
pub struct Column {
    /// Its name.
    pub name: String,
    /// Where its cell of the first row stands.
    pub place: Place,
    /// The type of one cell.
    pub kind: Type,
    /// How it is shown.
    pub shown: Vec<ShownIn>,
    /// The formula of a worked-out one.
    pub formula: Option<Expression>,
    /// The device's `±` of an entered one.
    pub doubt: Option<WrittenDoubt>,
    /// Whether it could not be settled.
    pub is_broken: bool,
}

/// A row.
#[derive(Debug)]
pub struct Row {
    /// Its label.
    pub label: String,
    /// Where it stands.
    pub place: Place,
    /// The cells of the entered columns; `None` where one could not be read.
    pub cells: Vec<Option<Written>>,
    /// The remark on its line.
    pub remark: Option<String>,
    /// The file it comes from, if not the text that its place is in.
    pub from: Option<RowFrom>,
}

/// The file that a row comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RowFrom {
    /// A CSV file as the table names it, and the row in it; the headers are row 1.
    Csv(Arc<str>, usize),
    /// A worksheet.
    Sheet(SheetRow),
}

/// The worksheet that a row comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct SheetRow {
    /// Its path in the crew folder.
    pub path: Arc<str>,
    /// The table there and the label of its row, where a table's rows are taken.
    pub row: Option<(String, String)>,
}

/// A check.
#[derive(Debug)]
pub struct Check {
    /// Its label.
    pub label: String,
    /// Where it stands.
    pub place: Place,
    /// Its condition; `None` where it could not be settled.
    pub condition: Option<Expression>,
    /// What to do if it does not hold.
    pub advice: Option<String>,
    /// The remark on its line.
    pub remark: Option<String>,
}

/// A chart.
#[derive(Debug)]
pub struct Chart {
    /// Its title.
    pub title: String,
    /// Where it stands.
    pub place: Place,
    /// What is drawn upwards, each a whole column or list.
    pub ys: Vec<Expression>,
    /// Along what.
    pub xs: Expression,
}

/// What a name stands for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Named {
    /// A slot.
    Slot(usize),
    /// A table.
    Table(usize),
    /// Another worksheet, whose values are slots named `name.value`.
    Sheet,
    /// Readings of another worksheet, named `name.value`: no value to draw.
    ReadingsElsewhere,
}

/// All names of a sheet, by key, in order.
pub type Names = BTreeMap<String, Named>;
