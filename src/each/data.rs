//! Rows of a CSV file, read a part at a time: no more of it is in the memory than a few parts, however long the file or
//! a row of it. What the rows say is not known here.

use csv::ByteRecord;
use std::io::{Error, ErrorKind, Read, Result};

/// The most bytes of a row: one longer has a quotation mark that is never closed.
pub const MOST_ROW: usize = 1 << 20;

/// So many rows are a part, and it ends sooner once it has so many bytes.
const ROWS: usize = 512;
const BYTES: usize = 1 << 18;

/// The bytes that are read at a time.
const BUFFER: usize = 1 << 16;

/// A CSV file, or whatever gives its bytes.
pub struct Data<R> {
    reader: csv::Reader<Limited<R>>,
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
    records: Vec<ByteRecord>,
    count: usize,
    /// How much of the file has been read up to its end.
    pub bytes: u64,
    /// Whether a row behind it is too long to be read.
    pub is_too_long: bool,
}

impl<R: Read> Data<R> {
    /// Data whose headers are next.
    pub fn new(read: R) -> Self {
        let reader = csv::ReaderBuilder::new()
            .has_headers(false)
            .flexible(true)
            .buffer_capacity(BUFFER)
            .from_reader(Limited { read, left: 0 });
        Self { reader, next: 1, is_cut: false }
    }

    /// The headers; none of an empty file.
    ///
    /// # Errors
    /// Where it cannot be read; `FileTooLarge` where its first row is longer than [`MOST_ROW`].
    pub fn headers(&mut self) -> Result<Vec<String>> {
        let mut record = ByteRecord::new();
        match self.record(&mut record)? {
            true => Ok(record.iter().map(|cell| String::from_utf8_lossy(cell).into_owned()).collect()),
            false => Ok(Vec::new()),
        }
    }

    /// Reads the next rows into `part`; whether there are any.
    ///
    /// # Errors
    /// Where they cannot be read.
    pub fn next_part(&mut self, part: &mut Part) -> Result<bool> {
        (part.first, part.count, part.is_too_long) = (self.next, 0, false);
        let mut bytes = 0;
        while part.count < ROWS && bytes < BYTES && !self.is_cut {
            if part.records.len() == part.count {
                part.records.push(ByteRecord::new());
            }
            let Some(record) = part.records.get_mut(part.count) else { break };
            match self.record(record) {
                Ok(true) => {
                    part.count += 1;
                    bytes += record.as_slice().len();
                }
                Ok(false) => break,
                Err(error) if error.kind() == ErrorKind::FileTooLarge => {
                    (part.is_too_long, self.is_cut) = (true, true);
                }
                Err(error) => return Err(error),
            }
        }
        part.bytes = self.reader.position().byte();
        Ok(part.count > 0 || part.is_too_long)
    }

    fn record(&mut self, record: &mut ByteRecord) -> Result<bool> {
        self.reader.get_mut().left = MOST_ROW;
        let is_there = self.reader.read_byte_record(record).map_err(|error| match error.into_kind() {
            csv::ErrorKind::Io(error) => error,
            other => Error::other(format!("{other:?}")),
        })?;
        self.next += u64::from(is_there);
        Ok(is_there)
    }
}

impl Part {
    /// The rows with their numbers.
    pub fn rows(&self) -> impl Iterator<Item = (u64, &ByteRecord)> {
        (self.first..).zip(self.records.iter().take(self.count))
    }

    /// The number of the row behind it.
    pub fn after(&self) -> u64 {
        self.rows().last().map_or(self.first, |(number, _)| number + 1)
    }
}

/// Gives no more than so many bytes for one row.
struct Limited<R> {
    read: R,
    left: usize,
}

impl<R: Read> Read for Limited<R> {
    fn read(&mut self, buffer: &mut [u8]) -> Result<usize> {
        if self.left == 0 {
            return Err(ErrorKind::FileTooLarge.into());
        }
        let most = buffer.len().min(self.left);
        let count = self.read.read(buffer.get_mut(..most).unwrap_or_default())?;
        self.left -= count;
        Ok(count)
    }
}
