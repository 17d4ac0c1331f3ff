//! Worksheets as a call names them: their bytes, and the crew folder that each may draw on. It prints nothing.

use super::paths::is_standard_input;
use catchwork::book::Book;
use catchwork::report::Report;
use catchwork::report::letters::clean;
use catchwork::text::crew_folder::OnDisk;
use catchwork::trouble::Kind;
use catchwork::watching::Interests;
use catchwork::{Request, unread, work};
use std::collections::BTreeMap;
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// Works worksheets, with one book for each crew folder, so that a file is read once however often it is drawn on.
pub struct Reading {
    request: Request,
    books: Mutex<BTreeMap<PathBuf, Arc<Book>>>,
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

    /// What the worksheets have drawn on so far, by where it stands on the disk: that is what they have to be worked
    /// again for.
    pub fn interests(&self) -> Interests {
        let books = self.books.lock().unwrap_or_else(PoisonError::into_inner);
        let mut interests = Interests::default();
        for (root, book) in books.iter() {
            let drew_on = book.drew_on();
            drew_on.files.iter().for_each(|file| interests.add_file(root.join(file), root.clone()));
            drew_on.patterns.iter().for_each(|pattern| interests.add_pattern(pattern, root.clone()));
        }
        interests
    }

    fn book(&self, root: PathBuf, folder: OnDisk) -> Arc<Book> {
        let mut books = self.books.lock().unwrap_or_else(PoisonError::into_inner);
        let book = books.entry(root).or_insert_with(|| Arc::new(Book::new(Arc::new(folder), self.request.clone())));
        book.clone()
    }
}

/// What a worksheet is called in reports.
pub fn name(path: &Path) -> String {
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
