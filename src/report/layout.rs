//! Rows and columns for a terminal: columns as wide as they need, words wrapped where the width is short, figures
//! never, decimal marks in one line. It knows nothing of reports.

use anstyle::Style;
use textwrap::core::display_width;
use textwrap::{Options, WordSeparator, WordSplitter};

/// The space between two columns.
pub const GAP: usize = 2;

/// The longest word for which a column of words is kept wide enough; a longer one is broken.
const LONGEST_WORD: usize = 30;

/// The space at which no line ends.
const HELD: char = '\u{a0}';

/// Some words in one style. Words joined by no-break spaces stay together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Piece {
    /// The words.
    pub text: String,
    /// Their style.
    pub style: Style,
}

impl Piece {
    /// Words in a style; a number in them stays in one piece.
    pub fn new(text: impl AsRef<str>, style: Style) -> Self {
        Self { text: with_whole_numbers(text.as_ref()), style }
    }
}

/// One row: its cells, and what is said about it below.
#[derive(Debug, Clone, Default)]
pub struct Row {
    /// A piece for each column, or one that reaches over several.
    pub cells: Vec<(Piece, usize)>,
    /// What stands below, from the second column on.
    pub below: Vec<Piece>,
}

impl Row {
    /// A row of one piece a column.
    pub fn new(cells: impl IntoIterator<Item = Piece>) -> Self {
        Self { cells: cells.into_iter().map(|piece| (piece, 1)).collect(), below: Vec::new() }
    }

    /// Each piece with the columns that it takes.
    fn placed(&self) -> impl Iterator<Item = (&Piece, usize, usize)> {
        let mut column = 0;
        self.cells.iter().map(move |(piece, span)| {
            let start = column;
            column += span;
            (piece, start, *span)
        })
    }
}

/// The widths of the columns for which all rows fit into so much room, or as little more as figures allow.
pub fn widths(rows: &[Row], room: usize) -> Vec<usize> {
    let mut widths = natural(rows, |text| display_width(text).min(room).max(longest_word(text)));
    let least = natural(rows, longest_word);
    while total(&widths) > room {
        let slack = widths.iter().zip(&least).map(|(width, least)| width.saturating_sub(*least)).enumerate();
        let Some((column, _)) = slack.filter(|(_, slack)| *slack > 0).max_by_key(|(_, slack)| *slack) else {
            break;
        };
        if let Some(width) = widths.get_mut(column) {
            *width -= 1;
        }
    }
    let mut widths = tightened(rows, &widths);
    widen_for_spans(rows, &mut widths, room);
    widths
}

/// All columns with the spaces between them.
pub fn total(widths: &[usize]) -> usize {
    widths.iter().sum::<usize>() + GAP * widths.iter().filter(|width| **width > 0).count().saturating_sub(1)
}

/// The width of a column of pieces with which its words need not be broken in too many lines.
pub fn fair_width(pieces: &[Piece]) -> usize {
    let fair = |piece: &Piece| display_width(&piece.text).min(longest_word(&piece.text).max(LONGEST_WORD));
    pieces.iter().map(fair).max().unwrap_or(0)
}

fn natural(rows: &[Row], measure: impl Fn(&str) -> usize) -> Vec<usize> {
    by_column(rows, |text, _| measure(text))
}

/// The widths that the wrapped lines take in fact.
fn tightened(rows: &[Row], widths: &[usize]) -> Vec<usize> {
    by_column(rows, |text, column| {
        let width = widths.get(column).copied().unwrap_or(0);
        if display_width(text) <= width { display_width(text) } else { widest_line(text, width) }
    })
}

fn widest_line(text: &str, width: usize) -> usize {
    wrap(text, width).iter().map(|line| display_width(line)).max().unwrap_or(0)
}

fn by_column(rows: &[Row], measure: impl Fn(&str, usize) -> usize) -> Vec<usize> {
    let mut widths = Vec::new();
    for (piece, column, _) in rows.iter().flat_map(Row::placed).filter(|(_, _, span)| *span == 1) {
        if widths.len() <= column {
            widths.resize(column + 1, 0);
        }
        if let Some(width) = widths.get_mut(column) {
            *width = measure(&piece.text, column).max(*width);
        }
    }
    widths
}

fn longest_word(text: &str) -> usize {
    // Leading spaces put the decimal mark in its place and are part of the figure.
    let (before, words) = spaces_before(text);
    let words = words.split(' ').map(|word| {
        let holds_number = word.contains(HELD) || word.starts_with(|first: char| first.is_ascii_digit());
        if holds_number { display_width(word) } else { display_width(word).min(LONGEST_WORD) }
    });
    before.len() + words.max().unwrap_or(0)
}

