//! What there is to say of what stands at a place: how a value comes about, what a function does, how large a unit is.
//! The cautions and the notice stand before it, as in every other output.

use super::meanings::{Meaning, Meanings};
use super::pieces::{Role, pieces};
use super::sheet::Sheet;
use super::stands::title_of;
use super::uses::Use;
use crate::checked::model::{Check, FUNCTIONS};
use crate::report::Report;
use crate::report::data::{Origin, ReportTable, ReportValue};
use crate::report::letters::clean;
use crate::report::shown::part_words;
use crate::report::text::{self, Look};
use crate::syntax::tree;
use crate::text::{Place, single_spaced};
use crate::units::describe;
use crate::units::vocabulary::{self, Lookup};

/// What is said, and of which stretch of the text.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Said {
    /// Of what.
    pub place: Place,
    /// What: plain text in lines of at most 80 characters.
    pub says: String,
}

/// The columns of what is said.
const LOOK: Look = Look { width: 80, colour: false, plain: false };

/// What there is to say of what stands at a byte of a worksheet's own text.
pub fn hover(sheet: &Sheet, at: u32) -> Option<Said> {
    let meanings = sheet.meanings();
    let uses = sheet.uses(&meanings);
    if let Some(found) = uses.name_at(at) {
        return Some(Said { place: found.place, says: name(sheet, &meanings, found)? });
    }
    if let Some(file) = uses.file_at(at) {
        return Some(Said { place: file.place, says: worksheet(sheet, &file.path)? });
    }
    let parsed = sheet.parsed();
    let pieces = pieces(&sheet.source, &parsed);
    let piece = pieces.iter().filter(|piece| piece.place.start <= at && at <= piece.place.end);
    let found = piece.max_by_key(|piece| piece.place.start);
    let words = found.map(|piece| single_spaced(sheet.source.slice(piece.place))).unwrap_or_default();
    let said = found.and_then(|piece| match piece.role {
        Role::Function => Some(Said { place: piece.place, says: function(sheet, &words)? }),
        Role::Unit => Some(Said { place: piece.place, says: unit(sheet, &words)? }),
        _ => None,
    });
    said.or_else(|| check(sheet, at)).or_else(|| cell(sheet, at))
}

/// Cautions and notice, and below them some lines.
fn below_cautions(sheet: &Sheet, lines: &str) -> String {
    let head = text::part(&head_of(&sheet.report), &LOOK);
    format!("{}\n\n{}", head.trim_end(), clean_lines(lines))
}

fn clean_lines(lines: &str) -> String {
    lines.lines().map(clean).collect::<Vec<_>>().join("\n")
}

/// A report with nothing but what stands on every output.
fn head_of(report: &Report) -> Report {
    Report {
        worksheet: report.worksheet.clone(),
        fingerprint: report.fingerprint.clone(),
        title: report.title.clone(),
        cautions: report.cautions.clone(),
        notice: report.notice.clone(),
        today: report.today.clone(),
        ..Report::default()
    }
}

fn why(sheet: &Sheet, asked: &str) -> Option<String> {
    let whys = sheet.book.whys(&sheet.settled, &sheet.report, asked).ok()?;
    Some(text::why::text(&sheet.report, &whys, &LOOK).trim_end().to_owned())
}

fn name(sheet: &Sheet, meanings: &Meanings, found: &Use) -> Option<String> {
    match &found.means {
        Meaning::Value(key) => why(sheet, key),
        Meaning::Of(drawn, name) => why(sheet, &format!("{drawn}.{name}")),
        Meaning::Measure(key) => why(sheet, &format!("1 {key}")),
        Meaning::Table(key) => table(sheet, |table| tree::has_key(&table.name, key)),
        Meaning::Column(key, _) => table(sheet, |table| tree::has_key(&table.name, key)),
        Meaning::Sheet(key) => worksheet(sheet, &meanings.file(key)?.path),
    }
}

/// A table as the report prints it.
fn table(sheet: &Sheet, is_meant: impl Fn(&ReportTable) -> bool) -> Option<String> {
    let table = sheet.report.tables.iter().find(|table| is_meant(table))?.clone();
    let report = Report { tables: vec![table], ..head_of(&sheet.report) };
    Some(text::part(&report, &LOOK).trim_end().to_owned())
}

/// The results of another worksheet or of the template that is filled, as they stand in it.
fn worksheet(sheet: &Sheet, named: &str) -> Option<String> {
    let is_template = sheet.settled.gathered.templates.iter().any(|template| template.file == named);
    if is_template {
        let line = |value: &ReportValue| {
            let parts: Vec<String> = value.cell.parts.iter().map(part_words).collect();
            format!("{}: {}", value.name, parts.join("; "))
        };
        let worked = sheet.report.values.iter().filter(|value| value.origin == Origin::Worked);
        let lines: Vec<String> = worked.filter(|value| value.cell.waiting_on.is_empty()).map(line).collect();
        return Some(below_cautions(sheet, &lines.join("\n")));
    }
    Some(below_cautions(sheet, &title_of(sheet, named)?))
}

fn function(sheet: &Sheet, words: &str) -> Option<String> {
    let key = words.to_lowercase();
    let (_, _, help) = FUNCTIONS.iter().find(|(_, name, _)| *name == key)?;
    Some(below_cautions(sheet, help))
}

/// What a unit is called, how large it is and by what source.
fn unit(sheet: &Sheet, words: &str) -> Option<String> {
    let Lookup::Unit(parts) = vocabulary::lookup(words) else { return None };
    let described = parts.iter().filter_map(|(index, _)| vocabulary::entry(*index)).map(|entry| {
        let si = describe::in_si(&entry.dimension(), &[]);
        format!(
            "{}: {}\n1 {0} = {} {si}\nsource: {}",
            entry.symbol,
            describe::describe(&entry.dimension(), &[]),
            entry.exact,
            entry.source
        )
    });
    Some(below_cautions(sheet, &described.collect::<Vec<_>>().join("\n\n")))
}

/// A check on whose line one is.
fn check(sheet: &Sheet, at: u32) -> Option<Said> {
    let own = |check: &&Check| check.place.source == 0 && check.place.start <= at && at <= check.place.end;
    let check = sheet.settled.checked.checks.iter().find(own)?;
    Some(Said { place: check.place, says: why(sheet, &check.label)? })
}

/// A cell of a row, or the table where one is on the label.
fn cell(sheet: &Sheet, at: u32) -> Option<Said> {
    let holds = |place: Place| place.source == 0 && place.start <= at && at <= place.end;
    let tables = &sheet.settled.checked.tables;
    let (own, row) = tables.iter().find_map(|own| Some((own, own.rows.iter().find(|row| holds(row.place))?)))?;
    let written = row.cells.iter().flatten().zip(&own.columns).find(|(written, _)| holds(written.place));
    match written {
        Some((written, column)) => {
            let asked = format!("{}.{}, {}", own.name, column.name, row.label);
            Some(Said { place: written.place, says: why(sheet, &asked)? })
        }
        None => {
            let says = table(sheet, |table| table.name == own.name)?;
            Some(Said { place: row.place, says })
        }
    }
}
