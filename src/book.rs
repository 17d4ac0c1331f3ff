//! A book: a run over one crew folder. It reads each file once, works each worksheet once, and hands what one draws on
//! from others to the stages, which read nothing themselves.

pub mod why;

use crate::checked::drawn::{Drawn, DrawnTable, DrawnValue, Given, GivenRow, GivenRows, GivenValue};
use crate::checked::model::{Checked, Origin, SheetRow};
use crate::checked::types::{NumberType, RangeOrigin, Type};
use crate::gathered::{self, Gathered, RowRun};
use crate::quantity::{Doubt, Measured, Moment, Value};
use crate::report::Report;
use crate::report::build::{self, Sheet};
use crate::syntax::tree::{self, ColumnKind, RowsFrom, StatementKind};
use crate::text::crew_folder::within;
use crate::text::source::MOST_BYTES;
use crate::text::{Folder, Source};
use crate::trouble::{self, Kind, Trouble};
use crate::worked::{Outcome, Stop, Wait, Waits, Worked};
use crate::{Request, checked, syntax, worked};
use std::collections::{BTreeMap, BTreeSet, HashMap};
use std::rc::Rc;
use std::sync::Arc;

/// The most bytes of a CSV file.
const MOST_CSV: u64 = 1 << 31;

/// A run over one crew folder.
pub struct Book {
    folder: Rc<dyn Folder>,
    request: Request,
    /// Worksheets that others draw on, by path; without their pattern tables where the second part says so.
    drawn: HashMap<(String, bool), Result<Arc<Drawn>, Kind>>,
    /// The worksheets being worked, the first the one that was asked for.
    chain: Vec<String>,
    /// Every file read, for those that watch.
    read: BTreeSet<String>,
}

/// A worksheet worked, with all that a report needs.
pub struct Settled {
    gathered: Gathered,
    sources: Vec<Source>,
    checked: Checked,
    worked: Worked,
    set: Vec<String>,
    today: Moment,
    colour: bool,
}

impl Settled {
    /// What its reports are built from.
    pub fn sheet(&self) -> Sheet<'_> {
        Sheet {
            sources: &self.sources,
            checked: &self.checked,
            worked: &self.worked,
            today: self.today.to_string(),
            set: self.set.clone(),
            templates: self.gathered.templates.clone(),
            colour: self.colour,
        }
    }
}

impl Book {
    /// A run over a folder.
    pub fn new(folder: Rc<dyn Folder>, request: Request) -> Self {
        Self { folder, request, drawn: HashMap::new(), chain: Vec::new(), read: BTreeSet::new() }
    }

    /// Works a worksheet that is called `name` and stands at `path` in the folder, and reports it.
    pub fn report(&mut self, name: &str, path: &str, bytes: Vec<u8>) -> Report {
        match self.work(name, path, bytes) {
            Ok(settled) => build::report(&settled.sheet()),
            Err(unread) => *unread,
        }
    }

    /// Works a worksheet that is called `name` and stands at `path` in the folder.
    ///
    /// # Errors
    /// The report of one that cannot be read.
    pub fn work(&mut self, name: &str, path: &str, bytes: Vec<u8>) -> Result<Settled, Box<Report>> {
        match Source::new(name, bytes) {
            Ok(source) => {
                let set = self.request.set.clone();
                Ok(self.settled(source, path, &set, true))
            }
            Err(unreadable) => Err(Box::new(crate::unread(name, trouble::unreadable(unreadable), &self.request))),
        }
    }

    /// The files that have been read, within the folder.
    pub fn files_read(&self) -> impl Iterator<Item = &str> {
        self.read.iter().map(String::as_str)
    }

