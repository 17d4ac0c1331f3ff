//! The checked sheet: every name, unit, dimension and label settled, so that working it can meet no unit that does
//! not fit. Blanks included: a blank is a value whose type is known.

use super::drawn::GivenValue;
use super::types::Type;
use super::units::Measures;
use crate::quantity::shown::Form;
use crate::quantity::{Measured, Moment};
use crate::syntax::tree::{DoubtNature, Operator, Relation};
use crate::text::Place;
use crate::trouble::Trouble;
use crate::units::{CrewWord, Labels, Substance, Unit};
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

/// A value that a person wrote down.
#[derive(Debug, Clone)]
pub struct Written {
    /// Where.
    pub place: Place,
    /// What.
    pub value: WrittenValue,
    /// The text as written, single-spaced, its `±` left out; for showing it as it was entered.
    pub text: String,
    /// The `±` as written, the sign and unit left out.
    pub doubt_text: String,
    /// Whether the text says its units itself, as `5 ft 6 in` does.
    pub says_unit: bool,
}

/// The kinds of written values, numbers in SI units times the crew measures beside them.
#[derive(Debug, Clone)]
pub enum WrittenValue {
    /// One number.
    Number(End),
    /// A range; an end that is missing has no limit.
    Range(Option<End>, Option<End>),
    /// Readings, those still to take by the numbers of their blanks, and the `±` of the device that took them all.
    Readings(Vec<Result<f64, usize>>, Option<WrittenDoubt>, Vec<(u16, i16)>),
    /// Text.
    Text(String),
    /// A date.
    Date(Moment),
    /// Yes or no.
    YesNo(bool),
    /// Not measured yet: the blank's number.
    Blank(usize),
    /// Drawn from another worksheet.
    Given(Arc<GivenValue>),
}

/// A number, or an end of a range, as a person wrote it down.
#[derive(Debug, Clone)]
pub struct End {
    /// The number in SI units; `None` for a blank end.
    pub number: Option<f64>,
    /// The blank's number, where it is one.
    pub blank: Option<usize>,
    /// Its `±`.
    pub doubt: Option<WrittenDoubt>,
    /// Crew measures it is counted in, with powers in twelfths.
    pub crew: Vec<(u16, i16)>,
}

/// A `±` as written.
#[derive(Debug, Clone)]
pub struct WrittenDoubt {
    /// The half-width, in SI units or as a share of the value.
    pub half_width: HalfWidth,
    /// Crew measures that the half-width is counted in, with powers in twelfths.
    pub crew: Vec<(u16, i16)>,
    /// What it means.
    pub nature: DoubtNature,
}

/// The size of a `±`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HalfWidth {
    /// In SI units, times the crew measures it is counted in.
    Absolute(f64),
    /// As a share of the value.
    Share(f64),
}

/// A blank.
#[derive(Debug, Clone)]
pub struct Blank {
    /// Its name; of a cell `beds.width, south`.
    pub name: String,
    /// Where it stands.
    pub place: Place,
    /// Its unit, or its kind in words.
    pub unit: Option<String>,
    /// What it is of, and per what.
    pub labels: Labels,
}

/// One unit or set of measures in which a value is shown.
#[derive(Debug, Clone)]
pub struct ShownIn {
    /// The unit of the number, the first of several measures.
    pub unit: Unit,
    /// The form.
    pub form: Form,
    /// The symbols of the measures, largest first; one where there is one unit.
    pub symbols: Vec<String>,
    /// The label above the line.
    pub of: Option<Substance>,
    /// The label below the line.
    pub per: Option<Substance>,
}

