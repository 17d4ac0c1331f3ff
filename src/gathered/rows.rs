//! Table rows put together: a first row that declares, or a table's name alone, and the rows beneath.

use crate::syntax::Parsed;
use crate::syntax::known::Heads;
use crate::syntax::tree::{Head, Name, StatementKind};
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
    /// The remark on its line.
    pub remark: Option<String>,
    /// The rows beneath.
    pub rows: Vec<RowLine>,
    /// Whether a filling worksheet gave the rows.
    pub is_filled: bool,
    /// Whether a row among them could not be read.
    pub has_lost_rows: bool,
}

/// Rows under a row of a table's name alone.
#[derive(Debug, Clone)]
pub struct LooseRows {
    /// The table's name.
    pub name: Name,
    /// The remark on its line.
    pub remark: Option<String>,
    /// The rows beneath.
    pub rows: Vec<RowLine>,
    /// Whether a row among them could not be read.
    pub has_lost_rows: bool,
}

/// The tables of one text, and rows for tables that are declared elsewhere.
#[derive(Debug, Default)]
pub struct Rows {
    /// Tables.
    pub runs: Vec<RowRun>,
    /// Rows for the tables of a template.
    pub loose: Vec<LooseRows>,
    /// Names, in lower case, of tables whose first row could not be read.
    pub lost: Vec<String>,
    heads: Heads,
}

/// Puts the rows of a text together: a table ends at the first line that is no row, notes aside. `names` are the
/// tables that a template declares.
pub fn rows(parsed: &Parsed, source: &Source, names: &[String], troubles: &mut Vec<Trouble>) -> Rows {
    let mut rows = Rows { heads: parsed.heads.clone(), ..Rows::default() };
    let mut open = Open::Nothing;
    let mut before: Option<Place> = None;
    for statement in &parsed.statements {
        for line in between(before.replace(statement.place), Some(statement.place), source) {
            open = rows.pass_over(line, open);
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
    for line in between(before, None, source) {
        open = rows.pass_over(line, open);
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

    /// What the next row belongs to after a line that is empty or could not be read.
    fn pass_over(&mut self, line: &str, open: Open) -> Open {
        match open {
            _ if !line.starts_with('|') => return Open::Nothing,
            Open::Nothing => {
                self.lost.extend(first_cell(line));
                return Open::Lost;
            }
            Open::Run => self.runs.last_mut().into_iter().for_each(|run| run.has_lost_rows = true),
            Open::Loose => self.loose.last_mut().into_iter().for_each(|loose| loose.has_lost_rows = true),
            Open::Lost => {}
        }
        open
    }

    fn begin(&mut self, line: RowLine, source: &Source, names: &[String], troubles: &mut Vec<Trouble>) -> Open {
        match self.heads.read(source, line.place, &line.cells) {
            Ok(head) if line.cells.len() == 1 && names.contains(&head.name.key) => {
                self.loose.push(LooseRows {
                    name: head.name,
                    remark: line.remark,
                    rows: Vec::new(),
                    has_lost_rows: false,
                });
                Open::Loose
            }
            Ok(head) => {
                self.runs.push(RowRun {
                    head,
                    place: line.place,
                    cells: line.cells,
                    remark: line.remark,
                    rows: Vec::new(),
                    is_filled: false,
                    has_lost_rows: false,
                });
                Open::Run
            }
            Err(trouble) => {
                troubles.push(trouble);
                self.lost.extend(first_cell(source.slice(line.place)));
                Open::Lost
            }
        }
    }
}

/// The lines between two statements, or before the first, or behind the last: empty ones, and such as could not be
/// read.
fn between(before: Option<Place>, after: Option<Place>, source: &Source) -> Vec<&str> {
    if before.is_none() && after.is_none() {
        return Vec::new();
    }
    let start = before.map_or(0, |before| before.end as usize);
    let end = after.map_or(source.text.len(), |after| after.start as usize);
    let mut lines: Vec<&str> = source.text.get(start..end).unwrap_or("").split('\n').map(str::trim).collect();
    // The rest of a statement's own line, and what stands before the next on its own.
    if before.is_some() && !lines.is_empty() {
        lines.remove(0);
    }
    lines.pop_if(|line| after.is_some() || line.is_empty());
    lines
}

/// What the first cell of a row names, the part before `from`, in lower case.
fn first_cell(row: &str) -> Option<String> {
    let cell = row.trim().trim_start_matches('|').split('|').next()?.to_lowercase();
    let words = cell.split_whitespace().take_while(|word| *word != "from");
    Some(words.collect::<Vec<_>>().join(" ")).filter(|name| !name.is_empty())
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
