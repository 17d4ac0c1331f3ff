//! Troubles: what can be wrong with a worksheet, as plain data, in words, and with the line shown. A leaf: it knows
//! places in a text and nothing of the stages that find troubles.

pub mod instead;
pub mod kinds;
pub mod lookalikes;
mod made;
pub mod show;
mod table;

pub use kinds::Kind;
pub use made::{bad_date, no_file, no_revision, refused_unit, unreadable};

use crate::text::Place;

/// Something wrong at a place.
#[derive(Debug, Clone, PartialEq)]
pub struct Trouble {
    /// Where.
    pub place: Place,
    /// What.
    pub kind: Kind,
    /// A second place that belongs to it, such as the first definition of a name.
    pub beside: Option<Place>,
}

impl Trouble {
    /// A trouble at one place.
    pub fn new(place: Place, kind: Kind) -> Self {
        Self { place, kind, beside: None }
    }

    /// The same, with a second place shown.
    pub fn beside(self, place: Place) -> Self {
        Self { beside: Some(place), ..self }
    }
}
