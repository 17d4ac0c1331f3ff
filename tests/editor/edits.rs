//! Texts as they are typed: whatever is changed, what is shown is what opening the whole text shows.

use crate::client::Client;
use catchwork::editing::marks::marks;
use catchwork::editing::{Desk, Sheet, hints};
use catchwork::quantity::Moment;
use catchwork::report::json;
use fastrand::Rng;
use serde_json::{Value, json as value};

const SHEETS: [&str; 3] = [
    include_str!("../bench/glance.worksheet"),
    include_str!("../../worksheets/example/calibration/green-1-wren-strip.worksheet"),
    include_str!("../../worksheets/methods/tank-mix.worksheet"),
];

/// What is typed at random: pieces that make and unmake statements.
const PIECES: [&str; 24] = [
    "",
    "\n",
    "\n\n",
    "  ",
    "\t",
    " ",
    "a",
    "2",
    "½",
    "🌿",
    "|",
    ":",
    "=",
    "\"",
    "[ft]",
    " -- ",
    "# ",
    "?",
    "~",
    "\r\n",
    "from \"x\"\n",
    "length : 3 ft\n",
    "| t | a : ft |\n| r | 2 |\n",
    "\u{feff}",
];

fn shown(sheet: &Sheet) -> String {
    format!("{}\n{:?}\n{:?}", json::line(&sheet.report).unwrap(), marks(sheet), hints::hints(sheet))
}

fn whole(today: Moment, text: &str) -> String {
    let mut desk = Desk::new(today);
    desk.open("sheet", None, text.to_owned());
    desk.sheet("sheet").map_or_else(|none| format!("{none:?}"), |sheet| shown(&sheet))
}

/// Changes a text at random, as typing, deleting, pasting and moving lines do.
fn changed(random: &mut Rng, text: &mut String) {
    let cut = |random: &mut Rng, text: &str| {
        let at = random.usize(0..=text.len());
        (0..=at).rev().find(|at| text.is_char_boundary(*at)).unwrap_or(0)
    };
    let start = cut(random, text);
    let length = if random.bool() { 0 } else { random.usize(0..60) };
    let end = (start + length).min(text.len());
    let end = (start..=end).rev().find(|end| text.is_char_boundary(*end)).unwrap_or(start);
    let piece = match random.usize(0..8) {
        0 => {
            let (from, to) = (cut(random, text), cut(random, text));
            text.get(from.min(to)..from.max(to).min(from.min(to) + 400)).unwrap_or("").to_owned()
        }
        _ => PIECES[random.usize(0..PIECES.len())].to_owned(),
    };
    text.replace_range(start..end, &piece);
}

#[test]
fn what_is_shown_after_a_change_is_what_the_whole_text_shows() {
    let today = Moment::parse("2026-04-12").unwrap_or_else(|_| panic!("a day"));
    let mut random = Rng::with_seed(9);
    for sheet in SHEETS {
        let mut text = sheet.to_owned();
        let mut desk = Desk::new(today);
        desk.open("sheet", None, text.clone());
        for step in 0..300 {
            changed(&mut random, &mut text);
            if step % 60 == 59 {
                text = sheet.to_owned();
            }
            desk.change("sheet", text.clone());
            let found = desk.sheet("sheet").map_or_else(|none| format!("{none:?}"), |sheet| shown(&sheet));
            assert_eq!(found, whole(today, &text), "step {step}:\n{text}");
        }
    }
}

/// The same over the protocol, each change told as a range in the client's own counting.
#[test]
fn changes_of_ranges_come_to_the_text_that_the_client_has() {
    for encoding in ["utf-8", "utf-16"] {
        let mut random = Rng::with_seed(10);
        let mut client = Client::begun(&value!({"general": {"positionEncodings": [encoding]}}));
        let mut text = SHEETS[1].replace('\u{feff}', "");
        client.open("untitled:a", &text);
        for version in 2..120 {
            let before = text.clone();
            changed(&mut random, &mut text);
            text = text.replace('\u{feff}', "");
            let same = before.bytes().zip(text.bytes()).take_while(|(before, now)| before == now).count();
            let start =
                (0..=same).rev().find(|at| before.is_char_boundary(*at) && text.is_char_boundary(*at)).unwrap_or(0);
            let range =
                value!({"start": position(&before, start, encoding), "end": position(&before, before.len(), encoding)});
            client.change("untitled:a", version, Some(range), &text[start..]);
            if version % 7 == 0 {
                client.open("untitled:b", &text);
                let (again, whole) = (client.hints("untitled:a"), client.hints("untitled:b"));
                assert_eq!(again, whole, "{encoding}, version {version}:\n{text}");
                client.tell("textDocument/didClose", value!({"textDocument": {"uri": "untitled:b"}}));
            }
        }
        client.end();
    }
}

/// A position as the protocol counts: a carriage return alone ends a line too, and one within an ending stands for the
/// end of its line.
fn position(text: &str, byte: usize, encoding: &str) -> Value {
    let bytes = text.as_bytes();
    let byte = if byte > 0 && bytes[byte - 1] == b'\r' && bytes.get(byte) == Some(&b'\n') { byte - 1 } else { byte };
    let ends = |at: &usize| bytes[*at] == b'\n' || bytes[*at] == b'\r' && bytes.get(at + 1) != Some(&b'\n');
    let line_ends: Vec<usize> = (0..byte).filter(ends).collect();
    let start = line_ends.last().map_or(0, |end| end + 1);
    let before = &text[start..byte];
    let character = if encoding == "utf-8" { before.len() } else { before.encode_utf16().count() };
    value!({"line": line_ends.len(), "character": character})
}

/// Typing for an afternoon leaves nothing behind: 2000 changes hold no more than the first hundred did. (The bench
/// `editor` does it for 100 000.)
#[test]
fn memory_does_not_grow_with_changes() {
    let mut client = Client::begun(&value!({}));
    let sheet = include_str!("../bench/glance.worksheet");
    client.open("untitled:a", sheet);
    let mut after_hundred = None;
    for number in 0..2000 {
        let text = format!("{sheet}added {number} = {number} ft * 2 [ft]\nspare from \"none-{number}.worksheet\"\n");
        client.change("untitled:a", number + 2, None, &text);
        client.hints("untitled:a");
        client.said.clear();
        if number == 100 {
            after_hundred = client.memory();
        }
    }
    if let (Some(before), Some(now)) = (after_hundred, client.memory()) {
        assert!(now < before + 4096, "{before} KiB after a hundred changes, {now} KiB after two thousand");
    }
    client.end();
}
