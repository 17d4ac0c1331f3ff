//! The desk: the worksheets that are open in an editor. Each is worked when it is asked for and has changed since, or
//! when something that it draws on has; what is open and not saved stands in the place of what is on disk.

use super::sheet::{Home, Sheet};
use crate::Request;
use crate::book::Book;
use crate::quantity::Moment;
use crate::syntax::tree::{Statement, StatementKind};
use crate::syntax::{Known, Parsed};
use crate::text::crew_folder::{Alone, OnDisk};
use crate::text::overlay::{OpenTexts, Overlaid};
use crate::text::source::Unreadable;
use crate::text::{Folder, Source};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// The worksheets that are open, each by the name that the editor gives it.
pub struct Desk {
    open: BTreeMap<String, Open>,
    texts: OpenTexts,
    today: Moment,
    /// Workings that hold no longer: to let go of them takes a while, for which nobody should have to wait.
    past: Vec<Arc<Sheet>>,
}

/// So many workings are kept that hold no longer, where somebody always waits.
const MOST_PAST: usize = 8;

/// A worksheet that is open.
struct Open {
    /// Its file as the editor names it.
    file: Option<PathBuf>,
    home: Option<Home>,
    folder: Arc<dyn Folder>,
    text: Arc<str>,
    known: Arc<Mutex<Known>>,
    /// The book of its last working, with the lines by which it draws on other files: while these are the same, what was
    /// read for them holds.
    book: Option<(Arc<Book>, Vec<String>)>,
    /// The last working; none where the text or what it draws on has changed since.
    sheet: Option<Arc<Sheet>>,
}

/// What is open under no such name, or cannot be read.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum NoSheet {
    /// Nothing of that name is open.
    NotOpen,
    /// Its text is over a limit.
    Unreadable(Unreadable),
}

impl Desk {
    /// With nothing on it. `today` is the day that `today` stands for.
    pub fn new(today: Moment) -> Self {
        Self { open: BTreeMap::new(), texts: OpenTexts::default(), today, past: Vec::new() }
    }

    /// Says which day it is; what was worked for another one is worked again.
    pub fn turn_to(&mut self, today: Moment) {
        if self.today != today {
            self.today = today;
            self.open.values_mut().for_each(Open::forget);
        }
    }

    /// The names of what is open.
    pub fn names(&self) -> impl Iterator<Item = &str> {
        self.open.keys().map(String::as_str)
    }

    /// The name under which a file is open.
    pub fn name_of(&self, file: &Path) -> Option<&str> {
        let is_own = |open: &Open| open.home.as_ref().is_some_and(|home| home.file() == file);
        self.open.iter().find(|(_, open)| is_own(open)).map(|(name, _)| name.as_str())
    }

    /// Opens a worksheet; `file` is where it is saved, or is to be. Returns the names of those that draw on it.
    pub fn open(&mut self, name: &str, file: Option<PathBuf>, text: String) -> Vec<String> {
        self.close(name);
        let (home, folder) = self.home(file.as_deref());
        let open = Open { file, home, folder, text: "".into(), known: Arc::default(), book: None, sheet: None };
        self.open.insert(name.to_owned(), open);
        self.change(name, text)
    }

    /// The crew folder of a file, and the file's place in it.
    fn home(&self, file: Option<&Path>) -> (Option<Home>, Arc<dyn Folder>) {
        let Some((folder, within)) = file.and_then(|file| OnDisk::of(file).ok()) else {
            return (None, Arc::new(Alone));
        };
        let root = folder.root().to_path_buf();
        let overlaid = Overlaid::over(Arc::new(folder), root.clone(), self.texts.clone());
        (Some(Home { root, within }), Arc::new(overlaid))
    }

    /// Puts another text in the place of one that is open. Returns the names of the worksheets that draw on it, which
    /// have to be worked again too.
    pub fn change(&mut self, name: &str, text: String) -> Vec<String> {
        let Some(open) = self.open.get_mut(name) else { return Vec::new() };
        open.text = text.into();
        if self.past.len() >= MOST_PAST {
            self.past.clear();
        }
        self.past.extend(open.sheet.take());
        let Some(file) = open.home.as_ref().map(Home::file) else { return Vec::new() };
        self.texts.put(&file, open.text.clone());
        self.files_changed(&[file])
    }

    /// Closes a worksheet: from now on what is on disk holds. Returns the names of those that draw on it.
    pub fn close(&mut self, name: &str) -> Vec<String> {
        let Some(open) = self.open.remove(name) else { return Vec::new() };
        let Some(file) = open.home.as_ref().map(Home::file) else { return Vec::new() };
        self.texts.take(&file);
        self.files_changed(&[file])
    }