/// A remark of the engine, as data; `report/remarks.rs` words it.
#[derive(Debug, Clone, PartialEq)]
pub enum Remark {
    /// A mean of one reading, or of readings all alike, without any ±.
    DoubtUnknown(String),
    /// A root of 0, of which first order cannot tell a doubt.
    RootUnknown(String),
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
    /// Two rows alike.
    RowsAlike(String, String),
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

/// A formula, settled.
#[derive(Debug, Clone)]
pub struct Expression {
    /// Where.
    pub place: Place,
    /// Its type.
    pub kind: Type,
    /// What it does.
    pub does: Does,
}

/// What an expression does.
#[derive(Debug, Clone)]
pub enum Does {
    /// A number in SI units, without doubt.
    Number(Measured),
    /// Text.
    Text(String),
    /// A date.
    Date(Moment),
    /// `yes` or `no`.
    YesNo(bool),
    /// `today`
    Today,
    /// A slot's value.
    Slot(usize),
    /// The cell of this row in a column of the same table.
    Cell(usize),
    /// The cell, in that column, of the row a formula is worked for, seen from a choice of another table's rows.
    OuterCell(usize),
    /// A whole column of a table.
    Column(usize, usize),
    /// The label of this row, in a choice of rows.
    RowLabel,
    /// `-a`
    Negative(Box<Expression>),
    /// `a + b`
    Arithmetic(Operator, Box<Expression>, Box<Expression>),
    /// `10 % of x`
    Share(Box<Expression>, Box<Expression>),
    /// `1 to 3 mph`: a range of two single values, with the number that marks it as one.
    To(Box<Expression>, Box<Expression>),
    /// A function.
    Call(Function, Vec<Argument>),
    /// `if a then b else c`
    If(Box<Expression>, Box<Expression>, Box<Expression>),
    /// `a at most b`
    Comparison(Relation, Box<Expression>, Box<Expression>),
    /// `x within a to b`
    WithinRange(Box<Expression>, Box<Expression>),
    /// `x within d of y`
    WithinDistance(Box<Expression>, Box<Expression>, Box<Expression>),
    /// `x within 10 % of y`
    WithinShare(Box<Expression>, Box<Expression>, Box<Expression>),
    /// `not a`
    Not(Box<Expression>),
    /// `a and b`
    Both(Box<Expression>, Box<Expression>),
    /// `a or b`
    Either(Box<Expression>, Box<Expression>),
}

/// An argument of a function.
#[derive(Debug, Clone)]
pub struct Argument {
    /// Its value.
    pub value: Expression,
    /// The choice of rows: its condition, which is worked row by row.
    pub choice: Option<Box<Expression>>,
}

/// Every function of the notation.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
#[allow(missing_docs, reason = "named as in the notation")]
pub enum Function {
    Mean,
    Median,
    Average,
    Sum,
    Count,
    Min,
    Max,
    Sd,
    Cv,
    Spread,
    Sqrt,
    Abs,
    Round,
    RoundUp,
    RoundDown,
    Sin,
    Cos,
    Tan,
    Atan,
    Exp,
    Ln,
    Low,
    High,
    Middle,
    Amount,
    Shown,
    Circle,
    CircleAround,
    Ellipse,
    Triangle,
    Trapezoid,
    Quadrilateral,
    Offsets,
    Polygon,
    Interpolate,
    Pick,
    SwathCv,
    WidestSwath,
    GiveOrTake,
    StandardUncertainty,
    DegreesOfFreedom,
}

/// Every function with its name and one line of help.
pub const FUNCTIONS: &[(Function, &str, &str)] = &[
    (Function::Mean, "mean", "mean(passes.flow): the mean of repeats of one thing, with the doubt of their scatter"),
    (Function::Median, "median", "median(catch): the middle of repeats of one thing"),
    (Function::Average, "average", "average(tips.flow): the average of different things"),
    (Function::Sum, "sum", "sum(beds.area): all of them together; also with a choice of rows, where bed is \"…\""),
    (Function::Count, "count", "count(passes.catch): how many there are"),
    (Function::Min, "min", "min(passes.catch): the smallest; also of several values, min(a, b)"),
    (Function::Max, "max", "max(passes.catch): the largest; also of several values, max(a, b)"),
    (Function::Sd, "sd", "sd(catch): the standard deviation of readings, divided by n − 1"),
    (Function::Cv, "cv", "cv(catch): the standard deviation as a share of the mean"),
    (Function::Spread, "spread", "spread(catch): largest less smallest, as a share of the mean"),
    (Function::Sqrt, "sqrt", "sqrt(x): the square root"),
    (Function::Abs, "abs", "abs(x): without its sign"),
    (Function::Round, "round", "round(x, 0.5 gal): to the nearest step; the value itself changes"),
    (Function::RoundUp, "round up", "round up(x, 1): to the next step up"),
    (Function::RoundDown, "round down", "round down(x, 1): to the next step down"),
    (Function::Sin, "sin", "sin(30 deg)"),
    (Function::Cos, "cos", "cos(30 deg)"),
    (Function::Tan, "tan", "tan(30 deg)"),
    (Function::Atan, "atan", "atan(x): the angle whose tangent is x"),
    (Function::Exp, "exp", "exp(x): e to the x"),
    (Function::Ln, "ln", "ln(x): the natural logarithm"),
    (Function::Low, "low", "low(label rate): the lower end of a range"),
    (Function::High, "high", "high(label rate): the upper end of a range"),
    (Function::Middle, "middle", "middle(label rate): halfway between the ends of a range"),
    (Function::Amount, "amount", "amount(x): x without what it is of, said openly"),
    (Function::Shown, "shown", "shown(x): the value as it is shown, for checks"),
    (Function::Circle, "circle", "circle(diameter): the area of a round bed"),
    (Function::CircleAround, "circle around", "circle around(circumference): the area of a round bed from its girth"),
    (Function::Ellipse, "ellipse", "ellipse(length, width): the area of an oval bed"),
    (Function::Triangle, "triangle", "triangle(a, b, c): the area from three sides"),
    (Function::Trapezoid, "trapezoid", "trapezoid(a, b, height): the area between two parallel sides"),
    (
        Function::Quadrilateral,
        "quadrilateral",
        "quadrilateral(a, b, c, d, diagonal): the area from four sides in order and the diagonal that closes a, b and c, d",
    ),
    (
        Function::Offsets,
        "offsets",
        "offsets(widths, spacing): the area of an odd shape from widths at even steps, end to end",
    ),
    (Function::Polygon, "polygon", "polygon(xs, ys): the area within corners in order"),
    (Function::Interpolate, "interpolate", "interpolate(x, xs, ys): straight between rows, never beyond them"),
    (Function::Pick, "pick", "pick(tips.flow, \"green\"): the cell of the row with that label"),
    (
        Function::SwathCv,
        "swath cv",
        "swath cv(catches, spacing, swath, \"back and forth\"): how uneven the ground is covered",
    ),
    (
        Function::WidestSwath,
        "widest swath",
        "widest swath(catches, spacing, limit, \"back and forth\"): the widest that meets the limit",
    ),
    (Function::GiveOrTake, "give or take", "give or take(x): the half-width that is shown after ±"),
    (Function::StandardUncertainty, "standard uncertainty", "standard uncertainty(x)"),
    (Function::DegreesOfFreedom, "degrees of freedom", "degrees of freedom(x)"),
];

impl Function {
    /// The function of that name, in lower case with single spaces.
    pub fn named(key: &str) -> Option<Self> {
        FUNCTIONS.iter().find(|(_, name, _)| *name == key).map(|(function, _, _)| *function)
    }

