//! Rows and columns for a terminal, made by the table library: columns as wide as they need, words wrapped where the
//! room is short, figures never. It knows nothing of reports.

use super::spaces::{HELD, broken, with_whole_numbers};
use crate::hands;
use comfy_table::{
    Attribute, Cell, Color, ColumnConstraint, ContentArrangement, ContentLineStyle, LineStyle, Table, TableStyle, Width,
};
use compact_str::CompactString;
use unicode_width::UnicodeWidthStr;

/// The space between two columns.
pub const GAP: usize = 2;

/// So many rows make a table of the library, which holds much more than the words of each.
const BATCH: usize = 200;

/// So many rows are worth sharing out.
const MANY_ROWS: usize = 100;

/// The letter of Latin-1 that takes no column.
const SOFT_HYPHEN: char = '\u{ad}';

/// The least width in which words are set.
const LEAST_WIDTH: usize = 20;

/// The longest word for which a column of words is kept wide enough; a longer one is broken.
const LONGEST_WORD: usize = 30;

/// The same where figures leave less room.
const LONGEST_WORDS: [usize; 3] = [LONGEST_WORD, 20, 12];

/// How words stand out where there is colour. It never carries what the words do not.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub enum Tone {
    /// As they are.
    #[default]
    Plain,
    /// What one came for.
    Strong,
    /// What may be passed over.
    Quiet,
    /// What is still to come.
    Waiting,
    /// What holds.
    Good,
    /// What to be careful of.
    Warning,
    /// What does not hold.
    Bad,
}

/// Some words in one tone. Words joined by no-break spaces stay together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Piece {
    text: CompactString,
    tone: Tone,
    /// The columns of a terminal that it takes: asked for again and again while columns and lines are made.
    width: usize,
}

impl Piece {
    /// Words in a tone; a number in them stays in one piece.
    pub fn new(text: impl Into<CompactString>, tone: Tone) -> Self {
        let text = with_whole_numbers(text.into());
        Self { width: width(&text), text, tone }
    }

    /// The columns of a terminal that it takes.
    pub fn width(&self) -> usize {
        self.width
    }

    /// Whether it says nothing.
    pub fn is_empty(&self) -> bool {
        self.text.is_empty()
    }

    /// The columns that its longest word takes, up to a limit; a number in it gets them in any case.
    fn least_width(&self, longest: usize) -> usize {
        let word = |word: &str| {
            let holds_number = word.contains(HELD) || word.starts_with(|first: char| first.is_ascii_digit());
            if holds_number { width(word) } else { width(word).min(longest) }
        };
        self.text.split(' ').map(word).max().unwrap_or(0)
    }

    fn cell(&self, width: usize) -> Cell {
        let cell = Cell::new_owned(broken(&self.text, width));
        match self.tone {
            _ if self.text.is_empty() => cell,
            Tone::Plain => cell,
            Tone::Strong => cell.add_attribute(Attribute::Bold),
            Tone::Quiet => cell.add_attribute(Attribute::Dim),
            Tone::Waiting => cell.fg(Color::DarkCyan),
            Tone::Good => cell.fg(Color::DarkGreen).add_attribute(Attribute::Bold),
            Tone::Warning => cell.fg(Color::DarkYellow).add_attribute(Attribute::Bold),
            Tone::Bad => cell.fg(Color::Red).add_attribute(Attribute::Bold),
        }
    }
}

/// The columns of a terminal that words take: one for each letter of Latin-1, which most words are of.
fn width(words: &str) -> usize {
    let is_one_wide = |letter: char| letter <= 'ÿ' && letter != SOFT_HYPHEN;
    if words.chars().all(is_one_wide) { words.chars().count() } else { words.width() }
}

/// One row: pieces with the number of columns that each takes.
#[derive(Debug, Clone, Default)]
pub struct Row(pub Vec<(Piece, usize)>);

impl Row {
    /// A row of one piece a column.
    pub fn new(cells: impl IntoIterator<Item = Piece>) -> Self {
        Self(cells.into_iter().map(|piece| (piece, 1)).collect())
    }

    /// What is said below a row of so many columns, from the second column on.
    pub fn below(said: Piece, columns: usize) -> Self {
        Self(vec![(Piece::default(), 1), (said, columns.saturating_sub(1).max(1))])
    }

    /// Whether both are cut into the same columns.
    fn is_cut_like(&self, other: &Self) -> bool {
        self.0.iter().map(|(_, span)| span).eq(other.0.iter().map(|(_, span)| span))
    }

    /// The pieces of columns that are filled, each with its width.
    fn filled(&self, widths: &[usize]) -> impl Iterator<Item = (&Piece, usize)> {
        let pieces = self.0.iter().map(|(piece, _)| piece).zip(widths.iter().copied());
        pieces.filter(|(_, width)| *width > 0)
    }

