//! Table rows put together: a first row that declares, or a table's name alone, and the rows beneath.

use crate::hands;
use crate::syntax::Parsed;
use crate::syntax::tree::{Head, Name, StatementKind};
use crate::text::{Place, Source, single_spaced};
use crate::trouble::{Kind, Trouble};
use smallvec::SmallVec;

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

impl From<RowRun> for LooseRows {
    /// The rows of a table whose first row is repeated whole.
    fn from(run: RowRun) -> Self {
        Self { name: run.head.name, remark: run.remark, rows: run.rows, has_lost_rows: run.has_lost_rows }
    }
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
}

/// So many first rows take longer to read than it takes to share them out.
const MANY_HEADS: usize = 16;

/// Puts the rows of a text together: a table ends at the first line that is no row, notes aside. `names` are the
/// tables that a template declares.
pub fn rows(parsed: &Parsed, source: &Source, names: &[String], troubles: &mut Vec<Trouble>) -> Rows {
    let together = Together::of(parsed, source);
    let read = |block: &Block| parsed.heads.read(source, block.first.place, &block.first.cells);
    let heads = hands::over(&together.blocks, MANY_HEADS, read);
    let mut rows = Rows { lost: together.lost, ..Rows::default() };
    for (block, head) in together.blocks.into_iter().zip(heads) {
        match head {
            Ok(head) => rows.take(block, head, names),
            Err(trouble) => {
                troubles.push(trouble);
                rows.lost.extend(first_cell(source.slice(block.first.place)));
            }
        }
    }
    rows
}

impl Rows {
    fn take(&mut self, block: Block, head: Head, names: &[String]) {
        let Block { first, rows, has_lost_rows } = block;
        let RowLine { place, cells, remark } = first;
        if cells.len() == 1 && names.contains(&head.name.key) {
            self.loose.push(LooseRows { name: head.name, remark, rows, has_lost_rows });
        } else {
            self.runs.push(RowRun { head, place, cells, remark, rows, is_filled: false, has_lost_rows });
        }
    }
}

/// Rows that stand together, the first of them not read yet.
struct Block {
    first: RowLine,
    rows: Vec<RowLine>,
    has_lost_rows: bool,
}

/// The rows of a text, by where they stand.
#[derive(Default)]
struct Together {
    blocks: Vec<Block>,
    lost: Vec<String>,
}

/// What the next row belongs to.
#[derive(Clone, Copy)]
enum Open {
    Nothing,
    Block,
    /// Rows whose first could not even be cut into cells; they are passed over.
    Lost,
}

impl Together {
    fn of(parsed: &Parsed, source: &Source) -> Self {
        let mut together = Self::default();
        let mut open = Open::Nothing;
        let mut before: Option<Place> = None;
        for statement in &parsed.statements {
            for line in between(before.replace(statement.place), Some(statement.place), source) {
                open = together.pass_over(line, open);
            }
            match &statement.kind {
                StatementKind::Row(cells) => {
                    let (place, remark) = (statement.place, statement.remark.clone());
                    open = together.take(RowLine { place, cells: cells.clone(), remark }, open);
                }
                StatementKind::Note(_) => {}
                _ => open = Open::Nothing,
            }
        }
        for line in between(before, None, source) {
            open = together.pass_over(line, open);
        }
        together
    }

    fn take(&mut self, line: RowLine, open: Open) -> Open {
        match open {
            Open::Lost => return Open::Lost,
            Open::Block => {
                if let Some(block) = self.blocks.last_mut() {
                    block.rows.push(line);
                }
            }
            Open::Nothing => self.blocks.push(Block { first: line, rows: Vec::new(), has_lost_rows: false }),
        }
        Open::Block
    }

    /// What the next row belongs to after a line that is empty or could not be read.
    fn pass_over(&mut self, line: &str, open: Open) -> Open {
        match open {
            _ if !line.starts_with('|') => return Open::Nothing,
            Open::Nothing => {
                self.lost.extend(first_cell(line));
                return Open::Lost;
            }
            Open::Block => self.blocks.last_mut().into_iter().for_each(|block| block.has_lost_rows = true),
            Open::Lost => {}
        }
        open
    }
}

/// The lines between two statements, or before the first, or behind the last: empty ones, and such as could not be
/// read.
fn between(before: Option<Place>, after: Option<Place>, source: &Source) -> Lines<'_> {
    if before.is_none() && after.is_none() {
        return Lines::new();
    }
    let start = before.map_or(0, |before| before.end as usize);
    let end = after.map_or(source.text.len(), |after| after.start as usize);
    let mut lines: Lines<'_> = source.text.get(start..end).unwrap_or("").split('\n').map(str::trim).collect();
    // The rest of a statement's own line, and what stands before the next on its own.
    if before.is_some() && !lines.is_empty() {
        lines.remove(0);
    }
    if after.is_some() || lines.last().is_some_and(|line| line.is_empty()) {
        lines.pop();
    }
    lines
}

/// Between most statements there is a line's end, and at most an empty line.
type Lines<'a> = SmallVec<[&'a str; 4]>;

/// What the first cell of a row names, the part before `from`, in lower case.
fn first_cell(row: &str) -> Option<String> {
    let cell = row.trim().trim_start_matches('|').split('|').next()?.to_lowercase();
    let words = cell.split_whitespace().take_while(|word| *word != "from");
    Some(words.collect::<Vec<_>>().join(" ")).filter(|name| !name.is_empty())
}

/// The text of a head's cells, single-spaced: two heads that read alike are the same.
pub fn head_text(cells: &[Place], source: &Source) -> Vec<String> {
    cells.iter().map(|cell| single_spaced(source.slice(*cell)).to_lowercase()).collect()
}

/// The trouble of a head that is repeated with changes.
pub fn changed_head(run: &RowRun) -> Trouble {
    Trouble::new(run.place, Kind::HeadChanged { table: run.head.name.written.clone() })
}
