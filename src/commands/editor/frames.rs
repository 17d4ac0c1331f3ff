//! Frames: messages on a stream, each behind its length in bytes. Whatever stands on the stream, reading goes on to its
//! end.

use lsp_server::Message;
use serde_json::{Value, json};
use std::io::{self, BufRead, Read, Write};

/// The most bytes of a message: a worksheet of 4 MiB, each byte of it escaped.
const MOST_BYTES: u64 = 64 << 20;
/// The most bytes of a line of a frame's head.
const MOST_HEAD: u64 = 4096;
/// What a frame's head says the length behind.
const LENGTH: &str = "content-length:";

/// What came in.
#[derive(Debug)]
pub enum Incoming {
    /// A message.
    Message(Message),
    /// JSON that is no message, with the number or name by which the client would know an answer to it.
    NoMessage(Value),
    /// What is no JSON, or no frame.
    Broken,
}

/// The next frame; none at the end of the stream.
///
/// # Errors
/// Where the stream cannot be read.
pub fn read(stream: &mut impl BufRead) -> io::Result<Option<Incoming>> {
    let Some(length) = head(stream)? else { return Ok(None) };
    let Some(length) = length else { return Ok(Some(Incoming::Broken)) };
    if length > MOST_BYTES {
        io::copy(&mut stream.by_ref().take(length), &mut io::sink())?;
        return Ok(Some(Incoming::Broken));
    }
    let mut bytes = Vec::new();
    let read = stream.by_ref().take(length).read_to_end(&mut bytes)?;
    if u64::try_from(read).unwrap_or_default() < length {
        return Ok(None);
    }
    Ok(Some(parsed(&bytes)))
}

/// Reads a head: the length that it says, if it says one. None at the end of the stream.
fn head(stream: &mut impl BufRead) -> io::Result<Option<Option<u64>>> {
    let mut length = None;
    let mut is_empty = true;
    loop {
        let mut line = Vec::new();
        if stream.by_ref().take(MOST_HEAD).read_until(b'\n', &mut line)? == 0 {
            return Ok(None);
        }
        let line = String::from_utf8_lossy(&line);
        match line.trim() {
            "" if is_empty => {}
            "" => return Ok(Some(length)),
            line => {
                is_empty = false;
                // What is left of a broken frame may stand before it.
                let name = line.to_ascii_lowercase().rfind(LENGTH).map(|at| at + LENGTH.len());
                let value = name.and_then(|end| line.get(end..));
                length = value.map_or(length, |value| value.trim().parse().ok());
            }
        }
    }
}

fn parsed(bytes: &[u8]) -> Incoming {
    let Ok(value) = serde_json::from_slice::<Value>(bytes) else { return Incoming::Broken };
    let id = value.get("id").filter(|id| id.is_i64() || id.is_string()).cloned().unwrap_or(Value::Null);
    serde_json::from_value(value).map_or(Incoming::NoMessage(id), Incoming::Message)
}

/// Tells of something that came in and is no message.
///
/// # Errors
/// Where the stream cannot be written.
pub fn refuse(stream: &mut impl Write, id: Value, code: lsp_server::ErrorCode, message: &str) -> io::Result<()> {
    let code = code as i32;
    let text = json!({"jsonrpc": "2.0", "id": id, "error": {"code": code, "message": message}}).to_string();
    write!(stream, "Content-Length: {}\r\n\r\n{text}", text.len())?;
    stream.flush()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn all(stream: &str) -> Vec<String> {
        let mut stream = io::BufReader::new(stream.as_bytes());
        let mut found = Vec::new();
        while let Ok(Some(incoming)) = read(&mut stream) {
            found.push(match incoming {
                Incoming::Message(Message::Request(request)) => request.method,
                Incoming::Message(Message::Notification(notification)) => notification.method,
                Incoming::Message(Message::Response(_)) => "a response".to_owned(),
                Incoming::NoMessage(id) => format!("no message {id}"),
                Incoming::Broken => "broken".to_owned(),
            });
        }
        found
    }

    fn framed(json: &str) -> String {
        format!("Content-Length: {}\r\n\r\n{json}", json.len())
    }

    #[test]
    fn what_is_broken_does_not_hide_what_follows() {
        let good = framed(r#"{"jsonrpc":"2.0","method":"exit"}"#);
        assert_eq!(all(&good), ["exit"]);
        assert_eq!(all(&format!("{}{good}", framed("{]"))), ["broken", "exit"]);
        assert_eq!(all(&format!("{}{good}", framed(r#"{"id":7}"#))), ["no message 7", "exit"]);
        assert_eq!(all(&format!("{}{good}", framed("[]"))), ["no message null", "exit"]);
        assert_eq!(all(&format!("What: is this\r\n\r\n{good}")), ["broken", "exit"]);
        assert_eq!(all(&format!("Content-Length: -4\r\n\r\n{good}")), ["broken", "exit"]);
        assert_eq!(all(&format!("{{\"left\": 3}}{good}")), ["exit"]);
        assert_eq!(all("Content-Length: 99999999999999\r\n\r\n{}"), ["broken"]);
        assert_eq!(all("Content-Length: 40\r\n\r\n{}"), Vec::<String>::new());
    }
}
