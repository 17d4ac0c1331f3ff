//! Words in a value that say something which the notation writes otherwise: limits, ranges, doubts, blanks, yes and no,
//! numbers.

use super::entries::Value;
use super::{Found, begins_with_word, ends_with_digit, starts_with_digit};
use crate::text::{cut, single_spaced};
use crate::trouble::Kind;
use crate::trouble::instead::{self, exact};

const BLANKS: [&str; 18] = [
    "?", "??", "???", "n/a", "na", "n.a.", "none", "nil", "tbd", "tba", "unknown", "-", "--", "---", "----", "...",
    "…", "_",
];

/// How people say a limit, and how the notation does.
const LIMITS: [(&str, &str); 24] = [
    ("no more than", "at most"),
    ("not more than", "at most"),
    ("not over", "at most"),
    ("maximum", "at most"),
    ("max.", "at most"),
    ("max", "at most"),
    ("less than", "at most"),
    ("under", "at most"),
    ("below", "at most"),
    ("<=", "at most"),
    ("=<", "at most"),
    ("≤", "at most"),
    ("<", "at most"),
    ("no less than", "at least"),
    ("not less than", "at least"),
    ("minimum", "at least"),
    ("min.", "at least"),
    ("min", "at least"),
    ("more than", "at least"),
    ("over", "at least"),
    ("above", "at least"),
    (">=", "at least"),
    ("≥", "at least"),
    (">", "at least"),
];

const LIMITS_BEHIND: [(&str, &str); 8] = [
    (" or less", "at most"),
    (" or fewer", "at most"),
    (" at most", "at most"),
    (" maximum", "at most"),
    (" max.", "at most"),
    (" or more", "at least"),
    (" at least", "at least"),
    (" minimum", "at least"),
];

const ABOUT: [&str; 11] =
    ["about", "approximately", "approx.", "approx", "around", "roughly", "circa", "ca.", "c.", "~", "≈"];

const NUMBERS: [&str; 12] =
    ["one", "two", "three", "four", "five", "six", "seven", "eight", "nine", "ten", "eleven", "twelve"];

/// `? gal`, `n/a`, `.... ft`
pub(super) fn blank(value: &Value<'_>) -> Option<Found> {
    let (first, unit) = value.text.split_once(char::is_whitespace).unwrap_or((value.text, ""));
    let is_dots = first.len() >= 2 && first.bytes().all(|byte| byte == b'.' || byte == b'-');
    let is_blank = BLANKS.contains(&first.to_lowercase().as_str()) || is_dots;
    let unit = unit.trim();
    // `-- not yet` is no value but a remark; `- 3 gal` is a number.
    let is_unit =
        unit.is_empty() || unit.starts_with(|character: char| character.is_alphabetic() || "%$°".contains(character));
    (is_blank && is_unit).then(|| {
        let blank = format!("____ {unit}");
        let instead = match (matches!(first.to_lowercase().as_str(), "none" | "nil"), unit.is_empty()) {
            (true, true) => instead::blank_or_nothing(),
            (true, false) => instead::exact_or_nothing(&blank),
            (false, true) => instead::blank(),
            (false, false) => exact(&blank),
        };
        (value.whole(), Kind::BlankWord { found: first.to_owned(), instead })
    })
}

/// `no more than 4 pt`, `4 pt or less`, `<= 4 pt`
pub(super) fn limit(value: &Value<'_>) -> Option<Found> {
    let found = |said: &str, limit: &str, amount: &str| {
        let amount = amount.trim();
        (starts_with_digit(amount) || amount.starts_with(['_', '$'])).then(|| {
            let instead = format!("{limit} {}", single_spaced(amount));
            (value.whole(), Kind::LimitInOtherWords { found: said.trim().to_owned(), instead })
        })
    };
    let lower = value.text.to_lowercase();
    let before = LIMITS
        .iter()
        .find_map(|(said, limit)| found(said, limit, lower.strip_prefix(said).and(value.text.get(said.len()..))?));
    before.or_else(|| {
        LIMITS_BEHIND.iter().find_map(|(said, limit)| {
            let amount = lower.strip_suffix(said)?;
            found(said, limit, value.text.get(..amount.len())?)
        })
    })
}

