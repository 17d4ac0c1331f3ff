//! The worksheet's own tables. One that is wider than the page is printed in blocks of columns, never with broken
//! figures.

use anstyle::Style;

use super::{BOLD, DIM, Page};
use crate::report::data::{Origin, ReportColumn, ReportRow, ReportTable};
use crate::report::figures::{Figures, of_cell, origin_word};
use crate::report::layout::{self, Piece, Row, aligned, held_together};

impl Page {
    pub(super) fn table(&mut self, table: &ReportTable) {
        let labels = self.labels(table);
        let columns: Vec<Vec<Piece>> =
            table.columns.iter().enumerate().map(|(place, column)| self.column(table, place, column)).collect();
        let blocks = self.blocks(&labels, &columns);
        let last = blocks.len().saturating_sub(1);
        for (place, block) in blocks.iter().enumerate() {
            let mut rows = side_by_side(&labels, block);
            if place == last {
                self.remarks(table, &mut rows);
            } else {
                rows.push(Row::default());
            }
            let widths = layout::widths(&rows, self.room());
            rows.iter().for_each(|row| if row.cells.is_empty() { self.line("") } else { self.row(row, &widths) });
        }
        for remark in &table.remarks {
            self.paragraph(remark, DIM, super::INDENT);
        }
    }

    /// The first column: the table's name, two heads left empty, and the rows' labels.
    fn labels(&self, table: &ReportTable) -> Vec<Piece> {
        let heads = [self.piece(&table.name, BOLD), Piece::default(), Piece::default()];
        let labels = table.rows.iter().map(|row| self.piece(&row.label, Style::new()));
        heads.into_iter().chain(labels).collect()
    }

    /// One column: its name, its unit, where it comes from unless it is entered, and its cells.
    fn column(&self, table: &ReportTable, place: usize, column: &ReportColumn) -> Vec<Piece> {
        let figures: Vec<String> = table.rows.iter().map(|row| self.cell(table, row, place, column)).collect();
        let style = if column.origin == Origin::Worked { BOLD } else { Style::new() };
        let from = if column.origin == Origin::Entered { "" } else { origin_word(column.origin) };
        let heads = [self.piece(&column.name, style), self.piece(&column.head, DIM), Piece::new(from, DIM)];
        let cells = aligned(&figures).into_iter().map(|figure| Piece::new(held_together(&figure), style));
        heads.into_iter().chain(cells).collect()
    }

    fn cell(&self, table: &ReportTable, row: &ReportRow, place: usize, column: &ReportColumn) -> String {
        let figures = figures(table, row, place, column);
        let parts = figures.iter().flat_map(|figures| &figures.parts).map(|part| match part.give_or_take.as_str() {
            "" => part.value.clone(),
            doubt => format!("{} ± {doubt}", part.value),
        });
        self.say(&parts.collect::<Vec<_>>().join("; "))
    }

    /// As many columns in one block as fit beside the labels, one at least.
    fn blocks<'a>(&self, labels: &[Piece], columns: &'a [Vec<Piece>]) -> Vec<Vec<&'a Vec<Piece>>> {
        let mut blocks: Vec<Vec<&Vec<Piece>>> = Vec::new();
        let mut width = usize::MAX;
        for column in columns {
            width = width.saturating_add(layout::GAP + layout::widest(column));
            match blocks.last_mut() {
                Some(block) if width <= self.room() => block.push(column),
                _ => {
                    width = layout::widest(labels) + layout::GAP + layout::widest(column);
                    blocks.push(vec![column]);
                }
            }
        }
        if blocks.is_empty() { vec![Vec::new()] } else { blocks }
    }

    /// What is said about a row and its cells, below it.
    fn remarks(&self, table: &ReportTable, rows: &mut [Row]) {
        let heads = rows.len() - table.rows.len();
        for (row, printed) in table.rows.iter().zip(rows.iter_mut().skip(heads)) {
            let of_cells = table.columns.iter().enumerate().flat_map(|(place, column)| {
                let figures = figures(table, row, place, column);
                figures
                    .into_iter()
                    .flat_map(|figures| figures.remarks)
                    .map(|remark| format!("{}: {remark}", column.name))
            });
            let remarks = of_cells.chain(row.remark.clone());
            printed.below = remarks.map(|remark| self.piece(&remark, DIM)).collect();
        }
    }
}

fn figures(table: &ReportTable, row: &ReportRow, place: usize, column: &ReportColumn) -> Option<Figures> {
    let cell = row.cells.get(place)?;
    Some(of_cell(cell, "", &format!("{}.{}, {}", table.name, column.name, row.label)))
}

/// The labels and the columns of a block as rows; a row that is empty throughout is left out.
fn side_by_side(labels: &[Piece], block: &[&Vec<Piece>]) -> Vec<Row> {
    let row = |place: usize, label: &Piece| {
        let cells = block.iter().map(|column| column.get(place).cloned().unwrap_or_default());
        Row::new([label.clone()].into_iter().chain(cells))
    };
    let rows = labels.iter().enumerate().map(|(place, label)| row(place, label));
    rows.filter(|row| row.cells.iter().any(|(piece, _)| !piece.text.is_empty())).collect()
}
