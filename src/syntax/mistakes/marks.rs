//! Marks in a value that do not belong there: dashes, quotation marks, brackets, signs before a number, separators.

use super::entries::Value;
use super::{Found, ends_with_digit, starts_with_digit, without_feet_marks};
use crate::text::{cut, single_spaced};
use crate::trouble::Kind;
use crate::trouble::instead::{self, exact};

/// `3 gal-- the green one`, `3 gal --the green one`
pub(super) fn remark_dashes(value: &Value<'_>) -> Option<Found> {
    dashes(value.stop)
}

/// Two dashes without a space before or after them, at the stop or right before it.
pub(super) fn dashes(stop: super::Stop<'_>) -> Option<Found> {
    let read = stop.text.get(..stop.at)?;
    let start =
        if stop.after().starts_with("--") { stop.at } else { read.len() - 2 * usize::from(read.ends_with("--")) };
    let body = stop.text.get(start..)?.strip_prefix("--")?.trim();
    let lead = if cut::until(stop.text, start).ends_with([' ', '\t']) { "" } else { " " };
    let instead = format!("`{lead}-- {}`", single_spaced(body));
    Some((start..stop.text.trim_end().len(), Kind::DashesWithoutSpaces { instead }))
}

/// `3 gal – the green one`, `1 – 2 pt`, `–2 ft`
pub(super) fn typed_dash(value: &Value<'_>) -> Option<Found> {
    let (stop, after) = (value.stop, value.after());
    let dash = after.chars().next().filter(|first| matches!(first, '–' | '—'))?;
    let rest = after.trim_start_matches(['–', '—']).trim();
    let before = stop.before().trim();
    let (range, instead) = match (starts_with_digit(rest), before.is_empty()) {
        (true, true) => (value.whole(), exact(&format!("-{rest}"))),
        (true, false) => (value.whole(), exact(&format!("{before} to {rest}"))),
        (false, _) => {
            let lead = if cut::until(stop.text, stop.at).ends_with([' ', '\t']) { "" } else { " " };
            (stop.at..value.whole().end, format!("`{lead}-- {}`", single_spaced(rest)))
        }
    };
    Some((range, Kind::TypedDash { dash, instead }))
}

/// Marks of feet and inches, and texts whose marks are not what they should be.
pub(super) fn quotes(value: &Value<'_>) -> Option<Found> {
    let text = value.text;
    if starts_with_digit(text) {
        if let Some(instead) = without_feet_marks(text) {
            return Some((value.whole(), Kind::FeetMarks { instead: single_spaced(&instead) }));
        }
        let plain = text.replace(['"', '“', '”'], "");
        return (plain.len() < text.len() && value.after().starts_with(['"', '“', '”']))
            .then(|| (value.whole(), Kind::QuotedWord { instead: single_spaced(&plain) }));
    }
    let open = text.chars().next().filter(|first| matches!(first, '"' | '“' | '\'' | '‘'))?;
    let inner: String = text.replace(['"', '“', '”'], "");
    let inner = single_spaced(inner.trim_matches(['\'', '‘', '’']));
    let close = if open == '“' { '”' } else { '"' };
    let kind = match open {
        '\'' | '‘' => Kind::SingleQuotes { text: inner },
        _ if !cut::since(text, open.len_utf8()).contains(close) => {
            Kind::QuoteNotClosed { instead: exact(&format!("{open}{inner}{close}")) }
        }
        _ => Kind::TextWithMarks { instead: exact(&format!("{open}{inner}{close}")) },
    };
    Some((value.whole(), kind))
}

/// `+12 ft²`, `12. ft²`, `1_000`, `$-24`, `70 ° F`
pub(super) fn sign(value: &Value<'_>) -> Option<Found> {
    let (text, after, before) = (value.text, value.after(), value.stop.before());
    if let Some(number) = text.strip_prefix('+').filter(|number| starts_with_digit(number.trim_start())) {
        return Some((value.whole(), Kind::UnclearSign { instead: number.trim_start().to_owned() }));
    }
    let leftover = |found: &str, instead: String| {
        (value.whole(), Kind::Unexpected { found: found.to_owned(), instead: exact(&instead) })
    };
    let read = value.stop.text.get(value.whole().start..value.stop.at)?.trim_end();
    if after.starts_with('.') && ends_with_digit(before) {
        return Some(leftover(".", format!("{read}{}", cut::since(after, 1))));
    }
    if after.starts_with('°') && ends_with_digit(before) {
        let kind = Kind::Unexpected { found: "°".to_owned(), instead: instead::either_scale(read) };
        return Some((value.whole(), kind));
    }
    if let Some(unit) = after.strip_prefix('+').filter(|_| ends_with_digit(before))
        && (unit.is_empty() || unit.trim_start().starts_with(char::is_alphabetic))
    {
        let instead = format!("at least {read} {}", unit.trim());
        return Some((
            value.whole(),
            Kind::LimitInOtherWords { found: "+".to_owned(), instead: instead.trim().to_owned() },
        ));
    }
    if matches!(after, "?" | "!" | ".") || after.starts_with('=') {
        return Some(leftover(cut::until(after, 1), read.to_owned()));
    }
    if text.starts_with(['$', '£', '€']) && read.contains('/') && after.starts_with(char::is_alphabetic) {
        return Some(leftover("/", text.replacen('/', " per ", 1)));
    }
    if after.contains('.') && after.starts_with(char::is_alphabetic) && starts_with_digit(text) {
        return dotted(value, read);
    }
    if after.starts_with(['-', '−']) && read.ends_with(['$', '£', '€']) {
        return Some(leftover("-", format!("-{read}{}", after.trim_start_matches(['-', '−', ' ']))));
    }
    if after.starts_with('_') && ends_with_digit(before) {
        let joined = text.replace('_', "");
        return Some((value.whole(), Kind::SplitThousands { text: text.to_owned(), joined }));
    }
    None
}

