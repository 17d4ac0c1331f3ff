//! Rows of a CSV file, read a part at a time: no more of it is in the memory than a few parts, however long the file or
//! a row of it. Lines without a quotation mark, which most are, are cut at their commas where they are worked; the
//! others are read by the CSV library's own reader. What the rows say is not known here.

use csv_core::{ReadRecordResult, Reader};
use std::io::{ErrorKind, Read, Result};

/// The most bytes of a row: one longer has a quotation mark that is never closed.
pub const MOST_ROW: usize = 1 << 20;

/// So many bytes of lines, or so many rows with quotation marks, are a part.
const BYTES: usize = 1 << 15;
const ROWS: usize = 256;

/// The length of UTF-8's byte order mark, which the library passes over where it is shown more than that.
const MARK: usize = "\u{feff}".len();

/// A CSV file, or whatever gives its bytes.
pub struct Data<R> {
    read: R,
    reader: Reader,
    /// What has been read, between `start` and `end` what no part has taken yet.
    buffer: Vec<u8>,
    start: usize,
    end: usize,
    is_at_end: bool,
    /// How much parts have taken.
    taken: u64,
    /// The number of the next row, its headers being the first.
    next: u64,
    /// Whether a row has been met that is too long, behind which nothing can be told apart.
    is_cut: bool,
}

/// Rows that are worked together.
#[derive(Debug, Default)]
pub struct Part {
    /// The number of its first row, the headers being the first of all.
    first: u64,
    /// Whole lines without a quotation mark, up to `lines`; else the cells of rows one behind the other.
    text: Vec<u8>,
    lines: usize,
    /// Where each cell ends in the text of its row; none of lines.
    cells: Vec<usize>,
    /// Where each row ends in the text, and among the cells.
    rows: Vec<(usize, usize)>,
    /// How much of the file has been read up to its end.
    pub bytes: u64,
    /// Whether a row behind it is too long to be read.
    pub is_too_long: bool,
}

/// A row.
#[derive(Debug, Clone, Copy)]
pub enum Row<'p> {
    /// A line without a quotation mark.
    Line(&'p [u8]),
    /// Cells one behind the other, and where each ends.
    Cells(&'p [u8], &'p [usize]),
}

impl<R: Read> Data<R> {
    /// Data whose headers are next.
    pub fn new(read: R) -> Self {
        let buffer = vec![0; 2 * BYTES];
        let reader = Reader::new();
        Self { read, reader, buffer, start: 0, end: 0, is_at_end: false, taken: 0, next: 1, is_cut: false }
    }

    /// The headers; none of an empty file.
    ///
    /// # Errors
    /// Where it cannot be read; `FileTooLarge` where its first row is longer than [`MOST_ROW`].
    pub fn headers(&mut self) -> Result<Vec<String>> {
        while self.unread().len() <= MARK && self.fill()? {}
        let mut part = Part::default();
        self.records(&mut part, 1)?;
        let headers = part
            .rows()
            .next()
            .map(|(_, row)| row.cells().map(|cell| String::from_utf8_lossy(cell).into_owned()).collect());
        Ok(headers.unwrap_or_default())
    }

    /// Reads the next rows into `part`; whether there are any.
    ///
    /// # Errors
    /// Where they cannot be read.
    pub fn next_part(&mut self, part: &mut Part) -> Result<bool> {
        part.begin(self.next);
        while part.first == self.next && !self.is_cut && (!self.unread().is_empty() || self.fill()?) {
            let taken = self.lines(part).and_then(|is_taken| match is_taken {
                true => Ok(()),
                false => self.records(part, ROWS),
            });
            match taken {
                Err(error) if error.kind() == ErrorKind::FileTooLarge => {
                    (part.is_too_long, self.is_cut) = (true, true);
                }
                taken => taken?,
            }
        }
        part.bytes = self.taken;
        Ok(part.first != self.next || part.is_too_long)
    }

