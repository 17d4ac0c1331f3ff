//! Templates: the worksheet that another one fills, read and put together with it.

use super::rows::{self, LooseRows, RowRun};
use super::shipped;
use super::texts::{Text, Texts};
use crate::syntax::tree::{FileName, Literal, Name, Statement, StatementKind};
use crate::syntax::{self, Parsed};
use crate::text::crew_folder::within;
use crate::text::source::MOST_BYTES;
use crate::text::{Folder, Place, Source};
use crate::trouble::{self, Kind, Trouble};
use std::collections::{HashMap, HashSet};
use std::sync::Arc;

/// A worksheet put together with its templates.
#[derive(Debug, Default)]
pub struct Gathered {
    /// The texts: the worksheet's own is the first.
    pub sources: Vec<Source>,
    /// Where each text stands in the crew folder; a template inside the program by its name.
    pub paths: Vec<String>,
    /// The order in which the texts' lines stand: the deepest template first, the worksheet last.
    pub ranks: Vec<usize>,
    /// All statements but table rows, template first.
    pub statements: Vec<Box<Statement>>,
    /// All tables.
    pub runs: Vec<RowRun>,
    /// Values that fill entries of a template, those of the worksheet last.
    pub fills: Vec<Fill>,
    /// Names on lines that could not be read.
    pub unread: Vec<Name>,
    /// Names of tables whose first row could not be read.
    pub lost_tables: Vec<String>,
    /// What is wrong.
    pub troubles: Vec<Trouble>,
    /// The templates used, the nearest first.
    pub templates: Vec<TemplateUse>,
    /// Templates in the crew folder that could not be read.
    pub missing: Vec<String>,
    /// Whether a pinned template has changed, so that nothing may be worked.
    pub is_stopped: bool,
}

/// A value that fills an entry.
#[derive(Debug, Clone)]
pub struct Fill {
    /// The entry's name.
    pub name: Name,
    /// The value.
    pub literal: Literal,
    /// The remark on its line.
    pub remark: Option<String>,
    /// Where the line stands.
    pub place: Place,
}

/// A template that is used.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct TemplateUse {
    /// As written in the `from` line.
    pub file: String,
    /// Its fingerprint.
    pub fingerprint: String,
    /// Whether it is pinned.
    pub is_pinned: bool,
}

/// Puts a worksheet together with its templates. `path` is where it stands in the crew folder; `texts` are the templates
/// that have been read in this run.
pub fn gather(source: Source, path: &str, folder: &dyn Folder, texts: &Texts) -> Gathered {
    let parsed = syntax::parse(&source, 0);
    gather_read(source, parsed, path, folder, texts)
}

/// The same with a worksheet that has been read.
pub fn gather_read(source: Source, parsed: Parsed, path: &str, folder: &dyn Folder, texts: &Texts) -> Gathered {
    let mut gatherer = Gatherer { folder, texts, gathered: Gathered::default(), chain: Vec::new() };
    gatherer.sheet(source, parsed, path);
    let count = gatherer.gathered.sources.len();
    gatherer.gathered.ranks = (0..count).rev().collect();
    gatherer.gathered
}

struct Gatherer<'a> {
    folder: &'a dyn Folder,
    texts: &'a Texts,
    gathered: Gathered,
    /// The files on the way from the worksheet, to tell circles.
    chain: Vec<String>,
}

