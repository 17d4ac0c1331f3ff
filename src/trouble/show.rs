//! A trouble with its line shown and the spot marked, for a person at a terminal.

use super::Trouble;
use crate::text::{Place, Source};
use annotate_snippets::{AnnotationKind, Group, Level, Renderer, Snippet};
use std::ops::Range;

/// Shows a trouble: what is wrong, the line with its mark, and what to write instead.
pub fn show(trouble: &Trouble, sources: &[Source], colour: bool) -> String {
    let renderer = if colour { Renderer::styled() } else { Renderer::plain() };
    let says = printable(&trouble.kind.says());
    let instead = trouble.kind.instead().map(|instead| printable(&instead));
    let mut group = Group::with_title(Level::ERROR.with_name("trouble").primary_title(says.as_str()));
    let source = sources.get(usize::from(trouble.place.source)).filter(|source| !source.text.is_empty());
    let beside = trouble.beside.filter(|beside| beside.source == trouble.place.source);
    let window = source.map(|source| Window::new(source, trouble.place));
    let other = source.zip(beside).map(|(source, beside)| Window::new(source, beside));
    let name = source.map(|source| printable(&source.name)).unwrap_or_default();
    for (window, kind, label) in
        [(&window, AnnotationKind::Primary, ""), (&other, AnnotationKind::Context, "here first")]
    {
        let Some(window) = window else { continue };
        let mut annotation = kind.span(window.span.clone());
        if !label.is_empty() {
            annotation = annotation.label(label);
        }
        let snippet = Snippet::source(window.text.as_str()).line_start(window.line).path(name.as_str());
        group = group.element(snippet.annotation(annotation));
    }
    if let Some(instead) = &instead {
        group = group.element(Level::HELP.with_name("instead").message(instead.as_str()));
    }
    renderer.render(&[group]).to_string()
}

/// The most bytes of a line that is shown whole, and how many beside the spot are shown of a longer one.
const LONGEST: usize = 4000;
const AROUND: usize = 200;

/// The lines of a place, so that showing one trouble does not go through the whole text.
struct Window {
    text: String,
    line: usize,
    span: Range<usize>,
}

impl Window {
    fn new(source: &Source, place: Place) -> Self {
        let text = &*source.text;
        let start = text.floor_char_boundary(place.start as usize);
        let end = text.ceil_char_boundary(place.end as usize).max(start);
        let from = text.get(..start).and_then(|before| before.rfind('\n')).map_or(0, |index| index + 1);
        let until = text.get(end..).and_then(|after| after.find('\n')).map_or(text.len(), |index| end + index);
        let (from, until, end) = if until - from > LONGEST {
            // Of a line longer than any page only the neighbourhood is shown.
            let end = text.floor_char_boundary(end.min(start + AROUND));
            let from = text.ceil_char_boundary(from.max(start.saturating_sub(AROUND)));
            (from, text.floor_char_boundary(until.min(end + AROUND)), end)
        } else {
            (from, until, end)
        };
        let lines = text.get(from..until).unwrap_or("");
        Self { text: same_length(lines), line: source.spot(place).line, span: start - from..end - from }
    }
}

/// The lines without anything that could steer a terminal, each letter as many bytes long as before, so that marks
/// stand where they stood.
fn same_length(text: &str) -> String {
    text.chars()
        .map(|character| match character {
            '\n' | '\t' | '\r' => character,
            _ if !is_obeyed(character) => character,
            _ => match character.len_utf8() {
                1 => '?',
                2 => '¿',
                _ => '\u{fffd}',
            },
        })
        .collect()
}

/// Text from a worksheet must not steer the terminal.
fn printable(text: &str) -> String {
    text.chars().map(|character| if is_obeyed(character) { '\u{fffd}' } else { character }).collect()
}

/// Whether a letter is obeyed, or cannot be seen, instead of being shown.
pub fn is_obeyed(letter: char) -> bool {
    let turns = matches!(
        letter,
        '\u{61c}' | '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}' | '\u{2060}'..='\u{206f}' | '\u{feff}'
    );
    turns || letter.is_control()
}
