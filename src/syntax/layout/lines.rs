//! Statements in pieces, each piece laid out by itself: what is put under each other in `blocks.rs`.

use super::spacing::{Spacing, continued, is_white, on_one_line};
use super::{CONTINUATION, same};
use crate::syntax::mistakes;
use crate::syntax::parse::{Positioned, Reader, Rule};
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

/// The statements of a text that can be read; `None` where a table's first row cannot.
pub(super) fn lines(reader: &Reader<'_>) -> Option<Vec<Line>> {
    let mut end_before = None;
    let mut in_table = false;
    let mut laid = Vec::new();
    for written in lines::statements(&reader.source.text, reader.number) {
        let is_apart = end_before.is_some_and(|end| is_apart(reader, end, written.place));
        end_before = Some(written.place.end);
        let goes_on = in_table && !is_apart;
        in_table = written.role == Role::Row || goes_on && written.role == Role::Note;
        laid.push(Line { pieces: Splitter { reader, written }.pieces(goes_on)?, is_apart });
    }
    Some(laid)
}

/// Whether an empty line stands between the end of a statement and the next.
pub(super) fn is_apart(reader: &Reader<'_>, end: u32, next: Place) -> bool {
    reader.text(Place { start: end, end: next.start, ..next }).matches('\n').count() > 1
}

struct Splitter<'a> {
    reader: &'a Reader<'a>,
    written: Written,
}

impl<'a> Splitter<'a> {
    fn pieces(&self, in_table: bool) -> Option<Pieces> {
        match self.written.role {
            Role::Title | Role::Caution => Some(self.prose(1)),
            Role::Section => Some(self.prose(2)),
            Role::Note => Some(self.note()),
            Role::Row => self.row(in_table),
            Role::Named => self.named(),
            Role::Crew => self.crew(),
            Role::Check => self.labelled(Rule::check, Family::Check),
            Role::Chart => self.labelled(Rule::chart, Family::Chart),
            Role::Fills => self.fills(),
            Role::Unknown | Role::Stray => None,
        }
    }

    fn text(&self, from: u32, until: u32) -> &'a str {
        self.reader.text(Place { start: from, end: until, ..self.written.place })
    }

    /// A mark, a space and words as they are written. A row of the mark's own character is left together.
    fn prose(&self, mark: usize) -> Pieces {
        let text = self.reader.text(self.written.place);
        let (mark, body) = text.split_at_checked(mark).unwrap_or((text, ""));
        let is_drawn = mark.chars().next().is_some_and(|own| body.starts_with(own));
        let space = if body.is_empty() || is_drawn { "" } else { " " };
        Pieces::Whole { text: format!("{mark}{space}{}", continued(body)), remark: String::new() }
    }

    /// The words of a note may stand further in: a list in it keeps its shape.
    fn note(&self) -> Pieces {
        let Pieces::Whole { text, .. } = self.prose(2) else { return Pieces::Note(String::new()) };
        let body = self.reader.text(self.written.place).get(2..).unwrap_or("");
        let lead = body.chars().take_while(|character| is_white(*character)).count();
        let (mark, words) = text.split_at_checked(2).unwrap_or((&text, ""));
        Pieces::Note(format!("{mark}{}{words}", " ".repeat(lead.saturating_sub(1))))
    }

    fn row(&self, in_table: bool) -> Option<Pieces> {
        let (places, remark) = mistakes::split_row(self.reader, self.written).ok()?;
        let cells = match in_table {
            true => places.iter().map(|place| on_one_line(self.reader.text(*place))).collect(),
            false => {
                let cells = places.iter().enumerate();
                cells.map(|(index, place)| self.head_cell(index, *place)).collect::<Option<_>>()?
            }
        };
        let remark = remark.map(|remark| format!("-- {remark}")).unwrap_or_default();
        Some(Pieces::Row { cells, remark })
    }

    fn head_cell(&self, index: usize, place: Place) -> Option<String> {
        let pair = self.reader.read(same::head_rule(index), place).ok()?;
        let mut spacing = Spacing::new(&self.reader.source.text);
        spacing.read(pair);
        Some(spacing.written(place.range(), " "))
    }

    /// The parts of a statement that the grammar reads, their white space looked at, and its remark.
    fn read(&self, rule: Rule) -> Option<(Vec<Positioned<'a>>, Spacing<'a>, Option<Place>)> {
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
