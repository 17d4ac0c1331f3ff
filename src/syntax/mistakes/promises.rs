//! Mistakes in the brackets at the end of a result, which say what it is shown in.

use super::{Found, Stop, starts_with_digit};
use crate::text::{cut, single_spaced};
use crate::trouble::Kind;
use crate::trouble::instead::{self, exact};

/// What is wrong inside the brackets, where the reading stopped inside them.
pub(super) fn promise(stop: Stop<'_>) -> Option<Found> {
    let before = stop.before();
    let open = before.rfind('[').filter(|open| !cut::since(before, *open).contains(']'))?;
    let inner = cut::since(before, open + 1).trim();
    let after = stop.after();
    let is_over = after.is_empty();
    if after.starts_with(']') && inner.is_empty() {
        return Some((stop.from + open..stop.at + 1, Kind::EmptyBrackets));
    }
    if is_over {
        let start = stop.from + open;
        return Some((start..start + 1, Kind::BracketNotClosed { bracket: '[', close: ']' }));
    }
    let said = after.split([']', ';']).next().unwrap_or(after).trim();
    let range = stop.range_of(said);
    let found = single_spaced(said);
    if after.starts_with(['-', '−']) && inner.is_empty() {
        return Some((range, Kind::StepNotAboveZero));
    }
    if after.starts_with(['"', '“', '\'']) {
        let plain = single_spaced(&said.replace(['"', '“', '”', '\''], ""));
        return Some((range, Kind::QuotedWord { instead: plain }));
    }
    let showing = |range, instead: String| Some((range, Kind::ShowingWord { found: found.clone(), instead }));
    let lower = found.to_lowercase();
    let after_comma = inner.ends_with(',');
    let comma = stop.from + before.len() - 1;
    match () {
        () if after_comma && lower.ends_with("up") => showing(range, "`up`".to_owned()),
        () if after_comma && lower.ends_with("down") => showing(range, "`down`".to_owned()),
        () if after_comma && starts_with_digit(&found) => showing(range, instead::step()),
        () if after_comma && ["nearest", "rounded", "round"].contains(&lower.as_str()) => {
            showing(range, instead::nearest())
        }
        () if after_comma => showing(comma..range.end, instead::second_unit(&found)),
        () => match ["or", "and"].into_iter().find(|word| super::begins_with_word(said, word)) {
            Some(word) => showing(stop.next(word.len()), instead::semicolon()),
            None if lower.starts_with("per ") => showing(range, exact(&format!("1/{}", cut::since(&found, 4).trim()))),
            None => showing(range, String::new()),
        },
    }
}
