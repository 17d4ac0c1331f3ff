//! Edits of a text: stretches of it with others put in their places. It knows nothing of what they say.

use crate::text::{Place, cut};

/// What is to stand in the place of a stretch of the text.
pub(super) struct Edit {
    pub(super) place: Place,
    pub(super) text: String,
}

/// The text with all edits made; none may reach into another.
pub(super) fn applied(text: &str, mut edits: Vec<Edit>) -> String {
    edits.sort_by_key(|edit| edit.place);
    let mut edited = String::with_capacity(text.len());
    let mut at = 0;
    for edit in edits {
        let range = edit.place.range();
        edited += cut::between(text, at, range.start);
        edited += &edit.text;
        at = range.end;
    }
    edited + cut::since(text, at)
}
