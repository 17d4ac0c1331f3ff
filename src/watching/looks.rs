//! Files looked at every so often, where the system does not tell of saves. It goes by no clock, since the one that dates
//! the files may be another computer's, may stand wrong and may have gone back: whatever has become of a file's dates or
//! size is a change, and so is another file in its place. It reads none of them.

use super::Interests;
use std::collections::{BTreeMap, BTreeSet};
use std::fs::Metadata;
use std::path::{Path, PathBuf};
use std::thread::sleep;
use std::time::{Duration, Instant, SystemTime};

/// What stood at each path of interest when it was last looked at.
#[derive(Debug)]
pub(super) struct Looks {
    every: Duration,
    /// Nothing where nothing was there.
    seen: BTreeMap<PathBuf, Option<Stamp>>,
}

/// What tells a file from what stood in its place before.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Stamp {
    size: u64,
    modified: Option<SystemTime>,
    own: Own,
}

impl Looks {
    /// Looks at nothing yet, and so often from then on.
    pub(super) fn every(every: Duration) -> Self {
        Self { every, seen: BTreeMap::new() }
    }

    /// Turns to other files. Whether there are any among them that were not looked at before.
    pub(super) fn turn_to(&mut self, interests: &Interests) -> bool {
        let before = std::mem::take(&mut self.seen);
        let known = |path: &PathBuf| before.get(path).copied().unwrap_or_else(|| stamp(path));
        self.seen = interests.all().into_iter().map(|path| (path.clone(), known(&path))).collect();
        self.seen.keys().any(|path| !before.contains_key(path))
    }

    /// Waits until files of interest have been saved; none where nothing was saved for so long.
    pub(super) fn next(&mut self, interests: &Interests, patience: Option<Duration>) -> BTreeSet<PathBuf> {
        let begun = Instant::now();
        loop {
            let left = patience.map(|patience| patience.saturating_sub(begun.elapsed()));
            sleep(left.unwrap_or(self.every).min(self.every));
            let changed = self.changed(interests);
            if !changed.is_empty() || patience.is_some_and(|patience| begun.elapsed() >= patience) {
                return changed;
            }
        }
    }

    /// What has changed, come or gone since it was last looked at.
    fn changed(&mut self, interests: &Interests) -> BTreeSet<PathBuf> {
        let mut paths = interests.all();
        paths.extend(self.seen.keys().cloned());
        paths.retain(|path| {
            let now = stamp(path);
            self.seen.insert(path.clone(), now).flatten() != now
        });
        paths
    }
}

fn stamp(path: &Path) -> Option<Stamp> {
    let found = path.metadata().ok()?;
    Some(Stamp { size: found.len(), modified: found.modified().ok(), own: own(&found) })
}

/// Which file it is, and when the system itself last saw it change, which nobody can set.
#[cfg(unix)]
type Own = (u64, u64, i64, i64);

#[cfg(unix)]
fn own(found: &Metadata) -> Own {
    use std::os::unix::fs::MetadataExt;
    (found.dev(), found.ino(), found.ctime(), found.ctime_nsec())
}

/// When it was made: one that is put in another's place has a date of its own.
#[cfg(not(unix))]
type Own = Option<SystemTime>;

#[cfg(not(unix))]
fn own(found: &Metadata) -> Own {
    found.created().ok()
}
