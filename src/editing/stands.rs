//! Where names stand over all worksheets of a crew folder: where each is given, and where it is used.

use super::meanings::{Meaning, Meanings};
use super::sheet::Sheet;
use super::uses::{Use, Uses};
use crate::gathered::{self, Gathered, Texts, shipped};
use crate::syntax;
use crate::syntax::tree::StatementKind;
use crate::text::crew_folder::within;
use crate::text::source::MOST_BYTES;
use crate::text::{Folder, Place, Source};
use std::collections::HashMap;
use std::path::{Path, PathBuf};
use std::rc::Rc;

/// A stretch of a file.
#[derive(Debug, Clone)]
pub struct Stand {
    /// The file; none for the text of a worksheet that has none.
    pub file: Option<PathBuf>,
    /// Its text, as the editor holds it where it is open.
    pub source: Source,
    /// Where in it.
    pub place: Place,
}

/// Where the name or file at a byte of a worksheet is given. Of an entry that the worksheet fills: its own line; there,
/// its template's.
pub fn given(sheet: &Sheet, at: u32) -> Vec<Stand> {
    let meanings = sheet.meanings();
    let uses = sheet.uses(&meanings);
    if let Some(file) = uses.file_at(at) {
        return file_named(sheet, &file.path).into_iter().collect();
    }
    let Some(found) = uses.name_at(at) else { return Vec::new() };
    if let Meaning::Of(drawn, name) = &found.means {
        return elsewhere(sheet, &meanings, drawn, name).into_iter().collect();
    }
    let fill = meanings.fill(&found.means).filter(|fill| fill.name.place != found.place);
    let place = fill.or_else(|| meanings.given(&found.means)).map(|given| given.name.place);
    place.and_then(|place| stand(sheet, place)).into_iter().collect()
}

/// A place in one of a worksheet's texts; none for one in a template inside the program, which is no file.
fn stand(sheet: &Sheet, place: Place) -> Option<Stand> {
    let source = sheet.settled.sources.get(usize::from(place.source))?.clone();
    let file = sheet.file(place.source);
    (file.is_some() || place.source == 0).then_some(Stand { file, source, place })
}

fn file_named(sheet: &Sheet, named: &str) -> Option<Stand> {
    if shipped::is_inside(named) {
        return None;
    }
    let path = within(sheet.within(), named).ok()?;
    let source = read(sheet.folder.as_ref(), &path)?;
    Some(Stand { file: Some(sheet.root()?.join(path)), source, place: Place::default() })
}

/// The title of a worksheet that another one names, and where it stands in the crew folder.
pub fn title_of(sheet: &Sheet, named: &str) -> Option<String> {
    let (path, source) = match shipped::template(named) {
        Some(text) => (named.to_owned(), Source::of_text(named, text.to_owned())),
        None => {
            let path = within(sheet.within(), named).ok()?;
            let source = read(sheet.folder.as_ref(), &path)?;
            (path, source)
        }
    };
    let title = syntax::parse(&source, 0).statements.into_iter().find_map(|statement| match statement.kind {
        StatementKind::Title(title) => Some(title),
        _ => None,
    });
    Some(title.map_or_else(|| path.clone(), |title| format!("{title}\n{path}")))
}

/// A text of the crew folder; none where it cannot be read.
pub(super) fn read(folder: &dyn Folder, path: &str) -> Option<Source> {
    let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
    Source::new(path, folder.read(path, most).ok()?).ok()
}

/// Where a value of another worksheet is given.
fn elsewhere(sheet: &Sheet, meanings: &Meanings, drawn: &str, name: &str) -> Option<Stand> {
    let mut crew = Crew::of(sheet);
    let path = drawn_path(&sheet.settled.gathered.paths, meanings, drawn)?;
    let other = crew.worksheet(&path)?;
    let value = Meaning::Value(name.to_owned());
    let given = other.meanings.fill(&value).or_else(|| other.meanings.given(&value));
    // What a template inside the program gives stands in no file: the worksheet that fills it is the nearest to it.
    let place = given.map_or(Place::default(), |given| given.name.place);
    let own = other.paths.get(usize::from(place.source))?;
    let (path, place) = if shipped::is_inside(own) { (&path, Place::default()) } else { (own, place) };
    let source = other.sources.get(usize::from(place.source))?.clone();
    Some(Stand { file: Some(sheet.root()?.join(path)), source, place })
}

/// Where the name at a byte of a worksheet stands, in all worksheets of its crew folder; where it is given among them
/// if that is asked for.
pub fn used(sheet: &Sheet, at: u32, with_given: bool) -> Vec<Stand> {
    let meanings = sheet.meanings();
    let uses = sheet.uses(&meanings);
    let Some(found) = uses.name_at(at) else { return Vec::new() };
    let mut crew = Crew::of(sheet);
    let own = Worksheet::of(&sheet.settled.gathered);
    let wanted = crew.identity(&own, sheet.within(), &found.means);
    let mut stands = Vec::new();
    let is_wanted = |one: &Use| with_given || !one.is_given;
    for one in uses.names.iter().filter(|one| is_wanted(one)) {
        if crew.identity(&own, sheet.within(), &one.means) == wanted {
            stands.extend(stand(sheet, one.place));
        }
    }
    let key = wanted.as_ref().map(|(_, meaning)| words_of(meaning)).unwrap_or_default();
    for path in crew.others(sheet.within(), &key) {
        let Some(other) = crew.worksheet(&path) else { continue };
        let Some(source) = other.sources.first() else { continue };
        let uses = Uses::of(source, &syntax::parse(source, 0), &other.meanings);
        for one in uses.names.iter().filter(|one| is_wanted(one)) {
            if wanted.is_some() && crew.identity(&other, &path, &one.means) == wanted {
                let file = sheet.root().map(|root| root.join(&path));
                stands.push(Stand { file, source: source.clone(), place: one.place });
            }
        }
    }
    stands
}