    /// Whether every piece has room in its width, so that the row is one line.
    fn is_line(&self, widths: &[usize]) -> bool {
        let mut filled = self.filled(widths).peekable();
        filled.peek().is_some() && filled.all(|(piece, width)| piece.width <= width)
    }

    /// The row as one line. The library makes the same of it, as a test holds, and takes as long for that as all stages
    /// before take to settle and work it: a seventh of what 1000 lines take in all.
    fn line(&self, widths: &[usize], indent: usize) -> String {
        let mut line = String::with_capacity(widths.iter().sum::<usize>() + (widths.len() + 1) * GAP);
        let mut spaces = indent;
        for (piece, width) in self.filled(widths) {
            write_spaces(&mut line, spaces);
            piece.text.split(HELD).for_each(|part| {
                line.push_str(part);
                line.push(' ');
            });
            line.pop();
            spaces = width.saturating_sub(piece.width()) + GAP;
        }
        line.truncate(line.trim_end().len());
        line
    }

    /// Each piece with its first column and the number of columns that it takes.
    fn placed(&self) -> impl Iterator<Item = (&Piece, usize, usize)> {
        let mut next = 0;
        self.0.iter().map(move |(piece, span)| {
            next += span;
            (piece, next - span, *span)
        })
    }
}

/// The widths of columns, 0 where no row fills one, and the room that they stand in.
#[derive(Debug, Clone, PartialEq)]
pub struct Columns {
    widths: Vec<usize>,
    room: usize,
}

impl Columns {
    /// Columns in which all rows fit into so much room, or take as little more as figures allow.
    pub fn of(rows: &[&Row], room: usize) -> Self {
        let mut columns = Self { widths: arranged(rows, room), room };
        let wide = rows.iter().flat_map(|row| row.placed()).filter(|(_, _, span)| *span > 1);
        wide.for_each(|(piece, start, span)| columns.widen(piece, start, span));
        columns
    }

    /// One column of a given width.
    pub fn one(width: usize) -> Self {
        Self { widths: vec![width.max(1)], room: width }
    }

    /// What is left of the room goes to the columns under a piece that is too long for them, and what its figures need
    /// in any case.
    fn widen(&mut self, piece: &Piece, start: usize, span: usize) {
        let short = piece.width().saturating_sub(self.spanned(start, span));
        let left = self.room.saturating_sub(total(&self.widths));
        let needed = piece.least_width(0).saturating_sub(self.spanned(start, span));
        let Some(widths) = self.widths.get_mut(start..start + span) else { return };
        let last = widths.iter().rposition(|width| *width > 0).unwrap_or(0);
        widths.iter_mut().skip(last).take(1).for_each(|last| *last += short.min(left).max(needed));
    }

    /// The width of a piece; one that reaches over the last columns has all the room that is left.
    fn spanned(&self, start: usize, span: usize) -> usize {
        if span == 1 || start + span < self.widths.len() {
            return total(self.widths.get(start..start + span).unwrap_or_default());
        }
        let before = total(self.widths.get(..start).unwrap_or_default());
        self.room.saturating_sub(before + GAP).max(LEAST_WIDTH)
    }

    /// The lines of rows, one below the other, with so many spaces before each.
    pub fn lines(&self, rows: &[Row], indent: usize, colour: bool) -> Vec<String> {
        let alike = rows.chunk_by(Row::is_cut_like);
        let batches: Vec<&[Row]> = alike.flat_map(|alike| alike.chunks(BATCH)).collect();
        let many = if rows.len() < MANY_ROWS { usize::MAX } else { 0 };
        let lines = hands::over(&batches, many, |batch| self.lines_of_alike(batch, indent, colour));
        lines.into_iter().flatten().collect()
    }

    /// The lines of rows that are cut alike.
    fn lines_of_alike(&self, rows: &[Row], indent: usize, colour: bool) -> Vec<String> {
        let cut = rows.iter().take(1).flat_map(Row::placed);
        let widths: Vec<usize> = cut.map(|(_, start, span)| self.spanned(start, span)).collect();
        let is_line = |row: &Row| !colour && row.is_line(&widths);
        let runs = rows.chunk_by(|one, other| is_line(one) == is_line(other));
        let lines = runs.map(|run| match run.first() {
            Some(first) if is_line(first) => run.iter().map(|row| row.line(&widths, indent)).collect(),
            _ => wrapped(run, &widths, indent, colour),
        });
        lines.flatten().collect()
    }
}

