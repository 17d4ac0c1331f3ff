//! The white space inside a statement: where the grammar's reading of it asks for one space or for none. What is
//! written in plain words or in quotes is kept.

use super::CONTINUATION;
use crate::syntax::parse::{Positioned, Rule};
use crate::text::{Place, single_spaced};
use std::borrow::Cow;
use std::collections::BTreeMap;
use std::ops::Range;

/// What stands between two characters that are no white space.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Gap {
    None,
    One,
}

/// A statement's white space as it should be, by the places of what follows it. Where nothing is said, white space of
/// any length is one space.
pub(super) struct Spacing<'a> {
    text: &'a str,
    gaps: BTreeMap<usize, Gap>,
    /// Where what is kept begins, and how long it is.
    kept: BTreeMap<usize, usize>,
}

/// Whether a character is white space in the notation; a space of another kind is not.
pub(super) fn is_white(character: char) -> bool {
    matches!(character, ' ' | '\t' | '\r' | '\n')
}

/// Words with one space between them, quoted text as it is unless it runs over several lines.
pub(super) fn on_one_line(text: &str) -> String {
    let mut spacing = Spacing::new(text);
    spacing.keep_quotes();
    spacing.written(0..text.len(), " ")
}

impl<'a> Spacing<'a> {
    /// No white space looked at yet.
    pub(super) fn new(text: &'a str) -> Self {
        Self { text, gaps: BTreeMap::new(), kept: BTreeMap::new() }
    }

    /// Keeps what stands at a place as it is, line breaks aside.
    pub(super) fn keep(&mut self, place: Place) {
        self.kept.insert(place.start as usize, place.range().len());
    }

    /// Keeps the words of a remark, a space behind its dashes.
    pub(super) fn keep_remark(&mut self, place: Place) {
        let words = self.text.get(place.start as usize + 2..place.end as usize).unwrap_or("");
        let words = words.trim_start_matches(is_white).len();
        self.kept.insert(place.end as usize - words, words);
    }

    fn keep_quotes(&mut self) {
        let mut open: Option<(usize, char)> = None;
        for (index, character) in self.text.char_indices() {
            match (open, character) {
                (None, '"') => open = Some((index, '"')),
                (None, '“') => open = Some((index, '”')),
                (Some((start, close)), _) if close == character => {
                    self.kept.insert(start, index + character.len_utf8() - start);
                    open = None;
                }
                _ => {}
            }
        }
    }

    fn before(&mut self, place: Place, gap: Gap) {
        self.gaps.insert(place.start as usize, gap);
    }

    fn after(&mut self, place: Place, gap: Gap) {
        self.after_byte(place.end as usize, gap);
    }

    fn after_byte(&mut self, end: usize, gap: Gap) {
        let rest = self.text.get(end..).unwrap_or("");
        self.gaps.insert(end + rest.len() - rest.trim_start_matches(is_white).len(), gap);
    }

    fn around(&mut self, place: Place, gap: Gap) {
        self.before(place, gap);
        self.after(place, gap);
    }

    /// None right inside a pair of brackets.
    fn inside(&mut self, place: Place) {
        self.after_byte(place.start as usize + 1, Gap::None);
        self.gaps.insert((place.end as usize).saturating_sub(1), Gap::None);
    }

