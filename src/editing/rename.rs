//! A name changed throughout a worksheet, where that leaves all else as it is: it is refused where the new name would
//! clash or could not be read, where the name is a template's or another worksheet's, and where others draw on it.

use super::layout::Edit;
use super::meanings::{Meaning, Meanings};
use super::sheet::Sheet;
use super::stands::used;
use super::uses::Uses;
use crate::book::Settled;
use crate::report::letters::clean;
use crate::syntax::{self, tree};
use crate::text::{Place, Source, single_spaced};
use std::fmt;

/// Why a name cannot be changed.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum NoRename {
    /// No name stands there.
    NoName,
    /// It is a template's.
    OfTemplate(String),
    /// It is another worksheet's.
    OfOther(String),
    /// Something is called so already.
    Taken(String),
    /// It could not be read as a name there: what is wrong with it.
    Unreadable(String),
    /// Lines would mean something else than before.
    OtherMeaning(String),
    /// Other worksheets draw on it.
    DrawnOn(String),
}

impl fmt::Display for NoRename {
    fn fmt(&self, form: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::NoName => write!(form, "no name stands here that could be changed"),
            Self::OfTemplate(file) => write!(form, "the name is given in the template {file}: change it there"),
            Self::OfOther(file) => write!(form, "the name is given in the worksheet {file}: change it there"),
            Self::Taken(name) => write!(form, "{name} is the name of something else in this worksheet"),
            Self::Unreadable(says) => write!(form, "{says}"),
            Self::OtherMeaning(name) => write!(form, "{name} would stand for something else on one of the lines"),
            Self::DrawnOn(file) => write!(form, "{file} draws on it by this name, and would no longer find it"),
        }
    }
}

/// The name at a byte that may be changed, and where it stands.
///
/// # Errors
/// Why it may not.
pub fn renamable(sheet: &Sheet, at: u32) -> Result<(Place, String), NoRename> {
    let meanings = sheet.meanings();
    let uses = sheet.uses(&meanings);
    let found = uses.name_at(at).ok_or(NoRename::NoName)?;
    own(sheet, &meanings, &found.means)?;
    Ok((found.place, sheet.source.slice(found.place).to_owned()))
}

/// Refuses what is not given in the worksheet itself.
fn own(sheet: &Sheet, meanings: &Meanings, means: &Meaning) -> Result<(), NoRename> {
    if let Meaning::Of(drawn, _) = means {
        let file = meanings.file(drawn).map(|file| clean(&file.path)).unwrap_or_default();
        return Err(NoRename::OfOther(file));
    }
    let source = meanings.given(means).ok_or(NoRename::NoName)?.name.place.source;
    match sheet.settled.gathered.paths.get(usize::from(source)) {
        Some(path) if source > 0 => Err(NoRename::OfTemplate(clean(path))),
        _ => Ok(()),
    }
}

/// The edits that give what stands at a byte another name.
///
/// # Errors
/// Why that may not be done.
pub fn rename(sheet: &Sheet, at: u32, name: &str) -> Result<Vec<Edit>, NoRename> {
    let meanings = sheet.meanings();
    let uses = sheet.uses(&meanings);
    let means = uses.name_at(at).ok_or(NoRename::NoName)?.means.clone();
    own(sheet, &meanings, &means)?;
    let name = single_spaced(name);
    let renamed = renamed(&means, &tree::key(&name));
    if renamed != means && is_taken(&meanings, &means, &tree::key(&name)) {
        return Err(NoRename::Taken(name));
    }
    let is_elsewhere = |file: &Option<std::path::PathBuf>| *file != sheet.file(0);
    if let Some(other) = used(sheet, at, true).into_iter().find(|stand| is_elsewhere(&stand.file)) {
        return Err(NoRename::DrawnOn(clean(&other.source.name)));
    }
    let places: Vec<Place> = uses.names.iter().filter(|own| own.means == means).map(|own| own.place).collect();
    let edit = |place: &Place| Edit { place: *place, text: in_form(sheet, *place, &means, &name) };
    let edits: Vec<Edit> = places.iter().map(edit).collect();
    same_meaning(sheet, &uses, &edits, (&means, &renamed), &name)?;
    Ok(edits)
}

