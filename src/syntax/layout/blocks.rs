//! Blocks: lines that follow each other, put under each other. It sees words and their widths, and no meaning.

use super::lines::{Line, Pieces, Signed};
use unicode_width::UnicodeWidthStr;

/// A name or label wider than this stands out, so that the signs of the other lines stay near their names.
const WIDEST_LEFT: usize = 32;
/// A formula or value that ends beyond this column has its bracket or remark behind it, and the others theirs in line.
const FARTHEST_END: usize = 80;
/// A cell wider than this stands out.
const WIDEST_CELL: usize = 80;

/// The text of all lines.
pub(super) fn text(lines: &[Line]) -> String {
    let mut text = String::new();
    let mut rest = lines;
    while let Some(first) = rest.first() {
        let length =
            1 + rest.iter().skip(1).take_while(|line| !line.is_apart && first.pieces.goes_on(&line.pieces)).count();
        let (block, others) = rest.split_at(length);
        let is_section = matches!(&first.pieces, Pieces::Whole { text, .. } if text.starts_with("##"));
        if !text.is_empty() && (first.is_apart || is_section) {
            text.push('\n');
        }
        for line in laid(block) {
            text += &line;
            text.push('\n');
        }
        rest = others;
    }
    text
}

impl Pieces {
    /// Whether a line of the block that this begins may be the other.
    fn goes_on(&self, other: &Self) -> bool {
        match (self, other) {
            (Self::Signed(first), Self::Signed(other)) => first.family == other.family,
            (Self::Row { .. }, Self::Row { .. } | Self::Note(_)) => true,
            _ => false,
        }
    }
}

fn laid(block: &[Line]) -> Vec<String> {
    let signed: Vec<&Signed> = block
        .iter()
        .filter_map(|line| match &line.pieces {
            Pieces::Signed(signed) => Some(signed),
            _ => None,
        })
        .collect();
    if !signed.is_empty() {
        return under_each_other(&signed);
    }
    let widths = widths(block);
    block
        .iter()
        .map(|line| match &line.pieces {
            Pieces::Whole { text, remark } => with_piece(text.clone(), remark, None),
            Pieces::Note(text) => text.clone(),
            Pieces::Row { cells, remark } => row(cells, remark, &widths),
            Pieces::Signed(_) => String::new(),
        })
        .collect()
}

/// Signed lines, with their signs, brackets and remarks under each other.
fn under_each_other(lines: &[&Signed]) -> Vec<String> {
    let lefts = lines.iter().map(|line| line.left.width());
    let left = lefts.filter(|width| *width <= WIDEST_LEFT).max().unwrap_or(0);
    let mut laid: Vec<String> = lines.iter().map(|line| with_sign(line, left)).collect();
    for piece in [|line: &Signed| line.bracket.clone(), |line: &Signed| line.remark.clone()] {
        let pieces: Vec<String> = lines.iter().map(|line| piece(line)).collect();
        let column = column(&laid, &pieces);
        laid = laid.into_iter().zip(&pieces).map(|(line, piece)| with_piece(line, piece, column)).collect();
    }
    laid
}

fn with_sign(line: &Signed, left: usize) -> String {
    let space = " ".repeat(1 + left.saturating_sub(line.left.width()));
    let gap = if line.right.starts_with('\n') { "" } else { " " };
    format!("{}{space}{}{gap}{}", line.left, line.sign, line.right)
}

/// Where the pieces of a block begin: two behind the farthest line that has one, those that end too far aside.
fn column(laid: &[String], pieces: &[String]) -> Option<usize> {
    let with_piece = laid.iter().zip(pieces).filter(|(_, piece)| !piece.is_empty() && !piece.starts_with('\n'));
    with_piece.map(|(line, _)| end(line)).filter(|end| *end <= FARTHEST_END).max().map(|end| end + 2)
}

/// A line with its bracket or remark at a column, or two spaces behind.
fn with_piece(line: String, piece: &str, column: Option<usize>) -> String {
    if piece.is_empty() || piece.starts_with('\n') {
        return line + piece;
    }
    let end = end(&line);
    let space = column.unwrap_or(0).saturating_sub(end).max(2);
    line + &" ".repeat(space) + piece
}

/// The column at which a statement's last line ends.
fn end(statement: &str) -> usize {
    statement.rsplit('\n').next().unwrap_or("").width()
}

/// The widths of a table's columns.
fn widths(block: &[Line]) -> Vec<usize> {
    let mut widths: Vec<usize> = Vec::new();
    for line in block {
        let Pieces::Row { cells, .. } = &line.pieces else { continue };
        widths.resize(widths.len().max(cells.len()), 0);
        for (width, cell) in widths.iter_mut().zip(cells) {
            *width = Some(cell.width()).filter(|own| own <= &WIDEST_CELL).map_or(*width, |own| own.max(*width));
        }
    }
    widths
}

fn row(cells: &[String], remark: &str, widths: &[usize]) -> String {
    let mut row = "|".to_owned();
    for (cell, width) in cells.iter().zip(widths) {
        row += &format!(" {cell}{} |", " ".repeat(width.saturating_sub(cell.width())));
    }
    if remark.is_empty() { row } else { format!("{row} {remark}") }
}
