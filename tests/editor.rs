//! `catchwork editor` over the real protocol. What is shown where stands in `tests/editor/cases`: each case is a
//! worksheet, with `‸` where the cursor is, and below `---` and what is asked what an editor then has.
//!
//! `UPDATE=1 cargo test --test editor` writes the answers anew; every line of the difference is then to be read.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "a test fails by panicking"
)]

#[path = "editor/asked.rs"]
mod asked;
#[path = "editor/case.rs"]
mod case;
#[path = "editor/client.rs"]
mod client;
#[path = "editor/day.rs"]
mod day;
#[path = "editor/edits.rs"]
mod edits;
#[path = "editor/files.rs"]
mod files;
#[path = "editor/lifecycle.rs"]
mod lifecycle;
#[path = "editor/meanings.rs"]
mod meanings;
#[path = "editor/outside.rs"]
mod outside;
#[path = "clock/wrong.rs"]
mod wrong;

use std::path::Path;

/// Every case, by a client that counts in bytes and by one that counts in units of UTF-16: both have the same answers.
#[test]
fn every_case_is_answered_as_it_stands() {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/editor/cases");
    let mut files: Vec<_> = std::fs::read_dir(folder).unwrap().map(|entry| entry.unwrap().path()).collect();
    files.sort();
    assert!(files.len() > 5, "only {} files of cases", files.len());
    let mut wrong = Vec::new();
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        let cases = case::read(&text);
        let mut found = String::new();
        for case in &cases {
            let (bytes, units) = (asked::answered(case, "utf-8"), asked::answered(case, "utf-16"));
            assert_eq!(bytes.to_string(), units.to_string(), "{}: {}", file.display(), case.name);
            found += &bytes.to_string();
        }
        if found.trim_end() == text.trim_end() {
            continue;
        }
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(&file, &found).unwrap();
        } else {
            wrong.push(difference(&file.display().to_string(), &text, &found));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}

/// The first line that is otherwise, with those around it.
fn difference(file: &str, wanted: &str, found: &str) -> String {
    let at = wanted.lines().zip(found.lines()).take_while(|(wanted, found)| wanted == found).count();
    let around = |text: &str| text.lines().skip(at.saturating_sub(3)).take(12).collect::<Vec<_>>().join("\n");
    format!("{file}:{}\n--- as it stands\n{}\n--- as it comes out\n{}\n", at + 1, around(wanted), around(found))
}
