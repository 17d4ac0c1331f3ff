//! Prose: titles, sections, notes, cautions, advice and remarks, whose text runs to the end of the line.

use super::parse::{Parsed, Positioned, Read, Reader};
use super::tree::{Statement, StatementKind};
use crate::text::{Place, Role, Written, cut, lines};
use crate::trouble::{Kind, Trouble};

/// A line of prose, without the characters that make it one.
pub(super) fn prose(reader: &Reader<'_>, written: Written) -> Read<StatementKind> {
    let text = reader.text(written.place);
    let mark = match written.role {
        Role::Title | Role::Caution => 1,
        _ => 2,
    };
    let body = text.get(mark..).unwrap_or("");
    if body.trim().is_empty() && written.role != Role::Note {
        return Err(Trouble::new(written.place, Kind::EmptyProse { mark: text.get(..mark).unwrap_or("").to_owned() }));
    }
    check_continuations(reader, written.place)?;
    let joined = joined(body);
    Ok(match written.role {
        Role::Title => StatementKind::Title(joined),
        Role::Section => StatementKind::Section(joined),
        Role::Caution => StatementKind::Caution(joined),
        _ => StatementKind::Note(joined),
    })
}

/// Text over several lines as one.
pub(super) fn joined(text: &str) -> String {
    match text.contains('\n') {
        true => text.lines().map(str::trim).filter(|line| !line.is_empty()).collect::<Vec<_>>().join(" "),
        false => text.trim().to_owned(),
    }
}

/// A remark's text; one that goes on in the next line is refused, since that line may have been meant as a value's.
pub(super) fn remark(reader: &Reader<'_>, pair: &Positioned<'_>) -> Read<Option<String>> {
    let place = pair.place();
    let text = reader.text(place);
    if let Some(line_end) = text.find('\n') {
        let rest = cut::since(text, line_end);
        let lead = rest.len() - rest.trim_start().len();
        let start = place.start as usize + line_end + lead;
        return Err(Trouble::new(Place::new(place.source, start, place.end as usize), Kind::RemarkContinued));
    }
    let body = text.trim_start_matches('-').trim();
    Ok((!body.is_empty()).then(|| body.to_owned()))
}

/// Refuses a continuation of prose that itself reads as a statement: it may have been meant as one.
pub(super) fn check_continuations(reader: &Reader<'_>, place: Place) -> Read<()> {
    let text = reader.text(place);
    let mut start = place.start as usize;
    for (index, line) in text.split('\n').enumerate() {
        let body = line.trim();
        let lead = line.len() - line.trim_start().len();
        if index > 0 && reads_as_statement(body) {
            let own = Place::new(place.source, start + lead, start + lead + body.len());
            return Err(Trouble::new(own, Kind::ProseOrStatement { text: body.to_owned() }));
        }
        start += line.len() + 1;
    }
    Ok(())
}

fn reads_as_statement(line: &str) -> bool {
    match lines::role(line) {
        Role::Title | Role::Section | Role::Note | Role::Caution | Role::Check | Role::Row | Role::Chart => true,
        Role::Fills => true,
        Role::Crew => {
            let mut words = line.split_whitespace();
            words.next() == Some("1") && words.next().is_some() && matches!(words.next(), None | Some("="))
        }
        Role::Named => is_named(line),
        Role::Unknown | Role::Stray => false,
    }
}

/// A few words and then `:` or `=` with something behind it.
fn is_named(line: &str) -> bool {
    let Some(index) = line.find([':', '=']) else { return false };
    let (name, rest) = line.split_at(index);
    let mut characters = name.trim_end().chars();
    let is_name =
        characters.all(|character| character.is_alphanumeric() || matches!(character, ' ' | '\'' | '_' | '-' | '’'));
    is_name && !cut::since(rest, 1).trim().is_empty()
}

/// The title stands once; a second `#` line was meant as a section.
pub(super) fn check_titles(parsed: &mut Parsed) {
    let title = |statement: &Statement| match &statement.kind {
        StatementKind::Title(title) => Some((statement.place, title.clone())),
        _ => None,
    };
    let titles: Vec<(Place, String)> = parsed.statements.iter().map(Box::as_ref).filter_map(title).collect();
    let Some(((first, _), others)) = titles.split_first() else { return };
    for (place, title) in others {
        let section = format!("## {title}");
        parsed.troubles.push(Trouble::new(*place, Kind::SecondTitle { section }).beside(*first));
    }
}