    fn settled(&mut self, source: Source, path: &str, set: &[String], with_patterns: bool) -> Settled {
        self.chain.push(path.to_owned());
        let gathered = gathered::gather(source, path, self.folder.as_ref());
        self.read.extend(gathered.paths.iter().cloned());
        let given = if gathered.is_stopped { Given::default() } else { self.given(&gathered, path, with_patterns) };
        let mut sources = gathered.sources.clone();
        let (settings, mut refused) = settings(set, &mut sources);
        let mut checked = checked::settle(&gathered, &given, &sources, &settings);
        checked.troubles.append(&mut refused);
        let worked = worked::work(&checked, &sources, self.request.today);
        self.chain.pop();
        let (today, colour) = (self.request.today, self.request.colour);
        Settled { gathered, sources, checked, worked, set: set.to_vec(), today, colour }
    }

    /// What a worksheet draws on.
    fn given(&mut self, gathered: &Gathered, path: &str, with_patterns: bool) -> Given {
        let mut given = Given::default();
        for statement in &gathered.statements {
            let StatementKind::Draw(name, file) = &statement.kind else { continue };
            // A template's files are named from the template's own place.
            let from = gathered.paths.get(usize::from(statement.place.source)).map_or(path, String::as_str);
            let drawn = self.drawn(from, &file.path).and_then(|drawn| match &file.pinned {
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
            let own = gathered.paths.get(usize::from(run.place.source)).map_or(path, String::as_str);
            let rows = if from.file.path.to_lowercase().ends_with(".csv") {
                self.csv(own, &from.file.path)
            } else if with_patterns {
                self.pattern(own, path, run, from)
            } else {
                // Another worksheet asks for single values of this one: its own log is left out, so that two records
                // that read each other are no circle.
                Ok(GivenRows::Sheets(vec![GivenRow {
                    label: "its own log".to_owned(),
                    from: SheetRow { path: path.into(), row: None },
                    cells: vec![Err("its own log".to_owned()); run.head.columns.len()],
                }]))
            };
            given.rows.insert(number, rows.unwrap_or_else(GivenRows::Refused));
        }
        given
    }

    fn bytes(&mut self, path: &str, named: &str, most: u64) -> Result<Vec<u8>, Kind> {
        self.read.insert(path.to_owned());
        self.folder.read(path, most).map_err(|error| trouble::no_file(named, &error))
    }

    fn csv(&mut self, from: &str, named: &str) -> Result<GivenRows, Kind> {
        let path = within(from, named).map_err(|error| trouble::no_file(named, &error))?;
        let bytes = self.bytes(&path, named, MOST_CSV)?;
        let text = String::from_utf8(bytes).map_err(|error| Kind::FileHeader {
            file: named.to_owned(),
            says: format!("it is no UTF-8 text: byte {} belongs to no character", error.utf8_error().valid_up_to()),
        })?;
        Ok(GivenRows::Csv(text.into()))
    }

    /// Another worksheet, worked.
    fn drawn(&mut self, from: &str, named: &str) -> Result<Arc<Drawn>, Kind> {
        let path = within(from, named).map_err(|error| trouble::no_file(named, &error))?;
        if self.chain.contains(&path) {
            let chain: Vec<&str> = self.chain.iter().map(String::as_str).chain([path.as_str()]).collect();
            return Err(Kind::CircleOfFiles { chain: chain.join(" from ") });
        }
        self.drawn_at(&path, named, true)
    }

    fn drawn_at(&mut self, path: &str, named: &str, with_patterns: bool) -> Result<Arc<Drawn>, Kind> {
        let key = (path.to_owned(), with_patterns);
        if let Some(drawn) = self.drawn.get(&key) {
            return drawn.clone();
        }
        let most = u64::try_from(MOST_BYTES).unwrap_or(u64::MAX);
        let drawn = self.bytes(path, named, most).and_then(|bytes| {
            let source = Source::new(named, bytes).map_err(trouble::unreadable)?;
            let fingerprint = source.fingerprint();
            let settled = self.settled(source, path, &[], with_patterns);
            Ok(Arc::new(Drawer { path, settled: &settled }.drawn(named, fingerprint)))
        });
        self.drawn.insert(key, drawn.clone());
        drawn
    }

    /// One row of each matching worksheet, or the rows of one of its tables; the worksheet itself is never among them.
    fn pattern(&mut self, own: &str, itself: &str, run: &RowRun, from: &RowsFrom) -> Result<GivenRows, Kind> {
        let named = &from.file.path;
        let pattern = within(own, named).map_err(|error| trouble::no_file(named, &error))?;
        let files = self.folder.matching(&pattern).map_err(|error| trouble::no_file(named, &error))?;
        let folder = own.rsplit_once('/').map_or(String::new(), |(folder, _)| format!("{folder}/"));
        let mut rows = Vec::new();
        for path in files.iter().filter(|path| *path != itself) {
            let label = path.strip_prefix(&folder).unwrap_or(path).to_owned();
            let with_patterns = !self.chain.contains(path);
            let drawn = self.drawn_at(path, path, with_patterns);
            let columns = run.head.columns.iter().filter(|column| !matches!(column.kind, ColumnKind::Worked(..)));
            let keys: Vec<&str> = columns.map(|column| column.name.key.as_str()).collect();
            rows.extend(match &drawn {
                Ok(drawn) => rows_of(drawn, (path, &label), &keys, from.table.as_ref().map(|table| table.key.as_str())),
                Err(_) => vec![waiting_row((path, &label), &keys)],
            });
            // Only the row is kept: a log over thousands of records must not hold them all.
            self.drawn.remove(&(path.clone(), with_patterns));
        }
        if rows.is_empty() && files.iter().all(|path| path == itself) {
            return Err(Kind::NoFileMatches { pattern: named.clone() });
        }
        Ok(GivenRows::Sheets(rows))
    }
}

/// The row of a worksheet, by its path and its label, that cannot give it.
fn waiting_row((path, label): (&str, &str), keys: &[&str]) -> GivenRow {
    let cells = keys.iter().map(|_| Err(label.to_owned())).collect();
    GivenRow { label: label.to_owned(), from: SheetRow { path: path.into(), row: None }, cells }
}

/// The rows that one worksheet gives: one of its named values, or those of its table.
fn rows_of(drawn: &Drawn, (path, label): (&str, &str), keys: &[&str], table: Option<&str>) -> Vec<GivenRow> {
    if drawn.troubles > 0 {
        return vec![waiting_row((path, label), keys)];
    }
    let value = |key: &str| drawn.values.get(key).cloned().ok_or_else(|| format!("{label}: {key}"));
    let Some(table) = table else {
        let cells = keys.iter().map(|key| value(key)).collect();
        return vec![GivenRow { label: label.to_owned(), from: SheetRow { path: path.into(), row: None }, cells }];
    };
    let Some(own) = drawn.tables.get(table) else {
        return vec![waiting_row((path, &format!("{label}: {table}")), keys)];
    };
    let cell = |key: &str, row: usize| match own.columns.get(key) {
        Some(column) => column.get(row).cloned().ok_or_else(|| format!("{label}: {key}")),
        None => value(key),
    };
    own.labels
        .iter()
        .enumerate()
        .map(|(row, name)| GivenRow {
            label: format!("{label}, {name}"),
            from: SheetRow { path: path.into(), row: Some((table.to_owned(), name.clone())) },
            cells: keys.iter().map(|key| cell(key, row)).collect(),
        })
        .collect()
}

/// Takes values out of a worked sheet, as plain data that another can use.
struct Drawer<'a> {
    path: &'a str,
    settled: &'a Settled,
}

impl Drawer<'_> {
    fn drawn(&self, file: &str, fingerprint: String) -> Drawn {
        let (checked, worked) = (&self.settled.checked, &self.settled.worked);
        let mut values = BTreeMap::new();
        for (number, (slot, outcome)) in checked.slots.iter().zip(&worked.slots).enumerate() {
            let is_named = !slot.is_crew_measure && slot.from.is_none() && !matches!(slot.kind, Type::Several(_));
            if is_named && !matches!(slot.origin, Origin::Broken) {
                let kind = self.with_origin(slot.kind.clone(), number);
                values.insert(tree::key(&slot.name), self.value(&slot.name, &kind, &slot.shown, outcome));
            }
        }
        let mut tables = BTreeMap::new();
        for (table, cells) in checked.tables.iter().zip(&worked.columns) {
            let mut own = DrawnTable {
                labels: table.rows.iter().map(|row| row.label.clone()).collect(),
                ..DrawnTable::default()
            };
            for (column, outcomes) in table.columns.iter().zip(cells) {
                let drawn = outcomes
                    .iter()
                    .map(|outcome| self.value(&column.name, &column.kind, &column.shown, outcome))
                    .collect();
                own.columns.insert(tree::key(&column.name), drawn);
            }
            tables.insert(tree::key(&table.name), own);
        }
        Drawn {
            file: file.to_owned(),
            fingerprint,
            values,
            tables,
            troubles: checked.troubles.len() + worked.troubles.len(),
        }
    }

