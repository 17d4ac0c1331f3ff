//! What may be written at a place: names in scope with what they come to, functions, units that fit, files in quotes,
//! and the entries of a template that are still to be filled.

mod context;
mod units;

use super::sheet::Sheet;
use super::stands::{files, read, title_of};
use crate::checked::model::{Column, FUNCTIONS, Origin, ShownIn, Slot, Table};
use crate::gathered::shipped::TEMPLATES;
use crate::report::Report;
use crate::report::data::{Cell, ReportValue};
use crate::report::figures::waits_on;
use crate::report::letters::clean;
use crate::report::shown::part_words;
use crate::syntax::tree;
use crate::text::Place;
use crate::text::crew_folder::within;
use context::{Context, Where};
use std::collections::{HashMap, HashSet};

/// What is offered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sort {
    /// The name of an entry or a result.
    Value,
    /// A column of a table.
    Column,
    /// A table.
    Table,
    /// Another worksheet.
    Sheet,
    /// A function.
    Function,
    /// A unit.
    Unit,
    /// A file, or a template inside the program.
    File,
    /// An entry of the template that is still blank.
    Blank,
}

/// Something that may be written.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Offer {
    /// What it is.
    pub sort: Sort,
    /// What it is called.
    pub label: String,
    /// What it takes the place of.
    pub place: Place,
    /// What is written.
    pub text: String,
    /// What it comes to, or what it is, in a few words.
    pub detail: String,
}

/// What may be written at a byte of a worksheet's own text, what is most likely first.
pub fn offers(sheet: &Sheet, at: u32) -> Vec<Offer> {
    let Some(context) = Context::at(&sheet.source, at) else {
        return blanks(sheet, Place { source: 0, start: at, end: at });
    };
    let place = context.word;
    let mut offers = match &context.is {
        Where::File { is_template } => named_files(sheet, place, *is_template),
        Where::Head => blanks(sheet, place),
        Where::Unit { .. } => units::offers(sheet, &context),
        Where::Member(of) => members(sheet, of, place),
        Where::Name => names(sheet, &context),
        Where::Nothing => Vec::new(),
    };
    // What begins as the word does comes first; of files and units there are too many to show others too.
    let word = sheet.source.slice(place).trim_end().to_lowercase();
    let is_begun = |offer: &Offer| offer.text.to_lowercase().starts_with(&word);
    if matches!(context.is, Where::File { .. } | Where::Unit { .. }) {
        offers.retain(is_begun);
    }
    offers.sort_by_key(|offer| !is_begun(offer));
    offers
}

/// The values, tables and worksheets that a formula may name, then functions.
fn names(sheet: &Sheet, context: &Context) -> Vec<Offer> {
    let place = context.word;
    let offer = |sort, label: &str, detail: String| Offer {
        sort,
        label: clean(label),
        place,
        text: label.to_owned(),
        detail: clean(&detail),
    };
    let checked = &sheet.settled.checked;
    let table =
        context.table.as_deref().and_then(|key| checked.tables.iter().find(|own| tree::has_key(&own.name, key)));
    let columns = table.into_iter().flat_map(|table| &table.columns);
    let mut found: Vec<Offer> =
        columns.map(|column| offer(Sort::Column, &column.name, unit_of(&column.shown))).collect();
    let details = details(sheet);
    let own = |slot: &&Slot| {
        !slot.is_crew_measure && slot.from.is_none() && Some(&tree::key(&slot.name)) != context.own.as_ref()
    };
    for slot in checked.slots.iter().filter(own) {
        let detail = details.get(slot.name.as_str()).cloned().unwrap_or_else(|| unit_of(&slot.shown));
        found.push(offer(Sort::Value, &slot.name, detail));
    }
    for table in &checked.tables {
        found.push(offer(Sort::Table, &table.name, columns_of(table)));
    }
    for (name, file) in sheet.meanings().sheets() {
        found.push(offer(Sort::Sheet, &name.written, file.path.clone()));
    }
    for (_, name, help) in FUNCTIONS {
        let call = Offer { text: format!("{name}("), ..offer(Sort::Function, name, (*help).to_owned()) };
        found.push(call);
    }
    found
}

fn columns_of(table: &Table) -> String {
    let names: Vec<&str> = table.columns.iter().map(|column| column.name.as_str()).collect();
    format!("table of {}", names.join(", "))
}

fn unit_of(shown: &[ShownIn]) -> String {
    shown.first().map(|shown| shown.symbols.join(" + ")).unwrap_or_default()
}

