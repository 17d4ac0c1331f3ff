//! Dates in other forms than the notation's, and what they would be in it.

use crate::quantity::Moment;
use crate::text::single_spaced;
use crate::trouble::{Kind, bad_date, instead};

const MONTHS: [&str; 12] = [
    "january",
    "february",
    "march",
    "april",
    "may",
    "june",
    "july",
    "august",
    "september",
    "october",
    "november",
    "december",
];

/// The trouble of a value that is a date with words or a clock behind it, dates in a row, or a date in words.
pub(super) fn trouble(value: &str) -> Option<Kind> {
    if starts_as_date(value) {
        if value.contains(" to ") || value.contains(", ") {
            return Some(Kind::DatesTogether);
        }
        return Moment::parse(value).err().map(|error| bad_date(&error));
    }
    in_words(value)
}

/// `2026-4`, `2026/04`, `4/12/2026`
fn starts_as_date(value: &str) -> bool {
    let first = value.split_whitespace().next().unwrap_or("");
    let parts: Vec<&str> = first.split(['-', '/']).collect();
    let is_number = |part: &&str| part.starts_with(|character: char| character.is_ascii_digit());
    parts.len() == 3 && parts.iter().all(is_number) && parts.iter().any(|part| part.len() >= 4)
}

/// `April 12, 2026`, `12 April`
pub(crate) fn in_words(value: &str) -> Option<Kind> {
    let words: Vec<&str> = value.split([' ', ',', '.', '-', '/']).filter(|word| !word.is_empty()).collect();
    let month = words.iter().find_map(|word| month(word))?;
    let others = words.iter().filter(|word| self::month(word).is_none());
    let numbers: Option<Vec<u32>> = others.map(|word| number(word)).collect();
    let numbers = numbers.filter(|numbers| (1..=2).contains(&numbers.len()))?;
    let year = numbers.iter().find(|number| **number > 31);
    let day = numbers.iter().find(|number| (1..=31).contains(*number));
    let fixed = match (year, day) {
        (Some(year), Some(day)) => format!("{year:04}-{month:02}-{day:02}"),
        _ => String::new(),
    };
    let instead = match Moment::parse(&fixed) {
        Ok(_) => format!("`{fixed}`"),
        Err(_) => instead::date_form(),
    };
    Some(Kind::DateInWords { instead })
}

/// The number of a month by its name or the first three letters of it.
pub(crate) fn month(word: &str) -> Option<usize> {
    let word = word.to_lowercase();
    let is_short = word.len() == 3 || word == "sept";
    MONTHS.iter().position(|month| *month == word || is_short && month.starts_with(&word)).map(|index| index + 1)
}

fn number(word: &str) -> Option<u32> {
    let digits = word.trim_end_matches(|character: char| character.is_ascii_alphabetic());
    let ending = word.strip_prefix(digits).unwrap_or("").to_lowercase();
    ["", "st", "nd", "rd", "th"].contains(&ending.as_str()).then(|| digits.parse().ok()).flatten()
}

/// `2:30 pm`, behind which no date stands.
pub(crate) fn clock_alone(value: &str) -> Option<Kind> {
    let value = single_spaced(value).to_lowercase();
    let clock = value.strip_suffix("am").or(value.strip_suffix("pm"))?.trim();
    let is_clock = clock.split(':').all(|part| !part.is_empty() && part.bytes().all(|byte| byte.is_ascii_digit()));
    is_clock.then_some(Kind::HourAlone)
}
