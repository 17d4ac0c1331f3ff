//! Tables settled: the first row declares columns, the rows beneath give their cells.

use super::alike;
use super::csv_rows;
use super::data;
use super::display;
use super::drawn::{DrawnValue, GivenRow, GivenRows, GivenValue};
use super::fit;
use super::literals::{Literals, other_type};
use super::model::{Blank, Column, Row, RowFrom, Table, Written, WrittenValue};
use super::types::{NumberType, Type};
use super::units::{Measures, Position};
use crate::gathered::RowRun;
use crate::gathered::rows::RowLine;
use crate::syntax::tree::{self, ColumnKind, Head, Literal, RowsFrom};
use crate::text::{Place, Source, single_spaced};
use crate::trouble::{Kind, Trouble};
use crate::units::Labels;
use std::collections::HashMap;
use std::sync::Arc;

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

impl Tables<'_> {
    /// Settles a table's columns and the cells of its rows; formulas of worked-out columns come later.
    pub fn settle(&mut self, run: &RowRun, given: Option<&GivenRows>) -> Table {
        let head = &run.head;
        if let Some(extra) = head.columns.get(MOST_COLUMNS) {
            self.refuse(extra.place, Kind::TooManyColumns { most: MOST_COLUMNS });
        }
        let columns = self.columns(head);
        let entered =
            columns.iter().filter(|column| column.formula.is_none() && !is_worked(head, &column.name)).count();
        let mut table = Table {
            name: head.name.written.clone(),
            place: run.place,
            columns,
            rows: Vec::new(),
            has_lost_rows: run.has_lost_rows,
            is_from_files: run.head.rows_from.is_some(),
            remarks: Vec::new(),
            remark: run.remark.clone(),
        };
        if run.head.columns.len() > MOST_COLUMNS {
            table.has_lost_rows = true;
            return table;
        }
        match (&run.head.rows_from, given) {
            (Some(from), Some(GivenRows::Csv(text))) => csv_rows::rows(self, &mut table, from, entered, text),
            (Some(from), Some(GivenRows::Sheets(rows))) => self.given_rows(from, &mut table, entered, rows),
            (Some(from), Some(GivenRows::Refused(kind))) => {
                table.has_lost_rows = true;
                self.refuse(from.file.place, kind.clone());
            }
            (Some(from), None) => {
                table.has_lost_rows = true;
                self.refuse(from.file.place, Kind::FileMissing { file: from.file.path.clone() });
            }
            (None, _) => self.rows(run, &mut table, entered),
        }
        if run.head.rows_from.is_some()
            && let Some(row) = run.rows.first()
        {
            self.refuse(row.place, Kind::RowsTwice { table: run.head.name.written.clone() });
        }
        table
    }

    /// The columns that a first row declares, entered ones before worked ones.
    fn columns(&mut self, head: &Head) -> Vec<Column> {
        let mut columns: Vec<Column> = Vec::new();
        let mut worked_seen = false;
        for column in head.columns.iter().take(MOST_COLUMNS) {
            let is_worked = matches!(column.kind, ColumnKind::Worked(..));
            if worked_seen && !is_worked {
                self.refuse(column.place, Kind::EnteredAfterWorked { name: column.name.written.clone() });
            }
            worked_seen |= is_worked;
            let twin = columns.iter().find(|other| tree::key(&other.name) == column.name.key);
            if column.name.key == head.name.key || twin.is_some() {
                let first = twin.map_or(head.name.place, |twin| twin.place);
                let name = column.name.written.clone();
                let kind = if twin.is_some() { Kind::ColumnTwice { name } } else { Kind::ColumnIsTable { name } };
                self.troubles.push(Trouble::new(column.name.place, kind).beside(first));
            }
            let settled = self.column(&head.name.written, column);
            columns.push(settled);
        }
        columns
    }

    fn refuse(&mut self, place: Place, kind: Kind) {
        self.troubles.push(Trouble::new(place, kind));
    }

    fn column(&mut self, table: &str, column: &crate::syntax::tree::Column) -> Column {
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
                            self.column_doubt(doubt, &kind, table, &mut settled);
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

    fn column_doubt(
        &mut self,
        doubt: &crate::syntax::tree::Doubt,
        kind: &NumberType,
        table: &str,
        settled: &mut Column,
    ) {
        let literals = Literals { measures: self.measures, sources: self.sources, blanks: self.blanks };
        match literals.column_doubt(doubt, kind, &format!("{table}.{}", settled.name)) {
            Ok(doubt) => settled.doubt = Some(doubt),
            Err(trouble) => self.troubles.push(trouble),
        }
    }

    /// Rows made of other worksheets, a value drawn from each taken as filling a blank.
    fn given_rows(&mut self, from: &RowsFrom, table: &mut Table, entered: usize, rows: &[GivenRow]) {
        let place = from.file.place;
        for row in rows {
            let mut cells = Vec::with_capacity(entered);
            for (column, cell) in table.columns.iter().zip(&row.cells).take(entered) {
                let given = match cell {
                    Ok(drawn) => match fit_drawn(drawn, &column.kind, self.measures) {
                        Ok(()) => drawn.given.clone(),
                        Err(kind) => {
                            if let Some(kind) = kind {
                                let (file, says) = (row.label.clone(), kind.says());
                                self.refuse(place, Kind::InSheet { file, name: column.name.clone(), says });
                            }
                            Arc::new(GivenValue::waiting(format!("{}: {}", row.label, column.name)))
                        }
                    },
                    Err(waits) => Arc::new(GivenValue::waiting(waits.clone())),
                };
                let value = WrittenValue::Given(given);
                cells.push(Some(Written {
                    place,
                    value,
                    text: String::new(),
                    doubt_text: String::new(),
                    says_unit: false,
                }));
            }
            let from = Some(RowFrom::Sheet(row.from.clone()));
            table.rows.push(Row { label: row.label.clone(), place, cells, remark: None, from });
        }
        if entered > 0 {
            table.remarks.extend(alike::remarks(&table.rows));
        }
    }

    fn rows(&mut self, run: &RowRun, table: &mut Table, entered: usize) {
        let mut labels: HashMap<String, Place> = HashMap::new();
        for (index, line) in run.rows.iter().enumerate() {
            let cells = line.cells.as_slice();
            if index == 0 && self.is_rule(cells) {
                // What is remarked there is about the table.
                let remarks = table.remark.take().into_iter().chain(line.remark.clone());
                table.remark = remarks.reduce(|first, second| format!("{first}; {second}"));
                continue;
            }
            let Some((label_place, cells)) = cells.split_first() else { continue };
            let label = self.label(*label_place);
            // A row that is left out makes what needs the whole table wait.
            if label.is_empty() {
                self.refuse(line.place, Kind::RowWithoutLabel { table: table.name.clone() });
                table.has_lost_rows = true;
                continue;
            }
            if let Some(first) = labels.get(&label.to_lowercase()) {
                self.troubles.push(Trouble::new(*label_place, Kind::RowTwice { label }).beside(*first));
                table.has_lost_rows = true;
                continue;
            }
            labels.insert(label.to_lowercase(), *label_place);
            let row = self.row(table, entered, line, label, cells);
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
        let text = single_spaced(self.text(place));
        let inner = text.strip_prefix(['"', '“']).and_then(|rest| rest.strip_suffix(['"', '”']));
        inner.map(str::to_owned).unwrap_or(text)
    }

    fn row(&mut self, table: &Table, entered: usize, line: &RowLine, label: String, cells: &[Place]) -> Row {
        if cells.len() > entered {
            let extra = cells.get(entered).copied().unwrap_or(line.place);
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
                line.place,
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
                self.cell(table, column, &label, cell, line.place)
            })
            .collect();
        Row { label, place: line.place, cells: settled, remark: line.remark.clone(), from: None }
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
            let text = single_spaced(&text);
            let value = WrittenValue::Text(text.clone());
            return Ok(Written { place: cell, text, value, doubt_text: String::new(), says_unit: false });
        }
        let literal = self.literal(cell, &column.kind)?;
        let unsaid = column.kind.number().cloned();
        let mut literals = Literals { measures: self.measures, sources: self.sources, blanks: self.blanks };
        let (mut written, kind) = literals.settle(&literal, name, unsaid.as_ref())?;
        self.check_cell(column, &kind, cell)?;
        let own = |kind: Option<&NumberType>| kind.map(|kind| kind.unit.symbol(&self.measures.crew));
        if !written.says_unit && own(kind.number()) != own(column.kind.number()) {
            // A cell in another unit than its column's says so itself.
            written.text = single_spaced(&text);
            written.says_unit = true;
            written.doubt_text.clear();
        }
        Ok(written)
    }

    fn literal(&self, cell: Place, wanted: &Type) -> Result<Literal, Trouble> {
        match self.sources.get(usize::from(cell.source)) {
            Some(source) => data::literal(source, cell.source, cell, wanted),
            None => Err(Trouble::new(cell, Kind::MissingValue)),
        }
    }

    /// A cell is of its column's kind, and one value.
    ///
    /// # Errors
    /// What does not fit, at the cell.
    pub fn check_cell(&self, column: &Column, kind: &Type, cell: Place) -> Result<(), Trouble> {
        let is_range = kind.number().is_some_and(NumberType::is_range);
        let fitted = match kind {
            Type::Number(_) if is_range && column.kind.number().is_some() => Err(Kind::RangeInCell),
            _ => fit::fit_for_good(kind, &column.kind, self.measures),
        };
        fitted.map(|_| ()).map_err(|kind| Trouble::new(cell, kind))
    }

    /// A cell that is still to be measured.
    pub fn blank_cell(&mut self, column: &Column, name: &str, place: Place) -> Written {
        let unit = match &column.kind {
            Type::Number(number) => Some(number.unit.symbol(&self.measures.crew)).filter(|unit| !unit.is_empty()),
            Type::Text => Some("text".into()),
            Type::Date { hour: true } => Some("date and time".into()),
            Type::Date { .. } => Some("date".into()),
            Type::YesNo => Some("yes or no".into()),
            Type::Several(_) | Type::Unknown => None,
        };
        self.blanks.push(Blank { name: name.to_owned(), place, unit, labels: Labels::none() });
        let value = WrittenValue::Blank(self.blanks.len() - 1);
        Written { place, value, text: String::new(), doubt_text: String::new(), says_unit: false }
    }
}

