//! Saves as the system tells of them: which folders it is asked about, and when what it tells comes to a save.

use super::Interests;
use super::saves::Saves;
use notify::{Event, RecommendedWatcher, RecursiveMode, Watcher};
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// Something that is saved without end is shown at least so often.
const LONGEST: Duration = Duration::from_secs(1);

/// What the system is asked about, and what it has told.
pub(super) struct Told {
    watcher: RecommendedWatcher,
    told: Receiver<notify::Result<Event>>,
    /// The folders watched.
    places: BTreeMap<PathBuf, RecursiveMode>,
    saves: Saves,
}

impl Told {
    /// The system asked about nothing yet.
    ///
    /// # Errors
    /// Where it does not tell.
    pub(super) fn new() -> notify::Result<Self> {
        let (tell, told) = channel();
        let watcher = notify::recommended_watcher(tell)?;
        Ok(Self { watcher, told, places: BTreeMap::new(), saves: Saves::default() })
    }

    /// Turns to other files. Whether it had to begin to watch a folder.
    ///
    /// # Errors
    /// Where the system can watch no more folders.
    pub(super) fn turn_to(&mut self, interests: &Interests) -> notify::Result<bool> {
        let places = interests.places();
        for (place, _) in self.places.iter().filter(|(place, mode)| places.get(*place) != Some(mode)) {
            // It may be gone.
            let _ = self.watcher.unwatch(place);
        }
        self.places.retain(|place, mode| places.get(place) == Some(mode));
        let mut has_begun = false;
        for (place, mode) in &places {
            if self.places.contains_key(place) {
                continue;
            }
            match self.watcher.watch(place, *mode) {
                Ok(()) => {
                    self.places.insert(place.clone(), *mode);
                    has_begun = true;
                }
                // A folder that is not there is heard of from the one above it.
                Err(_) if !place.is_dir() => {}
                Err(error) => return Err(error),
            }
        }
        Ok(has_begun)
    }

    /// Waits until files of interest have been saved; none where nothing was saved for so long.
    ///
    /// # Errors
    /// Where the system watches no longer.
    pub(super) fn next(
        &mut self,
        interests: &Interests,
        patience: Option<Duration>,
    ) -> notify::Result<BTreeSet<PathBuf>> {
        let begun = Instant::now();
        let mut first: Option<Instant> = None;
        loop {
            let wait = match first {
                Some(first) if first.elapsed() >= LONGEST => return Ok(self.saved()),
                Some(_) => Some(self.saves.settles_in()),
                None => patience.map(|patience| patience.saturating_sub(begun.elapsed())),
            };
            let told = match wait {
                Some(wait) => self.told.recv_timeout(wait),
                None => self.told.recv().map_err(|_| RecvTimeoutError::Disconnected),
            };
            match told {
                Ok(told) => self.take(told, interests),
                Err(RecvTimeoutError::Timeout) => return Ok(self.saved()),
                Err(RecvTimeoutError::Disconnected) => return Err(notify::Error::generic("the watch has ended")),
            }
            if !self.saves.touched.is_empty() {
                first.get_or_insert_with(Instant::now);
            }
        }
    }

    /// Takes in what the system tells. Where it has lost count, everything may have been saved.
    fn take(&mut self, told: notify::Result<Event>, interests: &Interests) {
        match told {
            Ok(event) if !event.need_rescan() => self.saves.take(event, |path| interests.concerns(path)),
            Ok(_) | Err(_) => self.saves.touched.extend(self.places.keys().cloned()),
        }
    }

    /// What has been saved. A folder that has come, gone or got another name is watched anew when it is turned to.
    fn saved(&mut self) -> BTreeSet<PathBuf> {
        let saved = self.saves.saved();
        let is_moved = |place: &PathBuf| saved.iter().any(|path| place.starts_with(path));
        for place in self.places.keys().filter(|place| is_moved(place)) {
            let _ = self.watcher.unwatch(place);
        }
        self.places.retain(|place, _| !is_moved(place));
        saved
    }
}
