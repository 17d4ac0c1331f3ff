//! A trouble with its line shown and the spot marked, for a person at a terminal.

use super::Trouble;
use crate::text::Source;
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};

/// Shows a trouble: what is wrong, the line with its mark, and what to write instead.
pub fn show(trouble: &Trouble, sources: &[Source], colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let says = printable(&trouble.kind.says());
    let instead = trouble.kind.instead().map(|instead| printable(&instead));
    let mut group = Group::with_title(Level::ERROR.with_name("trouble").primary_title(says.as_str()));
    if let Some(source) = sources.get(usize::from(trouble.place.source)) {
        let mut snippet = Snippet::source(source.text.as_str())
            .path(source.name.as_str())
            .annotation(AnnotationKind::Primary.span(clamped(trouble.place.range(), source)));
        if let Some(beside) = trouble.beside.filter(|beside| beside.source == trouble.place.source) {
            snippet =
                snippet.annotation(AnnotationKind::Context.span(clamped(beside.range(), source)).label("here first"));
        }
        group = group.element(snippet);
    }
    if let Some(instead) = &instead {
        group = group.element(Level::HELP.with_name("instead").message(instead.as_str()));
    }
    renderer.render(&[group]).to_string()
}

/// A range that the text has, on the bounds of its characters.
fn clamped(range: std::ops::Range<usize>, source: &Source) -> std::ops::Range<usize> {
    let start = source.text.floor_char_boundary(range.start);
    let end = source.text.ceil_char_boundary(range.end).max(start);
    start..end
}

/// Text from a worksheet must not steer the terminal.
fn printable(text: &str) -> String {
    text.chars().map(|character| if character.is_control() { '\u{fffd}' } else { character }).collect()
}
