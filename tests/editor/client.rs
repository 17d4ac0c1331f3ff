//! A client of the built program that says exactly what it is told to: one message at a time, right or wrong.

use serde_json::{Value, json};
use std::collections::VecDeque;
use std::io::{BufRead, BufReader, Write};
use std::process::{Child, ChildStdin, Command, ExitStatus, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// So long an answer is waited for.
const PATIENCE: Duration = Duration::from_secs(60);

/// The program with what it is told and what it says.
pub struct Client {
    child: Child,
    input: Option<ChildStdin>,
    output: Receiver<Value>,
    /// What it has said that nobody has asked for yet.
    pub said: VecDeque<Value>,
    next: i64,
}

impl Client {
    /// The program, to which nothing has been said.
    pub fn silent() -> Self {
        Self::among(&[])
    }

    /// The same, with variables of its own around it.
    pub fn among(variables: &[(&str, String)]) -> Self {
        let mut child = Command::new(env!("CARGO_BIN_EXE_catchwork"))
            .arg("editor")
            .envs(variables.iter().map(|(name, value)| (name, value)))
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .spawn()
            .expect("the program starts");
        let input = child.stdin.take();
        let stream = child.stdout.take().expect("it has an output");
        let (sender, output) = channel();
        std::thread::spawn(move || {
            let mut stream = BufReader::new(stream);
            while let Some(message) = read(&mut stream) {
                if sender.send(message).is_err() {
                    return;
                }
            }
        });
        Self { child, input, output, said: VecDeque::new(), next: 0 }
    }

    /// The program, begun with a client's capabilities.
    pub fn begun(capabilities: &Value) -> Self {
        let mut client = Self::silent();
        client.begin(capabilities);
        client
    }

    /// Begins as the protocol says.
    pub fn begin(&mut self, capabilities: &Value) {
        let answer = self.ask("initialize", json!({"processId": null, "rootUri": null, "capabilities": capabilities}));
        assert!(answer.get("capabilities").is_some(), "{answer}");
        self.tell("initialized", json!({}));
    }

    /// Sends bytes as they are.
    pub fn send_raw(&mut self, bytes: &[u8]) {
        let input = self.input.as_mut().expect("its input is open");
        input.write_all(bytes).expect("it listens");
        input.flush().expect("it listens");
    }

    /// Sends a message.
    pub fn send(&mut self, message: &Value) {
        self.send_raw(framed(&message.to_string()).as_bytes());
    }

    /// Tells something.
    pub fn tell(&mut self, method: &str, params: Value) {
        self.send(&json!({"jsonrpc": "2.0", "method": method, "params": params}));
    }

    /// Sends a request, and returns its number.
    pub fn request(&mut self, method: &str, params: Value) -> i64 {
        self.next += 1;
        self.send(&json!({"jsonrpc": "2.0", "id": self.next, "method": method, "params": params}));
        self.next
    }

    /// The whole answer to a request.
    pub fn answer(&mut self, id: i64) -> Value {
        self.wait(|message| message.get("id") == Some(&json!(id)) && message.get("method").is_none())
    }

    /// Asks, and returns the result.
    pub fn ask(&mut self, method: &str, params: Value) -> Value {
        let id = self.request(method, params);
        let answer = self.answer(id);
        assert!(answer.get("error").is_none(), "{method}: {answer}");
        answer["result"].clone()
    }

    /// Asks, and returns the number of the error and its words.
    pub fn refused(&mut self, method: &str, params: Value) -> (i64, String) {
        let id = self.request(method, params);
        let answer = self.answer(id);
        let error = answer.get("error").unwrap_or_else(|| panic!("{method} is answered: {answer}"));
        (error["code"].as_i64().unwrap_or(0), error["message"].as_str().unwrap_or("").to_owned())
    }

    /// The next message that is such; others are kept.
    pub fn wait(&mut self, is_it: impl Fn(&Value) -> bool) -> Value {
        if let Some(place) = self.said.iter().position(&is_it) {
            return self.said.remove(place).unwrap_or_default();
        }
        let start = Instant::now();
        loop {
            let left = PATIENCE.saturating_sub(start.elapsed());
            let message = self.output.recv_timeout(left).expect("it answers in time");
            if is_it(&message) {
                return message;
            }
            self.said.push_back(message);
        }
    }

    /// Opens a document.
    pub fn open(&mut self, uri: &str, text: &str) {
        let document = json!({"uri": uri, "languageId": "catchwork", "version": 1, "text": text});
        self.tell("textDocument/didOpen", json!({"textDocument": document}));
    }

    /// Puts another text in the place of a document's, or of a range of it.
    pub fn change(&mut self, uri: &str, version: i32, range: Option<Value>, text: &str) {
        let change = match range {
            Some(range) => json!({"range": range, "text": text}),
            None => json!({"text": text}),
        };
        let document = json!({"uri": uri, "version": version});
        self.tell("textDocument/didChange", json!({"textDocument": document, "contentChanges": [change]}));
    }

    /// The troubles of a file that are told next.
    pub fn troubles(&mut self, uri: &str) -> Vec<Value> {
        let told = self
            .wait(|message| message["method"] == "textDocument/publishDiagnostics" && message["params"]["uri"] == uri);
        told["params"]["diagnostics"].as_array().cloned().unwrap_or_default()
    }

    /// The troubles of a file once a version of it has been worked.
    pub fn troubles_of(&mut self, uri: &str, version: i32) -> Vec<Value> {
        let told = self.wait(|message| {
            message["method"] == "textDocument/publishDiagnostics"
                && message["params"]["uri"] == uri
                && message["params"]["version"] == version
        });
        told["params"]["diagnostics"].as_array().cloned().unwrap_or_default()
    }

    /// All hints of a document.
    pub fn hints(&mut self, uri: &str) -> Vec<Value> {
        let all = json!({"start": {"line": 0, "character": 0}, "end": {"line": 1_000_000, "character": 0}});
        let hints = self.ask("textDocument/inlayHint", json!({"textDocument": {"uri": uri}, "range": all}));
        hints.as_array().cloned().unwrap_or_default()
    }

    /// Ends as the protocol says.
    pub fn end(mut self) {
        assert_eq!(self.ask("shutdown", Value::Null), Value::Null);
        self.tell("exit", Value::Null);
        assert_eq!(self.ended().code(), Some(0));
    }

    /// How it ends once its input is closed.
    pub fn ended(&mut self) -> ExitStatus {
        self.input = None;
        let start = Instant::now();
        loop {
            if let Some(status) = self.child.try_wait().expect("it can be asked") {
                return status;
            }
            assert!(start.elapsed() < PATIENCE, "it does not end");
            std::thread::sleep(Duration::from_millis(5));
        }
    }

    /// The memory that it holds, in KiB, where the system tells.
    pub fn memory(&self) -> Option<u64> {
        let status = std::fs::read_to_string(format!("/proc/{}/status", self.child.id())).ok()?;
        let line = status.lines().find_map(|line| line.strip_prefix("VmRSS:"))?;
        line.split_whitespace().next()?.parse().ok()
    }
}

impl Drop for Client {
    fn drop(&mut self) {
        self.input = None;
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// A message with its length before it.
pub fn framed(message: &str) -> String {
    format!("Content-Length: {}\r\n\r\n{message}", message.len())
}

fn read(stream: &mut impl BufRead) -> Option<Value> {
    let mut length = 0;
    loop {
        let mut line = String::new();
        if stream.read_line(&mut line).ok()? == 0 {
            return None;
        }
        let line = line.trim_end();
        if line.is_empty() {
            break;
        }
        if let Some(value) = line.strip_prefix("Content-Length: ") {
            length = value.parse().ok()?;
        }
    }
    let mut bytes = vec![0; length];
    stream.read_exact(&mut bytes).ok()?;
    serde_json::from_slice(&bytes).ok()
}