impl Gatherer<'_> {
    /// Adds a text: its template first, then its own lines.
    fn sheet(&mut self, source: Source, parsed: Parsed, path: &str) {
        self.gathered.sources.push(source.clone());
        self.gathered.paths.push(path.to_owned());
        self.chain.push(path.to_owned());
        for (index, statement) in parsed.statements.iter().enumerate() {
            match &statement.kind {
                StatementKind::Fills(file) if index == 0 => self.template(statement.place, file, path),
                StatementKind::Fills(_) => self.misplaced(statement.place, &parsed, &source),
                _ => {}
            }
        }
        self.own_lines(parsed, &source);
    }

    fn refuse(&mut self, place: Place, kind: Kind) {
        self.gathered.troubles.push(Trouble::new(place, kind));
    }

    /// A `from` line that is not the first line.
    fn misplaced(&mut self, place: Place, parsed: &Parsed, source: &Source) {
        let first = parsed.statements.first().filter(|first| matches!(first.kind, StatementKind::Fills(_)));
        self.gathered.troubles.push(match first {
            Some(first) => {
                Trouble::new(place, Kind::FromTwice { line: source.spot(first.place).line }).beside(first.place)
            }
            None => Trouble::new(place, Kind::FromNotFirst),
        });
    }

    fn template(&mut self, place: Place, file: &FileName, from: &str) {
        match self.read(file, from) {
            Ok((text, path)) => {
                let Text { source, fingerprint, parsed } = Text::clone(&text);
                let pin = file.pinned.as_ref();
                if let Some((at, pinned)) = pin.filter(|(_, pinned)| *pinned != fingerprint) {
                    self.gathered.is_stopped = true;
                    self.refuse(
                        *at,
                        Kind::TemplateChanged {
                            file: file.path.clone(),
                            pinned: pinned.clone(),
                            now: fingerprint.clone(),
                        },
                    );
                }
                self.gathered.templates.push(TemplateUse {
                    file: file.path.clone(),
                    fingerprint,
                    is_pinned: pin.is_some(),
                });
                self.sheet(source, parsed, &path);
            }
            Err(kind) => {
                self.gathered.is_stopped = true;
                self.refuse(if file.place == Place::default() { place } else { file.place }, kind);
            }
        }
    }

    /// A template's text, and its path: inside the program where the name has no path, else in the crew folder.
    fn read(&mut self, file: &FileName, from: &str) -> Result<(Arc<Text>, String), Kind> {
        let number = u16::try_from(self.gathered.sources.len()).unwrap_or(u16::MAX);
        let name = &file.path;
        if shipped::is_inside(name) {
            let text = shipped::template(name).ok_or_else(|| Kind::NoSuchTemplate { name: name.clone() })?;
            let text = self.texts.text(name, name, number, || Ok(Source::of_text(name, text.to_owned())))?;
            return Ok((text, name.clone()));
        }
        let path = within(from, name).map_err(|error| trouble::no_file(name, &error))?;
        if self.chain.contains(&path) {
            let chain: Vec<&str> = self.chain.iter().map(String::as_str).chain([path.as_str()]).collect();
            return Err(Kind::CircleOfFiles { chain: chain.join(" from ") });
        }
        let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
        let read = || {
            let bytes = self.folder.read(&path, most).map_err(|error| trouble::no_file(name, &error))?;
            Source::new(name, bytes).map_err(trouble::unreadable)
        };
        match self.texts.text(&path, name, number, read) {
            Ok(text) => Ok((text, path)),
            Err(kind) => {
                self.gathered.missing.push(path);
                Err(kind)
            }
        }
    }

    /// Puts a text's own lines behind those of its template.
    fn own_lines(&mut self, parsed: Parsed, source: &Source) {
        let tables: Vec<String> = self.gathered.runs.iter().map(|run| run.head.name.key.clone()).collect();
        let own = rows::rows(&parsed, source, &tables, &mut self.gathered.troubles);
        self.fill_tables(own, source);
        self.gathered.troubles.extend(parsed.troubles);
        self.gathered.unread.extend(parsed.unread);
        let entries = entry_names(&self.gathered.statements);
        let checks = check_labels(&self.gathered.statements);
        let mut filled = HashMap::new();
        self.gathered.statements.reserve(parsed.statements.len());
        for statement in parsed.statements {
            match &statement.kind {
                StatementKind::Row(_) | StatementKind::Fills(_) => {}
                StatementKind::Entry(name, literal) if entries.contains(&name.key) => {
                    if let Some(first) = filled.get(&name.key).copied() {
                        let kind = Kind::FilledTwice { name: name.written.clone() };
                        self.gathered.troubles.push(Trouble::new(name.place, kind).beside(first));
                        continue;
                    }
                    filled.insert(name.key.clone(), name.place);
                    let fill = Fill {
                        name: name.clone(),
                        literal: literal.clone(),
                        remark: statement.remark.clone(),
                        place: statement.place,
                    };
                    self.gathered.fills.push(fill);
                }
                StatementKind::Check(check) if checks.contains_key(&check.label.to_lowercase()) => {
                    let first = checks.get(&check.label.to_lowercase()).copied().unwrap_or_default();
                    self.gathered.troubles.push(
                        Trouble::new(statement.place, Kind::CheckOfTemplate { label: check.label.clone() })
                            .beside(first),
                    );
                }
                _ => self.gathered.statements.push(statement),
            }
        }
    }

    /// Rows for a template's tables replace all of its own.
    fn fill_tables(&mut self, own: rows::Rows, source: &Source) {
        self.gathered.lost_tables.extend(own.lost);
        // The tables of templates by name; the first counts of those called alike, which are in trouble already.
        let named = self.gathered.runs.iter().enumerate().rev().map(|(index, run)| (run.head.name.key.clone(), index));
        let inherited: HashMap<String, usize> = named.collect();
        let mut given = own.loose;
        for run in own.runs {
            let Some(index) = inherited.get(&run.head.name.key).copied() else {
                self.gathered.runs.push(run);
                continue;
            };
            let Some(template) = self.gathered.runs.get(index) else { continue };
            let text = self
                .gathered
                .sources
                .get(usize::from(template.place.source))
                .map(|text| rows::head_text(&template.cells, text));
            if text.as_ref() == Some(&rows::head_text(&run.cells, source)) {
                given.push(run.into());
            } else {
                self.gathered.troubles.push(rows::changed_head(&run));
            }
        }
        given.sort_by_key(|rows| rows.name.place.start);
        self.replace_rows(given, &inherited, source);
    }

    /// Puts rows in the place of those of a template's tables. Each of these is filled once.
    fn replace_rows(&mut self, given: Vec<LooseRows>, inherited: &HashMap<String, usize>, source: &Source) {
        let mut filled: HashMap<usize, Place> = HashMap::new();
        for LooseRows { name, remark, rows, has_lost_rows } in given {
            let Some(index) = inherited.get(&name.key).copied() else { continue };
            let Some(run) = self.gathered.runs.get_mut(index) else { continue };
            if let Some(first) = filled.get(&index).copied() {
                let kind = Kind::RowsApart { table: name.written, line: source.spot(first).line };
                self.gathered.troubles.push(Trouble::new(name.place, kind).beside(first));
                run.has_lost_rows = true;
                continue;
            }
            filled.insert(index, name.place);
            run.rows = rows;
            run.remark = remark.or(run.remark.take());
            run.is_filled = true;
            run.has_lost_rows = has_lost_rows;
        }
    }
}

fn entry_names(statements: &[Box<Statement>]) -> HashSet<String> {
    statements
        .iter()
        .filter_map(
            |statement| if let StatementKind::Entry(name, _) = &statement.kind { Some(name.key.clone()) } else { None },
        )
        .collect()
}

fn check_labels(statements: &[Box<Statement>]) -> HashMap<String, Place> {
    let label = |statement: &Statement| match &statement.kind {
        StatementKind::Check(check) => Some((check.label.to_lowercase(), statement.place)),
        _ => None,
    };
    statements.iter().map(Box::as_ref).filter_map(label).collect()
}
