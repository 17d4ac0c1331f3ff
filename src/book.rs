//! A book: a run over one crew folder. It hands what one worksheet draws on from others to the stages, which read
//! nothing themselves. Several worksheets may be worked side by side; what comes out is the same.

mod asked;
mod drawer;
mod patterns;
pub mod why;

use crate::checked::drawn::{Drawn, Given, GivenRow, GivenRows};
use crate::checked::model::{Checked, SheetRow};
use crate::gathered::{self, Gathered, RowRun, Texts, shipped};
use crate::report::Report;
use crate::report::build::{self, Sheet};
use crate::syntax::Parsed;
use crate::syntax::tree::{RowsFrom, StatementKind};
use crate::text::crew_folder::{HIDDEN_APART, within};
use crate::text::source::MOST_BYTES;
use crate::text::{Folder, Source};
use crate::trouble::{self, Kind, Trouble};
use crate::worked::Worked;
use crate::{Request, checked, syntax, worked};
use asked::{Asked, Circle, Run};
use drawer::Drawer;
use std::collections::{BTreeSet, HashMap};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};

/// The most bytes of a CSV file.
const MOST_CSV: u64 = 1 << 31;

/// What a value waits on that rests on a table left out: see [`Patterns`].
const LEFT_OUT: &str = "its own log";

/// Whether the tables that a worksheet has from patterns are worked with it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
enum Patterns {
    /// They are.
    Worked,
    /// They are left out, and what rests on them waits. A log asks its records for single values, most of which rest
    /// on no log: so two records that read each other are no circle.
    LeftOut,
}

/// A worksheet by its path, and how it is worked.
type Key = (String, Patterns);
type DrawnResult = Result<Arc<Drawn>, Kind>;

/// A run over one crew folder.
pub struct Book {
    folder: Arc<dyn Folder>,
    request: Request,
    /// Templates read.
    texts: Texts,
    /// Worksheets that others draw on.
    drawn: Mutex<HashMap<Key, Arc<Drawn>>>,
    /// The rows that worksheets give to tables from patterns: these are kept, and not the worksheets, since a log over
    /// thousands of records must not hold them all.
    rows: Mutex<HashMap<patterns::Wanted, Vec<GivenRow>>>,
    /// The files that patterns match.
    matched: Mutex<HashMap<String, Arc<[String]>>>,
    drew_on: Mutex<DrewOn>,
}

/// What a run drew on, for those that watch. Paths are within the folder.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct DrewOn {
    /// The files read, those that were not there among them.
    pub files: BTreeSet<String>,
    /// The patterns of files asked for.
    pub patterns: BTreeSet<String>,
}

/// A worksheet worked, with what each stage made of it.
pub struct Settled {
    /// The worksheet put together with its templates.
    pub gathered: Gathered,
    /// Its texts, and behind them what was set for this run.
    pub sources: Vec<Source>,
    /// Every promise settled.
    pub checked: Checked,
    /// Every value worked.
    pub worked: Worked,
}

/// What is behind a lock; nothing that holds one can leave it half changed.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

impl Settled {
    /// What its report is built from, of a run with that request.
    pub fn sheet(&self, request: &Request) -> Sheet<'_> {
        Sheet {
            sources: &self.sources,
            checked: &self.checked,
            worked: &self.worked,
            today: request.today.to_string(),
            set: request.set.clone(),
            templates: self.gathered.templates.clone(),
            colour: request.colour,
        }
    }
}

impl Book {
    /// A run over a folder.
    pub fn new(folder: Arc<dyn Folder>, request: Request) -> Self {
        let (texts, drawn, rows, matched, drew_on) = Default::default();
        Self { folder, request, texts, drawn, rows, matched, drew_on }
    }

    /// Works a worksheet that is called `name` and stands at `path` in the folder, and reports it.
    pub fn report(&self, name: &str, path: &str, bytes: Vec<u8>) -> Report {
        match self.work(name, path, bytes) {
            Ok(settled) => self.report_of(&settled),
            Err(unread) => *unread,
        }
    }

    /// Works a worksheet that is called `name` and stands at `path` in the folder, from its bytes.
    ///
    /// # Errors
    /// The report of one that cannot be read.
    pub fn work(&self, name: &str, path: &str, bytes: Vec<u8>) -> Result<Settled, Box<Report>> {
        match Source::new(name, bytes) {
            Ok(source) => Ok(self.settle(source, path)),
            Err(unreadable) => Err(Box::new(crate::unread(name, trouble::unreadable(unreadable), &self.request))),
        }
    }

    /// Works a worksheet that stands at `path` in the folder.
    pub fn settle(&self, source: Source, path: &str) -> Settled {
        self.first(source, path, &self.request.set)
    }

