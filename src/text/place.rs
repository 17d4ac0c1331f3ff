//! Places: bytes of one source. Lines and columns are worked out only for what is printed.

/// A stretch of bytes in one of the texts that a worksheet is made of.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Place {
    /// Which text: 0 is the worksheet itself, others its templates and what it draws on.
    pub source: u16,
    /// First byte.
    pub start: u32,
    /// One past the last byte.
    pub end: u32,
}

impl Place {
    /// A stretch of the text given.
    pub fn new(source: u16, start: usize, end: usize) -> Self {
        // A worksheet is at most 4 MiB, so that offsets fit; a longer one has been refused before.
        let narrow = |offset: usize| u32::try_from(offset).unwrap_or(u32::MAX);
        Self { source, start: narrow(start), end: narrow(end) }
    }

    /// From the start of this to the end of the other.
    pub fn to(self, other: Self) -> Self {
        Self { end: other.end.max(self.end), start: self.start.min(other.start), ..self }
    }

    /// The bytes as a range for slicing.
    pub fn range(self) -> std::ops::Range<usize> {
        self.start as usize..self.end as usize
    }
}

/// A place as people count: lines and columns from 1, columns and length in characters.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Spot {
    /// The line, from 1.
    pub line: usize,
    /// The column in characters, from 1.
    pub column: usize,
    /// The length in characters, on the first line only.
    pub length: usize,
}
