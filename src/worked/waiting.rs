//! What a value waits on, where it cannot be worked yet.

use crate::checked::model::Node;
use crate::quantity::Value;
use crate::text::Place;
use crate::trouble::{Kind, Trouble};
use std::collections::BTreeSet;
use std::sync::Arc;

/// A value, or why there is none.
pub type Outcome = Result<Value, Stop>;

/// Why there is no value.
#[derive(Debug, Clone, PartialEq)]
pub enum Stop {
    /// It waits.
    Waits(Waits),
    /// It cannot be worked, and this is why.
    Trouble(Box<Trouble>),
}

/// One thing that is waited on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Wait {
    /// A blank, by its number.
    Blank(usize),
    /// A value or column that is in trouble itself.
    Broken(Node),
    /// A cell that could not be read: table, row, column.
    Cell(usize, usize, usize),
    /// Something in another worksheet, by its number.
    Elsewhere(usize),
    /// The rows of a table that has none yet.
    Rows(usize),
    /// A name on a line that could not be read.
    Unread,
}

/// All that a value waits on.
#[derive(Debug, Clone, PartialEq)]
pub struct Waits(Set);

/// Most wait on one thing; several are shared, since a chain of results hands the same set on.
#[derive(Debug, Clone, PartialEq)]
enum Set {
    One(Wait),
    Several(Arc<BTreeSet<Wait>>),
}

impl Waits {
    /// Waiting on one thing.
    pub fn on(wait: Wait) -> Self {
        Self(Set::One(wait))
    }

    /// Waiting on what either waits on.
    pub fn and(&self, other: &Self) -> Self {
        if self.has_all(other) {
            return self.clone();
        }
        if other.has_all(self) {
            return other.clone();
        }
        Self(Set::Several(Arc::new(self.iter().chain(other.iter()).collect())))
    }

    /// Waiting on what any of them waits on. Of many, such as the cells of a column, they are put together at once.
    fn together(mut several: Vec<Self>) -> Option<Self> {
        let last = several.pop()?;
        match several.as_slice() {
            [first] => Some(first.and(&last)),
            _ => {
                let all: BTreeSet<Wait> = several.iter().chain([&last]).flat_map(Self::iter).collect();
                Some(Self(if all.len() > 1 { Set::Several(Arc::new(all)) } else { last.0 }))
            }
        }
    }

    fn has_all(&self, other: &Self) -> bool {
        match (&self.0, &other.0) {
            (Set::Several(own), Set::Several(other)) => Arc::ptr_eq(own, other) || other.is_subset(own),
            (Set::Several(own), Set::One(wait)) => own.contains(wait),
            (Set::One(own), _) => other.iter().all(|wait| wait == *own),
        }
    }

    /// On how many things.
    pub fn count(&self) -> usize {
        match &self.0 {
            Set::One(_) => 1,
            Set::Several(waits) => waits.len(),
        }
    }

    /// What is waited on, in order.
    pub fn iter(&self) -> impl Iterator<Item = Wait> + '_ {
        let (one, several) = match &self.0 {
            Set::One(wait) => (Some(*wait), None),
            Set::Several(waits) => (None, Some(waits.iter().copied())),
        };
        one.into_iter().chain(several.into_iter().flatten())
    }
}

impl Stop {
    /// Waiting on one thing.
    pub fn wait(wait: Wait) -> Self {
        Self::Waits(Waits::on(wait))
    }

    /// A trouble at a place.
    pub fn trouble(place: Place, kind: Kind) -> Self {
        Self::Trouble(Box::new(Trouble::new(place, kind)))
    }

    /// Both reasons: a trouble comes first, and waits add up.
    pub fn and(self, other: Self) -> Self {
        match (self, other) {
            (Self::Waits(one), Self::Waits(other)) => Self::Waits(one.and(&other)),
            (trouble @ Self::Trouble(_), _) | (_, trouble) => trouble,
        }
    }
}

/// Two things that are both needed.
///
/// # Errors
/// What either lacks.
pub fn both<A, B>(one: Result<A, Stop>, other: Result<B, Stop>) -> Result<(A, B), Stop> {
    match (one, other) {
        (Ok(one), Ok(other)) => Ok((one, other)),
        (Err(stop), Ok(_)) | (Ok(_), Err(stop)) => Err(stop),
        (Err(stop), Err(more)) => Err(stop.and(more)),
    }
}

/// Everything that is needed, in order.
///
/// # Errors
/// What any of them lacks.
pub fn all<A>(parts: impl IntoIterator<Item = Result<A, Stop>>) -> Result<Vec<A>, Stop> {
    let (mut found, mut lacking) = (Vec::new(), Vec::new());
    for part in parts {
        match part {
            Ok(part) => found.push(part),
            Err(Stop::Waits(waits)) => lacking.push(waits),
            Err(trouble) => return Err(trouble),
        }
    }
    match Waits::together(lacking) {
        Some(waits) => Err(Stop::Waits(waits)),
        None => Ok(found),
    }
}
