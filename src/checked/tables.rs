//! Tables settled: the first row declares columns, the rows beneath give their cells.

use super::display;
use super::fit;
use super::literals::{Literals, other_type};
use super::model::{Blank, Column, Row, Table, Written, WrittenValue};
use super::types::{NumberType, RangeType, Type};
use super::units::{Measures, Position};
use crate::syntax::parse;
use crate::syntax::tree::{ColumnKind, Head, Literal, LiteralKind, OtherKind, Statement, StatementKind};
use crate::text::{Place, Source};
use crate::trouble::{Kind, Trouble};
use crate::units::Labels;
use std::collections::HashMap;

/// The most columns of a table.
pub const MOST_COLUMNS: usize = 1000;

/// What tables are settled with.
pub struct Tables<'a> {
    /// Units.
    pub measures: &'a Measures,
    /// The texts.
    pub sources: &'a [Source],
    /// The blanks met so far.
    pub blanks: &'a mut Vec<Blank>,
    /// What is wrong.
    pub troubles: &'a mut Vec<Trouble>,
}

/// A run of rows: the first, which declares, and those beneath.
pub struct RowRun<'s> {
    /// The declaring row.
    pub head: Head,
    /// Its statement.
    pub statement: &'s Statement,
    /// The rows beneath.
    pub rows: Vec<&'s Statement>,
    /// Whether a row among them could not be read.
    pub has_lost_rows: bool,
}

/// The runs of a sheet, and the names of tables whose first row could not be read.
#[derive(Default)]
pub struct Runs<'s> {
    /// Tables in order.
    pub runs: Vec<RowRun<'s>>,
    /// Names in lower case.
    pub lost: Vec<String>,
}

/// Where a row falls.
enum Spot {
    /// In the run before it.
    InTable,
    /// Beneath a first row that could not be read.
    InLostTable,
    /// It begins a table.
    Outside,
}

/// Puts the rows of a sheet together into tables: a table ends at the first line that is no row, notes aside.
pub fn runs<'s>(statements: &'s [Statement], sources: &[Source], troubles: &mut Vec<Trouble>) -> Runs<'s> {
    let mut found = Runs::default();
    let mut spot = Spot::Outside;
    let mut before: Option<Place> = None;
    for statement in statements {
        for line in between(before.replace(statement.place), Some(statement.place), sources) {
            spot = unread_line(line, spot, &mut found);
        }
        spot = match (&statement.kind, spot) {
            (StatementKind::Row(_), Spot::InTable) => {
                found.runs.last_mut().into_iter().for_each(|run| run.rows.push(statement));
                Spot::InTable
            }
            (StatementKind::Row(cells), Spot::Outside) => match head(cells, statement, sources) {
                Ok(head) => {
                    found.runs.push(RowRun { head, statement, rows: Vec::new(), has_lost_rows: false });
                    Spot::InTable
                }
                Err(trouble) => {
                    troubles.push(trouble);
                    let source = sources.get(usize::from(statement.place.source));
                    found.lost.extend(source.and_then(|source| first_cell(source.slice(statement.place))));
                    Spot::InLostTable
                }
            },
            (StatementKind::Row(_) | StatementKind::Note(_), same) => same,
            _ => Spot::Outside,
        };
    }
    for line in between(before, None, sources) {
        spot = unread_line(line, spot, &mut found);
    }
    found
}

/// Where the next row falls after a line that is empty or could not be read.
fn unread_line(line: &str, spot: Spot, found: &mut Runs<'_>) -> Spot {
    match spot {
        _ if !line.starts_with('|') => Spot::Outside,
        Spot::Outside => {
            found.lost.extend(first_cell(line));
            Spot::InLostTable
        }
        Spot::InTable => {
            found.runs.last_mut().into_iter().for_each(|run| run.has_lost_rows = true);
            Spot::InTable
        }
        Spot::InLostTable => Spot::InLostTable,
    }
}

