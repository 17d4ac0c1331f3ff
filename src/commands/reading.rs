//! Worksheets as a call names them: their bytes, and the crew folder that each may draw on. It prints nothing.

use super::paths::is_standard_input;
use catchwork::book::{Book, Settled};
use catchwork::gathered::shipped;
use catchwork::report::Report;
use catchwork::report::letters::clean;
use catchwork::text::Source;
use catchwork::text::crew_folder::{Alone, OnDisk};
use catchwork::trouble::{self, Kind};
use catchwork::{Request, unread, work};
use std::collections::HashMap;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// Works worksheets, with one book for each crew folder, so that a file is read once however often it is drawn on.
pub struct Reading {
    request: Request,
    books: Mutex<HashMap<PathBuf, Arc<Book>>>,
}

impl Reading {
    /// To work worksheets as asked.
    pub fn new(request: Request) -> Self {
        Self { request, books: Mutex::default() }
    }

    /// The report of a worksheet, whatever became of it.
    pub fn report(&self, path: &Path) -> Report {
        let name = name(path);
        match bytes_of(path) {
            Ok(bytes) => self.report_of(path, bytes),
            Err(error) => unread(&name, Kind::CannotRead { file: name.clone(), why: error.to_string() }, &self.request),
        }
    }

    /// The report of a worksheet whose bytes have been read.
    pub fn report_of(&self, path: &Path, bytes: Vec<u8>) -> Report {
        let name = name(path);
        // What comes by standard input stands in the folder the program was called in.
        let place = if is_standard_input(path) { Path::new("standard input") } else { path };
        match OnDisk::of(place) {
            Ok((folder, within)) => {
                let root = folder.root().to_path_buf();
                self.book(root, folder).report(&name, &within, bytes)
            }
            Err(_) => work(&name, bytes, &self.request),
        }
    }

    /// A template settled, by its path or by the name of one inside the program, with the files that were read for it.
    ///
    /// # Errors
    /// The report of one that cannot be read.
    pub fn template(&self, path: &Path) -> Result<(Settled, Vec<PathBuf>), Box<Report>> {
        let (name, inside) = (name(path), path.to_str().filter(|name| !is_standard_input(path) && shipped::is_name(name)));
        let bytes = match inside {
            Some(inside) => match shipped::template(inside) {
                Some(text) => text.as_bytes().to_vec(),
                None => return Err(Box::new(unread(&name, Kind::NoSuchTemplate { name: name.clone() }, &self.request))),
            },
            None => bytes_of(path).map_err(|error| {
                let why = error.to_string();
                Box::new(unread(&name, Kind::CannotRead { file: name.clone(), why }, &self.request))
            })?,
        };
        let source = Source::new(&name, bytes)
            .map_err(|unreadable| Box::new(unread(&name, trouble::unreadable(unreadable), &self.request)))?;
        let place = if is_standard_input(path) { Path::new("standard input") } else { path };
        let Ok((folder, within)) = OnDisk::of(place) else {
            return Ok((Book::new(Arc::new(Alone), self.request.clone()).settle(source, ""), Vec::new()));
        };
        let root = folder.root().to_path_buf();
        let book = self.book(root.clone(), folder);
        let settled = book.settle(source, &within);
        let read = book.files_read().iter().map(|file| root.join(file)).collect();
        Ok((settled, read))
    }

    fn book(&self, root: PathBuf, folder: OnDisk) -> Arc<Book> {
        let mut books = self.books.lock().unwrap_or_else(PoisonError::into_inner);
        let book = books.entry(root).or_insert_with(|| Arc::new(Book::new(Arc::new(folder), self.request.clone())));
        book.clone()
    }
}

/// What a worksheet is called in reports.
fn name(path: &Path) -> String {
    if is_standard_input(path) { "standard input".to_owned() } else { clean(&path.display().to_string()) }
}

/// The bytes of a worksheet, or of standard input; a little over the limit at the most, so that the limit can be told.
///
/// # Errors
/// Where it cannot be read.
pub fn bytes_of(path: &Path) -> std::io::Result<Vec<u8>> {
    let most = u64::try_from(catchwork::text::source::MOST_BYTES).unwrap_or(u64::MAX) + 1;
    let mut bytes = Vec::new();
    if is_standard_input(path) {
        std::io::stdin().lock().take(most).read_to_end(&mut bytes)?;
    } else {
        std::fs::File::open(path)?.take(most).read_to_end(&mut bytes)?;
    }
    Ok(bytes)
}
