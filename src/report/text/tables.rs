//! The worksheet's own tables. One that is wider than the page is printed in blocks of columns, never with broken
//! figures.

use super::{INDENT, Page};
use crate::hands;
use crate::report::data::{Origin, ReportTable};
use crate::report::figures::{CellText, ENDING, RowFigures, TableFigures, of_table, origin_word};
use crate::report::layout::{self, Piece, Row, Tone};
use crate::report::spaces::{aligned, held_together};
use std::borrow::Cow;

/// So many rows are worth sharing out.
const MANY_ROWS: usize = 200;

/// The lines over the cells: names, units, where a column comes from.
const HEADS: usize = 3;

impl Page<'_> {
    pub(super) fn table(&mut self, table: &ReportTable) {
        let mut figures = of_table(table);
        if let Some(before) = &self.before {
            for (row, figures) in table.rows.iter().zip(&mut figures.rows) {
                figures.remarks.extend(before.row(table, row));
            }
        }
        let labels = self.labels(table);
        let columns: Vec<usize> = (0..figures.columns.len()).collect();
        let many = if figures.rows.len() < MANY_ROWS { usize::MAX } else { 0 };
        let columns = hands::over(&columns, many, |place| self.column(&figures, *place));
        let blocks = blocks(&labels, &columns, self.room());
        let last = blocks.len().saturating_sub(1);
        for (place, block) in blocks.iter().enumerate() {
            let remarks = if place == last { figures.rows.as_slice() } else { &[] };
            self.rows(&self.side_by_side(&labels, block, remarks));
            if place != last {
                self.line("");
            }
        }
        for remark in &table.remarks {
            self.paragraph(remark, Tone::Quiet, INDENT);
        }
    }

    /// The first column: the table's name, the folder in which all its rows are if they are worksheets, and the rows'
    /// labels.
    fn labels(&self, table: &ReportTable) -> Vec<Piece> {
        let labels: Vec<&str> = table.rows.iter().map(|row| row.label.as_str()).collect();
        let folder = common_folder(&labels);
        let heads = [(table.name.as_str(), Tone::Strong), (folder, Tone::Quiet), ("", Tone::Plain)];
        let heads = heads.map(|(head, tone)| self.piece(head, tone));
        let label = |label: &&str| {
            let file = label.strip_prefix(folder).unwrap_or(label);
            if folder.is_empty() { file.to_owned() } else { file.replacen(ENDING, "", 1) }
        };
        let labels = labels.iter().map(|own| self.piece(&label(own), Tone::Plain));
        heads.into_iter().chain(labels).collect()
    }

    /// One column: its name, its unit, where it comes from unless it is entered, and its cells.
    fn column(&self, figures: &TableFigures<'_>, place: usize) -> Vec<Piece> {
        let Some(head) = figures.columns.get(place) else { return Vec::new() };
        let tone = if head.origin == Origin::Worked { Tone::Strong } else { Tone::Plain };
        let from = if head.origin == Origin::Entered { "" } else { origin_word(head.origin) };
        let heads = [(head.name, tone), (head.unit, Tone::Quiet), (from, Tone::Quiet)];
        let cells: Vec<CellText> =
            figures.rows.iter().map(|row| row.cells.get(place).cloned().unwrap_or_default()).collect();
        let texts: Vec<Cow<'_, str>> = cells.iter().map(|cell| self.say(&cell.text)).collect();
        let cells = cells.iter().zip(aligned(&texts)).map(|(cell, text)| {
            let is_missing = matches!(cell.text.as_str(), "waiting" | "____");
            let text = if cell.words { text } else { held_together(&text) };
            Piece::new(text, if is_missing { Tone::Waiting } else { tone })
        });
        heads.into_iter().map(|(head, tone)| self.piece(head, tone)).chain(cells).collect()
    }

    /// The labels and the columns of a block as rows, what is said about each below it; heads that are empty
    /// throughout are left out.
    fn side_by_side(&self, labels: &[Piece], block: &[&Vec<Piece>], remarks: &[RowFigures<'_>]) -> Vec<Row> {
        let mut rows = Vec::new();
        for (place, label) in labels.iter().enumerate() {
            let cells = block.iter().map(|column| column.get(place).cloned().unwrap_or_default());
            let row = Row::new([label.clone()].into_iter().chain(cells));
            let says = row.0.iter().any(|(piece, _)| !piece.is_empty());
            let remarks = place.checked_sub(HEADS).and_then(|place| remarks.get(place));
            rows.extend((place >= HEADS || says).then_some(row));
            let below = |remark: &String| Row::below(self.piece(remark, Tone::Quiet), block.len() + 1);
            rows.extend(remarks.iter().flat_map(|row| &row.remarks).map(below));
        }
        rows
    }
}

/// The folder with which all labels begin, where they are worksheets; else nothing.
fn common_folder<'a>(labels: &[&'a str]) -> &'a str {
    let Some((first, others)) = labels.split_first().filter(|_| labels.iter().all(|label| label.contains(ENDING)))
    else {
        return "";
    };
    let file = first.find(ENDING).unwrap_or(0);
    let mut folders = first.match_indices('/').map(|(slash, _)| slash + 1).filter(|end| *end < file).rev();
    let holds =
        |end: &usize| first.get(..*end).is_some_and(|folder| others.iter().all(|label| label.starts_with(folder)));
    folders.find(holds).and_then(|end| first.get(..end)).unwrap_or("")
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
