//! The worksheet's own tables. One that is wider than the page is printed in blocks of columns, never with broken
//! figures.

use anstyle::Style;

use super::{BOLD, DIM, INDENT, Page};
use crate::report::data::{Origin, ReportColumn, ReportTable};
use crate::report::figures::{RowFigures, of_row, origin_word};
use crate::report::layout::{self, Piece, Row, aligned, held_together};

/// The lines over the cells: names, units, where a column comes from.
const HEADS: usize = 3;

impl Page {
    pub(super) fn table(&mut self, table: &ReportTable) {
        let figures: Vec<RowFigures> = table.rows.iter().map(|row| of_row(table, row)).collect();
        let labels = self.labels(table);
        let columns = table.columns.iter().enumerate();
        let columns: Vec<Vec<Piece>> = columns.map(|(place, column)| self.column(&figures, place, column)).collect();
        let blocks = blocks(&labels, &columns, self.room());
        let last = blocks.len().saturating_sub(1);
        for (place, block) in blocks.iter().enumerate() {
            let mut rows = side_by_side(&labels, block);
            if place == last {
                self.remarks(&figures, &mut rows);
            }
            self.rows(&rows);
            if place != last {
                self.line("");
            }
        }
        for remark in &table.remarks {
            self.paragraph(remark, DIM, INDENT);
        }
    }

    /// The first column: the table's name, two heads left empty, and the rows' labels.
    fn labels(&self, table: &ReportTable) -> Vec<Piece> {
        let heads = [self.piece(&table.name, BOLD), Piece::default(), Piece::default()];
        let labels = table.rows.iter().map(|row| self.piece(&row.label, Style::new()));
        heads.into_iter().chain(labels).collect()
    }

    /// One column: its name, its unit, where it comes from unless it is entered, and its cells.
    fn column(&self, rows: &[RowFigures], place: usize, column: &ReportColumn) -> Vec<Piece> {
        let cells: Vec<_> = rows.iter().map(|row| row.cells.get(place).cloned().unwrap_or_default()).collect();
        let style = if column.origin == Origin::Worked { BOLD } else { Style::new() };
        let from = if column.origin == Origin::Entered { "" } else { origin_word(column.origin) };
        let heads = [self.piece(&column.name, style), self.piece(&column.head, DIM), Piece::new(from, DIM)];
        let texts: Vec<String> = cells.iter().map(|cell| self.say(&cell.text)).collect();
        let cells = cells.iter().zip(aligned(&texts)).map(|(cell, text)| {
            let text = if cell.words { text } else { held_together(&text) };
            Piece::new(text, style)
        });
        heads.into_iter().chain(cells).collect()
    }

    /// What is said about a row and its cells, below it.
    fn remarks(&self, figures: &[RowFigures], rows: &mut [Row]) {
        let heads = rows.len().saturating_sub(figures.len());
        for (row, figures) in rows.iter_mut().skip(heads).zip(figures) {
            row.below = figures.remarks.iter().map(|remark| self.piece(remark, DIM)).collect();
        }
    }
}

/// As many columns in one block as fit beside the labels, one at least; a table of labels alone has one block.
fn blocks<'a>(labels: &[Piece], columns: &'a [Vec<Piece>], room: usize) -> Vec<Vec<&'a Vec<Piece>>> {
    let mut blocks: Vec<Vec<&Vec<Piece>>> = vec![Vec::new()];
    let mut width = layout::fair_width(labels);
    for column in columns {
        let wider = layout::GAP + layout::fair_width(column);
        width += wider;
        match blocks.last_mut() {
            Some(block) if width <= room || block.is_empty() => block.push(column),
            _ => {
                width = layout::fair_width(labels) + wider;
                blocks.push(vec![column]);
            }
        }
    }
    blocks
}

/// The labels and the columns of a block as rows; heads that are empty throughout are left out.
fn side_by_side(labels: &[Piece], block: &[&Vec<Piece>]) -> Vec<Row> {
    let row = |(place, label): (usize, &Piece)| {
        let cells = block.iter().map(|column| column.get(place).cloned().unwrap_or_default());
        (place, Row::new([label.clone()].into_iter().chain(cells)))
    };
    let says = |row: &Row| row.cells.iter().any(|(piece, _)| !piece.text.is_empty());
    let rows = labels.iter().enumerate().map(row).filter(|(place, row)| *place >= HEADS || says(row));
    rows.map(|(_, row)| row).collect()
}
