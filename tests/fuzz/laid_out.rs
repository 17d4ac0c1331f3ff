//! A text laid out says the same, and laid out again is itself.

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
    let mut said = serde_json::from_str(&json::line(&report(bytes))?)?;
    without_places(&mut said);
    // Blanks are told in the order of their lines, and a row of several lines becomes one of a single line.
    if let Some(waiting) = said["waiting"].as_array_mut() {
        waiting.sort_by_key(|blank| blank["name"].to_string());
    }
    Ok(said)
}

fn without_places(value: &mut Value) {
    match value {
        Value::Object(fields) => {
            for place in ["line", "column", "length", "fingerprint", "says", "instead"] {
                fields.remove(place);
            }
            // These quote the worksheet's own writing, whose spacing is what a layout is about.
            for quoted in ["compared", "shown"] {
                if let Some(Value::String(quoted)) = fields.get_mut(quoted) {
                    quoted.retain(|character| !character.is_whitespace());
                }
            }
            fields.values_mut().for_each(without_places);
        }
        Value::Array(items) => items.iter_mut().for_each(without_places),
        _ => {}
    }
}
