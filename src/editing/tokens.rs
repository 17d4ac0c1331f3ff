//! What each stretch of a text is, for an editor that colours by what it is told: names that stand for nothing are left
//! out, so that a misspelt one can be seen before its trouble is read.

use super::meanings::Meaning;
use super::pieces::{Role, pieces};
use super::sheet::Sheet;
use crate::text::Place;

/// What a stretch is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Token {
    /// A title, a section, a label.
    Heading,
    /// A note, a remark, advice.
    Comment,
    /// A caution.
    Caution,
    /// The name of an entry, of a result, of a table's column.
    Value,
    /// The name of a table, of another worksheet.
    Whole,
    /// A function.
    Function,
    /// A figure, a date, yes or no, a blank.
    Number,
    /// A unit.
    Unit,
    /// What an amount is of.
    Substance,
    /// Quoted text.
    Text,
}

/// A stretch of a text and what it is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Coloured {
    /// Where; none reaches into another.
    pub place: Place,
    /// What it is.
    pub token: Token,
    /// Whether something is given its name here.
    pub is_given: bool,
}

/// What the stretches of a worksheet are, in the order of their places.
pub fn tokens(sheet: &Sheet) -> Vec<Coloured> {
    let meanings = sheet.meanings();
    let uses = sheet.uses(&meanings);
    let mut tokens: Vec<Coloured> = Vec::new();
    for piece in pieces(&sheet.source, &sheet.parsed()) {
        let token = match piece.role {
            Role::Heading | Role::Label => Token::Heading,
            Role::Note | Role::Remark => Token::Comment,
            Role::Caution => Token::Caution,
            Role::Entry | Role::Result => Token::Value,
            Role::Table => Token::Whole,
            Role::Function => Token::Function,
            Role::Number | Role::Constant => Token::Number,
            Role::Unit => Token::Unit,
            Role::Substance => Token::Substance,
            Role::Text => Token::Text,
            Role::Sheet | Role::Name => {
                let found = uses.names.iter().find(|own| own.place == piece.place);
                match found.map(|found| &found.means) {
                    Some(Meaning::Table(_) | Meaning::Sheet(_)) => Token::Whole,
                    Some(_) => Token::Value,
                    None if is_constant(sheet.source.slice(piece.place)) => Token::Number,
                    None => continue,
                }
            }
        };
        let is_given = matches!(piece.role, Role::Entry | Role::Result | Role::Table);
        if tokens.last().is_none_or(|last| last.place.end <= piece.place.start) {
            tokens.push(Coloured { place: piece.place, token, is_given });
        }
    }
    tokens
}

/// Names that the notation itself gives.
fn is_constant(name: &str) -> bool {
    ["pi", "today", "yes", "no", "row"].iter().any(|own| name.eq_ignore_ascii_case(own))
}