    fn value(&self, name: &str, kind: &Type, shown: &[checked::model::ShownIn], outcome: &Outcome) -> DrawnValue {
        let given = match outcome {
            Ok(value) => GivenValue { value: Ok(value.clone()), sources: self.sources(value) },
            Err(stop) => {
                GivenValue::waiting(format!("{}: {}", self.path, self.waited(stop).unwrap_or_else(|| name.to_owned())))
            }
        };
        let is_own_unit = kind.each().number().is_some_and(|number| number.unit.crew_words().next().is_some());
        let (kind, shown) = if is_own_unit { self.without_crew(kind) } else { (kind.clone(), shown.to_vec()) };
        DrawnValue { name: name.to_owned(), kind, shown, given: Arc::new(given) }
    }

    /// A range keeps where it was written down, so that it cannot enter a result twice by way of two values drawn.
    fn with_origin(&self, mut kind: Type, number: usize) -> Type {
        if let Type::Number(NumberType { range: Some(range), .. }) = &mut kind {
            if range.origins.is_empty() {
                range.origins.push(RangeOrigin { sheet: None, number });
            }
            for origin in &mut range.origins {
                origin.sheet.get_or_insert_with(|| self.path.into());
            }
        }
        kind
    }

    /// The first blank that a value waits on.
    fn waited(&self, stop: &Stop) -> Option<String> {
        let blank = |waits: &Waits| {
            waits.iter().find_map(|wait| if let Wait::Blank(blank) = wait { Some(blank) } else { None })
        };
        match stop {
            Stop::Waits(waits) => self.settled.checked.blanks.get(blank(waits)?).map(|blank| blank.name.clone()),
            Stop::Trouble(_) => None,
        }
    }