/// Whether a value drawn fills a cell, which holds no range; a counter that is told to be in trouble elsewhere is no
/// other trouble here.
fn fit_drawn(drawn: &DrawnValue, wanted: &Type, measures: &Measures) -> Result<(), Option<Kind>> {
    if wanted.is_unknown() {
        return Ok(());
    }
    let given = match drawn.taken(measures) {
        Ok((given, _)) => given,
        Err(counter) if measures.lost.contains(&counter.word.to_lowercase()) => return Err(None),
        Err(counter) => {
            let found = format!("counted in a measure of its own, `1 {}`", counter.word);
            let (wanted, instead) = (fit::words(wanted, measures), String::new());
            return Err(Some(Kind::OtherUnit { wanted, found, instead }));
        }
    };
    if given.number().is_some_and(NumberType::is_range) {
        return Err(Some(Kind::RangeInCell));
    }
    fit::fit_for_good(&given, wanted, measures)?;
    match (measures.currency.get(), drawn.currency) {
        (Some(own), Some(found)) if own != found => Err(Some(measures.two_currencies(own, found))),
        _ => Ok(()),
    }
}

fn is_worked(head: &Head, name: &str) -> bool {
    head.columns.iter().any(|column| column.name.written == name && matches!(column.kind, ColumnKind::Worked(..)))
}
