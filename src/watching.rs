//! Files watched for saves. It waits until one of them has been saved, in whatever manner an editor does that, and is
//! whole as far as the system tells; it reads none of them.

mod interests;
mod saves;

pub use interests::Interests;

use notify::{Config, Event, PollWatcher, RecommendedWatcher, RecursiveMode, Watcher};
use saves::Saves;
use std::collections::{BTreeMap, BTreeSet};
use std::path::PathBuf;
use std::sync::mpsc::{Receiver, RecvTimeoutError, channel};
use std::time::{Duration, Instant};

/// Something that is saved without end is shown at least so often.
const LONGEST: Duration = Duration::from_secs(1);

/// How often to look where the system does not tell.
const LOOKS: Duration = Duration::from_secs(1);

/// A watch over files.
pub struct Watching {
    watcher: Box<dyn Watcher + Send>,
    told: Receiver<notify::Result<Event>>,
    /// The folders watched.
    places: BTreeMap<PathBuf, RecursiveMode>,
    interests: Interests,
    saves: Saves,
    /// Why it has to look at the files regularly, where it has to.
    looks_because: Option<String>,
}

impl Watching {
    /// A watch over nothing yet. It is told by the system of each save, or looks every so often where that is asked
    /// for or the system does not tell.
    ///
    /// # Errors
    /// Where it can be done in neither manner.
    pub fn new(look_every: Option<Duration>) -> notify::Result<Self> {
        let (tell, told) = channel();
        let (watcher, looks_because): (Box<dyn Watcher + Send>, _) = match look_every {
            Some(every) => (looking(tell, every)?, None),
            None => match RecommendedWatcher::new(tell.clone(), Config::default()) {
                Ok(watcher) => (Box::new(watcher), None),
                Err(error) => (looking(tell, LOOKS)?, Some(error.to_string())),
            },
        };
        let (places, interests, saves) = (BTreeMap::new(), Interests::default(), Saves::default());
        Ok(Self { watcher, told, places, interests, saves, looks_because })
    }

    /// Why it looks at the files regularly although nobody asked for that.
    pub fn looks_because(&self) -> Option<&str> {
        self.looks_because.as_deref()
    }

    /// Turns to other files. Whether it had to begin to watch a folder, so that a save may have been missed just
    /// before.
    ///
    /// # Errors
    /// Where the system can watch no more folders, and they cannot be looked at either.
    pub fn turn_to(&mut self, interests: Interests) -> notify::Result<bool> {
        let places = interests.places();
        self.interests = interests;
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
                Err(error) if self.looks_because.is_none() => return self.look_instead(&error),
                Err(error) => return Err(error),
            }
        }
        Ok(has_begun)
    }

    /// The system watches no more folders: to look at them works everywhere.
    fn look_instead(&mut self, error: &notify::Error) -> notify::Result<bool> {
        let (tell, told) = channel();
        self.watcher = looking(tell, LOOKS)?;
        self.told = told;
        self.looks_because = Some(error.to_string());
        self.places.clear();
        let interests = std::mem::take(&mut self.interests);
        self.turn_to(interests).map(|_| true)
    }

    /// Waits until files of interest have been saved, and tells which; none where nothing was saved for so long.
    ///
    /// # Errors
    /// Where the system watches no longer.
    pub fn next(&mut self, patience: Option<Duration>) -> notify::Result<BTreeSet<PathBuf>> {
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
                Ok(told) => self.take(told),
                Err(RecvTimeoutError::Timeout) => return Ok(self.saved()),
                Err(RecvTimeoutError::Disconnected) => return Err(notify::Error::generic("the watch has ended")),
            }
            if !self.saves.touched.is_empty() {
                first.get_or_insert_with(Instant::now);
            }
        }
    }

    /// Takes in what the system tells. Where it has lost count, everything may have been saved.
    fn take(&mut self, told: notify::Result<Event>) {
        match told {
            Ok(event) if !event.need_rescan() => self.saves.take(event, |path| self.interests.concerns(path)),
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

fn looking(
    tell: std::sync::mpsc::Sender<notify::Result<Event>>,
    every: Duration,
) -> notify::Result<Box<dyn Watcher + Send>> {
    let config = Config::default().with_poll_interval(every);
    Ok(Box::new(PollWatcher::new(tell, config)?))
}
