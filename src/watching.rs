//! Files watched for saves. It waits until one of them has been saved, in whatever manner an editor does that, and is
//! whole as far as the system tells; it reads none of them.

mod interests;
mod looks;
mod saves;
mod told;

pub use interests::Interests;

use looks::Looks;
use std::collections::BTreeSet;
use std::path::PathBuf;
use std::time::Duration;
use told::Told;

/// How often to look where the system does not tell.
const LOOKS: Duration = Duration::from_secs(1);

/// A watch over files.
pub struct Watching {
    manner: Manner,
    interests: Interests,
    /// Why it has to look at the files regularly, where it has to.
    looks_because: Option<String>,
}

/// How one hears of a save.
enum Manner {
    Told(Box<Told>),
    Looks(Looks),
}

impl Watching {
    /// A watch over nothing yet. It is told by the system of each save, or looks every so often where that is asked
    /// for or the system does not tell.
    pub fn new(look_every: Option<Duration>) -> Self {
        let (manner, looks_because) = match look_every.map(Looks::every) {
            Some(looks) => (Manner::Looks(looks), None),
            None => match Told::new() {
                Ok(told) => (Manner::Told(Box::new(told)), None),
                Err(error) => (Manner::Looks(Looks::every(LOOKS)), Some(error.to_string())),
            },
        };
        Self { manner, interests: Interests::default(), looks_because }
    }

    /// Why it looks at the files regularly although nobody asked for that.
    pub fn looks_because(&self) -> Option<&str> {
        self.looks_because.as_deref()
    }

    /// Turns to other files. Whether it had to begin to watch any, so that a save may have been missed just before.
    pub fn turn_to(&mut self, interests: Interests) -> bool {
        self.interests = interests;
        let error = match &mut self.manner {
            Manner::Looks(looks) => return looks.turn_to(&self.interests),
            Manner::Told(told) => match told.turn_to(&self.interests) {
                Ok(has_begun) => return has_begun,
                Err(error) => error,
            },
        };
        // The system watches no more folders: to look at them works everywhere.
        self.looks_because = Some(error.to_string());
        let mut looks = Looks::every(LOOKS);
        looks.turn_to(&self.interests);
        self.manner = Manner::Looks(looks);
        true
    }

    /// Waits until files of interest have been saved, and tells which; none where nothing was saved for so long.
    ///
    /// # Errors
    /// Where the system watches no longer.
    pub fn next(&mut self, patience: Option<Duration>) -> notify::Result<BTreeSet<PathBuf>> {
        match &mut self.manner {
            Manner::Told(told) => told.next(&self.interests, patience),
            Manner::Looks(looks) => Ok(looks.next(&self.interests, patience)),
        }
    }
}
