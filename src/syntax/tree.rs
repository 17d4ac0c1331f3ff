//! The tree of one worksheet: each statement as it was written, every part with its place. No name is looked up and
//! no unit is known yet.

use crate::quantity::Moment;
use crate::text::Place;
use smallvec::{SmallVec, smallvec};
use std::cmp::Ordering;

/// A statement with its remark.
#[derive(Debug, Clone)]
pub struct Statement {
    /// All of it, without the remark.
    pub place: Place,
    /// What it says.
    pub kind: StatementKind,
    /// The remark at its end.
    pub remark: Option<String>,
}

/// What a statement says, by the role of its line.
#[derive(Debug, Clone)]
pub enum StatementKind {
    /// `# Backpack sprayer, strip method`
    Title(String),
    /// `## What was measured`
    Section(String),
    /// `-- a note`
    Note(String),
    /// `! Water only for this test.`
    Caution(String),
    /// `strip length : 60 ft ± 1 in`
    Entry(Name, Literal),
    /// `strip area = strip length * spray width [ft²]`
    Result(Name, Formula, Option<Promise>),
    /// `calibration from "sprayer-strip.worksheet"`
    Draw(Name, FileName),
    /// `from "sprayer-strip" pinned 8f2a91c4`
    Fills(FileName),
    /// `? pace : walking speed within 1 to 3 mph else Slow down.`
    Check(Check),
    /// `1 scoop = 2.4 oz of product`, `1 basket`
    Crew(Name, Option<Box<Item>>),
    /// The first row of a table.
    Head(Head),
    /// A row: its cells as written.
    Row(Vec<Place>),
    /// `~ throw : pans.catch by pans.place`
    Chart(Chart),
}

/// A name where it is written; names are the same whatever the case and the white space.
#[derive(Debug, Clone)]
pub struct Name {
    /// Where.
    pub place: Place,
    /// As written, with single spaces.
    pub written: String,
    /// As it is looked up: in lower case.
    pub key: String,
}

/// The key by which names are the same: lower case, a typed apostrophe as good as a straight one.
pub fn key(written: &str) -> String {
    exchanged(written.to_lowercase(), '’', "'")
}

/// Whether a name as it is written has that key.
pub fn has_key(written: &str, own: &str) -> bool {
    if written.is_ascii() { written.eq_ignore_ascii_case(own) } else { key(written) == own }
}

/// A text with a letter that is not ASCII exchanged, which few have.
pub(super) fn exchanged(text: String, letter: char, instead: &str) -> String {
    if !text.is_ascii() && text.contains(letter) { text.replace(letter, instead) } else { text }
}

/// A file named in quotes, with the fingerprint it is pinned to.
#[derive(Debug, Clone)]
pub struct FileName {
    /// Where it is named.
    pub place: Place,
    /// The path without its quotes.
    pub path: String,
    /// The fingerprint and its place.
    pub pinned: Option<(Place, String)>,
}

/// A check line.
#[derive(Debug, Clone)]
pub struct Check {
    /// Its label.
    pub label: String,
    /// Its condition.
    pub condition: Formula,
    /// What to do if it does not hold.
    pub advice: Option<String>,
}

/// A chart line.
#[derive(Debug, Clone)]
pub struct Chart {
    /// Its title.
    pub title: String,
    /// What is drawn upwards.
    pub ys: Vec<Formula>,
    /// Along what.
    pub xs: Formula,
}

/// A table's first row.
#[derive(Debug, Clone)]
pub struct Head {
    /// The table's name, and its label column's.
    pub name: Name,
    /// Where its rows come from, if not from the rows beneath.
    pub rows_from: Option<RowsFrom>,
    /// Its columns, the label column aside.
    pub columns: Vec<Column>,
}

/// Where the rows of a table come from.
#[derive(Debug, Clone)]
pub struct RowsFrom {
    /// A CSV file, or a pattern of worksheets.
    pub file: FileName,
    /// Whether headers that say no unit have the declared one.
    pub units_as_declared: bool,
    /// The table of each worksheet whose rows are taken.
    pub table: Option<Name>,
}

/// A column of a table.
#[derive(Debug, Clone)]
pub struct Column {
    /// The whole cell of the first row.
    pub place: Place,
    /// Its name.
    pub name: Name,
    /// What its cells are.
    pub kind: ColumnKind,
}

/// What the cells of a column are.
#[derive(Debug, Clone)]
pub enum ColumnKind {
    /// `: fl oz ± 1/8 fl oz at most`, `: number`, `: $`
    Entered(Option<Unit>, Option<Doubt>),
    /// `: text`, `: date`, …
    Other(OtherKind),
    /// `= catch / walk [gal/min]`
    Worked(Formula, Option<Promise>),
}