/// The name as it is written at a place: a measure in the plural where it stood so.
fn in_form(sheet: &Sheet, place: Place, means: &Meaning, name: &str) -> String {
    let is_plural = matches!(means, Meaning::Measure(key) if tree::key(sheet.source.slice(place)) != *key);
    if is_plural { format!("{name}s") } else { name.to_owned() }
}

/// What a name stands for once it is another.
fn renamed(means: &Meaning, key: &str) -> Meaning {
    let key = key.to_owned();
    match means {
        Meaning::Value(_) => Meaning::Value(key),
        Meaning::Table(_) => Meaning::Table(key),
        Meaning::Column(table, _) => Meaning::Column(table.clone(), key),
        Meaning::Sheet(_) => Meaning::Sheet(key),
        Meaning::Of(sheet, _) => Meaning::Of(sheet.clone(), key),
        Meaning::Measure(_) => Meaning::Measure(key),
    }
}

fn is_taken(meanings: &Meanings, means: &Meaning, key: &str) -> bool {
    match means {
        Meaning::Column(table, _) => meanings.column(table, key).is_some() || table == key,
        Meaning::Measure(_) => meanings.measure(key).is_some(),
        Meaning::Table(table) => meanings.is_taken(key) || meanings.column(table, key).is_some(),
        _ => meanings.is_taken(key),
    }
}

/// Works the worksheet with the edits made: nothing may be in trouble that was not, and every name must stand for what it
/// stood for.
fn same_meaning(
    sheet: &Sheet,
    uses: &Uses,
    edits: &[Edit],
    (means, renamed): (&Meaning, &Meaning),
    name: &str,
) -> Result<(), NoRename> {
    let source = Source::of_text(&sheet.source.name, applied(&sheet.source.text, edits));
    let parsed = syntax::parse(&source, 0);
    let settled = sheet.book.settle_read(source.clone(), parsed.clone(), sheet.within());
    let before: Vec<String> = says(&sheet.settled).collect();
    if says(&settled).count() > before.len() {
        let new = says(&settled).find(|says| !before.contains(says));
        return Err(NoRename::Unreadable(clean(&new.unwrap_or_default())));
    }
    let now = Uses::of(&source, &parsed, &Meanings::of(&settled.gathered));
    let expected = uses.names.iter().map(|own| replaced(&own.means, means, renamed));
    let found = now.names.iter().map(|own| own.means.clone());
    if expected.eq(found) { Ok(()) } else { Err(NoRename::OtherMeaning(name.to_owned())) }
}

fn says(settled: &Settled) -> impl Iterator<Item = String> {
    settled.checked.troubles.iter().chain(&settled.worked.troubles).map(|trouble| trouble.kind.says())
}

/// What a name stands for after a change of names: columns go with their table, values with their sheet.
fn replaced(own: &Meaning, means: &Meaning, renamed: &Meaning) -> Meaning {
    match (own, means, renamed) {
        (own, means, renamed) if own == means => renamed.clone(),
        (Meaning::Column(table, column), Meaning::Table(before), Meaning::Table(now)) if table == before => {
            Meaning::Column(now.clone(), column.clone())
        }
        (Meaning::Of(sheet, name), Meaning::Sheet(before), Meaning::Sheet(now)) if sheet == before => {
            Meaning::Of(now.clone(), name.clone())
        }
        (own, ..) => own.clone(),
    }
}

fn applied(text: &str, edits: &[Edit]) -> String {
    let mut edited = text.to_owned();
    for edit in edits.iter().rev() {
        if edited.get(edit.place.range()).is_some() {
            edited.replace_range(edit.place.range(), &edit.text);
        }
    }
    edited
}
