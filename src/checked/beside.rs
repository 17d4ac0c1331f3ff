//! The `±` that stands beside a blank. It is that of the tool which the value is measured with: so whatever is put in
//! there without a `±` of its own has it too. That of a default is the default's own.

use super::model::{End, WrittenDoubt, WrittenValue};
use crate::syntax::tree::{Item, Literal, LiteralKind};
use std::borrow::Cow;

/// A value put in the place of what stood there before, with the `±` of the last blank that has one.
pub fn with_doubt_of<'l, 'b>(before: impl Iterator<Item = &'b Literal>, given: &'l Literal) -> Cow<'l, Literal> {
    let LiteralKind::Items(own) = &given.kind else { return Cow::Borrowed(given) };
    let beside = before.filter(|blank| blank.has_blank()).filter_map(of_blank).last();
    let (Some(beside), Some((last, others))) = (beside, own.split_last()) else { return Cow::Borrowed(given) };
    if last.upper.is_some() != beside.upper.is_some() || own.iter().any(says_doubt) {
        return Cow::Borrowed(given);
    }
    let upper = last.upper.clone().zip(beside.upper.as_ref()).map(|((upper, _), (_, doubt))| (upper, doubt.clone()));
    let last = Item { doubt: beside.doubt.clone(), upper, ..last.clone() };
    let items = others.iter().cloned().chain([last]).collect();
    Cow::Owned(Literal { place: given.place, kind: LiteralKind::Items(items) })
}

/// The part of a blank beside which a `±` stands.
fn of_blank(blank: &Literal) -> Option<&Item> {
    let LiteralKind::Items(items) = &blank.kind else { return None };
    items.last().filter(|item| says_doubt(item))
}

fn says_doubt(item: &Item) -> bool {
    item.doubt.is_some() || item.upper.as_ref().is_some_and(|(_, doubt)| doubt.is_some())
}

/// The same for cells of data, which are settled already: the `±` beside a blank, of a range those of both ends.
#[derive(Debug, Default)]
pub struct Beside {
    low: Option<WrittenDoubt>,
    high: Option<WrittenDoubt>,
}

impl Beside {
    /// What stands beside a written value, if that is blank.
    pub fn of(value: &WrittenValue) -> Self {
        let doubt = |end: &Option<End>| end.as_ref().and_then(|end| end.doubt.clone());
        let is_blank = |end: &Option<End>| end.as_ref().is_some_and(|end| end.blank.is_some());
        match value {
            WrittenValue::Number(End { blank: Some(_), doubt, .. }) => Self { low: doubt.clone(), high: None },
            WrittenValue::Readings(numbers, doubt, _) if numbers.iter().any(Result::is_err) => {
                Self { low: doubt.clone(), high: None }
            }
            WrittenValue::Range(low, high) if is_blank(low) || is_blank(high) => {
                Self { low: doubt(low), high: doubt(high) }
            }
            _ => Self::default(),
        }
    }

    /// Whether there is none.
    pub fn is_none(&self) -> bool {
        self.low.is_none() && self.high.is_none()
    }

    /// A value put in there.
    pub fn put_to(&self, given: WrittenValue) -> WrittenValue {
        let with = |end: End, doubt: &Option<WrittenDoubt>| End { doubt: end.doubt.or_else(|| doubt.clone()), ..end };
        let says = |end: &Option<End>| end.as_ref().is_some_and(|end| end.doubt.is_some());
        match given {
            WrittenValue::Number(end) => WrittenValue::Number(with(end, &self.low)),
            WrittenValue::Readings(numbers, doubt, crew) => {
                WrittenValue::Readings(numbers, doubt.or_else(|| self.low.clone()), crew)
            }
            WrittenValue::Range(low, high) if !says(&low) && !says(&high) => {
                WrittenValue::Range(low.map(|end| with(end, &self.low)), high.map(|end| with(end, &self.high)))
            }
            other => other,
        }
    }
}