/// `40 p.s.i.`
fn dotted(value: &Value<'_>, read: &str) -> Option<Found> {
    let word = value.after().split_whitespace().next()?;
    let letters: String = word.chars().filter(|character| *character != '.').collect();
    let is_short = word.split('.').all(|part| part.len() <= 1) && letters.chars().all(char::is_alphabetic);
    let rest = value.after().get(word.len()..).unwrap_or("");
    is_short.then(|| {
        let instead = exact(&format!("{read} {letters}{rest}"));
        (value.whole(), Kind::Unexpected { found: word.to_owned(), instead })
    })
}

/// `3 (gal)`, `(9.5, 9.25 fl oz)`, `3 oz (18 df)`
pub(super) fn round_brackets(value: &Value<'_>) -> Option<Found> {
    let after = value.after();
    let inner = after.strip_prefix('(')?;
    let inner = inner.split(')').next().unwrap_or(inner).trim();
    let read = value.stop.text.get(value.whole().start..value.stop.at)?.trim_end();
    let lower = inner.to_lowercase();
    if lower.ends_with("df") || lower.contains("degrees of freedom") {
        let has_limit = read.to_lowercase().ends_with("at most");
        let number = lower.split_whitespace().next().unwrap_or("18");
        let (range, instead) = match (read.contains('±') || read.contains("+/"), has_limit) {
            (true, true) => (value.stop.rest(), instead::freedom_or_limit()),
            (true, false) => (value.stop.next(inner.len() + 2), exact(&format!("({number} df)"))),
            (false, _) => (value.stop.next(inner.len() + 2), instead::doubt_with_freedom(number)),
        };
        return Some((range, Kind::FreedomPlace { instead }));
    }
    let instead = match read {
        "" => exact(inner),
        number if ends_with_digit(number) => exact(&format!("{number} {inner}")),
        amount => exact(&format!("{amount} -- {inner}")),
    };
    Some((value.whole(), Kind::ValueInBrackets { instead }))
}

/// `3 [gal]`, `60 ft [yd]`
pub(super) fn square_brackets(value: &Value<'_>) -> Option<Found> {
    let inner = value.after().strip_prefix('[')?;
    let inner = inner.split(']').next().unwrap_or(inner).trim();
    let read = value.stop.text.get(value.whole().start..value.stop.at)?.trim_end();
    match read.ends_with('_') || ends_with_digit(read) {
        true => Some((value.whole(), Kind::UnitInBrackets { instead: exact(&format!("{read} {inner}")) })),
        false => {
            let start = value.name.map_or(value.whole().start, |_| value.stop.from - 1);
            let instead = match value.name {
                Some(_) => instead::other_unit(&format!("= {}", value.text)),
                None => instead::no_brackets(),
            };
            Some((start..value.whole().end, Kind::UnitInBrackets { instead }))
        }
    }
}

/// `9.5; 9.25 fl oz`, `9.5,, 9.25`, `9.5, missed, 9.25`
pub(super) fn separators(value: &Value<'_>) -> Option<Found> {
    let (stop, text, after) = (value.stop, value.text, value.after());
    if after.starts_with(';') {
        return Some((value.whole(), Kind::ListInOtherWords { instead: single_spaced(&text.replace(';', ",")) }));
    }
    let before = stop.before();
    if after.starts_with(',') && (before.trim().is_empty() || before.ends_with(',')) {
        return Some((stop.next(1), Kind::ReadingMissing));
    }
    if after.is_empty() && text.ends_with(',') {
        let end = value.whole().end;
        return Some((end - 1..end, Kind::ReadingMissing));
    }
    let word = after.split(',').next().unwrap_or(after).trim();
    let is_word =
        before.ends_with(',') && word.starts_with(|character: char| !character.is_ascii_digit()) && !word.is_empty();
    is_word.then(|| (stop.range_of(word), Kind::ReadingWanted { found: single_spaced(word) }))
}

/// `6 fl oz / gal`, `6 fl oz/ gal`, `3 /min`
pub(super) fn spaced_unit(value: &Value<'_>) -> Option<Found> {
    let (stop, after) = (value.stop, value.after());
    let read = stop.text.get(value.whole().start..stop.at)?.trim_end();
    let (number, unit) = match after.strip_prefix('/') {
        Some(unit) => (read, unit.trim_start()),
        None => (read.strip_suffix('/')?.trim_end(), after),
    };
    let is_unit = unit.starts_with(char::is_alphabetic) && starts_with_digit(number) && !unit.contains(" / ");
    is_unit.then(|| (value.whole(), Kind::SpacedUnit { instead: single_spaced(&format!("{number}/{unit}")) }))
}