    /// Things parted by commas or semicolons: the sign right behind each, a space before the next.
    fn parted(&mut self, parts: &[Positioned<'_>]) {
        for pair in parts.windows(2) {
            let [left, right] = pair else { continue };
            self.after(left.place(), Gap::None);
            self.before(right.place(), Gap::One);
        }
    }

    /// Things parted by words: a space on both sides of the word.
    fn worded(&mut self, parts: &[Positioned<'_>]) {
        for pair in parts.windows(2) {
            let [left, right] = pair else { continue };
            self.after(left.place(), Gap::One);
            self.before(right.place(), Gap::One);
        }
    }

    /// Takes down what the reading of a statement, or of a part of it, says about its white space.
    pub(super) fn read(&mut self, pair: Positioned<'_>) {
        let (rule, place) = (pair.rule(), pair.place());
        let parts = pair.inner();
        match rule {
            Rule::string | Rule::advice | Rule::check_label | Rule::chart_title => self.keep(place),
            Rule::symbol | Rule::wording => self.around(place, Gap::One),
            Rule::minus | Rule::negative | Rule::currency => self.after(place, Gap::None),
            Rule::negated => self.after(place, Gap::One),
            Rule::bracketed => self.inside(place),
            Rule::arguments => {
                self.inside(place);
                self.parted(&parts);
            }
            Rule::promise => {
                self.inside(place);
                self.before(place, Gap::One);
                self.parted(&parts);
            }
            Rule::list => self.parted(&parts),
            Rule::argument | Rule::column_cell | Rule::check => self.worded(&parts),
            Rule::choice => {
                self.worded(&parts);
                self.before(parts.first().map_or(place, Positioned::place), Gap::One);
            }
            Rule::chart => self.chart(&parts),
            Rule::display => self.display(&parts),
            Rule::part | Rule::measure | Rule::over | Rule::per => self.amount(&parts),
            Rule::doubt => self.doubt(place, &parts),
            Rule::freedom => self.freedom(place, &parts),
            Rule::entry_side | Rule::result_side => self.after_byte(place.start as usize + 1, Gap::One),
            _ => {}
        }
        for part in parts {
            self.read(part);
        }
    }

    /// `~ title : ys, ys by xs`
    fn chart(&mut self, parts: &[Positioned<'_>]) {
        let formulas: Vec<_> = parts.iter().filter(|part| part.rule() == Rule::formula).cloned().collect();
        let ys = formulas.len().saturating_sub(1);
        self.parted(formulas.get(..ys).unwrap_or(&[]));
        self.worded(formulas.get(ys.saturating_sub(1)..).unwrap_or(&[]));
    }

    /// `tbsp + 1/2 tsp`, `0.1 gal, up`
    fn display(&mut self, parts: &[Positioned<'_>]) {
        for pair in parts.windows(2) {
            let [left, right] = pair else { continue };
            let gap = if right.rule() == Rule::measure { Gap::One } else { Gap::None };
            self.after(left.place(), gap);
            self.before(right.place(), Gap::One);
        }
    }

    /// A number and its unit; a denominator's `/` stands tight.
    fn amount(&mut self, parts: &[Positioned<'_>]) {
        for pair in parts.windows(2) {
            if let [left, right] = pair
                && matches!(left.rule(), Rule::number | Rule::blank | Rule::lead)
                && matches!(right.rule(), Rule::unit | Rule::term)
            {
                self.after(left.place(), Gap::One);
            }
        }
    }

    fn doubt(&mut self, place: Place, parts: &[Positioned<'_>]) {
        self.before(place, Gap::One);
        if let Some(amount) = parts.first() {
            self.before(amount.place(), Gap::One);
        }
    }

    fn freedom(&mut self, place: Place, parts: &[Positioned<'_>]) {
        self.inside(place);
        self.before(place, Gap::One);
        if let Some(count) = parts.first() {
            self.after(count.place(), Gap::One);
        }
    }

    /// What stands at a place, its white space put in order; a line break stays one and is written as given.
    pub(super) fn written(&self, range: Range<usize>, line_break: &str) -> String {
        let mut written = String::new();
        let mut at = range.start;
        while let Some(rest) = self.text.get(at..range.end).filter(|rest| !rest.is_empty()) {
            let body = rest.trim_start_matches(is_white);
            let white = rest.get(..rest.len() - body.len()).unwrap_or("");
            at += white.len();
            if body.is_empty() {
                break;
            }
            written += self.gap(at, white, line_break, written.is_empty());
            let length = self.length_kept(at, body);
            written += kept(body.get(..length).unwrap_or(body), line_break).as_ref();
            at += length;
        }
        written
    }

    fn gap(&self, at: usize, white: &str, line_break: &'a str, is_first: bool) -> &'a str {
        match (is_first, self.gaps.get(&at)) {
            (true, _) => "",
            (false, _) if white.contains('\n') => line_break,
            (false, Some(Gap::One)) => " ",
            (false, Some(Gap::None)) => "",
            (false, None) if white.is_empty() => "",
            (false, None) => " ",
        }
    }

    /// The length of what is kept here as it is: all of a quoted text, or a single character.
    fn length_kept(&self, at: usize, body: &str) -> usize {
        match self.kept.get(&at) {
            Some(length) => (*length).min(body.len()),
            None => body.chars().next().map_or(1, char::len_utf8),
        }
    }
}

/// Text as it is written; over several lines each is trimmed, and on one line again it is single-spaced, as its value
/// is.
fn kept<'t>(text: &'t str, line_break: &str) -> Cow<'t, str> {
    match (text.contains('\n'), line_break == CONTINUATION) {
        (false, _) => text.into(),
        (true, true) => continued(text).into(),
        (true, false) => single_spaced(text).into(),
    }
}

/// Prose over several lines: each as it is written, in its place.
pub(super) fn continued(text: &str) -> String {
    text.split('\n').map(|line| line.trim_matches(is_white)).collect::<Vec<_>>().join(CONTINUATION)
}
