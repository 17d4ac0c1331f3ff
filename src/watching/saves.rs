//! What is known of saves under way: which files have been touched, and which of them are still being written.

use notify::event::{AccessKind, AccessMode, CreateKind, MetadataKind, ModifyKind};
use notify::{Event, EventKind};
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::time::Duration;

/// So long nothing may happen before a save counts as done: an editor renames, writes and removes in one go.
const SETTLED: Duration = Duration::from_millis(3);

/// So long a file may lie open without being written to, before it is taken as it is.
const LEFT_OPEN: Duration = Duration::from_millis(200);

/// Saves under way.
#[derive(Debug, Default)]
pub(super) struct Saves {
    /// What has been touched.
    pub(super) touched: BTreeSet<PathBuf>,
    /// What is open and has been written to. Only Linux tells when that ends.
    open: BTreeSet<PathBuf>,
}

impl Saves {
    /// Takes in what the system tells. That somebody reads a file, as this program does, is no save.
    pub(super) fn take(&mut self, event: Event, concerns: impl Fn(&PathBuf) -> bool) {
        let change = match event.kind {
            EventKind::Access(AccessKind::Close(AccessMode::Write)) => Change::Closed,
            EventKind::Access(_) | EventKind::Modify(ModifyKind::Metadata(MetadataKind::Any)) => return,
            EventKind::Create(CreateKind::Folder) | EventKind::Modify(ModifyKind::Name(_)) | EventKind::Remove(_) => {
                Change::Whole
            }
            _ => Change::Written,
        };
        for path in event.paths.into_iter().filter(concerns) {
            match change {
                Change::Written => self.open.insert(path.clone()),
                Change::Closed | Change::Whole => self.open.remove(&path),
            };
            self.touched.insert(path);
        }
    }

    /// How long to wait for more before what has been touched counts as saved.
    pub(super) fn settles_in(&self) -> Duration {
        if cfg!(target_os = "linux") && !self.open.is_empty() { LEFT_OPEN } else { SETTLED }
    }

    /// What has been touched, taken out.
    pub(super) fn saved(&mut self) -> BTreeSet<PathBuf> {
        self.open.clear();
        std::mem::take(&mut self.touched)
    }
}

/// What has happened to a file.
#[derive(Clone, Copy)]
enum Change {
    /// It has been written to, and more may come.
    Written,
    /// Whoever wrote it has closed it.
    Closed,
    /// It has come, gone or got another name as it is.
    Whole,
}