/// `between 1 and 2 pt`, `from 1 to 2 pt`, `1..2 pt`, `1 or 2 pt`; and `9.5 and 9.25 fl oz`
pub(super) fn range(value: &Value<'_>) -> Option<Found> {
    let lower = value.text.to_lowercase();
    let rest = |word: &str| value.text.get(word.len()..).filter(|_| lower.starts_with(word));
    let between = |text: &str, word: &str| {
        let (low, high) = text.split_once(word)?;
        let (low, high) = (low.trim(), high.trim_matches(['.', ' ']));
        let both = starts_with_digit(low) && starts_with_digit(high);
        both.then(|| (single_spaced(low), single_spaced(high)))
    };
    let to = |(low, high): (String, String)| Kind::RangeInOtherWords { instead: format!("{low} to {high}") };
    let kind = rest("between ")
        .and_then(|text| between(text, " and ").or_else(|| between(text, " to ")))
        .or_else(|| rest("from ").and_then(|text| between(text, " to ")))
        .or_else(|| {
            between(value.text, "..").or_else(|| between(value.text, "…")).or_else(|| between(value.text, " or "))
        })
        .map(to);
    let kind = kind.or_else(|| {
        let both = between(value.text, " and ").or_else(|| between(value.text, " & "));
        both.map(|(first, second)| match ends_with_digit(&first) {
            true if is_mixed(&first, &second) => {
                Kind::AndBetweenValues { instead: exact(&format!("{first} {second}")) }
            }
            true => Kind::AndBetweenValues { instead: exact(&format!("{first}, {second}")) },
            false => Kind::AndBetweenValues {
                instead: instead::amount_or_readings(&format!("{first} {second}"), &format!("{first}, {second}")),
            },
        })
    });
    kind.map(|kind| (value.whole(), kind))
}

/// `2` and `1/2 gal`
fn is_mixed(whole: &str, rest: &str) -> bool {
    let fraction = rest.split_whitespace().next().unwrap_or("");
    let is_proper = fraction.split_once('/').is_some_and(|(above, below)| {
        above.parse::<u32>().ok().zip(below.parse::<u32>().ok()).is_some_and(|(above, below)| above < below)
    });
    whole.bytes().all(|byte| byte.is_ascii_digit()) && (is_proper || fraction.chars().all(super::is_vulgar))
}

/// `28 in plus or minus 1 in`, `about 3 pt`
pub(super) fn doubt(value: &Value<'_>) -> Option<Found> {
    let other =
        |found: &str, instead: String| (value.whole(), Kind::DoubtInOtherWords { found: found.to_owned(), instead });
    for words in ["plus or minus", "plus/minus", "plus-minus", "give or take", "+-", "-/+"] {
        if let Some((before, after)) = value.text.split_once(words) {
            return Some(other(words, exact(&format!("{} ± {}", before.trim(), after.trim()))));
        }
    }
    let lower = value.text.to_lowercase();
    for word in ABOUT {
        let amount = lower.strip_prefix(word).and(value.text.get(word.len()..)).map_or("", str::trim);
        if starts_with_digit(amount) {
            return Some(other(word, instead::with_doubt(amount)));
        }
    }
    let after = value.after();
    let is_uneven =
        after.starts_with('+') && starts_with_digit(cut::since(after, 1).trim_start()) && after.contains(['-', '−']);
    is_uneven.then(|| other("+ and -", instead::larger_doubt()))
}

/// `true`, `n`
pub(super) fn yes_no(value: &Value<'_>) -> Option<Found> {
    let instead = match value.text.to_lowercase().as_str() {
        "true" | "y" | "✓" | "✔" => "yes",
        "false" | "n" | "✗" | "✘" => "no",
        _ => return None,
    };
    Some((value.whole(), Kind::YesNoWord { found: value.text.to_owned(), instead: instead.to_owned() }))
}

/// `three gal`
pub(super) fn number(value: &Value<'_>) -> Option<Found> {
    let index = NUMBERS.iter().position(|word| begins_with_word(value.text, word))?;
    let word = NUMBERS.get(index)?;
    let rest = single_spaced(value.text.get(word.len()..)?);
    let is_unit = rest.split_whitespace().count() <= 3 && !rest.contains(|character: char| "*/+(".contains(character));
    is_unit.then(|| {
        let instead = format!("{} {rest}", index + 1).trim().to_owned();
        (value.whole(), Kind::NumberWord { found: (*word).to_owned(), instead })
    })
}