/// Kinds that are no numbers.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OtherKind {
    /// Text.
    Text,
    /// A day.
    Date,
    /// A day and an hour.
    DateAndTime,
    /// Yes or no.
    YesOrNo,
}

/// What stands on the right of an entry's colon, or in a cell.
#[derive(Debug, Clone)]
pub struct Literal {
    /// Where.
    pub place: Place,
    /// What.
    pub kind: LiteralKind,
}

impl Literal {
    /// Whether it is a blank, whole or in part.
    pub fn has_blank(&self) -> bool {
        match &self.kind {
            LiteralKind::Blank(_) => true,
            LiteralKind::Open(_, item) => item.has_blank(),
            LiteralKind::Items(items) => items.iter().any(Item::has_blank),
            _ => false,
        }
    }
}

/// The kinds of written values.
#[derive(Debug, Clone)]
pub enum LiteralKind {
    /// `"green tank, herbicide only"`
    Text(String),
    /// `2026-04-12 14:30`
    Date(Moment),
    /// `yes`
    YesNo(bool),
    /// `____ date`
    Blank(OtherKind),
    /// `up to 4 pt` (the lower end is open), `at least 2 gal` (the upper end is)
    Open(OpenSide, Box<Item>),
    /// `28 in ± 1 in`, `1 to 1 1/2 fl oz`, `9.5, 9.25, 9.75 fl oz`: one item, or readings.
    Items(Vec<Item>),
}

/// The side on which a range has no end.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum OpenSide {
    /// `up to`, `at most`
    Low,
    /// `at least`
    High,
}

/// One amount or range of a list, each end with its `±`.
#[derive(Debug, Clone)]
pub struct Item {
    /// Where.
    pub place: Place,
    /// The amount, or the lower end.
    pub amount: Amount,
    /// Its `±`.
    pub doubt: Option<Doubt>,
    /// The upper end and its `±`, for a range.
    pub upper: Option<(Amount, Option<Doubt>)>,
}

impl Item {
    /// Whether a number of it is blank.
    pub fn has_blank(&self) -> bool {
        let upper = self.upper.iter().map(|(upper, _)| upper);
        std::iter::once(&self.amount).chain(upper).flat_map(|amount| &amount.parts).any(|part| part.number.is_none())
    }
}

/// A number with its unit, or several that make one (`5 ft 6 in`).
#[derive(Debug, Clone)]
pub struct Amount {
    /// Where.
    pub place: Place,
    /// Whether a minus stands before it.
    pub negative: bool,
    /// Its parts, one or more.
    pub parts: Vec<Part>,
}

/// A number and what stands behind it.
#[derive(Debug, Clone)]
pub struct Part {
    /// Where the number or blank stands.
    pub place: Place,
    /// The number; `None` for a blank.
    pub number: Option<Number>,
    /// Its unit and labels.
    pub unit: Option<Unit>,
}

/// A number as written.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Number {
    /// Its value.
    pub value: f64,
    /// The denominator, where it was written as a fraction.
    pub denominator: Option<u32>,
    /// Decimals, where it was written with some.
    pub decimals: u8,
}

/// A unit as written, its words not yet looked up.
#[derive(Debug, Clone)]
pub struct Unit {
    /// Where.
    pub place: Place,
    /// Its terms in order.
    pub terms: Vec<Term>,
}

/// How a term joins those before it.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Joint {
    /// The first of them.
    First,
    /// `·`, `*`
    Times,
    /// `/`
    Over,
    /// `per`
    Per,
}

/// A term of a unit: `1000 ft²`, `lb of N`.
#[derive(Debug, Clone)]
pub struct Term {
    /// Where.
    pub place: Place,
    /// How it joins those before.
    pub joint: Joint,
    /// The number that leads a denominator.
    pub lead: Option<Number>,
    /// The words, with single spaces.
    pub words: String,
    /// Where the words stand.
    pub words_place: Place,
    /// The power after them.
    pub power: i16,
    /// What it is of.
    pub label: Option<Name>,
}

/// A `±`.
#[derive(Debug, Clone)]
pub struct Doubt {
    /// Where, sign and all.
    pub place: Place,
    /// How much.
    pub amount: Amount,
    /// Whether it is a limit of error, or has degrees of freedom.
    pub nature: DoubtNature,
}

/// What a `±` means.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DoubtNature {
    /// A half-width that the writer is 95 % sure of.
    Sure,
    /// The same, with these degrees of freedom.
    Freedom(u32),
    /// `at most`: never more than this.
    Limit,
}

/// What stands in brackets at the end of a result.
#[derive(Debug, Clone)]
pub struct Promise {
    /// Where, brackets and all.
    pub place: Place,
    /// The displays, parted by semicolons.
    pub displays: Vec<Display>,
}

