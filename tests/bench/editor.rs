//! How long an editor waits while one types: `cargo bench --bench editor`. One character is typed in a sheet of 1000
//! lines, a thousand times; from telling the built program of each until its troubles and all hints have come. Then
//! 100 000 changes of a sheet of 26 lines, and the memory that the program holds before and after.
//!
//! It may take 8 ms at the median and 16 ms at the 99th percentile.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a measurement that fails has none to give")]

#[allow(dead_code, reason = "the tests say more with it")]
#[path = "../editor/client.rs"]
mod client;

use client::Client;
use serde_json::{Value, json};
use std::time::{Duration, Instant};

const THOUSAND: &str = include_str!("thousand.worksheet");
const GLANCE: &str = include_str!("glance.worksheet");
const URI: &str = "untitled:typed";
const EDITS: usize = 1000;
const MANY_EDITS: usize = 100_000;

fn main() {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let is_wanted = |word: &str| words.is_empty() || words.iter().any(|own| own == word);
    if is_wanted("typing") {
        typing();
    }
    if is_wanted("memory") {
        memory();
    }
}

/// A place in the text where a character may be typed: a line and a column of plain ASCII.
struct Typist {
    version: i32,
    lines: Vec<usize>,
}

impl Typist {
    fn of(text: &str) -> Self {
        let lines: Vec<usize> = text
            .lines()
            .enumerate()
            .filter(|(_, line)| line.len() > 1 && line.is_ascii())
            .map(|(number, _)| number)
            .collect();
        Self { version: 1, lines }
    }

    /// Types a character at the end of a line, and by the next call takes it away again.
    fn type_one(&mut self, client: &mut Client, text: &str) {
        let number = usize::try_from(self.version - 1).unwrap() / 2 * 37 % self.lines.len();
        let line = self.lines[number];
        let end = text.lines().nth(line).unwrap().len();
        let is_typed = self.version % 2 == 0;
        let from = json!({"line": line, "character": end});
        let to = json!({"line": line, "character": end + usize::from(is_typed)});
        self.version += 1;
        client.change(URI, self.version, Some(json!({"start": from, "end": to})), if is_typed { "" } else { "5" });
    }
}

fn shown(client: &mut Client, version: i32) -> usize {
    let everything = json!({"start": {"line": 0, "character": 0}, "end": {"line": 100_000, "character": 0}});
    let id = client.request("textDocument/inlayHint", json!({"textDocument": {"uri": URI}, "range": everything}));
    let hints = client.answer(id)["result"].as_array().map_or(0, Vec::len);
    client.wait(|message: &Value| message["params"]["version"] == version);
    hints
}

fn typing() {
    let mut client = Client::begun(&json!({}));
    client.open(URI, THOUSAND);
    assert!(shown(&mut client, 1) > 100, "there is something to show");
    let mut typist = Typist::of(THOUSAND);
    let mut took: Vec<Duration> = Vec::with_capacity(EDITS);
    for _ in 0..EDITS {
        let start = Instant::now();
        typist.type_one(&mut client, THOUSAND);
        shown(&mut client, typist.version);
        took.push(start.elapsed());
    }
    client.end();
    took.sort_unstable();
    let milliseconds = |share: usize| took[EDITS * share / 100].as_secs_f64() * 1000.0;
    println!(
        "a character typed in 1000 lines, to troubles and hints: median {:.2} ms (may take 8), 99th percentile {:.2} ms (16)",
        milliseconds(50),
        milliseconds(99)
    );
}

fn memory() {
    let mut client = Client::begun(&json!({}));
    client.open(URI, GLANCE);
    let mut typist = Typist::of(GLANCE);
    let mut held = Vec::new();
    for number in 0..=MANY_EDITS {
        typist.type_one(&mut client, GLANCE);
        shown(&mut client, typist.version);
        if number % (MANY_EDITS / 10) == 1000 {
            held.extend(client.memory());
        }
    }
    client.end();
    println!("KiB held after 1000, 11 000, … changes of 100 000: {held:?}");
}
