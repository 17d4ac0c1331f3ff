//! Tables whose rows are worksheets that a pattern matches: a season's log.

use super::asked::{Asked, Circle, Run};
use super::{Book, Patterns, locked};
use crate::checked::drawn::{Drawn, DrawnTable, DrawnValue, GivenRow};
use crate::checked::model::SheetRow;
use crate::gathered::RowRun;
use crate::hands;
use crate::syntax::tree::{ColumnKind, RowsFrom};
use crate::text::crew_folder::within;
use crate::trouble::{self, Kind};
use std::sync::Arc;

/// So many worksheets take longer to work than it takes to share them out.
const MANY_WORKSHEETS: usize = 8;

/// What a table wants of one worksheet.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Wanted {
    /// Where the worksheet stands in the crew folder.
    path: String,
    /// What its rows are called.
    label: String,
    /// The names wanted, in the order of the columns.
    keys: Vec<String>,
    /// The table whose rows are wanted, instead of one row of named values.
    table: Option<String>,
}

impl Book {
    /// One row of each matching worksheet, or the rows of one of its tables; the worksheet itself is never among them.
    pub(super) fn pattern(
        &self,
        asked: &Asked<'_>,
        own: &str,
        run: &RowRun,
        from: &RowsFrom,
    ) -> Result<Vec<GivenRow>, Kind> {
        let files = self.matching(asked, own, from)?;
        let folder = own.rsplit_once('/').map_or(String::new(), |(folder, _)| format!("{folder}/"));
        let columns = run.head.columns.iter().filter(|column| !matches!(column.kind, ColumnKind::Worked(..)));
        let keys: Vec<String> = columns.map(|column| column.name.key.clone()).collect();
        let wanted = |path: &String| Wanted {
            path: path.clone(),
            label: path.strip_prefix(&folder).unwrap_or(path).to_owned(),
            keys: keys.clone(),
            table: from.table.as_ref().map(|table| table.key.clone()),
        };
        let all: Vec<Wanted> = files.iter().filter(|path| *path != asked.path).map(wanted).collect();
        let (rows, circles) = self.rows_of_all(asked, &all);
        match circles.into_iter().find(|circle| circle.at == asked.path) {
            Some(circle) => Err(Kind::CircleOfFiles { chain: circle.chain }),
            None => Ok(rows),
        }
    }

    /// The files that a pattern matches, itself among them but not alone; looked for once a run.
    pub(super) fn matching(&self, asked: &Asked<'_>, own: &str, from: &RowsFrom) -> Result<Arc<[String]>, Kind> {
        let named = &from.file.path;
        let pattern = within(own, named).map_err(|error| trouble::no_file(named, &error))?;
        let known = locked(&self.matched).get(&pattern).cloned();
        let files = match known {
            Some(files) => files,
            None => {
                locked(&self.drew_on).patterns.insert(pattern.clone());
                let files = self.folder.matching(&pattern).map_err(|error| trouble::no_file(named, &error))?;
                locked(&self.matched).entry(pattern).or_insert(files.into()).clone()
            }
        };
        match files.iter().all(|path| path == asked.path) {
            true => Err(Kind::NoFileMatches { pattern: named.clone() }),
            false => Ok(files),
        }
    }

    /// The rows of all worksheets in order, and the circles met. The log that was called for is shared out.
    fn rows_of_all(&self, asked: &Asked<'_>, all: &[Wanted]) -> (Vec<GivenRow>, Vec<Circle>) {
        if !asked.is_first() {
            let rows = all.iter().flat_map(|wanted| self.wanted(asked, wanted)).collect();
            return (rows, asked.run.closed());
        }
        let first = asked.path;
        let parts = hands::over(all, MANY_WORKSHEETS, |wanted| {
            let run = Run::default();
            let rows = self.wanted(&Asked::first(first, &run), wanted);
            (rows, run.closed())
        });
        let (rows, circles): (Vec<_>, Vec<_>) = parts.into_iter().unzip();
        (rows.into_iter().flatten().collect(), circles.into_iter().flatten().collect())
    }

    /// The rows of one worksheet, kept unless they come out of a circle.
    fn wanted(&self, asked: &Asked<'_>, wanted: &Wanted) -> Vec<GivenRow> {
        if let Some(rows) = locked(&self.rows).get(wanted) {
            return rows.clone();
        }
        let met = asked.run.met();
        let rows = self.rows_of(asked, wanted);
        if asked.run.met() == met {
            locked(&self.rows).insert(wanted.clone(), rows.clone());
        }
        rows
    }

    /// The rows of one worksheet: worked without its own tables from patterns, and with them where that is not enough.
    fn rows_of(&self, asked: &Asked<'_>, wanted: &Wanted) -> Vec<GivenRow> {
        let path = &wanted.path;
        let rows = match self.drawn_in_run(asked, &(path.clone(), Patterns::LeftOut), path) {
            Ok((drawn, _)) => wanted.rows(&drawn),
            Err(_) => return vec![wanted.waiting()],
        };
        let rests_on_left_out =
            |cell: &Result<DrawnValue, String>| cell.as_ref().is_ok_and(|cell| cell.rests_on_left_out);
        if !rows.iter().flat_map(|row| &row.cells).any(rests_on_left_out) {
            return rows;
        }
        if asked.is_for(path) {
            asked.run.close(Circle { at: path.clone(), chain: asked.circle(path) });
            return vec![wanted.waiting()];
        }
        match self.drawn_in_run(asked, &(path.clone(), Patterns::Worked), path) {
            Ok((drawn, _)) => wanted.rows(&drawn),
            Err(_) => vec![wanted.waiting()],
        }
    }
}

impl Wanted {
    fn waiting(&self) -> GivenRow {
        self.waiting_on(&self.label)
    }

    fn waiting_on(&self, on: &str) -> GivenRow {
        let cells = self.keys.iter().map(|_| Err(on.to_owned())).collect();
        GivenRow { label: on.to_owned(), from: self.from(None), cells }
    }

    /// The rows that a worksheet gives: one of its named values, or those of its table.
    fn rows(&self, drawn: &Drawn) -> Vec<GivenRow> {
        if drawn.troubles > 0 {
            return vec![self.waiting()];
        }
        let Some(table) = &self.table else {
            let cells = self.keys.iter().map(|key| self.value(drawn, key)).collect();
            return vec![GivenRow { label: self.label.clone(), from: self.from(None), cells }];
        };
        match drawn.tables.get(table) {
            Some(own) => own.labels.iter().enumerate().map(|(row, name)| self.row(drawn, own, row, name)).collect(),
            None => vec![self.waiting_on(&format!("{}: {table}", self.label))],
        }
    }

    fn value(&self, drawn: &Drawn, key: &str) -> Result<DrawnValue, String> {
        drawn.values.get(key).cloned().ok_or_else(|| format!("{}: {key}", self.label))
    }

    /// A row of a table of the worksheet; what is no column of it is a named value.
    fn row(&self, drawn: &Drawn, own: &DrawnTable, row: usize, name: &str) -> GivenRow {
        let cell = |key: &String| match own.columns.get(key) {
            Some(column) => column.get(row).cloned().ok_or_else(|| format!("{}: {key}", self.label)),
            None => self.value(drawn, key),
        };
        let from = self.from(self.table.clone().map(|table| (table, name.to_owned())));
        GivenRow { label: format!("{}, {name}", self.label), from, cells: self.keys.iter().map(cell).collect() }
    }

    /// Where a row comes from: the worksheet, and the row of its table.
    fn from(&self, row: Option<(String, String)>) -> SheetRow {
        SheetRow { path: self.path.as_str().into(), row }
    }
}