    fn unread(&self) -> &[u8] {
        self.buffer.get(self.start..self.end).unwrap_or_default()
    }

    /// Reads more behind what no part has taken yet; whether there was more.
    fn fill(&mut self) -> Result<bool> {
        if self.is_at_end {
            return Ok(false);
        }
        self.buffer.copy_within(self.start..self.end, 0);
        (self.start, self.end) = (0, self.end - self.start);
        if self.end == self.buffer.len() {
            self.buffer.resize(2 * self.end, 0);
        }
        let count = loop {
            match self.read.read(self.buffer.get_mut(self.end..).unwrap_or_default()) {
                Err(error) if error.kind() == ErrorKind::Interrupted => {}
                count => break count?,
            }
        };
        self.end += count;
        self.is_at_end = count == 0;
        Ok(count > 0)
    }

    /// Takes whole lines before the first quotation mark; whether there are any.
    fn lines(&mut self, part: &mut Part) -> Result<bool> {
        let lines = loop {
            let unread = self.unread();
            let first = unread.get(..BYTES).unwrap_or(unread);
            let plain = memchr::memchr(b'"', first).and_then(|quote| first.get(..quote)).unwrap_or(first);
            match memchr::memrchr(b'\n', plain) {
                Some(last) => break last + 1,
                None if plain.len() < first.len() => return Ok(false),
                None if self.is_at_end && first.len() == unread.len() => break unread.len(),
                // A line as long as that is no plain one.
                None if first.len() < unread.len() => return Ok(false),
                None => drop(self.fill()?),
            }
        };
        let taken = self.unread().get(..lines).unwrap_or_default();
        // A return by itself ends a row too, which is left to the library.
        if memchr::memchr_iter(b'\r', taken).any(|at| taken.get(at + 1).is_some_and(|next| *next != b'\n')) {
            return Ok(false);
        }
        part.text.clear();
        part.text.extend_from_slice(taken);
        part.lines = lines;
        (self.start, self.taken) = (self.start + lines, self.taken + lines as u64);
        self.next += part.lines().count() as u64;
        Ok(true)
    }

    /// Takes so many rows at the most, as the library reads them.
    fn records(&mut self, part: &mut Part, most: usize) -> Result<()> {
        let (mut text, mut cell, mut read) = (0, 0, 0);
        part.text.resize(BYTES, 0);
        part.cells.resize(ROWS, 0);
        part.lines = 0;
        while part.rows.len() < most {
            // To the library, nothing is the end.
            if self.unread().is_empty() {
                self.fill()?;
            }
            let unread = self.buffer.get(self.start..self.end).unwrap_or_default();
            let (into, ends) = (part.text.get_mut(text..), part.cells.get_mut(cell..));
            let (result, taken, written, ended) =
                self.reader.read_record(unread, into.unwrap_or_default(), ends.unwrap_or_default());
            (self.start, self.taken, read) = (self.start + taken, self.taken + taken as u64, read + taken);
            (text, cell) = (text + written, cell + ended);
            match result {
                _ if read > MOST_ROW => return Err(ErrorKind::FileTooLarge.into()),
                ReadRecordResult::InputEmpty => {}
                ReadRecordResult::OutputFull => part.text.resize(2 * part.text.len(), 0),
                ReadRecordResult::OutputEndsFull => part.cells.resize(2 * part.cells.len(), 0),
                ReadRecordResult::Record => {
                    part.rows.push((text, cell));
                    (self.next, read) = (self.next + 1, 0);
                }
                ReadRecordResult::End => break,
            }
        }
        Ok(())
    }
}

impl Part {
    fn begin(&mut self, first: u64) {
        self.lines = 0;
        self.rows.clear();
        (self.first, self.is_too_long) = (first, false);
    }

    /// The rows with their numbers.
    pub fn rows(&self) -> impl Iterator<Item = (u64, Row<'_>)> {
        (self.first..).zip(self.lines().map(Row::Line).chain(self.records()))
    }

