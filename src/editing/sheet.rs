//! A worksheet that is open in an editor, worked as it now stands.

use super::meanings::Meanings;
use super::uses::Uses;
use crate::book::{Book, Settled};
use crate::report::Report;
use crate::syntax::{Known, Parsed};
use crate::text::{Folder, Source};
use std::path::{Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// Where a worksheet's file stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Home {
    /// Its crew folder.
    pub root: PathBuf,
    /// Its path within that, with `/` between the parts.
    pub within: String,
}

impl Home {
    /// The file itself.
    pub fn file(&self) -> PathBuf {
        self.root.join(&self.within)
    }
}

/// A worksheet worked.
pub struct Sheet {
    /// Where its file stands; none for one that has no file.
    pub home: Option<Home>,
    /// Its text.
    pub source: Source,
    /// What each stage made of it.
    pub settled: Settled,
    /// Its report.
    pub report: Report,
    /// The files that it may draw on.
    pub(super) folder: Arc<dyn Folder>,
    /// What it was worked in.
    pub(super) book: Arc<Book>,
    /// What has been read of it.
    pub(super) known: Arc<Mutex<Known>>,
}

impl Sheet {
    /// Its own statements.
    pub fn parsed(&self) -> Parsed {
        self.known.lock().unwrap_or_else(PoisonError::into_inner).parse(&self.source)
    }

    /// What its names stand for.
    pub fn meanings(&self) -> Meanings {
        Meanings::of(&self.settled.gathered)
    }

    /// Where names stand in its own text.
    pub fn uses(&self, meanings: &Meanings) -> Uses {
        Uses::of(&self.source, &self.parsed(), meanings)
    }

    /// The file of one of its texts, by the number of the text: none for a template inside the program, or where the
    /// worksheet has no file.
    pub fn file(&self, text: u16) -> Option<PathBuf> {
        let home = self.home.as_ref()?;
        let path = self.settled.gathered.paths.get(usize::from(text))?;
        match text {
            0 => Some(home.file()),
            _ if crate::gathered::shipped::is_inside(path) => None,
            _ => Some(home.root.join(path)),
        }
    }

    /// Its path within its crew folder.
    pub fn within(&self) -> &str {
        self.home.as_ref().map_or("", |home| home.within.as_str())
    }

    /// Its crew folder.
    pub fn root(&self) -> Option<&Path> {
        self.home.as_ref().map(|home| home.root.as_path())
    }
}
