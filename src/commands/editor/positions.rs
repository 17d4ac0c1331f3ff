//! Positions of the protocol, in lines and in units of the encoding agreed on, and bytes of a text.

use lsp_types::{Position, Range};

/// How a client counts within a line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Encoding {
    /// In bytes.
    Utf8,
    /// In code units of UTF-16: what a client counts in that says nothing else.
    Utf16,
}

impl Encoding {
    fn length(self, text: &str) -> usize {
        match self {
            Self::Utf8 => text.len(),
            Self::Utf16 => text.chars().map(char::len_utf16).sum(),
        }
    }
}

/// The lines of a text as the protocol counts them: a carriage return alone ends one too.
pub struct Lines<'a> {
    text: &'a str,
    encoding: Encoding,
    starts: Vec<usize>,
    /// What stands before the text that bytes are counted in: a byte order mark.
    lead: usize,
}

impl<'a> Lines<'a> {
    /// The lines of a text.
    pub fn of(text: &'a str, encoding: Encoding) -> Self {
        let bytes = text.as_bytes();
        let ends = memchr::memchr2_iter(b'\n', b'\r', bytes);
        let ends = ends.filter(|at| bytes.get(*at) == Some(&b'\n') || bytes.get(at + 1) != Some(&b'\n'));
        let starts = std::iter::once(0).chain(ends.map(|at| at + 1)).collect();
        let lead = if text.starts_with('\u{feff}') { '\u{feff}'.len_utf8() } else { 0 };
        Self { text, encoding, starts, lead }
    }

    /// The position of a byte, counted without a byte order mark.
    pub fn position(&self, byte: usize) -> Position {
        let byte = self.text.floor_char_boundary((byte + self.lead).min(self.text.len()));
        let line = self.starts.partition_point(|start| *start <= byte).saturating_sub(1);
        let start = self.starts.get(line).copied().unwrap_or_default();
        let before = self.text.get(start..byte).unwrap_or("");
        let narrow = |count: usize| u32::try_from(count).unwrap_or(u32::MAX);
        Position::new(narrow(line), narrow(self.encoding.length(before)))
    }

    /// Where a stretch of bytes begins and ends.
    pub fn range(&self, bytes: std::ops::Range<usize>) -> Range {
        Range::new(self.position(bytes.start), self.position(bytes.end.max(bytes.start)))
    }

    /// The byte of a position, counted without a byte order mark. One behind the end of its line stands for that end.
    pub fn byte(&self, position: Position) -> usize {
        self.whole_byte(position).saturating_sub(self.lead)
    }

    /// The same counted with a byte order mark.
    pub fn whole_byte(&self, position: Position) -> usize {
        let line = usize::try_from(position.line).unwrap_or(usize::MAX);
        let Some(start) = self.starts.get(line).copied() else { return self.text.len() };
        let next = self.starts.get(line.saturating_add(1)).copied().unwrap_or(self.text.len());
        let content = self.text.get(start..next).unwrap_or("").trim_end_matches(['\n', '\r']);
        let mut left = usize::try_from(position.character).unwrap_or(usize::MAX);
        for (index, character) in content.char_indices() {
            let length = self.encoding.length(character.encode_utf8(&mut [0; 4]));
            // A position within a character stands for its beginning.
            if left < length {
                return start + index;
            }
            left -= length;
        }
        start + content.len()
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const TEXT: &str = "a ½ b²\r\n-- 🌿 leaf\rlast";

    fn there_and_back(encoding: Encoding) {
        let lines = Lines::of(TEXT, encoding);
        for (byte, _) in TEXT.char_indices().filter(|(_, character)| *character != '\n') {
            assert_eq!(lines.byte(lines.position(byte)), byte, "byte {byte} by {encoding:?}");
        }
    }

    #[test]
    fn every_character_is_found_again() {
        there_and_back(Encoding::Utf8);
        there_and_back(Encoding::Utf16);
    }

    #[test]
    fn characters_are_counted_as_the_client_counts_them() {
        let at = |encoding, text| Lines::of(TEXT, encoding).position(TEXT.find(text).unwrap_or_default());
        assert_eq!(at(Encoding::Utf16, "²"), Position::new(0, 5));
        assert_eq!(at(Encoding::Utf8, "²"), Position::new(0, 6));
        assert_eq!(at(Encoding::Utf16, "leaf"), Position::new(1, 6));
        assert_eq!(at(Encoding::Utf8, "leaf"), Position::new(1, 8));
        assert_eq!(at(Encoding::Utf16, "last"), Position::new(2, 0));
    }

    #[test]
    fn what_lies_beyond_is_brought_back() {
        let lines = Lines::of(TEXT, Encoding::Utf16);
        assert_eq!(lines.byte(Position::new(0, 99)), TEXT.find('\r').unwrap_or_default());
        assert_eq!(lines.byte(Position::new(99, 0)), TEXT.len());
        // In the midst of a surrogate pair.
        assert_eq!(lines.byte(Position::new(1, 4)), TEXT.find('🌿').unwrap_or_default());
        assert_eq!(lines.position(999), Position::new(2, 4));
    }

    #[test]
    fn a_byte_order_mark_is_no_part_of_the_text() {
        let lines = Lines::of("\u{feff}a : 1 ft", Encoding::Utf16);
        assert_eq!(lines.position(0), Position::new(0, 1));
        assert_eq!(lines.byte(Position::new(0, 1)), 0);
    }
}
