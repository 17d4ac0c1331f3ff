//! The editor's server and what is typed into it: whatever messages come, it answers each, and what it then knows of a
//! worksheet is what it knows of one that is opened with the same text at once.
//!
//! A text is a worksheet, then the line [`MESSAGES`], then a message a line: `change 3 9 text` puts a text in the place of
//! those bytes, `hover 12` asks at that byte, `save`, `close` and `open` say what they do; any other line is sent as it is.

#![allow(dead_code, reason = "of the server only what takes and gives messages is called here")]

#[path = "../../src/commands/editor/client.rs"]
mod client;
#[path = "../../src/commands/editor/convert.rs"]
mod convert;
#[path = "../../src/commands/editor/documents.rs"]
mod documents;
#[path = "../../src/commands/editor/files.rs"]
mod files;
#[path = "../../src/commands/editor/frames.rs"]
mod frames;
#[path = "../../src/commands/editor/lifecycle.rs"]
mod lifecycle;
#[path = "../../src/commands/editor/positions.rs"]
mod positions;
#[path = "../../src/commands/editor/requests.rs"]
mod requests;

use super::MESSAGES;
use anyhow::{Result, ensure};
use frames::Incoming;
use lifecycle::Server;
use lsp_server::Message;
use serde_json::{Value, json};

/// The worksheet, which stands in no folder.
const NAME: &str = "untitled:sheet.worksheet";

/// What can be asked of a place.
const PLACES: [(&str, &str); 5] = [
    ("hover", "textDocument/hover"),
    ("complete", "textDocument/completion"),
    ("define", "textDocument/definition"),
    ("refer", "textDocument/references"),
    ("rename", "textDocument/rename"),
];

/// What can be asked of the whole worksheet.
const WHOLE: [&str; 5] = [
    "textDocument/semanticTokens/full",
    "textDocument/documentSymbol",
    "textDocument/foldingRange",
    "textDocument/formatting",
    "textDocument/inlayHint",
];

/// A server, and the text that its client has before it.
struct Typing {
    server: Server,
    text: String,
    is_open: bool,
    version: i32,
    counts_bytes: bool,
    asked: i64,
    /// The troubles last told of the worksheet.
    told: Value,
}

/// Whether that holds of a worksheet and what is typed into it.
pub fn holds(bytes: &[u8]) -> Result<()> {
    let whole = String::from_utf8_lossy(bytes).replace("\r\n", "\n").replace('\r', "");
    let (sheet, messages) = whole.split_once(MESSAGES).unwrap_or((&whole, ""));
    let counts_bytes = whole.len().is_multiple_of(2);
    let mut typing = Typing::begin(sheet, counts_bytes);
    for line in messages.lines() {
        typing.take(line)?;
    }
    if !typing.is_open || typing.server.ended().is_some() {
        return Ok(());
    }
    let mut fresh = Typing::begin(&typing.text.clone(), counts_bytes);
    let (found, expected) = (typing.knows()?, fresh.knows()?);
    ensure!(
        found == expected,
        "typed, it is\n{found:#}\n--- and opened at once\n{expected:#}\n--- of\n{}",
        typing.text
    );
    Ok(())
}

impl Typing {
    fn begin(text: &str, counts_bytes: bool) -> Self {
        let server = Server::new();
        let mut typing = Self {
            server,
            text: text.to_owned(),
            is_open: false,
            version: 0,
            counts_bytes,
            asked: 0,
            told: Value::Null,
        };
        let encodings = if counts_bytes { json!(["utf-8"]) } else { json!(["utf-16"]) };
        let capabilities = json!({"general": {"positionEncodings": encodings}});
        typing.send(
            &json!({"jsonrpc": "2.0", "id": 0, "method": "initialize", "params": {"capabilities": capabilities}}),
        );
        typing.tell("initialized", json!({}));
        typing.open();
        typing
    }

    /// Sends a message as it comes over a stream, and takes what comes back.
    fn send(&mut self, message: &Value) -> Vec<Value> {
        self.send_text(&message.to_string())
    }

    fn send_text(&mut self, message: &str) -> Vec<Value> {
        let framed = format!("Content-Length: {}\r\n\r\n{message}", message.len());
        let mut stream = framed.as_bytes();
        let mut answers = Vec::new();
        while let Ok(Some(incoming)) = frames::read(&mut stream) {
            if let Incoming::Message(message) = incoming {
                self.server.take(message);
            }
            while self.server.publish_next() {}
            answers.extend(self.server.outgoing());
        }
        answers.into_iter().filter_map(|answer| self.answer(answer)).collect()
    }

