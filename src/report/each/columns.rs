//! The columns of worked rows: those of the data, those of each result and check, and those that every row has. What
//! stands in them is not known here.

use super::{push_text, tail};
use crate::checked::Checked;
use crate::checked::doubtful::Doubtful;
use crate::checked::model::{Origin, ShownIn, Slot};
use crate::checked::types::Type;
use crate::quantity::shown::Form;
use crate::report::build::Sheet;
use crate::report::shown::labelled;

/// The columns, in order.
#[derive(Debug, Default)]
pub struct Columns {
    /// Their headers, as a line of CSV.
    pub heads: Vec<u8>,
    /// The results.
    pub(super) results: Vec<Result>,
    /// The checks, by number.
    pub(super) checks: Vec<usize>,
    /// The end of every row.
    pub(super) tail: Vec<u8>,
}

/// A result, and its columns.
#[derive(Debug)]
pub(super) struct Result {
    pub(super) slot: usize,
    pub(super) shape: Shape,
    /// How many columns it has.
    pub(super) width: usize,
}

/// What columns a result has for each unit that it is shown in.
#[derive(Debug, Clone, Copy)]
pub(super) enum Shape {
    /// One number, and its `±` where it can have one.
    Number { doubt: bool },
    /// The ends that its range has, each with its `±` where it can have one.
    Range { low: bool, high: bool, doubt: bool },
    /// Text, a date, yes or no.
    Words,
}

impl Columns {
    /// Those of a template of which columns with these headers give these entries.
    pub fn of(sheet: &Sheet<'_>, headers: &[String], given: &[usize]) -> Self {
        let checked = sheet.checked;
        let doubtful = Doubtful::of(checked, given);
        let mut heads = headers.to_vec();
        let mut results = Vec::new();
        let mut slots: Vec<(usize, &Slot)> = checked.slots.iter().enumerate().collect();
        slots.sort_by_key(|(_, slot)| (checked.ranks.get(usize::from(slot.place.source)).copied(), slot.place.start));
        for (slot, own) in slots.into_iter().filter(|(_, slot)| matches!(slot.origin, Origin::Worked(_))) {
            let (before, shape) = (heads.len(), shape(&own.kind, doubtful.is_shown(checked, slot)));
            match shape {
                Shape::Words => heads.push(own.name.clone()),
                _ => own.shown.iter().for_each(|shown| heads.extend(number_heads(checked, &own.name, shown, shape))),
            }
            results.push(Result { slot, shape, width: heads.len() - before });
        }
        heads.extend(checked.checks.iter().map(|check| format!("? {}", check.label)));
        heads.extend(["waiting on", "remarks", "trouble"].map(str::to_owned));
        let tail = tail(sheet);
        heads.extend(tail.iter().map(|(head, _)| (*head).to_owned()));
        let values: Vec<&str> = tail.iter().map(|(_, value)| value.as_str()).collect();
        Self {
            heads: line(&each_its_own(heads)),
            results,
            checks: (0..checked.checks.len()).collect(),
            tail: line(&values),
        }
    }
}

fn shape(kind: &Type, doubt: bool) -> Shape {
    match kind {
        Type::Number(number) => match &number.range {
            Some(range) => Shape::Range { low: range.has_low, high: range.has_high, doubt },
            None => Shape::Number { doubt },
        },
        _ => Shape::Words,
    }
}

/// `dose (tbsp)`, `dose ± (tbsp)`, and of measures the figures in words.
fn number_heads(checked: &Checked, name: &str, shown: &ShownIn, shape: Shape) -> Vec<String> {
    let unit = labelled(&shown.unit.symbol(&checked.crew), shown.of.as_ref(), shown.per.as_ref());
    let unit = if unit.is_empty() { unit } else { format!(" ({unit})") };
    let (ends, doubt): (Vec<&str>, bool) = match shape {
        Shape::Range { low, high, doubt } => {
            ([(low, " low"), (high, " high")].into_iter().filter(|end| end.0).map(|end| end.1).collect(), doubt)
        }
        Shape::Number { doubt } => (vec![""], doubt),
        Shape::Words => (Vec::new(), false),
    };
    let mut heads = Vec::new();
    for end in ends {
        heads.push(format!("{name}{end}{unit}"));
        heads.extend(doubt.then(|| format!("{name}{end} ±{unit}")));
    }
    heads.extend(matches!(shown.form, Form::Measures { .. }).then(|| format!("{name} in measures")));
    heads
}

/// Headers that a template happens to share with another column are numbered.
fn each_its_own(heads: Vec<String>) -> Vec<String> {
    let mut own: Vec<String> = Vec::with_capacity(heads.len());
    for head in heads {
        let is_free = |head: &String| !own.iter().any(|other| other.eq_ignore_ascii_case(head));
        let numbered = (2..).map(|number| format!("{head} {number}"));
        own.extend(std::iter::once(head.clone()).chain(numbered).find(is_free));
    }
    own
}

/// A line of CSV.
fn line(cells: &[impl AsRef<str>]) -> Vec<u8> {
    let mut line = Vec::new();
    cells.iter().for_each(|cell| push_text(&mut line, cell.as_ref()));
    line.pop();
    line.push(b'\n');
    line
}