/// One way to show a result: `0.1 gal, up` or `tbsp + 1/2 tsp`.
#[derive(Debug, Clone)]
pub struct Display {
    /// Where.
    pub place: Place,
    /// The measures, largest first: each with its step and its unit.
    pub measures: Vec<Measure>,
    /// `, up` or `, down`
    pub rounding: crate::quantity::shown::Rounding,
}

/// A measure in brackets.
#[derive(Debug, Clone)]
pub struct Measure {
    /// Where.
    pub place: Place,
    /// Its step, where one is written.
    pub step: Option<Number>,
    /// Its unit; none for a plain number's step.
    pub unit: Option<Unit>,
}

/// A formula, and each of its parts.
#[derive(Debug, Clone)]
pub struct Formula {
    /// Where.
    pub place: Place,
    /// What.
    pub kind: FormulaKind,
}

/// The kinds of formulas.
#[derive(Debug, Clone)]
pub enum FormulaKind {
    /// `2 fl oz/gal`
    Amount(Amount),
    /// `"round and round"`
    Text(String),
    /// `2026-04-12`
    Date(Moment),
    /// `strip length`
    Name(Name),
    /// `passes.flow`, `calibration.flow`
    Member(Name, Name),
    /// `mean(passes.flow)`
    Call(Name, Vec<Argument>),
    /// `-a`
    Negative(Box<Formula>),
    /// `not a`
    Not(Box<Formula>),
    /// `a + b`
    Arithmetic(Operator, Box<Formula>, Box<Formula>),
    /// `a at most b`
    Comparison(Relation, Box<Formula>, Box<Formula>),
    /// `a and b`
    Both(Box<Formula>, Box<Formula>),
    /// `a or b`
    Either(Box<Formula>, Box<Formula>),
    /// `1 to 3 mph` of single values
    To(Box<Formula>, Box<Formula>),
    /// `10 % of x`: the share, and of what
    Share(Box<Formula>, Box<Formula>),
    /// `x within label rate`, `x within 1 to 3 mph`
    WithinRange(Box<Formula>, Box<Formula>),
    /// `x within 10 % of y`: the value, how far, from what
    WithinDistance(Box<Formula>, Box<Formula>, Box<Formula>),
    /// `if a then b else c`
    If(Box<Formula>, Box<Formula>, Box<Formula>),
}

/// An argument of a function, with its choice of rows.
#[derive(Debug, Clone)]
pub struct Argument {
    /// The value.
    pub value: Formula,
    /// What follows `where`.
    pub choice: Option<Formula>,
}

/// Arithmetic.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Operator {
    /// `+`
    Plus,
    /// `-`
    Minus,
    /// `*`
    Times,
    /// `/`
    Over,
    /// `^`
    Power,
}

/// Comparisons.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Relation {
    /// `<`, `less than`
    Less,
    /// `<=`, `at most`
    AtMost,
    /// `>`, `more than`
    More,
    /// `>=`, `at least`
    AtLeast,
    /// `is`
    Is,
    /// `is not`
    IsNot,
}

impl Relation {
    /// Whether it holds of two things that are in that order.
    pub fn holds(self, order: Ordering) -> bool {
        match self {
            Self::Less => order.is_lt(),
            Self::AtMost => order.is_le(),
            Self::More => order.is_gt(),
            Self::AtLeast => order.is_ge(),
            Self::Is => order.is_eq(),
            Self::IsNot => order.is_ne(),
        }
    }
}

impl Formula {
    /// The formulas that it is directly made of, in order; the choice of rows of an argument behind its value.
    pub fn parts(&self) -> SmallVec<[&Self; 3]> {
        match &self.kind {
            FormulaKind::Amount(_)
            | FormulaKind::Text(_)
            | FormulaKind::Date(_)
            | FormulaKind::Name(_)
            | FormulaKind::Member(..) => SmallVec::new(),
            FormulaKind::Call(_, arguments) => {
                arguments.iter().flat_map(|argument| std::iter::once(&argument.value).chain(&argument.choice)).collect()
            }
            FormulaKind::Negative(inner) | FormulaKind::Not(inner) => smallvec![&**inner],
            FormulaKind::Arithmetic(_, left, right)
            | FormulaKind::Comparison(_, left, right)
            | FormulaKind::Both(left, right)
            | FormulaKind::Either(left, right)
            | FormulaKind::To(left, right)
            | FormulaKind::Share(left, right)
            | FormulaKind::WithinRange(left, right) => smallvec![&**left, &**right],
            FormulaKind::If(first, second, third) | FormulaKind::WithinDistance(first, second, third) => {
                smallvec![&**first, &**second, &**third]
            }
        }
    }
}
