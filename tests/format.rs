//! `catchwork format` and the layout behind it: what it comes to on sheets kept for people to read, that a sheet laid
//! out says the same and stays as it is when laid out again, and the command's manners with files.
//!
//! `UPDATE=1 cargo test --test format` writes the kept sheets as they come out.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

#[path = "format/kept.rs"]
mod kept;
#[path = "format/meaning.rs"]
mod meaning;
#[path = "format/noise.rs"]
mod noise;
#[path = "format/process.rs"]
mod process;
#[path = "format/sheets.rs"]
mod sheets;

use catchwork::Request;
use catchwork::book::Book;
use catchwork::quantity::Moment;
use catchwork::syntax::layout::layout;
use catchwork::text::Source;
use catchwork::text::crew_folder::OnDisk;
use serde_json::Value;
use std::path::Path;
use std::sync::Arc;

/// A text laid out, where it can be.
fn laid_out(text: &str) -> Option<String> {
    layout(&Source::new("sheet.worksheet", text.as_bytes().to_vec()).ok()?)
}

/// All that a worksheet at a path comes to, places in its text and the words of troubles aside.
fn said(text: &str, path: &Path) -> Value {
    let today = Moment::parse("2026-04-12").unwrap_or_else(|error| panic!("{error:?}"));
    let request = Request { set: Vec::new(), today, colour: false };
    let (folder, within) = OnDisk::of(path).unwrap();
    let report = Book::new(Arc::new(folder), request).report("sheet", &within, text.as_bytes().to_vec());
    let line = catchwork::report::json::line(&report).unwrap_or_else(|error| panic!("{error}"));
    meaning::meaning(&line).unwrap_or_else(|error| panic!("{error}"))
}

/// What holds for every text: one without troubles can be laid out, and what is laid out says the same and stays so.
fn check(text: &str, path: &Path) -> Result<(), String> {
    let before = said(text, path);
    let Some(once) = laid_out(text) else {
        let is_refused = before["troubles"].as_array().is_some_and(|troubles| !troubles.is_empty());
        return if is_refused { Ok(()) } else { Err(format!("it cannot be laid out:\n{text}")) };
    };
    let twice = laid_out(&once).ok_or_else(|| format!("laid out, it can no longer be read:\n{once}"))?;
    if once != twice {
        return Err(format!("laid out twice it is another text:\n{once}\n--- became ---\n{twice}"));
    }
    let (before, after) = (format!("{before:#}"), format!("{:#}", said(&once, path)));
    let differs = before.lines().zip(after.lines()).find(|(before, after)| before != after);
    match before == after {
        true => Ok(()),
        false => Err(format!("laid out it says something else:\n{once}\n{differs:?}")),
    }
}