/// The lines between two statements, or before the first, or behind the last: empty ones, and such as could not be
/// read.
fn between<'t>(before: Option<Place>, after: Option<Place>, sources: &'t [Source]) -> Vec<&'t str> {
    let text = |number: u16| sources.get(usize::from(number)).map_or("", |source| source.text.as_str());
    match (before, after) {
        (Some(before), Some(after)) if before.source != after.source => {
            [between(Some(before), None, sources), between(None, Some(after), sources)].concat()
        }
        (None, None) => Vec::new(),
        (Some(_), _) | (_, Some(_)) => {
            let own = text(before.or(after).unwrap_or_default().source);
            let start = before.map_or(0, |before| before.end as usize);
            let end = after.map_or(own.len(), |after| after.start as usize);
            let mut lines: Vec<&str> = own.get(start..end).unwrap_or("").split('\n').map(str::trim).collect();
            // The rest of a statement's own line, and what stands before the next on its own.
            if before.is_some() && !lines.is_empty() {
                lines.remove(0);
            }
            lines.pop_if(|line| after.is_some() || line.is_empty());
            lines
        }
    }
}

/// What the first cell of a row names, the part before `from`, in lower case.
fn first_cell(row: &str) -> Option<String> {
    let cell = row.trim().trim_start_matches('|').split('|').next()?.to_lowercase();
    let words = cell.split_whitespace().take_while(|word| *word != "from");
    Some(words.collect::<Vec<_>>().join(" ")).filter(|name| !name.is_empty())
}

fn head(cells: &[Place], statement: &Statement, sources: &[Source]) -> Result<Head, Trouble> {
    let number = statement.place.source;
    match sources.get(usize::from(number)) {
        Some(source) => parse::parse_head(source, number, cells),
        None => Err(Trouble::new(statement.place, Kind::MissingValue)),
    }
}

