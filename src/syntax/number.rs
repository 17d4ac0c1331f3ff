//! Numbers as they are written: decimals, fractions, mixed numbers; and what is refused because it has two readings.

mod two_readings;

use super::tree::{Number, exchanged};
use crate::trouble::Kind;
use std::borrow::Cow;

/// Reads a number from its numerals, which stand apart by white space: `["1", "1/2"]`.
///
/// # Errors
/// The kind of trouble where the text has two readings, or none.
pub fn read(numerals: &[&str]) -> Result<Number, Kind> {
    match numerals {
        [numeral] => single(numeral),
        [whole, fraction] => mixed(whole, fraction),
        _ => {
            numerals.iter().try_for_each(|numeral| two_readings::refuse(numeral))?;
            Err(row(numerals))
        }
    }
}

fn single(numeral: &str) -> Result<Number, Kind> {
    if is_digits(numeral) {
        return decimal(numeral, 0);
    }
    two_readings::refuse(numeral)?;
    if let Some(vulgar) = numeral.chars().last().and_then(vulgar_fraction) {
        let whole = numeral.trim_end_matches(|character| vulgar_fraction(character).is_some());
        let is_one = whole.chars().count() + 1 == numeral.chars().count();
        return if is_one { with_fraction(numeral, whole, vulgar) } else { Err(no_number(numeral)) };
    }
    match numeral.split_once(['/', '⁄']) {
        Some((above, below)) => fraction(numeral, above, below),
        None => decimal(numeral, decimals(numeral)),
    }
}

fn mixed(whole: &str, part: &str) -> Result<Number, Kind> {
    [whole, part].into_iter().try_for_each(two_readings::refuse)?;
    let fraction = match part.chars().next().and_then(vulgar_fraction) {
        Some(vulgar) if part.chars().count() == 1 => Some(vulgar),
        _ => part.split_once(['/', '⁄']).and_then(|(above, below)| Some((above.parse().ok()?, below.parse().ok()?))),
    };
    match fraction.filter(|_| is_digits(whole)) {
        Some((above, below)) if above < below => with_fraction(&format!("{whole} {part}"), whole, (above, below)),
        Some((above, below)) if below > 0 => Err(unclear_mixed(whole, above, below)),
        _ => Err(row(&[whole, part])),
    }
}

/// `1 3/2`: 2 1/2, or 13/2?
fn unclear_mixed(whole: &str, above: u32, below: u32) -> Kind {
    let (text, joined) = (format!("{whole} {above}/{below}"), format!("{whole}{above}/{below}"));
    let whole = whole.parse::<u64>().unwrap_or(u64::MAX).saturating_add(u64::from(above / below));
    let sum = match above % below {
        0 => whole.to_string(),
        rest => format!("{whole} {rest}/{below}"),
    };
    Kind::UnclearMixed { text, sum, joined }
}

/// Numerals in a row that are no mixed number: `10 000`, `9.5 9.25`
fn row(numerals: &[&str]) -> Kind {
    let (text, apart) = (numerals.join(" "), numerals.join(", "));
    let [first, groups @ ..] = numerals else { return no_number(&text) };
    let is_group = |group: &&str| group.len() == 3 && is_digits(group);
    let in_thousands = is_digits(first) && first.len() <= 3 && !first.starts_with('0') && groups.iter().all(is_group);
    match in_thousands {
        true if groups.iter().any(|group| group.starts_with('0')) => {
            Kind::SplitThousands { joined: numerals.concat(), text }
        }
        true => Kind::SpacedThousands { joined: numerals.concat(), text, apart },
        false => Kind::NumbersInRow { text, apart },
    }
}

fn with_fraction(text: &str, whole: &str, (above, below): (u32, u32)) -> Result<Number, Kind> {
    if whole.is_empty() {
        return fraction(text, &above.to_string(), &below.to_string());
    }
    if !is_digits(whole) {
        return Err(no_number(text));
    }
    let whole: f64 = whole.parse().map_err(|_| Kind::NotFinite)?;
    // One division of whole numbers, so that the nearest double is reached.
    let value = (whole * f64::from(below) + f64::from(above)) / f64::from(below);
    Ok(Number { value, denominator: Some(below), decimals: 0 })
}

fn fraction(text: &str, above: &str, below: &str) -> Result<Number, Kind> {
    match (above.parse::<u32>(), below.parse::<u32>()) {
        (_, Ok(0)) => Err(Kind::ZeroDenominator { text: text.into() }),
        (Ok(above), Ok(below)) => {
            Ok(Number { value: f64::from(above) / f64::from(below), denominator: Some(below), decimals: 0 })
        }
        _ if is_digits(above) && is_digits(below) => Err(Kind::NumberTooLarge { text: text.into() }),
        _ => Err(Kind::DecimalFraction { text: text.into(), above: above.into(), below: below.into() }),
    }
}

fn decimal(text: &str, decimals: u8) -> Result<Number, Kind> {
    let plain = if text.is_ascii() { Cow::from(text) } else { exchanged(text.to_owned(), '−', "-").into() };
    match plain.parse::<f64>() {
        Ok(value) if value.is_subnormal() || value == 0.0 && !is_nothing(&plain) => Err(Kind::NumberTooSmall),
        Ok(value) if value.is_finite() => Ok(Number { value, denominator: None, decimals }),
        Ok(_) => Err(Kind::NumberTooLarge { text: text.into() }),
        Err(_) => Err(no_number(text)),
    }
}

/// Whether a decimal has no digit but 0 before its exponent.
fn is_nothing(decimal: &str) -> bool {
    let mantissa = decimal.split(['e', 'E']).next().unwrap_or(decimal);
    !mantissa.bytes().any(|byte| matches!(byte, b'1'..=b'9'))
}

/// How many decimals a number has that is written so: `0.25` two, `1.5e-3` four.
fn decimals(text: &str) -> u8 {
    let (mantissa, power) = text.split_once(['e', 'E']).unwrap_or((text, "0"));
    let digits = mantissa.split_once('.').map_or(0, |(_, digits)| digits.len());
    let power: i64 = exchanged(power.to_owned(), '−', "-").parse().unwrap_or(0);
    let decimals = i64::try_from(digits).unwrap_or(i64::MAX).saturating_sub(power);
    u8::try_from(decimals.max(0)).unwrap_or(u8::MAX)
}

pub(super) fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

fn no_number(text: &str) -> Kind {
    Kind::NumbersJoined { text: text.to_owned() }
}

pub(super) fn vulgar_fraction(character: char) -> Option<(u32, u32)> {
    Some(match character {
        '½' => (1, 2),
        '⅓' => (1, 3),
        '⅔' => (2, 3),
        '¼' => (1, 4),
        '¾' => (3, 4),
        '⅕' => (1, 5),
        '⅖' => (2, 5),
        '⅗' => (3, 5),
        '⅘' => (4, 5),
        '⅙' => (1, 6),
        '⅚' => (5, 6),
        '⅐' => (1, 7),
        '⅛' => (1, 8),
        '⅜' => (3, 8),
        '⅝' => (5, 8),
        '⅞' => (7, 8),
        '⅑' => (1, 9),
        '⅒' => (1, 10),
        _ => return None,
    })
}