/// The words of a name, each of which a text that uses it must hold.
fn words_of(meaning: &Meaning) -> Vec<String> {
    let (Meaning::Value(key)
    | Meaning::Table(key)
    | Meaning::Sheet(key)
    | Meaning::Measure(key)
    | Meaning::Column(_, key)
    | Meaning::Of(_, key)) = meaning;
    key.split_whitespace().map(str::to_owned).collect()
}

/// A worksheet put together, not worked.
struct Worksheet {
    /// Its texts, its own first, and where each stands in the crew folder.
    sources: Vec<Source>,
    paths: Vec<String>,
    meanings: Meanings,
}

impl Worksheet {
    fn of(gathered: &Gathered) -> Self {
        let (sources, paths) = (gathered.sources.clone(), gathered.paths.clone());
        Self { sources, paths, meanings: Meanings::of(gathered) }
    }
}

/// The worksheets of a crew folder, read as they are asked for.
struct Crew<'a> {
    folder: &'a dyn Folder,
    root: Option<&'a Path>,
    texts: Texts,
    known: HashMap<String, Option<Rc<Worksheet>>>,
}

/// The path of a worksheet that another one draws on, whose texts stand at `paths`.
fn drawn_path(paths: &[String], meanings: &Meanings, drawn: &str) -> Option<String> {
    let file = meanings.file(drawn)?;
    within(paths.get(usize::from(file.place.source))?, &file.path).ok()
}

/// What a name stands for whatever worksheet it is used in: the file that gives it, and what it is there.
type Identity = Option<(String, Meaning)>;

impl<'a> Crew<'a> {
    fn of(sheet: &'a Sheet) -> Self {
        Self { folder: sheet.folder.as_ref(), root: sheet.root(), texts: Texts::default(), known: HashMap::new() }
    }

    fn worksheet(&mut self, path: &str) -> Option<Rc<Worksheet>> {
        if let Some(known) = self.known.get(path) {
            return known.clone();
        }
        let found = read(self.folder, path)
            .map(|source| Rc::new(Worksheet::of(&gathered::gather(source, path, self.folder, &self.texts))));
        self.known.insert(path.to_owned(), found.clone());
        found
    }

    fn identity(&mut self, worksheet: &Worksheet, path: &str, meaning: &Meaning) -> Identity {
        if let Meaning::Of(drawn, name) = meaning {
            let there = drawn_path(&worksheet.paths, &worksheet.meanings, drawn)?;
            let other = self.worksheet(&there).filter(|_| there != path)?;
            return self.identity(&other, &there, &Meaning::Value(name.clone()));
        }
        let source = worksheet.meanings.given(meaning)?.name.place.source;
        // What a template inside the program gives is the worksheet's own.
        let own = worksheet.paths.get(usize::from(source)).filter(|own| !shipped::is_inside(own));
        Some((own.map_or(path, |own| if source == 0 { path } else { own }).to_owned(), meaning.clone()))
    }

    /// The other worksheets of the folder whose texts hold all of some words, in the order of their names.
    fn others(&self, own: &str, words: &[String]) -> Vec<String> {
        let holds = |path: &String| {
            let source = read(self.folder, path);
            source.is_some_and(|source| {
                let text = source.text.to_lowercase();
                words.iter().all(|word| text.contains(word.as_str()))
            })
        };
        let mut paths = worksheets(self.root);
        paths.retain(|path| path != own && holds(path));
        paths
    }
}

/// The worksheets below a folder, hidden folders passed over, in the order of their names.
pub fn worksheets(root: Option<&Path>) -> Vec<String> {
    files(root, |name| name.ends_with(".worksheet"))
}

/// The files below a folder whose names are such, by their paths within it.
pub fn files(root: Option<&Path>, is_wanted: impl Fn(&str) -> bool) -> Vec<String> {
    let Some(root) = root else { return Vec::new() };
    let is_hidden =
        |entry: &walkdir::DirEntry| entry.depth() > 0 && entry.file_name().as_encoded_bytes().starts_with(b".");
    let entries = walkdir::WalkDir::new(root).sort_by_file_name().into_iter().filter_entry(|entry| !is_hidden(entry));
    let path = |entry: walkdir::DirEntry| {
        let path = entry.path().strip_prefix(root).ok()?.to_str()?.replace('\\', "/");
        (entry.file_type().is_file() && is_wanted(&path)).then_some(path)
    };
    entries.filter_map(Result::ok).filter_map(path).take(MOST_WALKED).collect()
}

/// So many files of a crew folder are looked into.
const MOST_WALKED: usize = 100_000;
