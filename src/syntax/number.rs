//! Numbers as they are written: decimals, fractions, mixed numbers; and what is refused because it has two readings.

use super::tree::Number;
use crate::trouble::Kind;

/// Reads a number from its numerals, which stand apart by white space: `["1", "1/2"]`.
///
/// # Errors
/// The kind of trouble where the text has two readings, or none.
pub fn read(numerals: &[&str]) -> Result<Number, Kind> {
    match numerals {
        [numeral] => single(numeral),
        [whole, fraction] => mixed(whole, fraction),
        _ => Err(Kind::NumbersInRow { text: numerals.join(" ") }),
    }
}

fn single(numeral: &str) -> Result<Number, Kind> {
    if numeral.bytes().all(|byte| byte.is_ascii_digit()) {
        return decimal(numeral, 0);
    }
    refuse_two_readings(numeral)?;
    if let Some(vulgar) = numeral.chars().last().and_then(vulgar_fraction) {
        let whole = numeral.trim_end_matches(|character| vulgar_fraction(character).is_some());
        return with_fraction(numeral, whole, vulgar);
    }
    match numeral.split_once(['/', '⁄']) {
        Some((above, below)) => fraction(numeral, above, below),
        None => decimal(numeral, decimals(numeral)),
    }
}

fn mixed(whole: &str, part: &str) -> Result<Number, Kind> {
    let text = format!("{whole} {part}");
    [whole, part].into_iter().try_for_each(refuse_two_readings)?;
    let is_whole = whole.bytes().all(|byte| byte.is_ascii_digit());
    let fraction = match part.chars().next().and_then(vulgar_fraction) {
        Some(vulgar) if part.chars().count() == 1 => Some(vulgar),
        _ => part.split_once(['/', '⁄']).and_then(|(above, below)| Some((above.parse().ok()?, below.parse().ok()?))),
    };
    match fraction {
        Some((above, below)) if is_whole && above < below => with_fraction(&text, whole, (above, below)),
        Some((above, below)) if is_whole => Err(Kind::UnclearMixed { text, whole: whole.into(), above, below }),
        None if is_whole && part.len() == 3 && part.bytes().all(|byte| byte.is_ascii_digit()) => {
            Err(Kind::SpacedThousands { joined: format!("{whole}{part}"), text })
        }
        _ => Err(Kind::NumbersInRow { text }),
    }
}

fn with_fraction(text: &str, whole: &str, (above, below): (u32, u32)) -> Result<Number, Kind> {
    if whole.is_empty() {
        return fraction(text, &above.to_string(), &below.to_string());
    }
    if !whole.bytes().all(|byte| byte.is_ascii_digit()) {
        return Err(Kind::NumbersInRow { text: text.into() });
    }
    let whole: f64 = whole.parse().map_err(|_| Kind::NotFinite)?;
    // One division of whole numbers, so that the nearest double is reached.
    let value = (whole * f64::from(below) + f64::from(above)) / f64::from(below);
    Ok(Number { value, denominator: Some(below), decimals: 0 })
}

fn fraction(text: &str, above: &str, below: &str) -> Result<Number, Kind> {
    match (above.parse::<u32>(), below.parse::<u32>()) {
        (Ok(_), Ok(0)) => Err(Kind::ZeroDenominator { text: text.into() }),
        (Ok(above), Ok(below)) => {
            Ok(Number { value: f64::from(above) / f64::from(below), denominator: Some(below), decimals: 0 })
        }
        _ => Err(Kind::DecimalFraction { text: text.into(), above: above.into(), below: below.into() }),
    }
}

fn decimal(text: &str, decimals: u8) -> Result<Number, Kind> {
    let plain = text.replace('−', "-");
    match plain.parse::<f64>() {
        Ok(value) if value.is_finite() => Ok(Number { value, denominator: None, decimals }),
        Ok(_) => Err(Kind::NumberTooLarge { text: text.into() }),
        Err(_) => Err(Kind::NotANumber { text: text.into() }),
    }
}

fn decimals(text: &str) -> u8 {
    let mantissa = text.split(['e', 'E']).next().unwrap_or(text);
    let digits = mantissa.split_once('.').map_or(0, |(_, digits)| digits.len());
    u8::try_from(digits).unwrap_or(u8::MAX)
}

/// Refuses a numeral in which a comma, colon, hyphen or second slash leaves open what it says.
fn refuse_two_readings(numeral: &str) -> Result<(), Kind> {
    let text = numeral.to_owned();
    if let Some((before, after)) = numeral.split_once(',') {
        let groups_of_three = numeral.split(',').skip(1).all(|group| {
            let digits = group.split('.').next().unwrap_or(group);
            digits.len() == 3 && digits.bytes().all(|byte| byte.is_ascii_digit())
        });
        return Err(match groups_of_three {
            true => Kind::ThousandsComma { joined: numeral.replace(',', ""), text },
            false => {
                Kind::DecimalComma { dotted: format!("{before}.{after}"), apart: format!("{before}, {after}"), text }
            }
        });
    }
    if let Some((before, after)) = numeral.split_once(':') {
        return Err(Kind::ColonNumber { text, before: before.into(), after: after.into() });
    }
    // A minus in an exponent (`1.5e-3`) joins no two numbers.
    let hyphen = numeral
        .char_indices()
        .find(|(index, character)| matches!(character, '-' | '–') && !numeral[..*index].ends_with(['e', 'E']));
    if let Some((index, dash)) = hyphen {
        let (before, after) = (numeral[..index].to_owned(), numeral[index + dash.len_utf8()..].to_owned());
        return Err(match after.contains(['-', '–']) {
            true => Kind::NumbersJoined { text },
            false => hyphen_number(text, before, after),
        });
    }
    let slashes: Vec<&str> = numeral.split(['/', '⁄']).collect();
    match slashes.as_slice() {
        [_, _, year] if year.len() == 4 => Err(slash_date(&text, &slashes)),
        [first, second, third] => Err(Kind::DoubleFraction {
            text: text.clone(),
            first: format!("({first}/{second})/{third}"),
            second: format!("{first}/({second}/{third})"),
        }),
        [_] | [_, _] => Ok(()),
        _ => Err(Kind::NumbersJoined { text }),
    }
}

/// `1-1/2`, `2-3`, `12345-678`: what it may have meant, which depends on what stands behind the hyphen.
fn hyphen_number(text: String, before: String, after: String) -> Kind {
    let mixed = if after.contains(['/', '⁄']) { format!("{before} {after}, or ") } else { String::new() };
    let instead =
        format!("{mixed}{before} to {after}, or {before} - {after} in a formula, or \"{text}\" if it is text");
    Kind::HyphenNumber { text, before, after, instead }
}

fn slash_date(text: &str, parts: &[&str]) -> Kind {
    let number = |index: usize| parts.get(index).and_then(|part| part.parse::<u32>().ok()).unwrap_or(0);
    let (first, second, year) = (number(0), number(1), number(2));
    let iso = |month: u32, day: u32| format!("{year:04}-{month:02}-{day:02}");
    let (month_first, day_first) = (iso(first, second), iso(second, first));
    let instead = match (first <= 12, second <= 12) {
        (true, true) if first != second => format!("{month_first}, or {day_first} where the day stands first"),
        (false, true) => day_first,
        _ => month_first,
    };
    Kind::SlashDate { text: text.into(), instead }
}

fn vulgar_fraction(character: char) -> Option<(u32, u32)> {
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