/// What each value comes to.
fn details(sheet: &Sheet) -> HashMap<&str, String> {
    sheet.report.values.iter().map(|value| (value.name.as_str(), comes_to(&value.name, &value.cell))).collect()
}

fn comes_to(name: &str, cell: &Cell) -> String {
    let unit = cell.parts.first().map(|part| part.unit.clone()).unwrap_or_default();
    match cell.waiting_on.as_slice() {
        [] => cell.parts.first().map(part_words).unwrap_or_default(),
        [own] if own == name => format!("____ {unit}"),
        waiting => format!("{unit}, {}", waits_on(waiting)).trim_start_matches(", ").to_owned(),
    }
}

/// The columns of a table, or the values of another worksheet.
fn members(sheet: &Sheet, of: &str, place: Place) -> Vec<Offer> {
    let checked = &sheet.settled.checked;
    if let Some(table) = checked.tables.iter().find(|own| tree::key(&own.name) == *of) {
        let offer = |column: &Column| Offer {
            sort: Sort::Column,
            label: clean(&column.name),
            place,
            text: column.name.clone(),
            detail: unit_of(&column.shown),
        };
        return table.columns.iter().map(offer).collect();
    }
    let Some(report) = drawn(sheet, of) else { return Vec::new() };
    let offer = |value: &ReportValue| Offer {
        sort: Sort::Value,
        label: clean(&value.name),
        place,
        text: value.name.clone(),
        detail: clean(&comes_to(&value.name, &value.cell)),
    };
    report.values.iter().filter(|value| !value.name.contains('.')).map(offer).collect()
}

/// The report of another worksheet that is drawn on by that name.
fn drawn(sheet: &Sheet, of: &str) -> Option<Report> {
    let meanings = sheet.meanings();
    let file = meanings.file(of)?;
    let path = within(sheet.settled.gathered.paths.get(usize::from(file.place.source))?, &file.path).ok()?;
    let source = read(sheet.folder.as_ref(), &path)?;
    Some(sheet.book.report_of(&sheet.book.settle(source, &path)))
}

/// The entries of the template that the worksheet has no line for.
fn blanks(sheet: &Sheet, place: Place) -> Vec<Offer> {
    let filled: HashSet<&str> = sheet
        .settled
        .gathered
        .fills
        .iter()
        .filter(|fill| fill.place.source == 0)
        .map(|fill| fill.name.key.as_str())
        .collect();
    let is_open = |slot: &&Slot| {
        slot.place.source > 0
            && matches!(slot.origin, Origin::Entered(_))
            && slot.from.is_none()
            && !filled.contains(tree::key(&slot.name).as_str())
    };
    let open = sheet.settled.checked.slots.iter().filter(is_open);
    open.map(|slot| Offer {
        sort: Sort::Blank,
        label: clean(&slot.name),
        place,
        text: format!("{} : ", slot.name),
        detail: unit_of(&slot.shown),
    })
    .collect()
}

/// Files that may be named: worksheets and CSV files of the crew folder as they are named from here, and where a template
/// is wanted those inside the program.
fn named_files(sheet: &Sheet, place: Place, is_template: bool) -> Vec<Offer> {
    let offer = |text: String, detail: String| Offer {
        sort: Sort::File,
        label: clean(&text),
        place,
        text,
        detail: clean(&detail),
    };
    let inside = TEMPLATES.iter().filter(|_| is_template).map(|(name, _)| (*name).to_owned());
    let own = sheet.within();
    let is_wanted =
        |name: &str| name.ends_with(".worksheet") || (!is_template && name.to_lowercase().ends_with(".csv"));
    let on_disk =
        files(sheet.root(), is_wanted).into_iter().filter(|path| path != own).map(|path| from_here(own, &path));
    inside
        .chain(on_disk.take(MOST_FILES))
        .map(|name| {
            let title = title_of(sheet, &name).and_then(|title| title.lines().next().map(str::to_owned));
            offer(name.clone(), title.filter(|title| *title != name).unwrap_or_default())
        })
        .collect()
}

/// So many files are offered.
const MOST_FILES: usize = 500;

/// A path within the crew folder as a worksheet at another names it.
fn from_here(own: &str, path: &str) -> String {
    let folder: Vec<&str> = own.split('/').rev().skip(1).collect::<Vec<_>>().into_iter().rev().collect();
    let parts: Vec<&str> = path.split('/').collect();
    let shared = folder.iter().zip(&parts).take_while(|(own, part)| own == part).count().min(parts.len() - 1);
    let up = "../".repeat(folder.len() - shared);
    format!("{up}{}", parts.get(shared..).unwrap_or_default().join("/"))
}