    /// Tells that files have changed. Returns the names of the worksheets that draw on them.
    pub fn files_changed(&mut self, files: &[PathBuf]) -> Vec<String> {
        let mut touched = Vec::new();
        for (name, open) in &mut self.open {
            if files.iter().any(|file| open.draws_on(file)) {
                open.forget();
                touched.push(name.clone());
            }
        }
        touched
    }

    /// Reads everything anew from disk when it is next asked for, crew folders too: a file that marks one may have come.
    pub fn look_again(&mut self) {
        let files: Vec<(String, Option<PathBuf>)> =
            self.open.iter().map(|(name, open)| (name.clone(), open.file.clone())).collect();
        for (name, file) in files {
            let (home, folder) = self.home(file.as_deref());
            let Some(open) = self.open.get_mut(&name) else { continue };
            if let Some(before) = open.home.as_ref().filter(|before| home.as_ref() != Some(before)) {
                self.texts.take(&before.file());
            }
            if let Some(home) = &home {
                self.texts.put(&home.file(), open.text.clone());
            }
            (open.home, open.folder) = (home, folder);
            open.forget();
        }
    }

    /// Lets go of what holds no longer, while nobody waits.
    pub fn tidy(&mut self) {
        self.past.clear();
    }

    /// The text that is open under a name.
    pub fn text(&self, name: &str) -> Option<Arc<str>> {
        self.open.get(name).map(|open| open.text.clone())
    }

    /// A worksheet worked as it now stands.
    ///
    /// # Errors
    /// Where nothing of that name is open, or its text is over a limit.
    pub fn sheet(&mut self, name: &str) -> Result<Arc<Sheet>, NoSheet> {
        let today = self.today;
        let open = self.open.get_mut(name).ok_or(NoSheet::NotOpen)?;
        if let Some(sheet) = &open.sheet {
            return Ok(sheet.clone());
        }
        let sheet = Arc::new(open.worked(name, today)?);
        open.sheet = Some(sheet.clone());
        Ok(sheet)
    }
}

impl Open {
    fn forget(&mut self) {
        self.sheet = None;
        self.book = None;
    }

    /// Whether it was last worked from what is in a file, or would be if the file were there.
    fn draws_on(&self, file: &Path) -> bool {
        let (Some(home), Some((book, _))) = (&self.home, &self.book) else { return false };
        let Some(within) = file.strip_prefix(&home.root).ok().and_then(Path::to_str) else { return false };
        let within = within.replace('\\', "/");
        book.draws_on(&within, within == home.within)
    }

    fn worked(&mut self, name: &str, today: Moment) -> Result<Sheet, NoSheet> {
        let shown = self.home.as_ref().map_or(name, |home| home.within.as_str()).to_owned();
        let source = Source::new(&shown, self.text.as_bytes().to_vec()).map_err(NoSheet::Unreadable)?;
        let parsed = self.known.lock().unwrap_or_else(PoisonError::into_inner).parse(&source);
        let book = self.book_for(&source, &parsed, today);
        let settled = book.settle_read(source.clone(), parsed, self.home.as_ref().map_or("", |home| &home.within));
        let report = book.report_of(&settled);
        let (home, folder, known) = (self.home.clone(), self.folder.clone(), self.known.clone());
        Ok(Sheet { home, source, settled, report, folder, book, known })
    }

    /// The book to work in: the last one, or where other lines than before draw on files, a new one.
    fn book_for(&mut self, source: &Source, parsed: &Parsed, today: Moment) -> Arc<Book> {
        let lines: Vec<String> = parsed
            .statements
            .iter()
            .filter(|statement| may_draw(statement, source))
            .map(|statement| source.slice(statement.place).to_owned())
            .collect();
        if let Some((book, before)) = &self.book
            && *before == lines
        {
            return book.clone();
        }
        let request = Request { set: Vec::new(), today, colour: false };
        let book = Arc::new(Book::new(self.folder.clone(), request));
        self.book = Some((book.clone(), lines));
        book
    }
}

/// Whether a line draws on another file, or may do so.
fn may_draw(statement: &Statement, source: &Source) -> bool {
    match statement.kind {
        StatementKind::Fills(_) | StatementKind::Draw(..) => true,
        StatementKind::Row(_) => source.slice(statement.place).contains("from"),
        _ => false,
    }
}