    /// Its name.
    pub fn name(self) -> &'static str {
        FUNCTIONS.iter().find(|(function, _, _)| *function == self).map_or("", |(_, name, _)| name)
    }
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
}

/// All names of a sheet, by key, in order.
pub type Names = BTreeMap<String, Named>;

impl Expression {
    /// Calls back with each direct part.
    pub fn each_part<'e>(&'e self, call: &mut dyn FnMut(&'e Self)) {
        match &self.does {
            Does::Number(_)
            | Does::Text(_)
            | Does::Date(_)
            | Does::YesNo(_)
            | Does::Today
            | Does::Slot(_)
            | Does::Cell(_)
            | Does::OuterCell(_)
            | Does::Column(..)
            | Does::RowLabel => {}
            Does::Negative(inner) | Does::Not(inner) => call(inner),
            Does::Arithmetic(_, left, right)
            | Does::Share(left, right)
            | Does::To(left, right)
            | Does::Comparison(_, left, right)
            | Does::WithinRange(left, right)
            | Does::Both(left, right)
            | Does::Either(left, right) => {
                call(left);
                call(right);
            }
            Does::If(first, second, third)
            | Does::WithinDistance(first, second, third)
            | Does::WithinShare(first, second, third) => {
                call(first);
                call(second);
                call(third);
            }
            Does::Call(_, arguments) => {
                for argument in arguments {
                    call(&argument.value);
                    argument.choice.iter().for_each(|choice| call(choice));
                }
            }
        }
    }
}