    /// An answer's result; troubles that are told are kept.
    fn answer(&mut self, answer: Message) -> Option<Value> {
        match answer {
            Message::Response(response) => Some(response.response_result.unwrap_or_else(|error| json!(error.message))),
            Message::Notification(told) if told.params["uri"] == NAME => {
                self.told = told.params["diagnostics"].clone();
                None
            }
            _ => None,
        }
    }

    fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    /// Asks for something, which is answered once.
    fn ask(&mut self, method: &str, params: Value) -> Result<Value> {
        self.asked += 1;
        let answers = self.send(&json!({"jsonrpc": "2.0", "id": self.asked, "method": method, "params": params}));
        ensure!(answers.len() == 1, "{method} has {} answers", answers.len());
        Ok(answers.into_iter().next().unwrap_or_default())
    }

    fn open(&mut self) {
        self.version += 1;
        let document = json!({"uri": NAME, "languageId": "worksheet", "version": self.version, "text": self.text});
        self.tell("textDocument/didOpen", json!({"textDocument": document}));
        self.is_open = true;
    }

    fn take(&mut self, line: &str) -> Result<()> {
        let mut words = line.splitn(4, ' ');
        let what = words.next().unwrap_or_default();
        let mut place = || words.next().and_then(|word| word.parse::<usize>().ok()).unwrap_or_default();
        match what {
            "change" => {
                let (one, other) = (place(), place());
                self.change(one, other, &words.next().unwrap_or_default().replace("\\n", "\n"));
            }
            "save" => self.tell("textDocument/didSave", json!({"textDocument": {"uri": NAME}})),
            "close" => {
                self.tell("textDocument/didClose", json!({"textDocument": {"uri": NAME}}));
                self.is_open = false;
            }
            "open" => self.open(),
            what => match PLACES.iter().find(|(word, _)| *word == what) {
                Some((_, method)) => {
                    let position = self.position(place());
                    let name = words.next().unwrap_or("name");
                    let context = json!({"includeDeclaration": true});
                    let document = json!({"uri": NAME});
                    let params =
                        json!({"textDocument": document, "position": position, "newName": name, "context": context});
                    self.ask(method, params)?;
                }
                None => {
                    // It may say what the text becomes, which is not followed here.
                    self.is_open &=
                        !line.contains("didChange") && !line.contains("didOpen") && !line.contains("didClose");
                    self.send_text(line);
                }
            },
        }
        Ok(())
    }

    fn change(&mut self, one: usize, other: usize, text: &str) {
        if !self.is_open {
            return;
        }
        let (one, other) = (self.byte(one), self.byte(other));
        let (start, end) = (one.min(other), one.max(other));
        let range = json!({"start": self.position(start), "end": self.position(end)});
        self.version += 1;
        let document = json!({"uri": NAME, "version": self.version});
        self.text.replace_range(start..end, text);
        let changes = json!([{"range": range, "text": text}]);
        self.tell("textDocument/didChange", json!({"textDocument": document, "contentChanges": changes}));
    }

    /// A place in the text at which a character begins.
    fn byte(&self, place: usize) -> usize {
        self.text.floor_char_boundary(place % (self.text.len() + 1))
    }

    /// The same as the protocol says it.
    fn position(&self, place: usize) -> Value {
        let before = &self.text[..self.byte(place)];
        let line = before.rsplit('\n').next().unwrap_or_default();
        let character = if self.counts_bytes { line.len() } else { line.encode_utf16().count() };
        json!({"line": before.matches('\n').count(), "character": character})
    }

    /// All that it knows of the worksheet.
    fn knows(&mut self) -> Result<Value> {
        let mut known = vec![self.told.clone()];
        let everything = json!({"start": {"line": 0, "character": 0}, "end": self.position(self.text.len())});
        let options = json!({"tabSize": 4, "insertSpaces": true});
        for method in WHOLE {
            let document = json!({"uri": NAME});
            known.push(self.ask(method, json!({"textDocument": document, "range": everything, "options": options}))?);
        }
        for at in [self.text.len() / 3, self.text.len() / 2] {
            let position = self.position(at);
            for (_, method) in &PLACES[..4] {
                let context = json!({"includeDeclaration": true});
                let params = json!({"textDocument": {"uri": NAME}, "position": position, "context": context});
                known.push(self.ask(method, params)?);
            }
        }
        Ok(Value::Array(known))
    }
}
