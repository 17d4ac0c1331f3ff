//! Mistakes in what stands after an entry's colon or in a cell: each rule knows one way in which people write a value
//! that the notation writes otherwise.

use super::{
    Found, Stop, amounts, begins_with_word, dates, ends_with_digit, heads, last_word, marks, remark_sign,
    starts_with_digit, without_remark, words,
};
use crate::text::{cut, single_spaced};
use crate::trouble::Kind;
use crate::trouble::instead::{self, exact};

/// A value as written, without its remark, and where it could not be read.
#[derive(Clone, Copy)]
pub(super) struct Value<'a> {
    pub(super) stop: Stop<'a>,
    /// Without white space at its ends.
    pub(super) text: &'a str,
    /// The name that it was written down for; a cell has none.
    pub(super) name: Option<&'a str>,
}

/// The rules in the order in which they are tried: the first that knows the mistake names it.
const RULES: [fn(&Value<'_>) -> Option<Found>; 31] = [
    missing,
    remark_in_cell,
    words::blank,
    marks::remark_dashes,
    marks::typed_dash,
    marks::quotes,
    doubts,
    date,
    words::limit,
    words::range,
    words::doubt,
    words::yes_no,
    words::number,
    power,
    compound_blank,
    compound_label,
    marks::sign,
    marks::round_brackets,
    marks::square_brackets,
    two_statements,
    marks::separators,
    marks::spaced_unit,
    bar,
    substance,
    answer,
    range_or_difference,
    |value| remark_sign(value.stop),
    worked_out,
    chained,
    text,
    thousands,
];

/// What is wrong with a value.
pub(super) fn value(stop: Stop<'_>, name: Option<&str>) -> Option<Found> {
    let side = stop.side();
    let is_text = side.trim_start().starts_with(['"', '“']);
    let text = if is_text { side.trim() } else { without_remark(side).trim() };
    let value = Value { stop, text, name };
    RULES.iter().find_map(|rule| rule(&value))
}

impl<'a> Value<'a> {
    pub(super) fn whole(&self) -> std::ops::Range<usize> {
        self.stop.range_of(self.text)
    }

    /// What of it could not be read.
    pub(super) fn after(&self) -> &'a str {
        self.stop.text.get(self.stop.at..self.whole().end).unwrap_or("")
    }

    /// From its sign on: a formula takes the place of a value.
    fn with_sign(&self) -> std::ops::Range<usize> {
        match self.name {
            Some(_) => self.stop.from - 1..self.whole().end,
            None => self.whole(),
        }
    }
}

fn missing(value: &Value<'_>) -> Option<Found> {
    let sign = value.stop.from.saturating_sub(1)..value.stop.from;
    value.text.is_empty().then_some((sign, Kind::MissingValue))
}

/// `| north | 24 -- two stones |`
fn remark_in_cell(value: &Value<'_>) -> Option<Found> {
    let remark = value.stop.text.get(value.whole().end..)?.trim();
    let is_there = value.name.is_none() && !remark.is_empty() && value.stop.at >= value.whole().end;
    is_there.then(|| (value.stop.range_of(remark), Kind::RemarkInCell))
}

/// `3 ft^1/2`, `3 ft^0.5`
fn power(value: &Value<'_>) -> Option<Found> {
    let read = value.stop.text.get(value.whole().start..value.stop.at)?;
    let start = read.rfind('^').or_else(|| value.after().starts_with('^').then_some(read.len()))?;
    let is_last = cut::since(read, start).bytes().skip(1).all(|byte| byte.is_ascii_digit());
    let end = cut::since(value.text, start).find(char::is_whitespace).map_or(value.text.len(), |length| start + length);
    let power =
        value.text.get(start..end).filter(|_| is_last && cut::until(read, start).ends_with(char::is_alphabetic))?;
    Some((value.stop.range_of(power), Kind::BadPower { text: power.to_owned() }))
}

/// `____ ft ____ in`
fn compound_blank(value: &Value<'_>) -> Option<Found> {
    let is_second = value.after().starts_with("__") && !value.stop.before().trim().is_empty();
    is_second.then(|| (value.whole(), Kind::CompoundBlank))
}

/// `2 lb of product 4 oz of product`
fn compound_label(value: &Value<'_>) -> Option<Found> {
    amounts::label_within(value.text).map(|kind| (value.whole(), kind))
}

fn bar(value: &Value<'_>) -> Option<Found> {
    value.after().starts_with('|').then(|| (value.stop.next(1), Kind::BarOutsideTable))
}

fn doubts(value: &Value<'_>) -> Option<Found> {
    let sign = |text: &str| ["±", "+/-", "+/−"].into_iter().find(|sign| text.starts_with(sign));
    if let Some(sign) = sign(value.text) {
        return Some((value.stop.range_of(cut::until(value.text, sign.len())), Kind::DoubtWithoutValue));
    }
    let second = sign(value.after())?;
    let has_first = value.stop.before().contains(['±']) || value.stop.before().contains("+/");
    has_first.then(|| (value.stop.next(second.len()), Kind::SecondDoubt))
}

fn date(value: &Value<'_>) -> Option<Found> {
    dates::trouble(value.text).or_else(|| dates::clock_alone(value.text)).map(|kind| (value.whole(), kind))
}

