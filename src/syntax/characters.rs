//! Characters: refuses those that look like a character of the notation and are another, and those that cannot be
//! seen. What stands in prose, quotes and remarks may be of any script. It knows no grammar.

use super::parse::{Read, Reader};
use crate::text::{Place, Role, Written, cut};
use crate::trouble::{Kind, Trouble, lookalikes};

/// Letters of other scripts, and in the same order the Latin ones that they look like.
const TWINS: (&str, &str) =
    ("аеорсухіјѕһԁԛԝАВЕКМНОРСТУХІЈЅΑΒΕΖΗΙΚΜΝΟΡΤΥΧαικνορτυ", "aeopcyxijshdqwABEKMHOPCTYXIJSABEZHIKMNOPTYXaikvoptu");

/// Refuses the first character of a statement that is not what it seems.
pub(super) fn check(reader: &Reader<'_>, written: Written) -> Read<()> {
    let (source, start) = (written.place.source, written.place.start as usize);
    check_text(reader.text(written.place), written.role)
        .map_err(|(range, kind)| Trouble::new(Place::new(source, start + range.start, start + range.end), kind))
}

/// The same of a text that stands alone, with the place of the character in it.
pub(super) fn check_text(text: &str, role: Role) -> Result<(), (std::ops::Range<usize>, Kind)> {
    if text.bytes().all(|byte| (b' '..0x7f).contains(&byte) || matches!(byte, b'\t' | b'\n')) {
        return Ok(());
    }
    let free = Free::of(text, role);
    let mut word_end = 0;
    for (index, character) in text.char_indices() {
        let kind = match character {
            '\t' | '\n' => None,
            '\r' if cut::since(text, index).starts_with("\r\n") => None,
            // Some systems ended lines so: what would be a line of its own would go on the line before.
            '\r' => Some(Kind::LoneReturn),
            control if control.is_control() && control != '\u{85}' => {
                Some(Kind::ControlCharacter { code: control as u32 })
            }
            plain if plain.is_ascii() || free.holds(index) => None,
            letter if script(letter).is_some() => {
                // A word is judged once, at its first letter of another script.
                let word = if index < word_end { 0..0 } else { word_at(text, index) };
                word_end = word_end.max(word.end);
                foreign_letter(&text[word], letter)
            }
            other => lookalikes::lookalike(other, is_between_digits(text, index)),
        };
        if let Some(kind) = kind {
            return Err((index..index + character.len_utf8(), kind));
        }
    }
    Ok(())
}

/// The stretches of a statement that may hold any character: quotes, and prose before and after.
struct Free {
    before: usize,
    after: usize,
    quotes: Vec<std::ops::Range<usize>>,
}

impl Free {
    fn of(text: &str, role: Role) -> Self {
        let label_end = text.find(':').unwrap_or(0);
        let before = if matches!(role, Role::Check | Role::Chart) { label_end } else { 0 };
        let mut free = Self { before, after: text.len(), quotes: Vec::new() };
        if role.is_prose() {
            free.after = 0;
            return free;
        }
        let mut open = None;
        for (index, character) in text.char_indices().skip_while(|(index, _)| *index < before) {
            match (open, character) {
                (None, '"' | '“') => open = Some(index),
                (Some(start), '"' | '”') => {
                    free.quotes.push(start..index);
                    open = None;
                }
                (None, '-') if is_remark(text, index) => free.after = free.after.min(index),
                (None, 'e') if role == Role::Check && cut::since(text, index).starts_with("else ") => {
                    free.after = free.after.min(index);
                }
                _ => {}
            }
        }
        free
    }

    fn holds(&self, index: usize) -> bool {
        let quote = self.quotes.partition_point(|quote| quote.end < index);
        index < self.before || index >= self.after || self.quotes.get(quote).is_some_and(|quote| quote.contains(&index))
    }
}

fn is_remark(text: &str, index: usize) -> bool {
    cut::since(text, index).starts_with("-- ") && cut::until(text, index).ends_with([' ', '\t'])
}

/// A Cyrillic or Greek letter among Latin ones, or in a word that looks wholly Latin. A word that is openly of another
/// script is a word like any other.
fn foreign_letter(word: &str, letter: char) -> Option<Kind> {
    let script = script(letter)?;
    let is_mixed = word.chars().any(|other| other.is_ascii_alphabetic() || matches!(other, '\u{c0}'..='\u{24f}'));
    let looks_latin = word.chars().filter(|other| other.is_alphabetic()).all(|other| twin(other).is_some());
    if word.is_empty() || !(is_mixed || looks_latin) {
        return None;
    }
    Some(lookalikes::foreign(letter, script, twin(letter)))
}

fn script(letter: char) -> Option<&'static str> {
    match letter {
        '\u{400}'..='\u{52f}' => Some("Cyrillic"),
        // The signs of a difference and of a millionth are Greek by origin only.
        'Δ' | 'μ' => None,
        '\u{370}'..='\u{3ff}' | '\u{1f00}'..='\u{1fff}' => Some("Greek"),
        _ => None,
    }
}

fn twin(letter: char) -> Option<char> {
    let (others, latin) = TWINS;
    others.chars().zip(latin.chars()).find(|(other, _)| *other == letter).map(|(_, twin)| twin)
}

/// The letters and digits round a place.
fn word_at(text: &str, index: usize) -> std::ops::Range<usize> {
    let is_break = |character: char| !character.is_alphanumeric();
    let start = cut::until(text, index).char_indices().rfind(|(_, character)| is_break(*character));
    let start = start.map_or(0, |(at, character)| at + character.len_utf8());
    let end = cut::since(text, index).find(is_break).map_or(text.len(), |at| index + at);
    start..end
}

fn is_between_digits(text: &str, index: usize) -> bool {
    let is_digit = |character: char| character.is_ascii_digit();
    cut::until(text, index).ends_with(is_digit) && cut::since(text, index).chars().nth(1).is_some_and(is_digit)
}