/// The lines of rows whose pieces may be longer than the widths. The library has no cell over several columns; so rows
/// that are cut alike make a table of their own, in which such a cell has the width of its columns together.
fn wrapped(rows: &[Row], widths: &[usize], indent: usize, colour: bool) -> Vec<String> {
    let mut table = Table::new();
    table.load_style(TableStyle::new());
    for row in rows {
        table.add_row(row.filled(widths).map(|(piece, width)| piece.cell(width)).collect::<Vec<_>>());
    }
    table.style_text_only();
    if colour {
        table.enforce_styling()
    } else {
        table.force_no_tty()
    };
    let before = std::iter::once(indent).chain(std::iter::repeat(GAP));
    let widths = widths.iter().filter(|width| **width > 0);
    for ((column, width), before) in table.column_iter_mut().zip(widths).zip(before) {
        column.set_padding((narrow(before), 0)).set_constraint(absolute(before + width));
    }
    table.lines().map(finished).collect()
}

fn write_spaces(line: &mut String, many: usize) {
    const SOME: &str = "                                                                ";
    let mut left = many;
    while left > 0 {
        let some = SOME.get(..left).unwrap_or(SOME);
        line.push_str(some);
        left -= some.len();
    }
}

/// A line as it goes out, with the spaces that held it together as others are, and none at its end.
fn finished(line: String) -> String {
    let mut line = if line.contains(HELD) { line.replace(HELD, " ") } else { line };
    line.truncate(line.trim_end().len());
    line
}

/// Words wrapped at a width, with so many spaces before each line.
pub fn paragraph(piece: &Piece, indent: usize, width: usize, colour: bool) -> Vec<String> {
    let row = Row::new([piece.clone()]);
    Columns::one(width.saturating_sub(indent).max(LEAST_WIDTH)).lines(&[row], indent, colour)
}

/// The width of a column of pieces with which its words need not be broken in too many lines.
pub fn fair_width(pieces: &[Piece]) -> usize {
    pieces.iter().map(|piece| piece.width().min(piece.least_width(LONGEST_WORD).max(LONGEST_WORD))).max().unwrap_or(0)
}

/// All columns with the spaces between them.
fn total(widths: &[usize]) -> usize {
    widths.iter().sum::<usize>() + GAP * widths.iter().filter(|width| **width > 0).count().saturating_sub(1)
}

/// The widths that the library gives to the columns. Where one would break a figure, it gets the width of that and the
/// others are arranged again.
fn arranged(rows: &[&Row], room: usize) -> Vec<usize> {
    let natural = by_column(rows, Piece::width);
    if total(&natural) <= room {
        return natural;
    }
    let mut least = natural.clone();
    for longest in LONGEST_WORDS {
        if total(&least) > room {
            least = by_column(rows, |piece| piece.least_width(longest));
        }
    }
    let mut table = ruled(rows, &natural, &least, room);
    loop {
        let widths = strokes(&table, &natural);
        let short = widths.iter().zip(&least).position(|(width, least)| width < least);
        match short.and_then(|short| Some((table.column_mut(short)?, least.get(short)?))) {
            Some((column, least)) if column.constraint().is_none() => {
                column.set_constraint(absolute(least + GAP - 1));
            }
            _ => return widths,
        }
    }
}

/// A table with a rule over it that shows how the library arranges the columns: of all pieces that take one column, but
/// for those which the least width of theirs has room for. A column of such pieces alone has its width.
fn ruled(rows: &[&Row], natural: &[usize], least: &[usize], room: usize) -> Table {
    const RULED: TableStyle = TableStyle::new()
        .top_border(LineStyle::none().fill('-').junction('+'))
        .content_lines(ContentLineStyle::none().junction('|'));
    let mut table = Table::new();
    table.load_style(RULED).set_content_arrangement(ContentArrangement::Dynamic);
    table.force_no_tty().set_width(narrow(room + GAP - 1));
    table.add_row(vec![Cell::new(""); natural.len()]);
    for row in rows {
        let is_wide = |(piece, start, span): &(&Piece, usize, usize)| {
            *span == 1 && least.get(*start).is_some_and(|least| piece.width() > *least)
        };
        let mut cells = Vec::new();
        for (piece, start, _) in row.placed().filter(is_wide) {
            cells.resize(start, Cell::new(""));
            cells.push(Cell::new_owned(broken(&piece.text, room)));
        }
        if !cells.is_empty() {
            table.add_row(cells);
        }
    }
    for ((column, natural), least) in table.column_iter_mut().zip(natural).zip(least) {
        column.set_padding((0, narrow(GAP - 1)));
        if *natural == 0 {
            column.set_constraint(ColumnConstraint::Hidden);
        } else if natural == least {
            column.set_constraint(absolute(least + GAP - 1));
        }
    }
    table
}

