//! Whether two texts say the same: the same statements with the same trees, and the same characters between the white
//! space. It knows nothing of how a text is laid out.

use super::spacing::is_white;
use super::{has_gap, parse};
use crate::syntax::tree::{Statement, StatementKind};
use crate::text::{Place, Source, single_spaced};
use std::fmt::Debug;

/// Whether both can be read and say the same.
pub(super) fn says_the_same(before: &str, after: &str) -> bool {
    let marks = |text: &'_ str| text.chars().filter(|character| !is_white(*character)).collect::<String>();
    marks(before) == marks(after) && said(before).is_some_and(|before| said(after) == Some(before))
}

/// What each statement says, in the words of its tree.
fn said(text: &str) -> Option<Vec<String>> {
    let source = Source::new("", text.as_bytes().to_vec()).ok()?;
    let parsed = parse::parse(&source, 0);
    if !parsed.troubles.is_empty() {
        return None;
    }
    let mut said = Vec::new();
    let mut end_before = None;
    let mut in_table = false;
    for Statement { place, kind, remark } in parsed.statements.iter().map(Box::as_ref) {
        in_table &= !end_before.is_some_and(|end| has_gap(&source, end, *place));
        end_before = Some(place.end);
        said.push(match kind {
            StatementKind::Row(cells) if in_table => row(&source, cells),
            StatementKind::Row(cells) => without_places(&parse::parse_head(&source, 0, cells).ok()?),
            _ => without_places(kind),
        });
        said.extend(remark.clone());
        in_table = matches!(kind, StatementKind::Row(_)) || in_table && matches!(kind, StatementKind::Note(_));
    }
    Some(said)
}

/// Cells: values where they can be read as such, else words.
fn row(source: &Source, cells: &[Place]) -> String {
    let cell = |cell: &Place| match parse::parse_literal(source, 0, *cell) {
        Ok(literal) => without_places(&literal),
        Err(_) => single_spaced(source.slice(*cell)),
    };
    cells.iter().map(cell).collect::<Vec<_>>().join(" | ")
}

/// A tree written down, its places left out.
fn without_places(tree: &impl Debug) -> String {
    let written = format!("{tree:?}");
    let mut parts = written.split("Place {");
    let first = parts.next().unwrap_or("").to_owned();
    parts.fold(first, |words, part| words + part.split_once('}').map_or(part, |(_, rest)| rest))
}