/// What is left of the room goes to the columns under pieces that are too long for them.
fn widen_for_spans(rows: &[Row], widths: &mut [usize], room: usize) {
    for (piece, start, span) in rows.iter().flat_map(Row::placed).filter(|(_, _, span)| *span > 1) {
        let left = room.saturating_sub(total(widths));
        let short = display_width(&piece.text).saturating_sub(spanned(widths, start, span));
        if let Some(last) = widths.get_mut(start + span - 1) {
            *last += short.min(left);
        }
    }
}

fn spanned(widths: &[usize], start: usize, span: usize) -> usize {
    total(widths.get(start..start + span).unwrap_or_default())
}

/// The lines of a row, in the widths given, with so many spaces before each.
pub fn lines(row: &Row, widths: &[usize], indent: usize, colour: bool) -> Vec<String> {
    let cells: Vec<(Vec<String>, Style, usize)> = row
        .placed()
        .map(|(piece, start, span)| (piece, spanned(widths, start, span)))
        .filter(|(_, width)| *width > 0)
        .map(|(piece, width)| (wrap(&piece.text, width), piece.style, width))
        .collect();
    let height = cells.iter().map(|(lines, _, _)| lines.len()).max().unwrap_or(0);
    let mut lines: Vec<String> = (0..height).map(|line| side_by_side(&cells, line, indent, colour)).collect();
    let before = indent + widths.first().map_or(0, |first| first + GAP);
    for piece in &row.below {
        lines.extend(paragraph(piece, before, indent + total(widths), colour));
    }
    lines
}

fn side_by_side(cells: &[(Vec<String>, Style, usize)], line: usize, indent: usize, colour: bool) -> String {
    let (mut text, mut pending) = (String::new(), indent);
    for (lines, style, width) in cells {
        let piece = lines.get(line).map_or("", String::as_str);
        if !piece.is_empty() {
            let (spaces, words) = spaces_before(piece);
            text.extend(std::iter::repeat_n(' ', pending + spaces.len()));
            text.push_str(&painted(words, *style, colour));
            pending = 0;
        }
        pending += width - display_width(piece).min(*width) + GAP;
    }
    text
}

/// Words wrapped at a width, with so many spaces before each line.
pub fn paragraph(piece: &Piece, indent: usize, width: usize, colour: bool) -> Vec<String> {
    let lines = wrap(&piece.text, width.saturating_sub(indent).max(20));
    lines.iter().map(|line| format!("{:indent$}{}", "", painted(line, piece.style, colour))).collect()
}

/// Words in their style where there is colour.
pub fn painted(text: &str, style: Style, colour: bool) -> String {
    if colour && !style.is_plain() && !text.is_empty() { format!("{style}{text}{style:#}") } else { text.to_owned() }
}

fn wrap(text: &str, width: usize) -> Vec<String> {
    // Leading spaces are those that put the decimal mark in its place.
    let (before, words) = spaces_before(text);
    let options = Options::new(width)
        .word_separator(WordSeparator::AsciiSpace)
        .word_splitter(WordSplitter::NoHyphenation)
        .initial_indent(before)
        .subsequent_indent(before);
    let lines = textwrap::wrap(words, options);
    lines.iter().map(|line| line.replace(HELD, " ").trim_end().to_owned()).collect()
}

fn spaces_before(text: &str) -> (&str, &str) {
    text.split_at(text.len() - text.trim_start_matches(' ').len())
}

/// Figures held together, so that a line may end between two readings and nowhere else; spaces before them stay.
pub fn held_together(figures: &str) -> String {
    let (before, words) = spaces_before(figures);
    format!("{before}{}", words.replace(' ', "\u{a0}").replace(",\u{a0}", ", "))
}

/// Words with the numbers among them held together: `1 1/2`, `28 ± 1`, `10 %`.
fn with_whole_numbers(text: &str) -> String {
    let mut held = String::with_capacity(text.len());
    let mut rest = text;
    while let Some((before, after)) = rest.split_once(' ') {
        held.push_str(before);
        let number = before.ends_with(|last: char| last.is_ascii_digit());
        let goes_on = after.starts_with(|next: char| next.is_ascii_digit() || matches!(next, '±' | '%'));
        let is_sign = before.ends_with('±') || before.ends_with("+/-");
        held.push(if is_sign || (number && (goes_on || after.starts_with("+/-"))) { HELD } else { ' ' });
        rest = after;
    }
    held + rest
}

