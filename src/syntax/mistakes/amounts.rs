//! Mistakes in amounts, wherever they stand: what one is of, said within it, and two of them with a hyphen between.

use super::super::parse::{Grammar, Rule};
use super::starts_with_digit;
use crate::text::cut;
use crate::trouble::Kind;
use crate::trouble::instead;
use pest::Parser as _;

/// Whether a text is all of one amount: `3`, `9.5 fl oz`, `$7`.
pub(super) fn is_amount(text: &str) -> bool {
    Grammar::parse(Rule::amount, text).is_ok_and(|mut pairs| pairs.next().is_some_and(|pair| pair.as_str() == text))
}

/// Whether the first of two amounts in one unit is the larger, so that they are no range.
pub(super) fn is_backward(low: &str, high: &str) -> bool {
    fn cut_up(text: &str) -> Option<(f64, &str)> {
        let text = text.trim().trim_start_matches(['$', '£', '€']);
        let end = text.find(|character: char| !(character.is_ascii_digit() || character == '.')).unwrap_or(text.len());
        Some((cut::until(text, end).parse().ok()?, cut::since(text, end).trim()))
    }
    let (Some((low, low_unit)), Some((high, high_unit))) = (cut_up(low), cut_up(high)) else { return false };
    low_unit == high_unit && low > high
}

/// `2 lb of product 4 oz of product` is 2 lb 4 oz of product; of two substances it is two things.
pub(in super::super) fn label_within(text: &str) -> Option<Kind> {
    let (first, rest) = text.split_once(" of ")?;
    let mut starts = rest.match_indices(' ').map(|(space, _)| space + 1);
    let start = starts.find(|start| starts_with_digit(cut::since(rest, *start)))?;
    let (substance, second) = (cut::until(rest, start).trim(), cut::since(rest, start));
    let (amount, more) = second.split_at(end_of_amount(second));
    let last = more.strip_prefix(" of ");
    let rest = last.map_or(Some(more), |last| behind(last, substance));
    if !(starts_with_digit(first) && is_amount(amount)) {
        return None;
    }
    Some(match rest {
        Some(more) => Kind::LabelWithin { instead: instead::exact(&format!("{first} {amount} of {substance}{more}")) },
        None => Kind::TwoThings { instead: instead::two_entries() },
    })
}

/// Where an amount says what it is of or per, or ends.
fn end_of_amount(text: &str) -> usize {
    let words = [" of ", " per ", " to ", " ±", "±", " +/", ","].into_iter().filter_map(|word| text.find(word));
    let is_below = |at: &usize| cut::until(text, *at).ends_with(char::is_alphabetic);
    let slash = text.match_indices('/').map(|(at, _)| at).find(is_below);
    words.chain(slash).min().unwrap_or(text.len())
}

/// What stands behind a word, or several, that a text begins with, case aside.
fn behind<'a>(text: &'a str, words: &str) -> Option<&'a str> {
    let (own, rest) = text.split_at_checked(words.len())?;
    (own.eq_ignore_ascii_case(words) && !rest.starts_with(char::is_alphanumeric)).then_some(rest)
}

/// A formula whose hyphens between two amounts stand apart: `5 ft-7 ft` as `5 ft - 7 ft`.
pub(super) fn spaced_minus(text: &str) -> String {
    let mut spaced = text.to_owned();
    for (at, sign) in text.match_indices(['-', '−']).collect::<Vec<_>>().into_iter().rev() {
        let (before, after) = (cut::until(text, at), cut::since(text, at + sign.len()));
        let is_exponent =
            before.strip_suffix(['e', 'E']).is_some_and(|before| before.ends_with(|c: char| c.is_ascii_digit()));
        let is_money = after.starts_with(['$', '£', '€']);
        let is_unit = before.ends_with(char::is_alphabetic) && starts_with_digit(after) && !is_exponent;
        if is_unit || is_money && !before.ends_with(' ') {
            spaced.replace_range(at..at + sign.len(), " - ");
        }
    }
    spaced
}
