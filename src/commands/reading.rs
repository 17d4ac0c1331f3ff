//! Worksheets as a call names them: their bytes, and the crew folder that each may draw on. It prints nothing.

use super::paths::is_standard_input;
use catchwork::book::why::Explained;
use catchwork::book::{Book, Settled};
use catchwork::gathered::shipped;
use catchwork::report::Report;
use catchwork::report::letters::clean;
use catchwork::text::crew_folder::{Alone, OnDisk, named_in, own_folder};
use catchwork::text::revision::AtRevision;
use catchwork::text::source::MOST_BYTES;
use catchwork::text::{Folder, Source};
use catchwork::trouble::{self, Kind};
use catchwork::watching::Interests;
use catchwork::{Request, unread};
use std::collections::{BTreeMap, HashMap};
use std::io::Read;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// Works worksheets, with one book for each crew folder, so that a file is read once however often it is drawn on.
pub struct Reading {
    request: Request,
    books: Mutex<BTreeMap<PathBuf, Arc<Book>>>,
    /// The book for the worksheets of each folder, and the folder's path in that crew folder: to look for a mark in all
    /// folders above takes a twentieth of the time that a worksheet takes.
    folders: Mutex<HashMap<PathBuf, (Arc<Book>, PathBuf)>>,
}

impl Reading {
    /// To work worksheets as asked.
    pub fn new(request: Request) -> Self {
        Self { request, books: Mutex::default(), folders: Mutex::default() }
    }

    /// The report of a worksheet, whatever became of it.
    pub fn report(&self, path: &Path) -> Report {
        self.worked(path).0
    }

    /// The report of a worksheet, whatever became of it, and what it tells of.
    pub fn worked(&self, path: &Path) -> (Report, Option<Settled>) {
        let bytes = match bytes_of(path) {
            Ok(bytes) => bytes,
            Err(error) => return (self.unread(path, &error), None),
        };
        let (book, within) = self.book(path);
        match book.work(&name(path), &within, bytes) {
            Ok(settled) => (book.report_of(&settled), Some(settled)),
            Err(unread) => (*unread, None),
        }
    }

    /// The report of a worksheet whose bytes have been read.
    pub fn report_of(&self, path: &Path, bytes: Vec<u8>) -> Report {
        let (book, within) = self.book(path);
        book.report(&name(path), &within, bytes)
    }

    /// How what is called `asked` in a worksheet comes about.
    ///
    /// # Errors
    /// The report of a worksheet that cannot be read.
    pub fn why(&self, path: &Path, asked: &str) -> Result<Explained, Box<Report>> {
        let bytes = bytes_of(path).map_err(|error| Box::new(self.unread(path, &error)))?;
        let (book, within) = self.book(path);
        book.why(&name(path), &within, bytes, asked)
    }

    /// A worksheet worked, and the book it is in: a file, or `FILE@REVISION` where no file is called so.
    ///
    /// # Errors
    /// The report of one that cannot be read.
    pub fn settled(&self, path: &Path) -> Result<(Arc<Book>, Settled), Box<Report>> {
        if let Some((file, revision)) = at_revision(path) {
            return self.settled_at(path, &file, &revision);
        }
        let bytes = bytes_of(path).map_err(|error| Box::new(self.unread(path, &error)))?;
        let (book, within) = self.book(path);
        let settled = book.work(&name(path), &within, bytes)?;
        Ok((book, settled))
    }

    fn settled_at(&self, path: &Path, file: &Path, revision: &str) -> Result<(Arc<Book>, Settled), Box<Report>> {
        let shown = name(path);
        let refused = |kind: Kind| Box::new(unread(&shown, kind, &self.request));
        let (folder, within) = AtRevision::of(file, revision)
            .map_err(|error| refused(trouble::no_revision(&name(file), revision, &error)))?;
        let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX) + 1;
        let bytes = folder.read(&within, most).map_err(|error| refused(trouble::no_file(&shown, &error)))?;
        let book = Arc::new(Book::new(Arc::new(folder), self.request.clone()));
        let settled = book.work(&shown, &within, bytes)?;
        Ok((book, settled))
    }

    fn unread(&self, path: &Path, error: &std::io::Error) -> Report {
        let name = name(path);
        unread(&name, Kind::CannotRead { file: name.clone(), why: error.to_string() }, &self.request)
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

    /// A template settled, by its path or by the name of one inside the program.
    ///
    /// # Errors
    /// The report of one that cannot be read.
    pub fn template(&self, path: &Path) -> Result<Settled, Box<Report>> {
        let name = name(path);
        let inside = path.to_str().filter(|name| !is_standard_input(path) && shipped::is_inside(name));
        let refused = |kind: Kind| Box::new(unread(&name, kind, &self.request));
        let bytes = match inside {
            Some(inside) => match shipped::template(inside) {
                Some(text) => text.as_bytes().to_vec(),
                None => return Err(refused(Kind::NoSuchTemplate { name: name.clone() })),
            },
            None => bytes_of(path).map_err(|error| Box::new(self.unread(path, &error)))?,
        };
        let source = Source::new(&name, bytes).map_err(|unreadable| refused(trouble::unreadable(unreadable)))?;
        let (book, within) = self.book(path);
        Ok(book.settle(source, &within))
    }

    /// The book for a worksheet, and its path in the crew folder; one whose folder cannot be opened stands alone.
    fn book(&self, path: &Path) -> (Arc<Book>, String) {
        // What comes by standard input stands in the folder the program was called in.
        let place = if is_standard_input(path) { Path::new("standard input") } else { path };
        let own = own_folder(place);
        let mut folders = self.folders.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some((book, within)) = folders.get(own) {
            return (book.clone(), named_in(within, place));
        }
        let Ok((folder, within)) = OnDisk::over(own) else {
            return (Arc::new(Book::new(Arc::new(Alone), self.request.clone())), String::new());
        };
        let mut books = self.books.lock().unwrap_or_else(PoisonError::into_inner);
        let root = folder.root().to_path_buf();
        let book = books.entry(root).or_insert_with(|| Arc::new(Book::new(Arc::new(folder), self.request.clone())));
        let path = named_in(&within, place);
        folders.insert(own.to_path_buf(), (book.clone(), within));
        (book.clone(), path)
    }
}

/// The file and the revision that `FILE@REVISION` names; none where a file is called so, or nothing stands behind `@`.
fn at_revision(path: &Path) -> Option<(PathBuf, String)> {
    if path.exists() || is_standard_input(path) {
        return None;
    }
    let named = path.to_str()?;
    // A revision may hold an `@` too, as in HEAD@{1}, and so may the name of a folder.
    let ending = named.find(".worksheet@").map(|start| start + ".worksheet".len());
    let (file, revision) = named.split_at(ending.or_else(|| named.find('@'))?);
    let revision = revision.strip_prefix('@').filter(|revision| !revision.is_empty())?;
    Some((PathBuf::from(file), revision.to_owned()))
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
    let most = MOST_BYTES + 1;
    let limit = u64::try_from(most).unwrap_or(u64::MAX);
    let mut bytes = Vec::new();
    if is_standard_input(path) {
        std::io::stdin().lock().take(limit).read_to_end(&mut bytes)?;
    } else {
        let file = std::fs::File::open(path)?;
        // Room for all of it, and for a look behind its end, has it read in one piece.
        let length = file.metadata().map_or(0, |metadata| metadata.len());
        bytes.reserve_exact(usize::try_from(length).unwrap_or(most).min(most) + 1);
        file.take(limit).read_to_end(&mut bytes)?;
    }
    Ok(bytes)
}
