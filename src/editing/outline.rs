//! The outline of a worksheet: its sections, and in each the entries, results, tables, checks and charts, with what they
//! come to; and the stretches of lines that an editor may fold away.

use super::hints::hints;
use super::sheet::Sheet;
use crate::gathered::rows;
use crate::report::letters::clean;
use crate::syntax::tree::{Statement, StatementKind};
use crate::text::{Place, single_spaced};
use std::collections::HashMap;

/// What an entry of the outline is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum What {
    /// The title, under which all stands that has no section.
    Title,
    /// A section.
    Section,
    /// An entry.
    Entry,
    /// A result.
    Result,
    /// Another worksheet that is drawn on, or the template that is filled.
    Sheet,
    /// A measure of the crew's own.
    Measure,
    /// A table.
    Table,
    /// A check.
    Check,
    /// A chart.
    Chart,
}

/// An entry of the outline.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Part {
    /// What it is.
    pub what: What,
    /// Its name, title or label; never empty.
    pub name: String,
    /// What it comes to, or how it comes out; empty where that is not worked out.
    pub shows: String,
    /// All of it, what stands below it included.
    pub whole: Place,
    /// The line or the name to go to, within the whole.
    pub head: Place,
    /// What stands below it.
    pub parts: Vec<Self>,
}

/// The outline of a worksheet.
pub fn outline(sheet: &Sheet) -> Vec<Part> {
    let shown: HashMap<u32, String> = hints(sheet).into_iter().map(|hint| (hint.at, hint.shows)).collect();
    let parsed = sheet.parsed();
    let mut parts: Vec<Part> =
        parsed.statements.iter().filter_map(|statement| part(statement, &shown, sheet)).collect();
    let tables = rows::rows(&parsed, &sheet.source, &[], &mut Vec::new());
    parts.extend(tables.runs.iter().map(|run| {
        let end = run.rows.last().map_or(run.place.end, |row| row.place.end);
        let whole = Place { end, ..run.place };
        Part { whole, ..named(What::Table, &run.head.name.written, run.place, run.head.name.place) }
    }));
    parts.sort_by_key(|part| part.whole.start);
    below_sections(parts)
}

fn named(what: What, name: &str, whole: Place, head: Place) -> Part {
    let name = match clean(name) {
        name if name.trim().is_empty() => "…".to_owned(),
        name => name,
    };
    Part { what, name, shows: String::new(), whole, head, parts: Vec::new() }
}

fn part(statement: &Statement, shown: &HashMap<u32, String>, sheet: &Sheet) -> Option<Part> {
    let place = statement.place;
    let (what, name, head) = match &statement.kind {
        StatementKind::Title(title) => (What::Title, title, place),
        StatementKind::Section(title) => (What::Section, title, place),
        StatementKind::Entry(name, _) => (What::Entry, &name.written, name.place),
        StatementKind::Result(name, ..) => (What::Result, &name.written, name.place),
        StatementKind::Draw(name, _) => (What::Sheet, &name.written, name.place),
        StatementKind::Fills(file) => (What::Sheet, &file.path, file.place),
        StatementKind::Crew(name, _) => (What::Measure, &name.written, name.place),
        StatementKind::Check(check) => (What::Check, &check.label, place),
        StatementKind::Chart(chart) => (What::Chart, &chart.title, place),
        _ => return None,
    };
    let shows = match &statement.kind {
        StatementKind::Entry(_, literal) => clean(&single_spaced(sheet.source.slice(literal.place))),
        _ => shown.get(&place.end).cloned().unwrap_or_default(),
    };
    Some(Part { shows, ..named(what, name, place, head) })
}

/// Puts what follows a title or a section below it.
fn below_sections(parts: Vec<Part>) -> Vec<Part> {
    let mut outline: Vec<Part> = Vec::new();
    for part in parts {
        let is_head = matches!(part.what, What::Title | What::Section);
        match outline.last_mut().filter(|last| !is_head && matches!(last.what, What::Title | What::Section)) {
            Some(last) => {
                last.whole = last.whole.to(part.whole);
                last.parts.push(part);
            }
            None => outline.push(part),
        }
    }
    outline
}

/// What kind of stretch may be folded away.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fold {
    /// A section, a table, a statement over several lines.
    Lines,
    /// Notes that follow each other.
    Notes,
}

/// The stretches that may be folded away, each of two lines at least; the first line of each stays.
pub fn folds(sheet: &Sheet) -> Vec<(Fold, Place)> {
    let parsed = sheet.parsed();
    let statements = &parsed.statements;
    let mut folds: Vec<(Fold, Place)> = sections(statements);
    let tables = rows::rows(&parsed, &sheet.source, &[], &mut Vec::new());
    let rows = tables.runs.iter().filter_map(|run| Some(run.place.to(run.rows.last()?.place)));
    let loose = tables.loose.iter().filter_map(|loose| Some(loose.name.place.to(loose.rows.last()?.place)));
    folds.extend(rows.chain(loose).map(|place| (Fold::Lines, place)));
    folds.extend(notes(statements).into_iter().map(|place| (Fold::Notes, place)));
    folds.extend(statements.iter().map(|statement| (Fold::Lines, statement.place)));
    folds.retain(|(_, place)| sheet.source.slice(*place).contains('\n'));
    folds.sort_by_key(|(_, place)| (place.start, std::cmp::Reverse(place.end)));
    folds.dedup_by_key(|(_, place)| *place);
    folds
}

fn sections(statements: &[Box<Statement>]) -> Vec<(Fold, Place)> {
    let mut found: Vec<(Fold, Place)> = Vec::new();
    let mut is_open = false;
    for statement in statements {
        if let StatementKind::Section(_) = statement.kind {
            found.push((Fold::Lines, statement.place));
            is_open = true;
        } else if let Some((_, last)) = found.last_mut().filter(|_| is_open) {
            *last = last.to(statement.place);
        }
    }
    found
}

fn notes(statements: &[Box<Statement>]) -> Vec<Place> {
    let is_note = |statement: &Statement| matches!(statement.kind, StatementKind::Note(_) | StatementKind::Caution(_));
    let runs = statements.chunk_by(|one, other| is_note(one) && is_note(other)).filter(|run| run.len() > 1);
    runs.filter_map(|run| Some(run.first()?.place.to(run.last()?.place))).collect()
}
