//! Troubles as an editor marks them: where each stands, all that there is to say of it, and what may be written instead.

use super::sheet::Sheet;
use crate::report::build::MOST_TROUBLES;
use crate::report::letters::clean;
use crate::text::Place;
use crate::trouble::Trouble;

/// A trouble at its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Mark {
    /// Where; in the worksheet's own text, or in that of a template.
    pub place: Place,
    /// A second place that belongs to it.
    pub beside: Option<Place>,
    /// What kind of trouble, as reports call it.
    pub kind: &'static str,
    /// What is wrong, and on a line of its own what to write instead.
    pub says: String,
    /// What the marked spot may read instead, letter for letter.
    pub instead: Vec<String>,
}

/// The troubles of a worksheet, in the order of their places.
pub fn marks(sheet: &Sheet) -> Vec<Mark> {
    let settled = &sheet.settled;
    let mut found: Vec<&Trouble> = settled.checked.troubles.iter().chain(&settled.worked.troubles).collect();
    found.sort_by_key(|trouble| trouble.place);
    found.truncate(MOST_TROUBLES);
    found.into_iter().map(mark).collect()
}

/// A trouble as it is marked.
pub fn mark(trouble: &Trouble) -> Mark {
    let instead = trouble.kind.instead();
    let says = clean(&trouble.kind.says());
    Mark {
        place: trouble.place,
        beside: trouble.beside,
        kind: trouble.kind.name(),
        says: instead.iter().fold(says, |says, instead| format!("{says}\ninstead: {}", clean(instead))),
        instead: instead.iter().flat_map(|instead| exact(instead)).collect(),
    }
}

/// The parts in backticks.
fn exact(instead: &str) -> impl Iterator<Item = String> {
    instead.split('`').skip(1).step_by(2).map(str::to_owned)
}
