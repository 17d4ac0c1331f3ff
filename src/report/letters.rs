//! What of a worksheet's own words may go to a terminal or a page, and the same in ASCII alone. It knows no layout.

pub use crate::trouble::show::is_obeyed;
use std::borrow::Cow;

/// Words without anything that a terminal would obey instead of showing: control characters, and marks that turn the
/// direction of writing and could so change the order of figures.
pub fn clean(text: &str) -> String {
    cleaned(text).into_owned()
}

/// The same, borrowed where nothing has to be shown otherwise.
pub fn cleaned(text: &str) -> Cow<'_, str> {
    // Most words have no letter but these, and few have one that is shown otherwise.
    let is_plain = text.bytes().all(|byte| matches!(byte, b' '..=b'~'));
    if is_plain || text.chars().all(|letter| shown_as(letter) == letter) {
        return text.into();
    }
    text.chars().map(shown_as).collect()
}

fn shown_as(letter: char) -> char {
    match letter {
        '\t' | '\n' | '\r' | '\u{a0}' | '\u{202f}' | '\u{2028}' | '\u{2029}' => ' ',
        letter if is_obeyed(letter) => '\u{fffd}',
        letter => letter,
    }
}

/// The same in ASCII: `28 ± ½ in²` is `28 +/- 1/2 in^2`.
pub fn ascii(text: &str) -> String {
    let mut ascii = String::with_capacity(text.len());
    let mut before = None;
    for letter in text.chars() {
        match letter {
            letter if letter.is_ascii() => ascii.push(letter),
            letter if is_fraction(letter) => push_fraction(&mut ascii, letter),
            letter if raised(letter).is_some() => {
                let starts = before.and_then(raised).is_none();
                ascii.extend(starts.then_some('^').into_iter().chain(raised(letter)));
            }
            letter => ascii.push_str(spelt(letter)),
        }
        before = Some(letter);
    }
    ascii
}

/// A fraction of one letter. After a whole number it takes a space, since `1½` is not 11/2.
fn push_fraction(ascii: &mut String, letter: char) {
    if ascii.ends_with(|last: char| last.is_ascii_digit()) {
        ascii.push(' ');
    }
    let spelt = deunicode::deunicode_char(letter).unwrap_or("?");
    ascii.push_str(spelt.trim());
}

fn is_fraction(letter: char) -> bool {
    matches!(letter, '\u{bc}'..='\u{be}' | '\u{2150}'..='\u{215e}' | '\u{2189}')
}

/// The digit or sign that stands raised, as in a power.
fn raised(letter: char) -> Option<char> {
    let plain = match letter {
        '⁰' => '0',
        '¹' => '1',
        '²' => '2',
        '³' => '3',
        '⁴'..='⁹' => char::from_digit(u32::from(letter) - 0x2070, 10)?,
        '⁻' => '-',
        _ => return None,
    };
    Some(plain)
}

/// The signs of the notation as it also reads them, and of everything else what comes nearest.
fn spelt(letter: char) -> &'static str {
    match letter {
        '±' => "+/-",
        '·' | '×' => "*",
        '÷' => "/",
        '−' | '–' | '—' | '─' => "-",
        '│' => "|",
        '→' => "->",
        '°' => "deg",
        'Δ' => "delta ",
        '≤' => "<=",
        '≥' => ">=",
        '√' => "root of ",
        '£' => "GBP",
        '€' => "EUR",
        '\u{fffd}' => "?",
        letter => deunicode::deunicode_char(letter).unwrap_or("?"),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use insta::assert_snapshot;

    #[test]
    fn nothing_reaches_the_terminal_but_letters() {
        assert_snapshot!(clean("a\u{1b}[31mb\u{9b}c\u{7}\u{202e}d\te\r\nf\u{a0}g"), @"a�[31mb�c��d e  f g");
    }

    #[test]
    fn every_sign_has_its_ascii() {
        assert_snapshot!(ascii("28 ± 1½ in"), @"28 +/- 1 1/2 in");
        assert_snapshot!(ascii("½ ¼ 2⅝ 3⅓"), @"1/2 1/4 2 5/8 3 1/3");
        assert_snapshot!(ascii("gal/1000 ft², m·s⁻¹², in³"), @"gal/1000 ft^2, m*s^-12, in^3");
        assert_snapshot!(ascii("Δ°F ≤ 5 × 2 ÷ 3 − 1"), @"delta degF <= 5 * 2 / 3 - 1");
        assert_snapshot!(ascii("José’s “north” walk – £4 … €5"), @r#"Jose's "north" walk - GBP4 ... EUR5"#);
        assert!(ascii(&('\0'..='\u{10ffff}').step_by(7).collect::<String>()).is_ascii());
    }
}
