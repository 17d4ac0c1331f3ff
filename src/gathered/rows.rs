//! Table rows put together: a first row that declares, or a table's name alone, and the rows beneath.

use crate::syntax::parse;
use crate::syntax::tree::{Head, Name, Statement, StatementKind};
use crate::text::{Place, Source};
use crate::trouble::{Kind, Trouble};

/// A row beneath the first.
#[derive(Debug, Clone)]
pub struct RowLine {
    /// Where it stands.
    pub place: Place,
    /// Its cells as written.
    pub cells: Vec<Place>,
    /// The remark on its line.
    pub remark: Option<String>,
}

/// A table: its first row, settled as a head, and the rows beneath.
#[derive(Debug, Clone)]
pub struct RowRun {
    /// What the first row declares.
    pub head: Head,
    /// Where it stands.
    pub place: Place,
    /// Its cells as written.
    pub cells: Vec<Place>,
    /// The rows beneath.
    pub rows: Vec<RowLine>,
    /// Whether a filling worksheet gave the rows.
    pub is_filled: bool,
}

/// Rows under a row of a table's name alone.
#[derive(Debug, Clone)]
pub struct LooseRows {
    /// The table's name.
    pub name: Name,
    /// The rows beneath.
    pub rows: Vec<RowLine>,
}

/// The tables of one text, and rows for tables that are declared elsewhere.
#[derive(Debug, Default)]
pub struct Rows {
    /// Tables.
    pub runs: Vec<RowRun>,
    /// Rows for the tables of a template.
    pub loose: Vec<LooseRows>,
}

/// Puts the rows of a text together: a table ends at the first line that is no row, notes aside. `names` are the
/// tables that a template declares.
pub fn rows(statements: &[Statement], source: &Source, names: &[String], troubles: &mut Vec<Trouble>) -> Rows {
    let mut rows = Rows::default();
    let mut open = Open::Nothing;
    let mut before: Option<Place> = None;
    for statement in statements {
        if before.replace(statement.place).is_some_and(|before| has_gap(before, statement.place, source)) {
            open = Open::Nothing;
        }
        match &statement.kind {
            StatementKind::Row(cells) => {
                let line = RowLine { place: statement.place, cells: cells.clone(), remark: statement.remark.clone() };
                open = rows.take(line, open, source, names, troubles);
            }
            StatementKind::Note(_) => {}
            _ => open = Open::Nothing,
        }
    }
    rows
}

/// What the next row belongs to.
#[derive(Clone, Copy)]
enum Open {
    Nothing,
    Run,
    Loose,
    /// A table whose first row could not be read; its rows are passed over.
    Lost,
}

impl Rows {
    fn take(
        &mut self,
        line: RowLine,
        open: Open,
        source: &Source,
        names: &[String],
        troubles: &mut Vec<Trouble>,
    ) -> Open {
        match open {
            Open::Lost => return Open::Lost,
            Open::Run => self.runs.last_mut().map(|run| run.rows.push(line)),
            Open::Loose => self.loose.last_mut().map(|loose| loose.rows.push(line)),
            Open::Nothing => return self.begin(line, source, names, troubles),
        };
        open
    }

    fn begin(&mut self, line: RowLine, source: &Source, names: &[String], troubles: &mut Vec<Trouble>) -> Open {
        match parse::parse_head(source, line.place.source, &line.cells) {
            Ok(head) if line.cells.len() == 1 && names.contains(&head.name.key) => {
                self.loose.push(LooseRows { name: head.name, rows: Vec::new() });
                Open::Loose
            }
            Ok(head) => {
                self.runs.push(RowRun {
                    head,
                    place: line.place,
                    cells: line.cells,
                    rows: Vec::new(),
                    is_filled: false,
                });
                Open::Run
            }
            Err(trouble) => {
                troubles.push(trouble);
                Open::Lost
            }
        }
    }
}

/// Whether an empty line stands between two statements.
fn has_gap(before: Place, after: Place, source: &Source) -> bool {
    let between = Place { source: before.source, start: before.end, end: after.start };
    source.slice(between).matches('\n').count() > 1
}

/// The text of a head's cells, single-spaced: two heads that read alike are the same.
pub fn head_text(cells: &[Place], source: &Source) -> Vec<String> {
    cells
        .iter()
        .map(|cell| source.slice(*cell).split_whitespace().collect::<Vec<_>>().join(" ").to_lowercase())
        .collect()
}

/// The trouble of a head that is repeated with changes.
pub fn changed_head(run: &RowRun) -> Trouble {
    Trouble::new(run.place, Kind::HeadChanged { table: run.head.name.written.clone() })
}
