//! A text laid out says the same, and laid out again is itself.

#[path = "../format/meaning.rs"]
mod meaning;

use super::report;
use anyhow::{Context, Result, ensure};
use catchwork::report::json;
use catchwork::syntax::layout::layout;
use catchwork::text::Source;
use serde_json::Value;

/// Whether that holds of a text; one without troubles must be able to be laid out.
pub fn holds(bytes: &[u8]) -> Result<()> {
    let Ok(source) = Source::new("sheet.worksheet", bytes.to_vec()) else { return Ok(()) };
    let Some(once) = layout(&source) else {
        ensure!(!report(bytes).troubles.is_empty(), "what is in no trouble is not laid out");
        return Ok(());
    };
    let again = Source::new("sheet.worksheet", once.clone().into_bytes());
    let twice = again.ok().and_then(|source| layout(&source)).context("laid out, it can no longer be read")?;
    ensure!(once == twice, "laid out twice, it is another text:\n{once}\n--- became ---\n{twice}");
    let (before, after) = (said(bytes)?, said(once.as_bytes())?);
    ensure!(before == after, "laid out, it says something else:\n{once}\n{before:#}\n--- became ---\n{after:#}");
    Ok(())
}

/// All that a text comes to, places in it and the words of troubles aside.
fn said(bytes: &[u8]) -> Result<Value> {
    Ok(meaning::meaning(&json::line(&report(bytes))?)?)
}
