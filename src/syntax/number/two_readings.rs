//! Numerals that leave open what they say: those with a comma, a colon, a hyphen, a second slash or a second point.
//! Each is refused with its readings; what a numeral is worth is not known here.

use super::{is_digits, no_number, vulgar_fraction};
use crate::quantity::Moment;
use crate::quantity::date::DateError;
use crate::text::cut;
use crate::trouble::{Kind, bad_date};

/// Refuses a numeral with two readings, or none.
pub(super) fn refuse(numeral: &str) -> Result<(), Kind> {
    // Most are digits with one sign among them at the most.
    let mut signs = numeral.bytes().filter(|byte| !byte.is_ascii_digit());
    if matches!((signs.next(), signs.next()), (None | Some(b'.' | b'/'), None)) {
        return Ok(());
    }
    if let Some(kind) = other_date(numeral) {
        return Err(kind);
    }
    if numeral.contains(',') {
        return Err(commas(numeral));
    }
    if numeral.contains(':') {
        return Err(colons(numeral));
    }
    if let Some((before, dash, after)) = at_dash(numeral) {
        return Err(dashes(numeral, before, dash, after));
    }
    if numeral.matches('.').count() > 1 {
        return Err(points(numeral));
    }
    match numeral.split(['/', '⁄']).collect::<Vec<_>>().as_slice() {
        [_] | [_, _] => Ok(()),
        [first, second, third] => Err(Kind::DoubleFraction {
            text: numeral.to_owned(),
            first: format!("({first}/{second})/{third}"),
            second: format!("{first}/({second}/{third})"),
        }),
        _ => Err(no_number(numeral)),
    }
}

/// `4/12/2026`, `12.4.2026`, `26-04-12`: a date in another form than the notation's. `1/2/3` is none.
fn other_date(numeral: &str) -> Option<Kind> {
    let mut parts = numeral.split(['/', '.', '-']).map(str::len);
    let (Some(first), Some(second), Some(last), None) = (parts.next(), parts.next(), parts.next(), parts.next()) else {
        return None;
    };
    if last != 4 && first != 4 && (last != 2 || first.max(second) > 2) {
        return None;
    }
    match Moment::parse(numeral) {
        Ok(_) | Err(DateError::NotADate) => None,
        Err(error) => Some(bad_date(&error)),
    }
}

/// `9,5`: 9.5, or two readings? `1,000`: a thousand, or 1.000?
fn commas(numeral: &str) -> Kind {
    let text = numeral.to_owned();
    let groups: Vec<&str> = numeral.split(',').collect();
    let [first, others @ ..] = groups.as_slice() else { return no_number(numeral) };
    let decimals_aside = |group: &str| group.split('.').next().unwrap_or(group).to_owned();
    let is_group = |group: &&str| decimals_aside(group).len() == 3 && is_digits(&decimals_aside(group));
    let is_start = is_digits(first) && first.len() <= 3 && !first.starts_with('0');
    if is_start && others.iter().all(is_group) && numeral.matches('.').count() <= 1 {
        let joined = groups.concat();
        return match others {
            [one] if is_digits(one) => Kind::ThousandsComma { text, joined, dotted: format!("{first}.{one}") },
            _ => Kind::SplitThousands { text, joined },
        };
    }
    match others {
        [one] if is_digits(first) && is_digits(one) => {
            Kind::DecimalComma { text, dotted: format!("{first}.{one}"), apart: format!("{first}, {one}") }
        }
        [one] if is_digits(one) && in_thousands(first) => {
            Kind::SplitThousands { text, joined: format!("{}.{one}", first.replace('.', "")) }
        }
        _ => Kind::UnspacedComma { text, apart: groups.join(", ") },
    }
}

/// `1.234.567`
fn points(numeral: &str) -> Kind {
    match in_thousands(numeral) {
        true => Kind::SplitThousands { text: numeral.to_owned(), joined: numeral.replace('.', "") },
        false => no_number(numeral),
    }
}

/// Digits in groups of three, parted by points.
fn in_thousands(text: &str) -> bool {
    let mut groups = text.split('.');
    let first = groups.next().unwrap_or("");
    text.contains('.')
        && is_digits(first)
        && first.len() <= 3
        && !first.starts_with('0')
        && groups.all(|group| group.len() == 3 && is_digits(group))
}

/// `1:23`: minutes and seconds, hours and minutes, or a dilution?
fn colons(numeral: &str) -> Kind {
    let parts: Option<Vec<u32>> = numeral.split(':').map(|part| part.parse().ok()).collect();
    let is_sexagesimal = |part: &str| part.len() == 2 && part.parse().is_ok_and(|number: u32| number < 60);
    let text = numeral.to_owned();
    let in_sixties = numeral.split(':').skip(1).all(is_sexagesimal);
    match parts.as_deref() {
        Some([first, second]) => {
            let (first, second, whole) = (*first, *second, first.saturating_add(*second));
            match in_sixties {
                true => Kind::ColonNumber { text, first, second, whole },
                false => Kind::ColonRatio { text, first, second, whole },
            }
        }
        Some([hours, minutes, seconds]) if in_sixties => {
            Kind::ColonClock { text, instead: format!("{hours} h {minutes} min {seconds} s") }
        }
        _ => no_number(numeral),
    }
}

/// Cuts a numeral at its first hyphen or typed dash; a minus in an exponent (`1.5e-3`) joins no two numbers.
fn at_dash(numeral: &str) -> Option<(&str, char, &str)> {
    let (index, dash) = numeral.char_indices().find(|(index, character)| {
        matches!(character, '-' | '–') && !cut::until(numeral, *index).ends_with(['e', 'E'])
    })?;
    Some((cut::until(numeral, index), dash, cut::since(numeral, index + dash.len_utf8())))
}

/// `1-1/2`: 1 1/2, or a difference? `2-3`: 2 to 3, or a difference? `12345-678`: a number on a label.
fn dashes(numeral: &str, before: &str, dash: char, after: &str) -> Kind {
    let text = numeral.to_owned();
    let together = match (worth(before), worth(after)) {
        (Some(_), Some((fraction, true))) if is_digits(before) && fraction < 1.0 => format!("{before} {after}"),
        (Some((low, _)), Some((high, _))) if low < high => format!("{before} to {after}"),
        (Some(_), Some(_)) if dash == '-' => {
            return Kind::HyphenCode { text, difference: format!("{before} - {after}") };
        }
        _ => return Kind::NumbersJoined { text },
    };
    match dash {
        '-' => Kind::HyphenNumber { text, together, difference: format!("{before} - {after}") },
        _ => Kind::DashNumber { text, instead: together },
    }
}

/// What a simple numeral is worth, and whether it is a fraction.
fn worth(text: &str) -> Option<(f64, bool)> {
    if let Some((above, below)) = text.chars().next().and_then(vulgar_fraction).filter(|_| text.chars().count() == 1) {
        return Some((f64::from(above) / f64::from(below), true));
    }
    match text.split_once(['/', '⁄']) {
        Some((above, below)) => {
            Some((f64::from(above.parse::<u32>().ok()?) / f64::from(below.parse::<u32>().ok()?), true))
        }
        None => text.parse().ok().map(|number| (number, false)),
    }
}
