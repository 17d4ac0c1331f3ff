//! Mistakes of writing: what a text that the grammar does not read was most likely meant to say. It hands over kinds
//! with their data; the words are those of `trouble/kinds.rs`. A part of an `instead` in backticks is what the marked
//! spot is to read.

mod amounts;
mod dates;
mod entries;
mod formulas;
mod heads;
mod marks;
mod promises;
mod words;

pub(super) use amounts::label_within;
pub(super) use dates::clock_alone;
pub(super) use dates::{in_words as date_in_words, month};
pub(super) use heads::{check_else, names_of, unknown_role};

use super::parse::{Reader, Rule};
use crate::text::{Place, cut, single_spaced};
use crate::trouble::{Kind, Trouble};

const RESERVED: [&str; 14] =
    ["to", "of", "per", "from", "within", "by", "and", "or", "not", "if", "then", "else", "is", "where"];

/// What is wrong and where, in bytes of the text it was found in.
type Found = (std::ops::Range<usize>, Kind);

/// The first word, or pair of words, of a text that no name may contain.
fn reserved_word(text: &str) -> Option<String> {
    let mut words = text.split_whitespace().map(str::to_lowercase);
    let first = words.next()?;
    let first = first.trim_end_matches(|character: char| !character.is_alphanumeric());
    let second = words.next().unwrap_or_default();
    let second = second.trim_end_matches(|character: char| !character.is_alphanumeric());
    match (first, second) {
        ("at", "most" | "least") | ("more" | "less", "than") => Some(format!("{first} {second}")),
        _ => RESERVED.contains(&first).then(|| first.to_owned()),
    }
}

/// The trouble of a text at the byte where the grammar could not go on.
pub(super) fn explain(reader: &Reader<'_>, rule: Rule, place: Place, at: usize) -> Trouble {
    let text = reader.text(place);
    let at = text.floor_char_boundary(at.saturating_sub(place.start as usize).min(text.len()));
    let at = at + (cut::since(text, at).len() - cut::since(text, at).trim_start().len());
    let stop = Stop { text, from: 0, at };
    let (range, kind) = find(rule, stop).unwrap_or_else(|| stop.unexpected());
    let start = place.start as usize;
    Trouble::new(Place::new(place.source, start + range.start, start + range.end), kind)
}

/// So many refused names are looked for in what else is wrong; a text with more has other cares.
const MOST_REFUSED: usize = 20;

/// Leaves out what is wrong only because a name is: one that holds a word of the notation cannot be read in a formula
/// either, and is reported once, where it is given.
pub(super) fn keep_causes(text: &str, troubles: &mut Vec<Trouble>) {
    let refused = |trouble: &Trouble| match &trouble.kind {
        Kind::ReservedInName { name, .. } => Some(name.clone()),
        _ => None,
    };
    let names: Vec<String> = troubles.iter().filter_map(refused).take(MOST_REFUSED).collect();
    troubles
        .retain(|trouble| refused(trouble).is_some() || !names.iter().any(|name| is_marked(text, trouble.place, name)));
}

/// Whether a name stands where a trouble is marked, or reaches into that.
fn is_marked(text: &str, place: Place, name: &str) -> bool {
    let (start, end) = (place.start as usize, place.end as usize);
    let mut starts = start.saturating_sub(name.len().saturating_sub(1))..=end;
    starts.any(|from| text.get(from..from + name.len()).is_some_and(|found| found.eq_ignore_ascii_case(name)))
}

/// Which mistake it is, by what was being read.
fn find(rule: Rule, stop: Stop<'_>) -> Option<Found> {
    match rule {
        Rule::named => named(stop),
        Rule::cell | Rule::alone => entries::value(stop, None),
        Rule::column_cell => column(stop),
        Rule::table_cell => Some(heads::table(stop)),
        Rule::crew => Some(heads::crew(stop)),
        Rule::fills => heads::file(stop),
        Rule::check => match stop.text.find(':') {
            Some(colon) if colon < stop.at => formulas::formula(stop.beyond(colon + 1), Rule::check),
            _ => Some(heads::check(stop)),
        },
        Rule::chart => match stop.text.find(':') {
            Some(colon) if colon < stop.at => heads::chart(stop.beyond(colon + 1)),
            _ => Some(heads::chart_line(stop)),
        },
        _ => None,
    }
}

/// A line that begins with a name: its head, its value or its formula.
fn named(stop: Stop<'_>) -> Option<Found> {
    let Some(sign) = stop.text.find([':', '=', '"', '“']) else { return Some(heads::line(stop)) };
    let (name, side) = (cut::until(stop.text, sign).trim(), stop.beyond(sign + 1));
    if sign >= stop.at {
        return Some(heads::name(stop, sign));
    }
    if let Some(found) = heads::second_sign(stop, sign) {
        return Some(found);
    }
    match cut::since(stop.text, sign).chars().next() {
        Some(':') => entries::value(side, Some(name)),
        Some('=') => formulas::formula(side, Rule::named),
        _ => heads::file(stop),
    }
}

