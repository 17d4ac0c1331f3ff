//! Written values with their text, for putting together what went unsaid: numbers into blanks, substances behind units,
//! the `±` beside a blank. It knows no unit.

use crate::syntax::tree::{self, Amount, Doubt, Joint, Literal, LiteralKind, Part};
use crate::text::{Place, cut};
use crate::trouble::Kind;
use crate::units::Labels;
use std::ops::Range;

/// A single value, or the end of a range, with its `±`.
#[derive(Clone, Copy)]
pub(super) struct End<'a> {
    pub(super) amount: &'a Amount,
    pub(super) doubt: Option<&'a Doubt>,
}

/// The values of a literal; the last of them says for all others what they are.
pub(super) fn ends(literal: &Literal) -> Vec<End<'_>> {
    let items = match &literal.kind {
        LiteralKind::Open(_, item) => std::slice::from_ref(&**item),
        LiteralKind::Items(items) => items.as_slice(),
        _ => &[],
    };
    let mut ends = Vec::new();
    for item in items {
        ends.push(End { amount: &item.amount, doubt: item.doubt.as_ref() });
        ends.extend(item.upper.as_ref().map(|(amount, doubt)| End { amount, doubt: doubt.as_ref() }));
    }
    ends
}

/// A literal with its text.
#[derive(Clone, Copy)]
pub(super) struct Piece<'a> {
    pub(super) text: &'a str,
    pub(super) literal: &'a Literal,
}

impl Piece<'_> {
    /// The bytes of a place within the text.
    pub(super) fn range(&self, place: Place) -> Range<usize> {
        let range = place.range();
        let start = self.literal.place.range().start;
        range.start.saturating_sub(start)..range.end.saturating_sub(start)
    }

    fn slice(&self, place: Place) -> &str {
        let range = self.range(place);
        cut::between(self.text, range.start, range.end)
    }

    /// The text with numbers alone in the places of its blanks, if they are as many: all else on the line stays.
    pub(super) fn with_numbers_of(&self, answer: &Piece<'_>) -> Option<String> {
        let mut filled = self.text.to_owned();
        let ends = ends(answer.literal);
        let blanks: Vec<Range<usize>> = blanks(self.text);
        if ends.len() != blanks.len() {
            return None;
        }
        for (end, blank) in ends.iter().zip(blanks).rev() {
            let is_alone = end.doubt.is_none() && end.amount.parts.iter().all(|part| part.unit.is_none());
            let number = is_alone.then(|| answer.slice(end.amount.place))?;
            filled = format!("{}{number}{}", cut::until(&filled, blank.start), cut::since(&filled, blank.end));
        }
        Some(filled)
    }

    /// Readings of which some are taken: the others come in their places, or all of them anew.
    pub(super) fn check_readings(&self, answer: &Piece<'_>) -> Result<(), Kind> {
        let (all, left) = (ends(self.literal).len(), blanks(self.text).len());
        let is_list = matches!(&self.literal.kind, LiteralKind::Items(items) if items.len() > 1);
        match ends(answer.literal).len() {
            count if !is_list || left == all || count == all => Ok(()),
            count if count == left && self.with_numbers_of(answer).is_some() => Ok(()),
            _ => Err(Kind::ReadingsLeft { left, all }),
        }
    }

    /// The `±` that holds for all of it, with its unit.
    pub(super) fn doubt(&self) -> Device {
        let ends = ends(self.literal);
        let Some((last, doubt)) = ends.last().and_then(|last| Some((last, last.doubt?))) else {
            return if ends.iter().any(|end| end.doubt.is_some()) { Device::OneEach } else { Device::None };
        };
        if matches!(&self.literal.kind, LiteralKind::Items(items) if items.iter().any(|item| item.upper.is_some())) {
            return Device::OneEach;
        }
        let text = self.slice(doubt.place);
        let bare = doubt.amount.parts.last().filter(|part| part.unit.is_none());
        let unit = last.amount.parts.last().and_then(|part| part.unit.as_ref());
        let Some((part, unit)) = bare.zip(unit) else { return Device::One(text.to_owned()) };
        let end = part.place.range().end.saturating_sub(doubt.place.range().start);
        let unit = self.slice(unit.place).trim_start_matches(['_', ' ']);
        Device::One(format!("{} {unit}{}", cut::until(text, end), cut::since(text, end)))
    }

    /// The text with what it is of behind the first unit above the line, and below it, where they do not say it.
    pub(super) fn with_labels(&self, part: &Part, labels: &Labels) -> Option<String> {
        let terms = &part.unit.as_ref()?.terms;
        let is_below = |term: &&tree::Term| matches!(term.joint, Joint::Over | Joint::Per);
        let above = terms.iter().find(|term| !is_below(term)).zip(labels.only_above());
        let below = terms.iter().find(is_below).zip(labels.only_below());
        let mut text = self.text.to_owned();
        // From the end, so that the places before it stay.
        for (term, label) in [below, above].into_iter().flatten().filter(|(term, _)| term.label.is_none()) {
            let end = self.range(term.place).end;
            let after = cut::since(&text, end);
            let after = after.strip_prefix('/').map_or_else(|| after.to_owned(), |below| format!(" per {below}"));
            text = format!("{} of {label}{after}", cut::until(&text, end));
        }
        Some(text)
    }
}

/// The `±` beside a blank.
pub(super) enum Device {
    None,
    One(String),
    /// The ends of a range have one each.
    OneEach,
}

/// Where the blanks of a text stand.
fn blanks(text: &str) -> Vec<Range<usize>> {
    let mut blanks: Vec<Range<usize>> = Vec::new();
    for (at, _) in text.match_indices('_') {
        match blanks.last_mut().filter(|last| last.end == at) {
            Some(last) => last.end += 1,
            None => blanks.push(at..at + 1),
        }
    }
    blanks
}