/// `tank : 3 gal, pail : 2 gal`
fn two_statements(value: &Value<'_>) -> Option<Found> {
    let separator = value.text.match_indices([',', ';']).find(|(index, _)| {
        let rest = cut::since(value.text, index + 1).trim_start();
        let head = rest.split([':', '=', ',', ';']).next().unwrap_or("");
        rest.starts_with(char::is_alphabetic) && cut::since(rest, head.len()).starts_with([':', '='])
    })?;
    let second = cut::since(value.text, separator.0 + 1).trim_start();
    let kind = Kind::TwoStatements { instead: instead::own_line(&single_spaced(second)) };
    Some((value.stop.range_of(second), kind))
}

/// What is wrong behind `of`.
fn substance(value: &Value<'_>) -> Option<Found> {
    let (stop, after) = (value.stop, value.after());
    if begins_with_word(after, "of") && after.trim().len() == 2 {
        return Some((stop.next(2), Kind::SubstanceMissing));
    }
    let before = stop.before();
    if last_word(before).eq_ignore_ascii_case("of") && starts_with_digit(after) {
        let grade = after.split_whitespace().next().unwrap_or(after);
        return Some((stop.next(grade.len()), Kind::GradeAsSubstance { text: grade.to_owned() }));
    }
    let start = value.text.find(" of ")? + 4;
    let substance = cut::since(value.text, start).trim();
    let range = stop.range_of(substance);
    let word = heads::holds_reserved(substance).filter(|_| range.contains(&stop.at) || range.end == stop.at)?;
    let instead = heads::tied(substance);
    Some((range, Kind::ReservedInSubstance { word, substance: single_spaced(substance), instead }))
}

/// `yes, with gloves`
fn answer(value: &Value<'_>) -> Option<Found> {
    let word = ["yes", "no"].into_iter().find(|word| begins_with_word(value.text, word))?;
    let more = cut::since(value.text, word.len())
        .trim_start_matches([',', ';', '.', '!', '(', ' ', '-'])
        .trim_end_matches(')');
    let found = value.after().to_owned();
    let instead = if more.is_empty() { word.to_owned() } else { format!("{word} -- {more}") };
    (value.text.len() > word.len()).then(|| (value.whole(), Kind::Unexpected { found, instead: exact(&instead) }))
}

/// `3 - 4 oz`, `$5-$7`
fn range_or_difference(value: &Value<'_>) -> Option<Found> {
    let high = value.after().strip_prefix(['-', '−'])?;
    let low = value.stop.text.get(value.whole().start..value.stop.at)?;
    let numeral = |character: char| character.is_ascii_digit() || "./ ½¼¾".contains(character);
    // Units on both sides with space round the sign are a difference, as in 9.5 fl oz - 2 fl oz.
    let is_close = !low.ends_with(' ') && !high.starts_with(' ') && !amounts::is_backward(low, high);
    let (low, high) = (low.trim(), high.trim_start());
    let is_range = low.chars().all(numeral) && !low.is_empty() && starts_with_digit(high);
    let is_range = is_range || is_close && amounts::is_amount(low) && amounts::is_amount(high);
    is_range.then(|| {
        let (text, low, high) = (single_spaced(value.text), single_spaced(low), single_spaced(high));
        let (together, difference) = (format!("{low} to {high}"), format!("{low} - {high}"));
        (value.whole(), Kind::HyphenNumber { text, together, difference })
    })
}

fn worked_out(value: &Value<'_>) -> Option<Found> {
    let after = value.after();
    let is_sign = after.starts_with(['*', '/', '^', '+', '-', '−', '÷', '×', '·', '<', '>', '≤', '≥', '=']);
    let signs = [" + ", " - ", " * ", " / ", "*", "^", "×", "÷", "="];
    let is_call =
        value.text.match_indices('(').any(|(index, _)| cut::until(value.text, index).ends_with(char::is_alphabetic));
    let is_worked = begins_with_word(value.text, "if") || is_call || signs.iter().any(|sign| value.text.contains(sign));
    let starts_with_letter = value.text.starts_with(char::is_alphabetic);
    (is_sign || starts_with_letter && is_worked).then(|| {
        let instead = match value.name {
            Some(_) => exact(&format!("= {}", amounts::spaced_minus(value.text))),
            None => instead::worked_column(),
        };
        (value.with_sign(), Kind::FormulaInEntry { text: single_spaced(value.text), instead })
    })
}

/// `up to 2 to 3 pt`
fn chained(value: &Value<'_>) -> Option<Found> {
    begins_with_word(value.after(), "to").then(|| (value.whole(), Kind::ChainedRange))
}

fn text(value: &Value<'_>) -> Option<Found> {
    let is_words = value.text.starts_with(char::is_alphabetic);
    is_words.then(|| (value.whole(), Kind::TextWithoutQuotes { text: single_spaced(value.text) }))
}

/// `2 lb per 1 000 ft²`
fn thousands(value: &Value<'_>) -> Option<Found> {
    let (before, after) = (value.stop.before(), value.after());
    if !(ends_with_digit(before) && starts_with_digit(after)) {
        return None;
    }
    let numeral = |character: char| character.is_ascii_digit() || character == '.';
    let first = before.len() - before.trim_end_matches(numeral).len();
    let second = after.find(|character| !numeral(character)).unwrap_or(after.len());
    let start = value.stop.from + before.len() - first;
    let range = start..value.stop.at + second;
    let text = single_spaced(value.stop.text.get(range.clone()).unwrap_or(""));
    Some((range, Kind::SplitThousands { joined: text.replace(' ', ""), text }))
}
