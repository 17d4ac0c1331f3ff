//! What the grammar alone takes: a parser of its own from the same rules, which reads each statement and builds nothing.
//! Cutting the text into statements, and rows into cells, is done before. It looks no name up.

use anyhow::{Context, Result, bail};
use catchwork::text::lines::{self, Role};
use pest::Parser;

pub use grammar::Rule;

/// What is made of `grammar/worksheet.pest`.
#[allow(missing_docs, reason = "the derive writes the rules without docs")]
mod grammar {
    /// The grammar.
    #[derive(pest_derive::Parser)]
    #[grammar = "grammar/worksheet.pest"]
    pub struct Grammar;
}

/// A stretch of text and the rule that reads it.
pub type Piece<'a> = (Rule, &'a str);

/// What of a text the grammar reads.
///
/// # Errors
/// Where it cannot read a piece: a floor that leaves out work would be too low.
pub fn pieces(text: &str) -> Result<Vec<Piece<'_>>> {
    let mut pieces = Vec::new();
    let mut is_head = true;
    for written in lines::statements(text, 0) {
        let statement = text.get(written.place.range()).context("a statement is no text")?;
        match written.role {
            Role::Row => pieces.extend(cells(statement, is_head)),
            Role::Named => pieces.push((Rule::named, statement)),
            Role::Check => pieces.push((Rule::check, statement)),
            role if role.is_prose() => {}
            role => bail!("no statement of the sheet is a {role:?}"),
        }
        is_head = written.role != Role::Row;
    }
    for (rule, piece) in &pieces {
        grammar::Grammar::parse(*rule, piece).map_err(|error| anyhow::anyhow!("{piece}: {error}"))?;
    }
    Ok(pieces)
}

/// Reads them all, and tells how many tokens that made.
pub fn read_all(pieces: &[Piece<'_>]) -> usize {
    pieces.iter().filter_map(|(rule, piece)| grammar::Grammar::parse(*rule, piece).ok()).map(|pairs| pairs.len()).sum()
}

/// The cells of a row; no text of the sheet holds a bar. A label is no value: the grammar does not read it.
fn cells(row: &str, is_head: bool) -> Vec<Piece<'_>> {
    let closed = row.rsplit_once('|').map_or(row, |(cells, _)| cells);
    let mut cells = closed.trim_start_matches('|').split('|').map(str::trim);
    let first = cells.next().filter(|_| is_head).map(|name| (Rule::table_cell, name));
    let rule = if is_head { Rule::column_cell } else { Rule::alone };
    first.into_iter().chain(cells.map(|cell| (rule, cell))).collect()
}
