//! Statements: the lines of a text put together with their continuations, each with the role that its first
//! characters give it.

use super::cut;
use super::place::Place;

/// What a line is, by its first characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// `#`
    Title,
    /// `##`
    Section,
    /// `--`
    Note,
    /// `!`
    Caution,
    /// `?`
    Check,
    /// `|`
    Row,
    /// `~`
    Chart,
    /// A digit: `1 scoop = 2.4 oz`
    Crew,
    /// `from "…"`
    Fills,
    /// A letter: an entry, a result or a drawn worksheet.
    Named,
    /// None of these.
    Unknown,
    /// A continuation with nothing to continue.
    Stray,
}

impl Role {
    /// Whether its text is prose to the end of the line.
    pub fn is_prose(self) -> bool {
        matches!(self, Self::Title | Self::Section | Self::Note | Self::Caution)
    }
}

/// A statement as written: its role and where it stands, continuations and all.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Written {
    /// Its role.
    pub role: Role,
    /// From its first character to its last that is no white space.
    pub place: Place,
    /// Whether it runs over several lines.
    pub is_continued: bool,
}

/// Puts the lines of a text together into statements, in order.
pub fn statements(text: &str, source: u16) -> Vec<Written> {
    let mut statements: Vec<Written> = Vec::new();
    let mut is_open = false;
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        // Only these count as white space: a non-breaking space is no indentation, it is a trouble.
        let content = line.trim_end_matches([' ', '\t', '\r', '\n']);
        let body = content.trim_start_matches([' ', '\t']);
        let indent = content.len() - body.len();
        let place = Place::new(source, start + indent, start + content.len());
        start += line.len();
        if body.is_empty() {
            is_open = false;
        } else if is_indented(cut::until(content, indent)) {
            match statements.last_mut().filter(|_| is_open) {
                Some(last) => {
                    last.place = last.place.to(place);
                    last.is_continued = true;
                }
                // The lines right beneath it stray with it: they are one mistake.
                None => {
                    statements.push(Written { role: Role::Stray, place, is_continued: false });
                    is_open = true;
                }
            }
        } else {
            statements.push(Written { role: role(body), place, is_continued: false });
            is_open = true;
        }
    }
    statements
}

/// Two blanks or more, or a tab: the line continues the one above.
fn is_indented(indent: &str) -> bool {
    indent.len() >= 2 || indent.starts_with('\t')
}

/// The role of a line whose first character is no white space.
pub fn role(line: &str) -> Role {
    let mut characters = line.chars();
    match (characters.next(), characters.next()) {
        (Some('#'), Some('#')) => Role::Section,
        (Some('#'), _) => Role::Title,
        (Some('-'), Some('-')) => Role::Note,
        (Some('!'), _) => Role::Caution,
        (Some('?'), _) => Role::Check,
        (Some('|'), _) => Role::Row,
        (Some('~'), _) => Role::Chart,
        (Some('0'..='9'), _) => Role::Crew,
        (Some(first), _) if first.is_alphabetic() => {
            let is_fills = line.get(..4).is_some_and(|word| word.eq_ignore_ascii_case("from"))
                && line.get(4..).is_some_and(|rest| rest.trim_start().starts_with(['"', '“']));
            if is_fills { Role::Fills } else { Role::Named }
        }
        _ => Role::Unknown,
    }
}