/// The lengths of the strokes of the rule, which leaves out the columns that nothing fills.
fn strokes(table: &Table, natural: &[usize]) -> Vec<usize> {
    let rule = table.lines().next().unwrap_or_default();
    let mut strokes = rule.split('+').map(|stroke| stroke.len().saturating_sub(GAP - 1));
    natural.iter().map(|natural| if *natural == 0 { 0 } else { strokes.next().unwrap_or(0) }).collect()
}

fn absolute(width: usize) -> ColumnConstraint {
    ColumnConstraint::Absolute(Width::Fixed(narrow(width)))
}

fn narrow(width: usize) -> u16 {
    u16::try_from(width).unwrap_or(u16::MAX)
}

/// The most that a piece of each column measures.
fn by_column(rows: &[&Row], measure: impl Fn(&Piece) -> usize) -> Vec<usize> {
    let columns = rows.iter().flat_map(|row| row.placed()).map(|(_, start, span)| start + span).max().unwrap_or(0);
    let mut widths = vec![0; columns];
    for (piece, start, _) in rows.iter().flat_map(|row| row.placed()).filter(|(_, _, span)| *span == 1) {
        widths.iter_mut().skip(start).take(1).for_each(|width| *width = measure(piece).max(*width));
    }
    widths
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::spaces::held_together;
    use insta::assert_snapshot;
    use proptest::prelude::*;

    proptest! {
        #![proptest_config(ProptestConfig { failure_persistence: None, cases: 4000, ..ProptestConfig::default() })]

        #[test]
        fn a_row_of_one_line_is_what_the_library_makes_of_it(
            words in prop::collection::vec("[a-c1±日é\u{a0}/,. -]{0,9}", 1..5),
            room in prop::collection::vec(0_usize..4, 5),
            indent in 0_usize..4,
        ) {
            let row = Row(words.iter().map(|words| (Piece::new(words.as_str(), Tone::Plain), 1)).collect());
            let widths: Vec<usize> = row.0.iter().zip(&room).map(|((piece, _), room)| match piece.width() {
                0 if *room == 0 => 0,
                width => (width + room).max(1),
            }).collect();
            prop_assume!(row.is_line(&widths));
            prop_assert_eq!(vec![row.line(&widths, indent)], wrapped(&[row], &widths, indent, false));
        }
    }

    fn row(words: &[&str]) -> Row {
        Row::new(words.iter().map(|word| Piece::new(*word, Tone::Plain)))
    }

    fn table(rows: &[Row], room: usize) -> String {
        Columns::of(&rows.iter().collect::<Vec<_>>(), room).lines(rows, 0, false).join("\n")
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
        catch of the   9 1/2,  fl oz of
        left tip       9 1/4,  concentrate
                       9 3/4
        walk           21.4    s
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
    fn a_figure_takes_its_room_from_words() {
        let figure = held_together("14 tbsp 2 1/2 tsp to 17 tbsp 1/2 tsp");
        let words = "words that give way where the room is short";
        assert_snapshot!(table(&[row(&[words, &figure, words])], 60), @r"
        words that  14 tbsp 2 1/2 tsp to 17 tbsp 1/2 tsp  words that
        give way                                          give way
        where the                                         where the
        room is                                           room is
        short                                             short
        ");
    }

    #[test]
    fn a_piece_may_reach_over_columns() {
        let piece = |words: &str| Piece::new(words, Tone::Plain);
        let wide = Row(vec![(piece("sprayer"), 1), (piece("green tank, herbicide only"), 2)]);
        let rows = [row(&["tank", "3", "gal", "entered"]), wide, Row::below(piece("same person, same tip"), 4)];
        assert_snapshot!(table(&rows, 60), @r"
        tank     3  gal                      entered
        sprayer  green tank, herbicide only
                 same person, same tip
        ");
    }

    #[test]
    fn tones_change_no_place() {
        let rows =
            [Row::new([Piece::new("no", Tone::Bad), Piece::new("a long word", Tone::Strong)]), row(&["ok", "b"])];
        let columns = Columns::of(&rows.iter().collect::<Vec<_>>(), 9);
        assert_snapshot!(columns.lines(&rows, 1, true).join("\n").replace('\u{1b}', "^"), @r"
         ^[38;5;9m^[1mno^[0m  ^[1ma^[0m
             ^[1mlong^[0m
             ^[1mword^[0m
         ok  b
        ");
    }

    #[test]
    fn no_words_make_it_panic() {
        let long = "x".repeat(100_000);
        let rows =
            [row(&[&long, "", "日本語 日本語 日本語"]), Row::default(), row(&["a"]), Row::below(Piece::default(), 0)];
        for room in [0, 1, 7, 40, 1000, 100_000] {
            assert!(!table(&rows, room).is_empty());
        }
    }
}
