//! What the names of a worksheet stand for, its templates' among them, and where each is given. It goes by what is
//! written, not by what could be settled: a line that is in trouble names things too.

use crate::gathered::Gathered;
use crate::syntax::tree::{self, FileName, Name, StatementKind};
use crate::text::Place;
use std::collections::{BTreeMap, BTreeSet};

/// What a name stands for. Names are by their keys.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Meaning {
    /// An entry or a result.
    Value(String),
    /// A table.
    Table(String),
    /// A column of a table.
    Column(String, String),
    /// Another worksheet.
    Sheet(String),
    /// A value of another worksheet.
    Of(String, String),
    /// A measure of the crew's own.
    Measure(String),
}

/// Where something is given.
#[derive(Debug, Clone)]
pub struct Given {
    /// Its name.
    pub name: Name,
    /// The line, or the cell of a table's first row.
    pub line: Place,
}

/// The names of a worksheet.
#[derive(Debug, Default)]
pub struct Meanings {
    given: BTreeMap<Meaning, Given>,
    columns: BTreeMap<String, Vec<String>>,
    files: BTreeMap<String, FileName>,
    fills: BTreeMap<String, Given>,
    unread: BTreeSet<String>,
}

impl Meanings {
    /// Those of a worksheet put together with its templates.
    pub fn of(gathered: &Gathered) -> Self {
        let mut meanings = Self::default();
        for statement in &gathered.statements {
            let (meaning, name) = match &statement.kind {
                StatementKind::Entry(name, _) | StatementKind::Result(name, ..) => {
                    (Meaning::Value(name.key.clone()), name)
                }
                StatementKind::Draw(name, file) => {
                    meanings.files.insert(name.key.clone(), file.clone());
                    (Meaning::Sheet(name.key.clone()), name)
                }
                StatementKind::Crew(name, _) => (Meaning::Measure(name.key.clone()), name),
                _ => continue,
            };
            meanings.give(meaning, name, statement.place);
        }
        for run in &gathered.runs {
            let table = &run.head.name;
            meanings.give(Meaning::Table(table.key.clone()), table, run.place);
            let keys = run.head.columns.iter().map(|column| column.name.key.clone()).collect();
            meanings.columns.entry(table.key.clone()).or_insert(keys);
            for column in &run.head.columns {
                let meaning = Meaning::Column(table.key.clone(), column.name.key.clone());
                meanings.give(meaning, &column.name, column.place);
            }
        }
        for fill in gathered.fills.iter().filter(|fill| fill.place.source == 0) {
            let given = Given { name: fill.name.clone(), line: fill.place };
            meanings.fills.insert(fill.name.key.clone(), given);
        }
        meanings.unread = gathered.unread.iter().map(|name| name.key.clone()).collect();
        meanings
    }

    fn give(&mut self, meaning: Meaning, name: &Name, line: Place) {
        self.given.entry(meaning).or_insert_with(|| Given { name: name.clone(), line });
    }

    /// Where something is given first: an entry of a template, in the template.
    pub fn given(&self, meaning: &Meaning) -> Option<&Given> {
        self.given.get(meaning)
    }

    /// The worksheet's own line that fills an entry of its template.
    pub fn fill(&self, meaning: &Meaning) -> Option<&Given> {
        match meaning {
            Meaning::Value(key) => self.fills.get(key),
            _ => None,
        }
    }

    /// Everything that has a name, and where it is given.
    pub fn all(&self) -> impl Iterator<Item = (&Meaning, &Given)> {
        self.given.iter()
    }

    /// What a name stands for in a formula of the column of a table, or outside of any.
    pub fn name(&self, key: &str, row: Option<&str>) -> Option<Meaning> {
        let column = row.filter(|table| self.has_column(table, key));
        let column = column.map(|table| Meaning::Column(table.to_owned(), key.to_owned()));
        column.or_else(|| self.outside(key))
    }

    /// What a name stands for outside of tables.
    fn outside(&self, key: &str) -> Option<Meaning> {
        let meanings = [Meaning::Value, Meaning::Table, Meaning::Sheet].map(|meaning| meaning(key.to_owned()));
        meanings.into_iter().find(|meaning| self.given.contains_key(meaning))
    }

    /// What a name behind another and a point stands for.
    pub fn member(&self, of: &str, key: &str) -> Option<Meaning> {
        match self.outside(of)? {
            Meaning::Table(table) => self.column(&table, key),
            Meaning::Sheet(sheet) => Some(Meaning::Of(sheet, key.to_owned())),
            _ => None,
        }
    }

    /// A column of a table.
    pub fn column(&self, table: &str, key: &str) -> Option<Meaning> {
        self.has_column(table, key).then(|| Meaning::Column(table.to_owned(), key.to_owned()))
    }

    /// A measure of the crew's own, in one of its forms: `scoop`, `scoops`.
    pub fn measure(&self, words: &str) -> Option<Meaning> {
        let key = tree::key(words);
        let forms = [Some(key.as_str()), key.strip_suffix('s')];
        let measures = forms.into_iter().flatten().map(|form| Meaning::Measure(form.to_owned()));
        measures.into_iter().find(|meaning| self.given.contains_key(meaning))
    }

    fn has_column(&self, table: &str, key: &str) -> bool {
        self.columns.get(table).is_some_and(|columns| columns.iter().any(|column| column == key))
    }

    /// The file that a worksheet is drawn from.
    pub fn file(&self, sheet: &str) -> Option<&FileName> {
        self.files.get(sheet)
    }

    /// The worksheets that are drawn on: the name of each, and its file.
    pub fn sheets(&self) -> impl Iterator<Item = (&Name, &FileName)> {
        let given = |key: &String| self.given.get(&Meaning::Sheet(key.clone()));
        self.files.iter().filter_map(move |(key, file)| Some((&given(key)?.name, file)))
    }

    /// Whether a name is taken, by a line that could not be read too.
    pub fn is_taken(&self, key: &str) -> bool {
        self.outside(key).is_some() || self.unread.contains(key)
    }
}
