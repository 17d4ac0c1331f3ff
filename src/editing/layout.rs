//! The canonical layout as edits: only lines that change are touched, so that an editor keeps its place.

use super::sheet::Sheet;
use crate::syntax::layout;
use crate::text::Place;

/// A stretch of a text, and what is to stand in its place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Edit {
    /// Where.
    pub place: Place,
    /// What is to stand there.
    pub text: String,
}

/// The edits that lay a worksheet out; none where that is so already.
///
/// `None` where it is in trouble, or would say something else when laid out: it is left alone.
pub fn edits(sheet: &Sheet) -> Option<Vec<Edit>> {
    let is_sound = sheet.report.troubles.is_empty();
    let after = is_sound.then(|| layout::layout(&sheet.source)).flatten()?;
    Some(between(&sheet.source.text, &after))
}

/// The edits that make one text of another, line by line.
fn between(before: &str, after: &str) -> Vec<Edit> {
    let old: Vec<&str> = before.split_inclusive('\n').collect();
    let new: Vec<&str> = after.split_inclusive('\n').collect();
    let head = old.iter().zip(&new).take_while(|(old, new)| old == new).count();
    let rest = old.len().min(new.len()) - head;
    let tail = old.iter().rev().zip(new.iter().rev()).take(rest).take_while(|(old, new)| old == new).count();
    let middle = |lines: &[&str]| lines.get(head..lines.len() - tail).map(<[&str]>::concat).unwrap_or_default();
    let (was, is) = (middle(&old), middle(&new));
    if was == is {
        return Vec::new();
    }
    let start: usize = old.iter().take(head).map(|line| line.len()).sum();
    let same_count = old.len() == new.len();
    let whole = Edit { place: Place::new(0, start, start + was.len()), text: is };
    if !same_count {
        return vec![whole];
    }
    let mut at = 0;
    let mut edits = Vec::new();
    for (old, new) in old.iter().zip(&new) {
        if old != new {
            edits.push(Edit { place: Place::new(0, at, at + old.len()), text: (*new).to_owned() });
        }
        at += old.len();
    }
    edits
}

#[cfg(test)]
mod tests {
    use super::*;

    fn applied(before: &str, edits: &[Edit]) -> String {
        let mut text = before.to_owned();
        for edit in edits.iter().rev() {
            text.replace_range(edit.place.range(), &edit.text);
        }
        text
    }

    #[test]
    fn the_edits_make_the_other_text() {
        for (before, after) in [
            ("a\nb\nc\n", "a\nb\nc\n"),
            ("a\nb \nc \nd\n", "a\nb\nc\nd\n"),
            ("\n\na\nb\n", "a\nb\n"),
            ("a\nb", "a\nb\n"),
            ("a\n\n\n\nb\n", "a\n\nb\n"),
            ("", "a\n"),
        ] {
            assert_eq!(applied(before, &between(before, after)), after, "{before:?}");
        }
    }

    #[test]
    fn lines_that_stay_are_left_alone() {
        let edits = between("a : 1 ft\nb: 2 ft\n½ c\nd  : 3 ft\n", "a : 1 ft\nb : 2 ft\n½ c\nd : 3 ft\n");
        assert_eq!(edits.iter().map(|edit| edit.place.start).collect::<Vec<_>>(), [9, 22]);
    }
}