/// A cell that declares a column.
fn column(stop: Stop<'_>) -> Option<Found> {
    match stop.text.find([':', '=']) {
        Some(sign) if sign < stop.at => match cut::since(stop.text, sign).starts_with(':') {
            true => Some(heads::column_kind(stop.beyond(sign + 1))),
            false => formulas::formula(stop.beyond(sign + 1), Rule::column_cell),
        },
        Some(sign) => Some(heads::name(stop, sign)),
        None => Some(heads::column(stop)),
    }
}

/// A text, where the part begins that was being read, and where the grammar could not go on, white space skipped.
#[derive(Debug, Clone, Copy)]
struct Stop<'a> {
    text: &'a str,
    from: usize,
    at: usize,
}

impl<'a> Stop<'a> {
    /// The same with a part that begins further on.
    fn beyond(self, from: usize) -> Self {
        Self { from, at: self.at.max(from), ..self }
    }

    /// What was read of the part, white space at its end aside.
    fn before(self) -> &'a str {
        self.text.get(self.from..self.at).unwrap_or("").trim_end()
    }

    /// What was not.
    fn after(self) -> &'a str {
        self.text.get(self.at..).unwrap_or("")
    }

    /// The whole part.
    fn side(self) -> &'a str {
        self.text.get(self.from..).unwrap_or("")
    }

    /// From here on, so many bytes.
    fn next(self, length: usize) -> std::ops::Range<usize> {
        self.at..(self.at + length).min(self.text.len())
    }

    /// To the end of the text.
    fn rest(self) -> std::ops::Range<usize> {
        self.at..self.text.trim_end().len().max(self.at)
    }

    /// Where a part of the text stands in it.
    fn range_of(self, part: &str) -> std::ops::Range<usize> {
        let start = (part.as_ptr() as usize).saturating_sub(self.text.as_ptr() as usize);
        start..start + part.len()
    }

    /// The word that could not be read, or the last character where the text ends there.
    fn word(self) -> &'a str {
        let after = self.after();
        let first = after.chars().next().map_or(0, char::len_utf8);
        let is_word = |character: char| character.is_alphanumeric() || matches!(character, '\'' | '_' | '.');
        let run = after.find(|character| !is_word(character)).unwrap_or(after.len());
        after.get(..run.max(first)).unwrap_or(after)
    }

    fn unexpected(self) -> Found {
        match self.word() {
            "" => {
                let read = self.text.trim_end();
                let last = read.char_indices().next_back().map_or(0, |(index, _)| index);
                (last..read.len(), Kind::MissingAtEnd { after: last_word(read).to_owned() })
            }
            word => (self.next(word.len()), Kind::Unexpected { found: word.to_owned(), instead: String::new() }),
        }
    }
}

fn last_word(text: &str) -> &str {
    text.split_whitespace().last().unwrap_or("")
}

/// A text up to its remark.
fn without_remark(text: &str) -> &str {
    let is_remark = |(index, _): &(usize, &str)| {
        let (before, after) = (cut::until(text, *index), cut::since(text, *index + 2));
        (before.is_empty() || before.ends_with([' ', '\t'])) && (after.is_empty() || after.starts_with([' ', '\t']))
    };
    text.match_indices("--").find(is_remark).map_or(text, |(index, _)| cut::until(text, index))
}

fn starts_with_digit(text: &str) -> bool {
    text.starts_with(|character: char| character.is_ascii_digit() || is_vulgar(character))
        || text.starts_with('.') && cut::since(text, 1).starts_with(|character: char| character.is_ascii_digit())
}

fn ends_with_digit(text: &str) -> bool {
    text.ends_with(|character: char| character.is_ascii_digit() || is_vulgar(character))
}

fn is_vulgar(character: char) -> bool {
    super::number::vulgar_fraction(character).is_some()
}

/// Whether a text begins with a word, case aside.
fn begins_with_word(text: &str, word: &str) -> bool {
    text.get(..word.len()).is_some_and(|own| own.eq_ignore_ascii_case(word))
        && !cut::since(text, word.len()).starts_with(|character: char| character.is_alphanumeric())
}

/// Marks for feet and inches put into units: `5' 6"`
fn without_feet_marks(text: &str) -> Option<String> {
    let mut plain = String::new();
    let mut found = false;
    let mut characters = text.chars().peekable();
    while let Some(character) = characters.next() {
        let unit = match character {
            '\'' | '’' | '′' => " ft",
            '"' | '”' | '″' => " in",
            other => {
                plain.push(other);
                continue;
            }
        };
        if !ends_with_digit(&plain) {
            return None;
        }
        found = true;
        plain.push_str(unit);
        if characters.peek().is_some_and(|next| next.is_alphanumeric()) {
            plain.push(' ');
        }
    }
    found.then_some(plain)
}

/// A remark that another sign begins than two dashes.
fn remark_sign(stop: Stop<'_>) -> Option<Found> {
    let after = stop.after();
    let sign = ["#", "//"].into_iter().find(|sign| after.starts_with(sign))?;
    let body = after.trim_start_matches(['#', '/']).trim();
    let instead = if body.is_empty() { "`--`".to_owned() } else { format!("`-- {}`", single_spaced(body)) };
    Some((stop.rest(), Kind::RemarkSign { sign: sign.to_owned(), instead }))
}
