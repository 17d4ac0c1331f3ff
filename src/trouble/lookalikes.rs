//! Characters that pass for others: what each is called, and what to type in its place.

use super::{Kind, instead};

/// A letter of another script among Latin ones, or in a word that looks Latin.
pub fn foreign(letter: char, script: &str, twin: Option<char>) -> Kind {
    let (is, plain) = match twin {
        Some(twin) => (format!("a {script} letter that looks like the Latin `{twin}`"), format!("`{twin}`")),
        None => (format!("a {script} letter among Latin ones"), instead::latin_letter()),
    };
    Kind::Lookalike { found: format!("`{letter}`"), is, plain }
}

/// Characters that pass for others: what each is, and what to type.
pub fn lookalike(character: char, between_digits: bool) -> Option<Kind> {
    let (is, plain) = match character {
        '\u{a0}' => ("a non-breaking space", space(between_digits)),
        '\u{202f}' => ("a narrow non-breaking space", space(between_digits)),
        '\u{2000}'..='\u{200a}' | '\u{205f}' | '\u{3000}' | '\u{1680}' => {
            ("a space of another width", space(between_digits))
        }
        '\u{200b}'..='\u{200f}'
        | '\u{2060}'
        | '\u{feff}'
        | '\u{ad}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}' => ("a character that cannot be seen", instead::without_it()),
        '\u{2028}' | '\u{2029}' | '\u{85}' => ("a line break of another kind", instead::plain_line_break()),
        '\u{300}'..='\u{36f}' => ("a mark on the letter before it", instead::one_character()),
        '\u{ff10}'..='\u{ff19}' => ("a digit of double width", digit(character, '\u{ff10}')),
        '\u{660}'..='\u{669}' => ("a digit of another script", digit(character, '\u{660}')),
        '\u{6f0}'..='\u{6f9}' => ("a digit of another script", digit(character, '\u{6f0}')),
        '\u{966}'..='\u{96f}' => ("a digit of another script", digit(character, '\u{966}')),
        '\u{ff01}'..='\u{ff5e}' => ("a character of double width", exact(&narrow(character))),
        '\u{1d400}'..='\u{1d7ff}' => ("a mathematical letter or digit", exact(deunicode::deunicode_char(character)?)),
        '∕' | '⧸' => ("a slash of another kind", exact("/")),
        '∶' | '꞉' => ("a colon of another kind", exact(":")),
        '‐' | '‑' | '‒' => ("a hyphen of another kind", exact("-")),
        '٫' | '‚' => ("a comma of another kind", exact(".")),
        _ => return None,
    };
    // What cannot be told by eye is told by its number.
    Some(match is_seen(character) {
        true => Kind::Lookalike { found: format!("`{character}`"), is: is.to_owned(), plain },
        false => Kind::Lookalike { found: "this".to_owned(), is: format!("{is} (U+{:04X})", character as u32), plain },
    })
}

fn is_seen(character: char) -> bool {
    !(character.is_whitespace()
        || matches!(character, '\u{ad}' | '\u{200b}'..='\u{200f}' | '\u{2028}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}' | '\u{300}'..='\u{36f}'))
}

fn space(between_digits: bool) -> String {
    if between_digits { instead::digits_alone() } else { instead::plain_space() }
}

fn exact(plain: &str) -> String {
    format!("`{plain}`")
}

fn digit(character: char, zero: char) -> String {
    exact(&(character as u32).saturating_sub(zero as u32).to_string())
}

/// The character of plain width; the two rows of Unicode run alongside each other.
fn narrow(character: char) -> String {
    (character as u32).checked_sub(0xfee0).and_then(char::from_u32).map(String::from).unwrap_or_default()
}