    /// A value counted in the worksheet's own measures is handed on in SI units, which mean the same everywhere.
    fn without_crew(&self, kind: &Type) -> (Type, Vec<checked::model::ShownIn>) {
        let Some(number) = kind.number() else { return (Type::Unknown, Vec::new()) };
        match checked::display::in_si(number, &self.settled.checked.crew) {
            Some(number) => {
                let kind = Type::Number(number);
                let shown = checked::display::in_own_unit(&kind, &checked::units::Measures::default());
                (kind, shown)
            }
            None => (Type::Unknown, Vec::new()),
        }
    }

    fn sources(&self, value: &Value) -> Vec<(u32, crate::quantity::Source)> {
        let doubts: Vec<&Doubt> = match value {
            Value::Number(number) => vec![&number.doubt],
            Value::Range(range) => {
                [&range.low, &range.high].into_iter().flatten().map(|end: &Measured| &end.doubt).collect()
            }
            _ => Vec::new(),
        };
        let numbers: BTreeSet<u32> =
            doubts.iter().flat_map(|doubt| doubt.sources().chain(doubt.unknown_source())).collect();
        let source = |number: u32| {
            let mut source = self.settled.worked.sources.get(number)?.clone();
            source.origin.get_or_insert_with(|| (self.path.into(), number));
            Some((number, source))
        };
        numbers.into_iter().filter_map(source).collect()
    }
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
