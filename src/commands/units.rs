//! `catchwork units`: the vocabulary, each unit with its synonyms, its exact size and the source of it.

use super::Status;
use super::args::Units;
use anyhow::{Result, anyhow};
use catchwork::units::describe;
use catchwork::units::vocabulary::{self, Entry, Lookup};
use std::io::Write;

/// Runs the command.
pub fn run(call: &Units) -> Result<Status> {
    let word = call.word.join(" ");
    let entries = found(&word);
    if entries.is_empty() {
        let near = vocabulary::nearest(&word).map(|near| format!("; the nearest is `{near}`")).unwrap_or_default();
        return Err(anyhow!("`{word}` is no unit of the vocabulary{near}"));
    }
    let mut stream = std::io::stdout().lock();
    for entry in entries {
        writeln!(stream, "{}", described(entry))?;
    }
    Ok(Status::Worked)
}

/// All entries, the one a word means, or those that hold it.
fn found(word: &str) -> Vec<&'static Entry> {
    let all = vocabulary::entries().iter();
    if word.is_empty() {
        return all.collect();
    }
    if let Lookup::Unit(parts) = vocabulary::lookup(word) {
        return parts.iter().filter_map(|(index, _)| vocabulary::entry(*index)).collect();
    }
    let word = word.to_lowercase();
    all.filter(|entry| {
        entry.symbol.to_lowercase().contains(&word) || entry.synonyms.iter().any(|synonym| synonym.contains(&word))
    })
    .collect()
}

fn described(entry: &Entry) -> String {
    let si = describe::in_si(&entry.dimension(), &[]);
    let mut lines = vec![format!("{} = {} {si}", entry.symbol, entry.exact).trim_end().to_owned()];
    if !entry.exact_zero.is_empty() {
        lines.push(format!("  its zero: {} K above absolute zero", entry.exact_zero));
    }
    if !entry.synonyms.is_empty() {
        lines.push(format!("  also: {}", entry.synonyms.join(", ")));
    }
    lines.push(format!("  source: {}", entry.source));
    lines.join("\n")
}
