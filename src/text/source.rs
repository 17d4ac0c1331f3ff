//! One text: read, checked to be UTF-8 within its limits, with lines counted and a fingerprint.

use super::cut;
use super::place::{Place, Spot};
use sha2::{Digest, Sha256};
use std::borrow::Cow;
use std::sync::Arc;

/// The most bytes a worksheet may have.
pub const MOST_BYTES: usize = 4 * 1024 * 1024;
/// The most lines a worksheet may have.
pub const MOST_LINES: usize = 100_000;

/// A text and the name it goes by.
#[derive(Debug, Clone, Default)]
pub struct Source {
    /// The path as given, or what else it is called.
    pub name: String,
    /// The text, without a byte order mark.
    pub text: Arc<str>,
    /// The byte at which each line begins.
    line_starts: Arc<[u32]>,
}

/// Why bytes are no worksheet.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Unreadable {
    /// Not UTF-8: the first byte, counted from 1, that belongs to no character, and its line.
    NotUtf8 {
        /// The byte.
        byte: usize,
        /// Its line.
        line: usize,
    },
    /// More than [`MOST_BYTES`].
    TooLong(usize),
    /// More than [`MOST_LINES`].
    TooManyLines(usize),
}

impl Source {
    /// A text from its bytes; a byte order mark is skipped.
    ///
    /// # Errors
    /// Where the bytes are no UTF-8, or over a limit.
    pub fn new(name: &str, bytes: Vec<u8>) -> Result<Self, Unreadable> {
        if bytes.len() > MOST_BYTES {
            return Err(Unreadable::TooLong(bytes.len()));
        }
        let mut text = String::from_utf8(bytes).map_err(|error| not_utf8(&error))?;
        if text.starts_with('\u{feff}') {
            text.drain(..'\u{feff}'.len_utf8());
        }
        match text.lines().count() {
            lines if lines > MOST_LINES => Err(Unreadable::TooManyLines(lines)),
            _ => Ok(Self::of_text(name, text)),
        }
    }

    /// A text that is one already, such as what `--set` gives.
    pub fn of_text(name: &str, text: String) -> Self {
        let narrow = |offset: usize| u32::try_from(offset).unwrap_or(u32::MAX);
        let breaks = memchr::memchr_iter(b'\n', text.as_bytes()).map(|index| narrow(index + 1));
        let line_starts = std::iter::once(0).chain(breaks).collect();
        Self { name: name.to_owned(), text: text.into(), line_starts }
    }

    /// The text at a place.
    pub fn slice(&self, place: Place) -> &str {
        self.text.get(place.range()).unwrap_or("")
    }

    /// A place in lines, columns and characters.
    pub fn spot(&self, place: Place) -> Spot {
        let start = self.text.floor_char_boundary(place.start as usize);
        let line = self.line_starts.partition_point(|first| *first as usize <= start).max(1);
        let line_start = self.line_starts.get(line - 1).map_or(0, |first| *first as usize);
        let next = self.line_starts.get(line).map_or(self.text.len(), |next| *next as usize);
        let line_end = line_start + cut::between(&self.text, line_start, next).trim_end_matches(['\n', '\r']).len();
        let end = self.text.floor_char_boundary((place.end as usize).min(line_end.max(start)).max(start));
        Spot {
            line,
            column: 1 + cut::between(&self.text, line_start, start).chars().count(),
            length: cut::between(&self.text, start, end).chars().count().max(1),
        }
    }

    /// The first eight hexadecimal digits of the SHA-256 of the text, line ends counted as LF.
    pub fn fingerprint(&self) -> String {
        let lines =
            if self.text.contains('\r') { Cow::from(self.text.replace("\r\n", "\n")) } else { Cow::from(&*self.text) };
        let digest = Sha256::digest(lines.as_bytes());
        digest.iter().take(4).map(|byte| format!("{byte:02x}")).collect()
    }
}

fn not_utf8(error: &std::string::FromUtf8Error) -> Unreadable {
    let valid = error.utf8_error().valid_up_to();
    let breaks = error.as_bytes().iter().take(valid).filter(|byte| **byte == b'\n').count();
    Unreadable::NotUtf8 { byte: valid + 1, line: breaks + 1 }
}
