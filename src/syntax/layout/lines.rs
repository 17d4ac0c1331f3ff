//! Statements in pieces, each piece laid out by itself: what is put under each other in `blocks.rs`.

use super::spacing::{Spacing, continued, is_white, on_one_line};
use super::{CONTINUATION, has_gap};
use crate::syntax::parse::{Parts, Positioned, Reader, Rule};
use crate::syntax::rows;
use crate::text::{Place, Role, Written, lines};

/// A statement, and whether an empty line stands above it.
pub(super) struct Line {
    pub(super) pieces: Pieces,
    pub(super) is_apart: bool,
}

/// The pieces of a statement.
pub(super) enum Pieces {
    /// Prose, or what stands alone in a line.
    Whole { text: String, remark: String },
    /// A note, which may stand between the rows of a table.
    Note(String),
    /// What has a sign in its middle.
    Signed(Signed),
    /// A row of a table.
    Row { cells: Vec<String>, remark: String },
}

/// `strip area = strip length * spray width [ft²] -- taped`
pub(super) struct Signed {
    /// Which lines it is put under.
    pub(super) family: Family,
    /// `strip area`
    pub(super) left: String,
    /// `:`, `=` or `from`
    pub(super) sign: String,
    /// `strip length * spray width`; begins with a line break where one stands there, as do the next two.
    pub(super) right: String,
    /// `[ft²]`; empty where there is none.
    pub(super) bracket: String,
    /// `-- taped`; empty where there is none.
    pub(super) remark: String,
}

/// Lines of one family are put under each other.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Family {
    Value,
    Drawn,
    Check,
    Chart,
}

/// What the cells of a column are.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Column {
    OfAmounts,
    OfWords,
}

/// The statements of a text that can be read; `None` where a table's first row cannot.
pub(super) fn lines(reader: &Reader<'_>) -> Option<Vec<Line>> {
    let mut end_before = None;
    let mut columns: Option<Vec<Column>> = None;
    let mut laid = Vec::new();
    for written in lines::statements(&reader.source.text, reader.number) {
        let is_apart = end_before.is_some_and(|end| has_gap(reader.source, end, written.place));
        end_before = Some(written.place.end);
        if is_apart || !matches!(written.role, Role::Row | Role::Note) {
            columns = None;
        }
        let splitter = Splitter { reader, written };
        let pieces = match (written.role, &columns) {
            (Role::Row, Some(columns)) => splitter.row(columns)?,
            (Role::Row, None) => splitter.head(columns.insert(Vec::new()))?,
            _ => splitter.pieces()?,
        };
        laid.push(Line { pieces, is_apart });
    }
    Some(laid)
}

/// The kind of a column, by its cell in the first row.
fn column(head: &Positioned<'_>) -> Column {
    let kind = head.clone().inner().into_iter().find(|part| part.rule() == Rule::column_kind);
    let kind = kind.and_then(|kind| kind.inner().into_iter().next()).map(|kind| kind.rule());
    match kind {
        Some(Rule::unit | Rule::number_kind) => Column::OfAmounts,
        _ => Column::OfWords,
    }
}

struct Splitter<'a> {
    reader: &'a Reader<'a>,
    written: Written,
}

impl<'a> Splitter<'a> {
    fn pieces(&self) -> Option<Pieces> {
        match self.written.role {
            Role::Title | Role::Caution => Some(Pieces::Whole { text: self.prose(1, 1), remark: String::new() }),
            Role::Section => Some(Pieces::Whole { text: self.prose(2, 1), remark: String::new() }),
            Role::Note => Some(self.note()),
            Role::Named => self.named(),
            Role::Crew => self.crew(),
            Role::Check => self.labelled(Rule::check, Family::Check),
            Role::Chart => self.labelled(Rule::chart, Family::Chart),
            Role::Fills => self.fills(),
            Role::Row | Role::Unknown | Role::Stray => None,
        }
    }