    /// Lines that are more than their end.
    fn lines(&self) -> impl Iterator<Item = &[u8]> {
        let lines = self.text.get(..self.lines).unwrap_or_default().split(|byte| *byte == b'\n');
        lines.map(|line| line.strip_suffix(b"\r").unwrap_or(line)).filter(|line| !line.is_empty())
    }

    fn records(&self) -> impl Iterator<Item = Row<'_>> {
        let starts = std::iter::once(&(0, 0)).chain(&self.rows);
        starts.zip(&self.rows).map(|((text, cell), (text_end, cell_end))| {
            let text = self.text.get(*text..*text_end).unwrap_or_default();
            Row::Cells(text, self.cells.get(*cell..*cell_end).unwrap_or_default())
        })
    }

    /// The number of the row behind it.
    pub fn after(&self) -> u64 {
        self.rows().last().map_or(self.first, |(number, _)| number + 1)
    }
}

impl<'p> Row<'p> {
    /// A row without cells.
    pub const NONE: Self = Self::Cells(&[], &[]);

    /// How many cells it has.
    pub fn width(self) -> usize {
        match self {
            Self::Line(line) => 1 + line.iter().filter(|byte| **byte == b',').count(),
            Self::Cells(_, ends) => ends.len(),
        }
    }

    /// Its cells.
    pub fn cells(self) -> impl Iterator<Item = &'p [u8]> {
        let (line, text, ends) = match self {
            Self::Line(line) => (Some(line), [].as_slice(), [].as_slice()),
            Self::Cells(text, ends) => (None, text, ends),
        };
        let starts = std::iter::once(&0).chain(ends);
        let cells = starts.zip(ends).map(|(start, end)| text.get(*start..*end).unwrap_or_default());
        line.into_iter().flat_map(|line| line.split(|byte| *byte == b',')).chain(cells)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    /// Gives a few bytes at a time.
    struct Slow<'a>(&'a [u8], usize);

    impl Read for Slow<'_> {
        fn read(&mut self, buffer: &mut [u8]) -> Result<usize> {
            let most = buffer.len().min(self.1);
            self.0.read(&mut buffer[..most])
        }
    }

    type Rows = Vec<Vec<Vec<u8>>>;

    fn read(bytes: &[u8], step: usize) -> Result<Rows> {
        let mut data = Data::new(Slow(bytes, step));
        let mut rows: Rows = vec![data.headers()?.into_iter().map(String::into_bytes).collect()];
        let mut part = Part::default();
        while data.next_part(&mut part)? {
            for (number, row) in part.rows() {
                assert_eq!(number, rows.len() as u64 + 1);
                assert_eq!(row.width(), row.cells().count());
                rows.push(row.cells().map(<[u8]>::to_vec).collect());
            }
        }
        rows.retain(|row| !row.is_empty());
        Ok(rows)
    }

    fn as_the_library_reads(bytes: &[u8]) -> Rows {
        let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes);
        let cells = |record: csv::Result<csv::ByteRecord>| {
            record.map(|record| record.iter().map(<[u8]>::to_vec).collect()).unwrap_or_default()
        };
        reader.byte_records().map(cells).collect()
    }

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 200, ..ProptestConfig::default() })]

        #[test]
        fn rows_are_those_of_the_library(text in "(\u{feff})?([a1 ]{0,3}[,,,\"\r\n\n]?){0,60}", step in 1usize..40) {
            prop_assert_eq!(read(text.as_bytes(), step).unwrap_or_default(), as_the_library_reads(text.as_bytes()));
        }

        #[test]
        fn long_files_too(row in "[a1,]{1,40}(\"[b,\n]{0,9}\")?\r?\n", short in "[a1]{1,3}\n", times in 1usize..3000) {
            let text = row.repeat(times) + &short.repeat(7) + &row;
            prop_assert_eq!(read(text.as_bytes(), 10_000).unwrap_or_default(), as_the_library_reads(text.as_bytes()));
        }
    }
}
