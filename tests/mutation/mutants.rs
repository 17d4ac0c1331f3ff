//! The list of mutants, as `cargo mutants --list --json` prints it.

use anyhow::{Context, Result};
use serde::Deserialize;
use std::path::Path;

/// A change of the program that a test should notice.
#[derive(Deserialize)]
pub struct Mutant {
    /// Its place in the list, by which the switch knows it.
    #[serde(skip)]
    pub number: usize,
    pub file: String,
    pub genre: Genre,
    /// What stands in the place of `span`.
    pub replacement: String,
    span: Span,
}

impl Mutant {
    /// Where what it replaces begins, in bytes.
    pub fn start(&self, lines: &[usize], text: &str) -> usize {
        let Some(&line) = lines.get(self.span.start.line - 1) else { return text.len() };
        let before = text[line..].chars().take(self.span.start.column - 1);
        line + before.map(char::len_utf8).sum::<usize>()
    }
}

#[derive(Clone, Copy, Deserialize, PartialEq, Eq, PartialOrd, Ord, Debug)]
pub enum Genre {
    FnValue,
    BinaryOperator,
    UnaryOperator,
    MatchArm,
    MatchArmGuard,
    StructField,
}

#[derive(Deserialize)]
struct Span {
    start: At,
}

/// A place in a text, both counted from 1, columns in characters.
#[derive(Deserialize)]
struct At {
    line: usize,
    column: usize,
}

pub fn read(path: &Path) -> Result<Vec<Mutant>> {
    let text = std::fs::read_to_string(path).with_context(|| path.display().to_string())?;
    let mut mutants: Vec<Mutant> = serde_json::from_str(&text)?;
    for (number, mutant) in mutants.iter_mut().enumerate() {
        mutant.number = number;
    }
    Ok(mutants)
}