/// Figures with spaces before them, so that their decimal marks stand in one line; fractions stand where decimals do,
/// and words at the left.
pub fn aligned(figures: &[String]) -> Vec<String> {
    let widest = figures.iter().map(|figure| whole(figure).map_or(0, str::len)).max().unwrap_or(0);
    let align = |figure: &String| match whole(figure) {
        None => figure.clone(),
        // A bare fraction stands behind the place of the whole number and the space after it, or the minus there.
        Some("") if widest > 0 && !figure.starts_with(['-', '.']) => format!("{:1$}{figure}", "", widest + 1),
        Some(whole) => format!("{:1$}{figure}", "", widest - whole.len()),
    };
    figures.iter().map(align).collect()
}

/// The whole number that a figure begins with, sign and all; of a bare fraction nothing; of words none.
fn whole(figure: &str) -> Option<&str> {
    let is_digit = |letter: char| letter.is_ascii_digit();
    let unsigned = figure.strip_prefix('-').unwrap_or(figure);
    let rest = unsigned.trim_start_matches(is_digit);
    match figure.strip_suffix(rest)? {
        "" | "-" if rest.starts_with('.') => Some(""),
        "" | "-" => None,
        _ if rest.starts_with('/') => Some(""),
        whole => Some(whole),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use insta::assert_snapshot;

    fn owned(words: &[&str]) -> Vec<String> {
        words.iter().map(|word| (*word).to_owned()).collect()
    }

    fn row(words: &[&str]) -> Row {
        Row::new(words.iter().map(|word| Piece::new(*word, Style::new())))
    }

    fn table(rows: &[Row], room: usize) -> String {
        let widths = widths(rows, room);
        rows.iter().flat_map(|row| lines(row, &widths, 0, false)).collect::<Vec<_>>().join("\n")
    }

    #[test]
    fn decimal_marks_stand_in_one_line() {
        let figures =
            ["12.5", "9 1/4", "3/4", "-3/4", "100", "0.530", ".5", "-2 1/2", "1 to 1 1/2", "waiting", "1.5e-7"];
        assert_snapshot!(aligned(&owned(&figures)).join("|\n"), @r"
         12.5|
          9 1/4|
            3/4|
           -3/4|
        100|
          0.530|
           .5|
         -2 1/2|
          1 to 1 1/2|
        waiting|
          1.5e-7
        ");
        assert_snapshot!(aligned(&owned(&["3/4", "1/2"])).join("|\n"), @r"
        3/4|
        1/2
        ");
    }

    #[test]
    fn words_wrap_and_figures_do_not() {
        let readings = held_together("9 1/2, 9 1/4, 9 3/4");
        let rows = [row(&["catch of the left tip", &readings, "fl oz of concentrate"]), row(&["walk", "21.4", "s"])];
        assert_snapshot!(table(&rows, 80), @r"
        catch of the left tip  9 1/2, 9 1/4, 9 3/4  fl oz of concentrate
        walk                   21.4                 s
        ");
        assert_snapshot!(table(&rows, 36), @r"
        catch of  9 1/2,  fl oz of
        the left  9 1/4,  concentrate
        tip       9 3/4
        walk      21.4    s
        ");
    }

    #[test]
    fn numbers_among_words_stay_whole() {
        let rows = [row(&["0.2088 ± 0.0064 gal/min within 10 % of 1 1/2 gal/min"])];
        assert_snapshot!(table(&rows, 32), @r"
        0.2088 ± 0.0064 gal/min within
        10 % of 1 1/2 gal/min
        ");
    }

    #[test]
    fn a_piece_may_reach_over_columns_and_stand_below() {
        let words = Piece::new("green tank, herbicide only", Style::new());
        let mut wide = Row { cells: vec![(Piece::new("sprayer", Style::new()), 1), (words, 2)], below: vec![] };
        wide.below.push(Piece::new("same person, same tip", Style::new()));
        let rows = [row(&["tank", "3", "gal", "entered"]), wide];
        assert_snapshot!(table(&rows, 60), @r"
        tank     3  gal                      entered
        sprayer  green tank, herbicide only
                 same person, same tip
        ");
    }

    #[test]
    fn no_words_make_it_panic() {
        let long = "x".repeat(300);
        let rows = [row(&[&long, "", "日本語 日本語 日本語"]), Row::default(), row(&["a"])];
        for room in [0, 1, 7, 40, 1000] {
            assert!(!table(&rows, room).is_empty());
        }
    }
}
