//! A worksheet whose tables draw on a CSV file, and the same worksheet worked as a template for each row of that file.

use super::{DATA, request, whole};
use anyhow::{Context, Result, ensure};
use catchwork::book::Book;
use catchwork::each::{Data, Each};
use catchwork::text::Source;
use catchwork::text::crew_folder::{Folder, FolderError};
use std::sync::Arc;

/// A crew folder in which every CSV file is the same one, and nothing else is.
struct OneFile(Vec<u8>);

impl Folder for OneFile {
    fn read(&self, path: &str, most: u64) -> Result<Vec<u8>, FolderError> {
        let fits = u64::try_from(self.0.len()).is_ok_and(|length| length <= most);
        match path.ends_with(".csv") {
            true if fits => Ok(self.0.clone()),
            true => Err(FolderError::TooLong),
            false => Err(FolderError::Missing),
        }
    }

    fn matching(&self, _pattern: &str) -> Result<Vec<String>, FolderError> {
        Err(FolderError::NoMatch)
    }
}

/// The worksheet and its data; a text that does not part them is a worksheet without.
fn parted(bytes: &[u8]) -> (&[u8], &[u8]) {
    let at = bytes.windows(DATA.len()).position(|window| window == DATA.as_bytes());
    at.map_or((bytes, &[]), |at| (&bytes[..at], &bytes[at + DATA.len()..]))
}

/// Whether the worksheet is worked, and its data row by row.
pub fn holds(bytes: &[u8]) -> Result<()> {
    let (sheet, data) = parted(bytes);
    let folder = Arc::new(OneFile(data.to_vec()));
    let report = Book::new(folder.clone(), request()).report("sheet.worksheet", "sheet.worksheet", sheet.to_vec());
    whole(&report, sheet)?;
    row_by_row(folder, sheet, data)
}

/// As many rows come out as are in the data, each as wide as their head.
fn row_by_row(folder: Arc<OneFile>, sheet: &[u8], data: &[u8]) -> Result<()> {
    let Ok(source) = Source::new("sheet.worksheet", sheet.to_vec()) else { return Ok(()) };
    let settled = Book::new(folder, request()).settle(source, "sheet.worksheet");
    let mut rows = Data::new(data);
    let headers = rows.headers()?;
    let Ok(each) = Each::new(settled, &request(), "beds.csv", &headers) else { return Ok(()) };
    let mut out = Vec::new();
    let tally = each.run(&mut rows, &mut out, |_| {})?;
    let mut reader = csv::Reader::from_reader(out.as_slice());
    let mut count = 0;
    for record in reader.records() {
        record.with_context(|| format!("what comes out is no CSV:\n{}", String::from_utf8_lossy(&out)))?;
        count += 1;
    }
    let is_told = count == tally.rows || tally.first_in_trouble.is_some();
    ensure!(is_told, "{} rows of data and {count} rows of results", tally.rows);
    Ok(())
}