    /// Works a worksheet that no other asked for, with what is set for it.
    fn first(&self, source: Source, path: &str, set: &[String]) -> Settled {
        let run = Run::default();
        self.settled(source, &Asked::first(path, &run), set, Patterns::Worked)
    }

    /// The report of a worksheet that has been worked.
    pub fn report_of(&self, settled: &Settled) -> Report {
        build::report(&self.sheet(settled))
    }

    /// What the reports of a worksheet that has been worked are built from.
    pub fn sheet<'s>(&self, settled: &'s Settled) -> Sheet<'s> {
        settled.sheet(&self.request)
    }

    /// How worksheets are worked in this run.
    pub fn request(&self) -> &Request {
        &self.request
    }

    /// Whether a file has been drawn on so far, or would have been by a pattern if it had been there. A pattern passes
    /// over the worksheet itself that it stands in.
    pub fn draws_on(&self, path: &str, is_itself: bool) -> bool {
        let drew_on = locked(&self.drew_on);
        let matches = |pattern: &String| {
            glob::Pattern::new(pattern).is_ok_and(|pattern| pattern.matches_with(path, HIDDEN_APART))
        };
        drew_on.files.contains(path) || !is_itself && drew_on.patterns.iter().any(matches)
    }

    /// What has been drawn on so far.
    pub fn drew_on(&self) -> DrewOn {
        locked(&self.drew_on).clone()
    }

    /// The same for one whose text has been read.
    pub fn settle_read(&self, source: Source, parsed: Parsed, path: &str) -> Settled {
        let run = Run::default();
        self.settled_read(source, parsed, &Asked::first(path, &run), &self.request.set, Patterns::Worked)
    }

    fn settled(&self, source: Source, asked: &Asked<'_>, set: &[String], patterns: Patterns) -> Settled {
        let parsed = syntax::parse(&source, 0);
        self.settled_read(source, parsed, asked, set, patterns)
    }

    fn settled_read(
        &self,
        source: Source,
        parsed: Parsed,
        asked: &Asked<'_>,
        set: &[String],
        patterns: Patterns,
    ) -> Settled {
        let mut gathered = gathered::gather_read(source, parsed, asked.path, self.folder.as_ref(), &self.texts);
        let templates = gathered.paths.iter().filter(|path| !shipped::is_inside(path)).chain(&gathered.missing);
        locked(&self.drew_on).files.extend(templates.cloned());
        let given = if gathered.is_stopped { Given::default() } else { self.given(&gathered, asked, patterns) };
        let mut sources = gathered.sources.clone();
        let (settings, mut refused) = settings(set, &mut sources);
        let mut checked = checked::settle(&gathered, &given, &sources, &settings);
        let own_texts = gathered.sources.len();
        refused.extend(checked.troubles.extract_if(.., |trouble| usize::from(trouble.place.source) >= own_texts));
        if !refused.is_empty() {
            // What was to be worked is not what the sheet says: so nothing is worked, as with a changed template.
            gathered.is_stopped = true;
            refused.append(&mut checked.troubles);
            checked = checked::settle(&gathered, &given, &sources, &[]);
            checked.troubles = refused;
        }
        let worked = worked::work(&checked, &sources, self.request.today);
        Settled { gathered, sources, checked, worked }
    }

    /// What a worksheet draws on.
    fn given(&self, gathered: &Gathered, asked: &Asked<'_>, patterns: Patterns) -> Given {
        // A template's files are named from the template's own place.
        let named_in = |source: u16| gathered.paths.get(usize::from(source)).map_or(asked.path, String::as_str);
        let mut given = Given::default();
        for statement in &gathered.statements {
            let StatementKind::Draw(name, file) = &statement.kind else { continue };
            let drawn = self.drawn(asked, named_in(statement.place.source), &file.path);
            let drawn = drawn.and_then(|drawn| match &file.pinned {
                Some((_, pinned)) if *pinned != drawn.fingerprint => Err(Kind::TemplateChanged {
                    file: file.path.clone(),
                    pinned: pinned.clone(),
                    now: drawn.fingerprint.clone(),
                }),
                _ => Ok(drawn),
            });
            given.sheets.insert(name.key.clone(), drawn);
        }
        for (number, run) in gathered.runs.iter().enumerate() {
            let Some(from) = &run.head.rows_from else { continue };
            let rows = self.rows_given(asked, named_in(run.place.source), run, from, patterns);
            given.rows.insert(number, rows.unwrap_or_else(GivenRows::Refused));
        }
        given
    }

    fn rows_given(
        &self,
        asked: &Asked<'_>,
        own: &str,
        run: &RowRun,
        from: &RowsFrom,
        patterns: Patterns,
    ) -> Result<GivenRows, Kind> {
        if !is_pattern(from) {
            return self.csv(own, &from.file.path);
        }
        match patterns {
            Patterns::Worked => self.pattern(asked, own, run, from).map(GivenRows::Sheets),
            Patterns::LeftOut => {
                // A pattern that matches nothing is wrong all the same.
                self.matching(asked, own, from)?;
                let cells = vec![Err(LEFT_OUT.to_owned()); run.head.columns.len()];
                let from = SheetRow { path: asked.path.into(), row: None };
                Ok(GivenRows::Sheets(vec![GivenRow { label: LEFT_OUT.to_owned(), from, cells }]))
            }
        }
    }

    fn bytes(&self, path: &str, named: &str, most: u64) -> Result<Vec<u8>, Kind> {
        locked(&self.drew_on).files.insert(path.to_owned());
        self.folder.read(path, most).map_err(|error| trouble::no_file(named, &error))
    }

    fn csv(&self, from: &str, named: &str) -> Result<GivenRows, Kind> {
        let path = within(from, named).map_err(|error| trouble::no_file(named, &error))?;
        let bytes = self.bytes(&path, named, MOST_CSV)?;
        let text = String::from_utf8(bytes).map_err(|error| Kind::FileHeader {
            file: named.to_owned(),
            says: format!("it is no UTF-8 text: byte {} belongs to no character", error.utf8_error().valid_up_to()),
        })?;
        Ok(GivenRows::Csv(text.into()))
    }

    /// Another worksheet, worked.
    fn drawn(&self, asked: &Asked<'_>, from: &str, named: &str) -> DrawnResult {
        let path = within(from, named).map_err(|error| trouble::no_file(named, &error))?;
        if asked.is_for(&path) {
            let chain = asked.circle(&path);
            asked.run.close_files(Circle { at: path, chain: chain.clone() });
            return Err(Kind::CircleOfFiles { chain });
        }
        let met = asked.run.circles();
        let drawn = self.drawn_at(asked, &path, named, Patterns::Worked)?;
        // It is in trouble for the circle alone, perhaps, and is told of as that by each worksheet on it.
        match asked.run.circle_at(asked.path, met) {
            Some(chain) => Err(Kind::CircleOfFiles { chain }),
            None => Ok(drawn),
        }
    }

    /// The worksheet at a path, worked, and kept. Two that are worked side by side may both work it: to wait for the
    /// other could be to wait for oneself, where files go in a circle.
    fn drawn_at(&self, asked: &Asked<'_>, path: &str, named: &str, patterns: Patterns) -> DrawnResult {
        let key = (path.to_owned(), patterns);
        if let Some(drawn) = locked(&self.drawn).get(&key) {
            return Ok(drawn.clone());
        }
        let (drawn, is_circular) = self.drawn_in_run(asked, &key, named)?;
        if !is_circular {
            locked(&self.drawn).insert(key, drawn.clone());
        }
        Ok(drawn)
    }

    /// The worksheet at a path, worked, and whether a circle was met on the way; kept in the run where it was.
    fn drawn_in_run(&self, asked: &Asked<'_>, key: &Key, named: &str) -> Result<(Arc<Drawn>, bool), Kind> {
        if let Some(drawn) = asked.run.kept(key) {
            return Ok((drawn, true));
        }
        let met = asked.run.met();
        let (path, patterns) = (key.0.as_str(), key.1);
        let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
        let source = Source::new(named, self.bytes(path, named, most)?).map_err(trouble::unreadable)?;
        let fingerprint = source.fingerprint();
        let settled = self.settled(source, &asked.asks(path), &[], patterns);
        let drawn = Arc::new(Drawer { path, settled: &settled, patterns }.drawn(fingerprint));
        let is_circular = asked.run.met() != met;
        if is_circular {
            asked.run.keep(key.clone(), drawn.clone());
        }
        Ok((drawn, is_circular))
    }
}

/// Whether rows come from worksheets, and not from a CSV file.
fn is_pattern(from: &RowsFrom) -> bool {
    !from.file.path.to_lowercase().ends_with(".csv")
}

/// Reads what is set for this run; each is a text of its own after the worksheet's.
fn settings(
    set: &[String],
    sources: &mut Vec<Source>,
) -> (Vec<(syntax::tree::Name, syntax::tree::Literal)>, Vec<Trouble>) {
    let (mut settings, mut refused) = (Vec::new(), Vec::new());
    for text in set {
        let source = Source::of_text("--set", text.clone());
        let number = u16::try_from(sources.len()).unwrap_or(u16::MAX);
        match syntax::parse::parse_setting(&source, number) {
            Ok(setting) => settings.push(setting),
            Err(trouble) => refused.push(trouble),
        }
        sources.push(source);
    }
    (settings, refused)
}