impl Tables<'_> {
    /// Settles a table's columns and the cells of its rows; formulas of worked-out columns come later.
    pub fn settle(&mut self, run: &RowRun<'_>) -> Table {
        let head = &run.head;
        if let Some(extra) = head.columns.get(MOST_COLUMNS) {
            self.refuse(extra.place, Kind::TooManyColumns { most: MOST_COLUMNS });
        }
        let mut columns: Vec<Column> = Vec::new();
        let mut worked_seen = false;
        for column in head.columns.iter().take(MOST_COLUMNS) {
            let is_worked = matches!(column.kind, ColumnKind::Worked(..));
            if worked_seen && !is_worked {
                self.refuse(column.place, Kind::EnteredAfterWorked { name: column.name.written.clone() });
            }
            worked_seen |= is_worked;
            let twin = columns.iter().find(|other| other.name.to_lowercase() == column.name.key);
            if column.name.key == head.name.key || twin.is_some() {
                let first = twin.map_or(head.name.place, |twin| twin.place);
                let name = column.name.written.clone();
                let kind = if twin.is_some() { Kind::ColumnTwice { name } } else { Kind::ColumnIsTable { name } };
                self.troubles.push(Trouble::new(column.name.place, kind).beside(first));
            }
            let settled = self.column(column);
            columns.push(settled);
        }
        let entered =
            columns.iter().filter(|column| column.formula.is_none() && !is_worked(head, &column.name)).count();
        let mut table = Table {
            name: head.name.written.clone(),
            place: run.statement.place,
            columns,
            rows: Vec::new(),
            has_lost_rows: run.has_lost_rows,
            remarks: Vec::new(),
        };
        self.rows(run, &mut table, entered);
        table
    }

    fn refuse(&mut self, place: Place, kind: Kind) {
        self.troubles.push(Trouble::new(place, kind));
    }

    fn column(&mut self, column: &crate::syntax::tree::Column) -> Column {
        let mut settled = Column {
            name: column.name.written.clone(),
            place: column.place,
            kind: Type::Unknown,
            shown: Vec::new(),
            formula: None,
            doubt: None,
            is_broken: false,
        };
        match &column.kind {
            ColumnKind::Worked(..) => {}
            ColumnKind::Other(kind) => settled.kind = other_type(*kind),
            ColumnKind::Entered(unit, doubt) => {
                let kind = match unit {
                    Some(unit) => self.measures.settle(unit, Position::Value, &|_| false).map(|settled| settled.kind),
                    None => Ok(NumberType::plain()),
                };
                match kind {
                    Ok(kind) => {
                        let kind = NumberType { is_named: true, ..kind };
                        if let Some(doubt) = doubt {
                            self.column_doubt(doubt, &kind, &mut settled);
                        }
                        settled.kind = Type::Number(kind);
                    }
                    Err(trouble) => {
                        settled.is_broken = true;
                        self.troubles.push(trouble);
                    }
                }
            }
        }
        settled.shown = display::in_own_unit(&settled.kind, self.measures);
        settled
    }

    fn column_doubt(&mut self, doubt: &crate::syntax::tree::Doubt, kind: &NumberType, settled: &mut Column) {
        let literals = Literals { measures: self.measures, sources: self.sources, blanks: self.blanks };
        match literals.column_doubt(doubt, kind) {
            Ok(doubt) => settled.doubt = Some(doubt),
            Err(trouble) => self.troubles.push(trouble),
        }
    }

    fn rows(&mut self, run: &RowRun<'_>, table: &mut Table, entered: usize) {
        let mut labels: HashMap<String, Place> = HashMap::new();
        for (index, statement) in run.rows.iter().enumerate() {
            let StatementKind::Row(cells) = &statement.kind else { continue };
            if index == 0 && self.is_rule(cells) {
                continue;
            }
            let Some((label_place, cells)) = cells.split_first() else { continue };
            let label = self.label(*label_place);
            // A row that is left out makes what needs the whole table wait.
            if label.is_empty() {
                self.refuse(statement.place, Kind::RowWithoutLabel { table: table.name.clone() });
                table.has_lost_rows = true;
                continue;
            }
            if let Some(first) = labels.get(&label.to_lowercase()) {
                self.troubles.push(Trouble::new(*label_place, Kind::RowTwice { label }).beside(*first));
                table.has_lost_rows = true;
                continue;
            }
            labels.insert(label.to_lowercase(), *label_place);
            let row = self.row(table, entered, statement, label, cells);
            table.rows.push(row);
        }
    }

    /// A row of dashes under the first is allowed.
    fn is_rule(&self, cells: &[Place]) -> bool {
        cells.iter().all(|cell| {
            let text = self.text(*cell);
            text.len() >= 2 && text.chars().all(|character| matches!(character, '-' | ':'))
        })
    }

    fn text(&self, place: Place) -> &str {
        self.sources.get(usize::from(place.source)).map_or("", |source| source.slice(place))
    }

    fn label(&self, place: Place) -> String {
        let text = self.text(place).split_whitespace().collect::<Vec<_>>().join(" ");
        let is_quoted = text.len() >= 2 && text.starts_with(['"', '“']) && text.ends_with(['"', '”']);
        if is_quoted { text.trim_matches(['"', '“', '”']).to_owned() } else { text }
    }

    fn row(&mut self, table: &Table, entered: usize, statement: &Statement, label: String, cells: &[Place]) -> Row {
        if cells.len() > entered {
            let extra = cells.get(entered).copied().unwrap_or(statement.place);
            let name = table.columns.get(entered).map(|column| column.name.clone());
            self.refuse(
                extra,
                match name {
                    Some(column) => Kind::CellOfWorked { column },
                    None => Kind::TooManyCells { table: table.name.clone(), wanted: entered, found: cells.len() },
                },
            );
        } else if cells.len() < entered {
            self.refuse(
                statement.place,
                Kind::TooFewCells { table: table.name.clone(), wanted: entered, found: cells.len() },
            );
        }
        let is_whole = cells.len() == entered;
        let settled = table
            .columns
            .iter()
            .take(entered)
            .enumerate()
            .map(|(index, column)| {
                let cell = cells.get(index).copied().filter(|_| is_whole)?;
                self.cell(table, column, &label, cell, statement.place)
            })
            .collect();
        Row { label, place: statement.place, cells: settled, remark: statement.remark.clone() }
    }

    /// Settles one cell, or notes what is wrong with it.
    fn cell(&mut self, table: &Table, column: &Column, label: &str, cell: Place, row: Place) -> Option<Written> {
        if column.is_broken {
            return None;
        }
        let name = format!("{}.{}, {label}", table.name, column.name);
        match self.cell_value(column, &name, cell, row) {
            Ok(written) => Some(written),
            Err(trouble) => {
                self.troubles.push(trouble);
                None
            }
        }
    }

    fn cell_value(&mut self, column: &Column, name: &str, cell: Place, row: Place) -> Result<Written, Trouble> {
        let text = self.text(cell).to_owned();
        if text.is_empty() || text.bytes().all(|byte| byte == b'_') && text.len() >= 2 {
            let place = if text.is_empty() { row } else { cell };
            return Ok(self.blank_cell(column, name, place));
        }
        if column.kind == Type::Text && !text.starts_with(['"', '“']) {
            let value = WrittenValue::Text(text.split_whitespace().collect::<Vec<_>>().join(" "));
            return Ok(Written { place: cell, text: text.clone(), value, doubt_text: String::new(), says_unit: false });
        }
        let literal = self.literal(cell).map_err(|trouble| match column.kind {
            Type::YesNo => {
                let wanted = "yes or no".to_owned();
                Trouble::new(cell, Kind::OtherKind { wanted, found: format!("`{text}`") })
            }
            _ => trouble,
        })?;
        check_date_cell(column, &literal, &text)?;
        let unsaid = column.kind.number().cloned();
        let mut literals = Literals { measures: self.measures, sources: self.sources, blanks: self.blanks };
        let (mut written, kind) = literals.settle(&literal, name, unsaid.as_ref())?;
        self.check_cell(column, &kind, cell)?;
        let own = |kind: Option<&NumberType>| kind.map(|kind| kind.unit.symbol(&self.measures.crew));
        if !written.says_unit && own(kind.number()) != own(column.kind.number()) {
            // A cell in another unit than its column's says so itself.
            written.text = text.split_whitespace().collect::<Vec<_>>().join(" ");
            written.says_unit = true;
            written.doubt_text.clear();
        }
        Ok(written)
    }

    fn literal(&self, cell: Place) -> Result<Literal, Trouble> {
        match self.sources.get(usize::from(cell.source)) {
            Some(source) => parse::parse_literal(source, cell.source, cell),
            None => Err(Trouble::new(cell, Kind::MissingValue)),
        }
    }

    /// A cell is of its column's kind; ranges may stand in a column of numbers.
    fn check_cell(&self, column: &Column, kind: &Type, cell: Place) -> Result<(), Trouble> {
        match (kind, &column.kind) {
            (Type::Several(_), _) => Err(Trouble::new(cell, Kind::ReadingsInCell)),
            (Type::Number(given), Type::Number(wanted)) => {
                let range = given.range.clone().map(|_| RangeType::default());
                let wanted = Type::Number(NumberType { range, ..wanted.clone() });
                if given.is_range() {
                    return Err(Trouble::new(cell, Kind::RangeInCell));
                }
                fit::fit(kind, &wanted, self.measures).map(|_| ()).map_err(|kind| Trouble::new(cell, kind))
            }
            _ => fit::fit(kind, &column.kind, self.measures).map(|_| ()).map_err(|kind| Trouble::new(cell, kind)),
        }
    }

    fn blank_cell(&mut self, column: &Column, name: &str, place: Place) -> Written {
        let unit = match &column.kind {
            Type::Number(number) => Some(number.unit.symbol(&self.measures.crew)).filter(|unit| !unit.is_empty()),
            Type::Text => Some("text".to_owned()),
            Type::Date { hour: true } => Some("date and time".to_owned()),
            Type::Date { .. } => Some("date".to_owned()),
            Type::YesNo => Some("yes or no".to_owned()),
            Type::Several(_) | Type::Unknown => None,
        };
        self.blanks.push(Blank { name: name.to_owned(), place, unit, labels: Labels::none() });
        let value = WrittenValue::Blank(self.blanks.len() - 1);
        Written { place, value, text: String::new(), doubt_text: String::new(), says_unit: false }
    }
}

fn is_worked(head: &Head, name: &str) -> bool {
    head.columns.iter().any(|column| column.name.written == name && matches!(column.kind, ColumnKind::Worked(..)))
}

/// `4/12` where a date is expected is no fraction.
fn check_date_cell(column: &Column, literal: &Literal, text: &str) -> Result<(), Trouble> {
    let is_other = matches!(literal.kind, LiteralKind::Blank(OtherKind::Text));
    if matches!(column.kind, Type::Date { .. }) && matches!(literal.kind, LiteralKind::Items(_)) && !is_other {
        let error = crate::quantity::Moment::parse(text).err();
        if let Some(error) = error {
            return Err(Trouble::new(literal.place, crate::trouble::bad_date(&error)));
        }
    }
    Ok(())
}