    fn text(&self, from: u32, until: u32) -> &'a str {
        self.reader.text(Place { start: from, end: until, ..self.written.place })
    }

    /// A mark and words as they are written, so many spaces between them. A row of the mark's own character, such as is
    /// drawn to part things, is left together.
    fn prose(&self, mark: usize, spaces: usize) -> String {
        let text = self.reader.text(self.written.place);
        let (mark, body) = text.split_at_checked(mark).unwrap_or((text, ""));
        let words = continued(body);
        let is_drawn = mark.chars().next().is_some_and(|own| body.starts_with(own));
        let is_tight = is_drawn || words.is_empty() || words.starts_with('\n');
        format!("{mark}{}{words}", " ".repeat(if is_tight { 0 } else { spaces }))
    }

    /// The words of a note may stand further in: a list in it keeps its shape.
    fn note(&self) -> Pieces {
        let body = self.reader.text(self.written.place).get(2..).unwrap_or("");
        let spaces = body.chars().take_while(|character| is_white(*character)).count();
        Pieces::Note(self.prose(2, spaces.max(1)))
    }

    /// The first row of a table; what kinds of columns it declares is put down.
    fn head(&self, columns: &mut Vec<Column>) -> Option<Pieces> {
        let (places, remark) = self.cells()?;
        let mut cells = Vec::new();
        for (index, place) in places.into_iter().enumerate() {
            let pair = self.reader.read(if index == 0 { Rule::table_cell } else { Rule::column_cell }, place).ok()?;
            columns.push(column(&pair));
            cells.push(self.cell(pair, place));
        }
        Some(Pieces::Row { cells, remark })
    }

    /// A row beneath: white space inside a value is put in order only where its column is one of amounts, since in one of
    /// words `60ft` is a word.
    fn row(&self, columns: &[Column]) -> Option<Pieces> {
        let (places, remark) = self.cells()?;
        let kinds = columns.iter().copied().chain(std::iter::repeat(Column::OfWords));
        let cells = places.into_iter().zip(kinds).map(|(place, kind)| match kind {
            Column::OfAmounts => match self.reader.read(Rule::cell, place) {
                Ok(pair) => self.cell(pair, place),
                Err(_) => on_one_line(self.reader.text(place)),
            },
            Column::OfWords => on_one_line(self.reader.text(place)),
        });
        Some(Pieces::Row { cells: cells.collect(), remark })
    }

    fn cells(&self) -> Option<(Vec<Place>, String)> {
        let (cells, _) = rows::cut(self.reader, self.written).ok()?;
        let (_, tail) = self.text(cells.last()?.end, self.written.place.end).split_once('|')?;
        let remark = match tail.trim_matches(is_white).strip_prefix("--") {
            Some(words) => format!("-- {}", words.trim_matches(is_white)).trim_end_matches(is_white).to_owned(),
            None => String::new(),
        };
        Some((cells, remark))
    }

    fn cell(&self, pair: Positioned<'_>, place: Place) -> String {
        let mut spacing = Spacing::new(&self.reader.source.text);
        spacing.read(pair);
        spacing.written(place.range(), " ")
    }

    /// The parts of a statement that the grammar reads, their white space looked at, and its remark.
    fn read(&self, rule: Rule) -> Option<(Parts<'a>, Spacing<'a>, Option<Place>)> {
        let pair = self.reader.read(rule, self.written.place).ok()?;
        let mut spacing = Spacing::new(&self.reader.source.text);
        spacing.read(pair.clone());
        let mut parts = pair.inner();
        let remark = parts.iter().position(|part| part.rule() == Rule::remark);
        let remark = remark.map(|index| parts.remove(index).place());
        if let Some(remark) = remark {
            spacing.keep_remark(remark);
        }
        Some((parts, spacing, remark))
    }

    fn named(&self) -> Option<Pieces> {
        let (parts, spacing, remark) = self.read(Rule::named)?;
        let [name, side] = parts.as_slice() else { return None };
        let (family, length) = match side.rule() {
            Rule::entry_side | Rule::result_side => (Family::Value, 1),
            _ => (Family::Drawn, 4),
        };
        let (start, end) = (side.place().start, side.place().start + length);
        let left = on_one_line(name.as_str());
        let promise = side.clone().inner().into_iter().find(|part| part.rule() == Rule::promise);
        let [right, bracket, remark] = self.tail(&spacing, end, promise.map(|promise| promise.place()), remark);
        Some(Pieces::Signed(Signed { family, left, sign: self.text(start, end).to_owned(), right, bracket, remark }))
    }

    fn crew(&self) -> Option<Pieces> {
        let (parts, spacing, remark) = self.read(Rule::crew)?;
        let word = parts.first()?;
        let left = format!("1 {}", word.as_str());
        if parts.len() < 2 {
            let [_, _, remark] = self.tail(&spacing, word.place().end, None, remark);
            return Some(Pieces::Whole { text: left, remark });
        }
        self.signed(Family::Value, left, "=", word.place().end, &spacing, remark)
    }

    /// A check or a chart: its mark and label, a colon, and the rest.
    fn labelled(&self, rule: Rule, family: Family) -> Option<Pieces> {
        let (parts, spacing, remark) = self.read(rule)?;
        let label = parts.first()?;
        let mark = self.text(self.written.place.start, self.written.place.start + 1);
        let left = format!("{mark} {}", label.as_str().trim_matches(is_white));
        self.signed(family, left, ":", label.place().end, &spacing, remark)
    }

    fn signed(
        &self,
        family: Family,
        left: String,
        sign: &str,
        left_end: u32,
        spacing: &Spacing<'_>,
        remark: Option<Place>,
    ) -> Option<Pieces> {
        let index = self.text(left_end, self.written.place.end).find(sign)?;
        let end = left_end + u32::try_from(index + sign.len()).ok()?;
        let [right, bracket, remark] = self.tail(spacing, end, None, remark);
        Some(Pieces::Signed(Signed { family, left, sign: sign.to_owned(), right, bracket, remark }))
    }

    fn fills(&self) -> Option<Pieces> {
        let (_, spacing, remark) = self.read(Rule::fills)?;
        let [text, _, remark] = self.tail(&spacing, self.written.place.start, None, remark);
        Some(Pieces::Whole { text, remark })
    }

    /// What stands from a byte on, up to the bracket; the bracket; the remark. What is not there is empty.
    fn tail(&self, spacing: &Spacing<'_>, from: u32, bracket: Option<Place>, remark: Option<Place>) -> [String; 3] {
        let remark_start = remark.map_or(self.written.place.end, |remark| remark.start);
        let bracket_start = bracket.map_or(remark_start, |bracket| bracket.start);
        let mut start = from as usize;
        [bracket_start, remark_start, self.written.place.end].map(|end| {
            let text = self.reader.source.text.get(start..end as usize).unwrap_or("");
            let white = text.get(..text.len() - text.trim_start_matches(is_white).len()).unwrap_or("");
            let piece = spacing.written(start..start + text.trim_end_matches(is_white).len(), CONTINUATION);
            start += text.trim_end_matches(is_white).len();
            match white.contains('\n') && !piece.is_empty() {
                true => format!("{CONTINUATION}{piece}"),
                false => piece,
            }
        })
    }
}
