//! Text to tree: cuts a text into statements, has the grammar read each alone, and puts what it read into a tree.
//! With `values.rs` and `operators.rs` the only part that sees the grammar's rules.

use super::known::Heads;
use super::tree::{
    Chart, Check, Column, ColumnKind, FileName, FormulaKind, Head, Item, Literal, Name, OtherKind, RowsFrom, Statement,
    StatementKind,
};
use super::{characters, mistakes, nesting, operators, prose, rows, values};
use crate::hands;
use crate::text::{Place, Role, Source, Written, lines};
use crate::trouble::{Kind, Trouble, instead};
use pest::Parser;
use pest::iterators::Pair;
use smallvec::SmallVec;

pub(super) use grammar::{Grammar, Rule};

/// What is made of `grammar/worksheet.pest`; its rules are described there.
#[allow(missing_docs, reason = "the derive writes the rules without docs")]
mod grammar {
    /// The grammar.
    #[derive(pest_derive::Parser)]
    #[grammar = "../grammar/worksheet.pest"]
    pub struct Grammar;
}

/// The most operators of one statement: what stands side by side is nested too, once it is a tree.
pub const MOST_OPERATORS: usize = 1000;

/// The most bytes of a statement, or of a cell in a row, that the grammar is given: its tokens take many times as much.
pub const LONGEST: usize = 65_536;

/// So many statements take longer to read than it takes to share them out.
pub(super) const MANY_STATEMENTS: usize = 200;

/// A text's statements in order, and what could not be read.
#[derive(Debug, Clone, Default)]
pub struct Parsed {
    /// The statements that could be read; boxed, since they are moved from list to list.
    pub statements: Vec<Box<Statement>>,
    /// What could not.
    pub troubles: Vec<Trouble>,
    /// Names that stand on lines that could not be read: what refers to them waits, and is not itself wrong.
    pub unread: Vec<Name>,
    /// First rows of tables, where the text was read before.
    pub heads: Heads,
}

/// Reads a text; what cannot be read is left out and reported, the rest is kept.
pub fn parse(source: &Source, number: u16) -> Parsed {
    let reader = Reader { source, number };
    let read = |written: &Written| read_statement(&reader, *written);
    put_together(source, hands::over(&lines::statements(&source.text, number), MANY_STATEMENTS, read))
}

/// A statement, or what is wrong with it and the names that it was to define.
pub(super) type StatementRead = Result<Box<Statement>, (Trouble, Vec<Name>)>;

pub(super) fn read_statement(reader: &Reader<'_>, written: Written) -> StatementRead {
    reader.statement(written).map(Box::new).map_err(|trouble| (trouble, mistakes::names_of(reader, written)))
}

/// The statements of a text, and what is wrong with them that only all of them tell.
pub(super) fn put_together(source: &Source, statements: Vec<StatementRead>) -> Parsed {
    let mut parsed = Parsed { statements: Vec::with_capacity(statements.len()), ..Parsed::default() };
    for statement in statements {
        match statement {
            Ok(statement) => parsed.statements.push(statement),
            Err((trouble, names)) => {
                parsed.unread.extend(names);
                parsed.troubles.push(trouble);
            }
        }
    }
    prose::check_titles(&mut parsed);
    mistakes::keep_causes(&source.text, &mut parsed.troubles);
    parsed
}

/// Reads one value by itself: a cell of a file, or what `--set` gives. `what` says what it is called in troubles.
///
/// # Errors
/// The trouble, at its place in the text.
pub fn parse_literal(source: &Source, number: u16, place: Place) -> Result<Literal, Trouble> {
    let reader = Reader { source, number };
    if let Some(literal) = values::plain(reader.text(place), place) {
        return Ok(literal);
    }
    characters::check(&reader, Written { role: Role::Named, place, is_continued: false })?;
    let pair = reader.read(Rule::alone, place)?;
    values::literal(&reader, only(pair)?)
}

/// Refuses a character that controls a terminal in a text that comes from a file, as in one of a worksheet.
///
/// # Errors
/// Which it is.
pub fn check_text(text: &str) -> Result<(), Kind> {
    characters::check_text(text, Role::Note).map_err(|(_, kind)| kind)
}

/// Reads a unit by itself, as a file's header has it.
///
/// # Errors
/// The trouble, at its place in the text.
pub fn parse_unit(source: &Source, number: u16) -> Result<super::tree::Unit, Trouble> {
    let reader = Reader { source, number };
    let place = Place::new(number, 0, source.text.len());
    characters::check(&reader, Written { role: Role::Named, place, is_continued: false })?;
    let pair = reader.read(Rule::unit_alone, place)?;
    values::unit(&reader, only(pair)?)
}

/// Reads `name : value`, as `--set` takes it.
///
/// # Errors
/// The trouble, at its place in the text.
pub fn parse_setting(source: &Source, number: u16) -> Result<(Name, Literal), Trouble> {
    let written = lines::statements(&source.text, number);
    let reader = Reader { source, number };
    let place = Place::new(number, 0, source.text.len());
    match written.as_slice() {
        [one] if one.role == Role::Named => match reader.statement(*one)?.kind {
            StatementKind::Entry(name, literal) => Ok((name, literal)),
            _ => Err(Trouble::new(place, Kind::SettingIsNoEntry)),
        },
        _ => Err(Trouble::new(place, Kind::SettingIsNoEntry)),
    }
}

/// One text being read.
pub(super) struct Reader<'a> {
    pub(super) source: &'a Source,
    pub(super) number: u16,
}

pub(super) type Read<T> = Result<T, Trouble>;

impl Reader<'_> {
    pub(super) fn text(&self, place: Place) -> &str {
        self.source.slice(place)
    }

    /// Has the grammar read the text at a place by a rule.
    pub(super) fn read(&self, rule: Rule, place: Place) -> Read<Positioned<'_>> {
        let text = self.text(place);
        let start = place.start as usize;
        if text.len() > LONGEST {
            let first = text.chars().next().map_or(1, char::len_utf8);
            let place = Place::new(place.source, start, start + first);
            return Err(Trouble::new(place, Kind::StatementTooLong { bytes: text.len(), most: LONGEST }));
        }
        match Grammar::parse(rule, text) {
            Ok(mut pairs) => match pairs.next() {
                // An operator and what it stands beside take two characters at least.
                Some(pair) if text.len() > 2 * MOST_OPERATORS && operators_in(&pair) > MOST_OPERATORS => {
                    Err(Trouble::new(place, Kind::FormulaTooLong { most: MOST_OPERATORS }))
                }
                Some(pair) => Ok(Positioned { pair, start, source: self.number }),
                None => Err(unforeseen(place)),
            },
            Err(error) => {
                let at = match error.location {
                    pest::error::InputLocation::Pos(at) | pest::error::InputLocation::Span((at, _)) => at,
                };
                Err(mistakes::explain(self, rule, place, start + at))
            }
        }
    }

    fn statement(&self, written: Written) -> Read<Statement> {
        characters::check(self, written)?;
        nesting::check(self, written)?;
        let (kind, remark) = match written.role {
            Role::Title | Role::Section | Role::Note | Role::Caution => (prose::prose(self, written)?, None),
            Role::Row => self.row(written)?,
            Role::Check => self.by_rule(Rule::check, written, Self::check)?,
            Role::Chart => self.by_rule(Rule::chart, written, Self::chart)?,
            Role::Crew => self.by_rule(Rule::crew, written, Self::crew)?,
            Role::Fills => self.by_rule(Rule::fills, written, Self::fills)?,
            Role::Named => self.by_rule(Rule::named, written, Self::named)?,
            Role::Unknown => return Err(mistakes::unknown_role(self, written)),
            Role::Stray => return Err(Trouble::new(written.place, Kind::StrayContinuation)),
        };
        Ok(Statement { place: written.place, kind, remark })
    }

    fn by_rule(
        &self,
        rule: Rule,
        written: Written,
        build: impl Fn(&Self, Parts<'_>) -> Read<StatementKind>,
    ) -> Read<(StatementKind, Option<String>)> {
        let mut parts = self.read(rule, written.place)?.inner();
        parts.retain(|part| part.rule() != Rule::EOI);
        let remark = match parts.iter().position(|part| part.rule() == Rule::remark) {
            Some(index) => prose::remark(self, &parts.remove(index))?,
            None => None,
        };
        Ok((build(self, parts)?, remark))
    }

    fn named(&self, parts: Parts<'_>) -> Read<StatementKind> {
        let [name, side] = exactly(parts)?;
        let name = values::name(self, &name);
        match side.rule() {
            Rule::entry_side => Ok(StatementKind::Entry(name, values::literal(self, only(side)?)?)),
            Rule::result_side => {
                let (formula, promise) = self.result_side(side)?;
                Ok(StatementKind::Result(name, formula, promise))
            }
            _ => Ok(StatementKind::Draw(name, self.file_name(side.inner())?)),
        }
    }

    fn result_side(&self, side: Positioned<'_>) -> Read<(super::tree::Formula, Option<super::tree::Promise>)> {
        let mut inner = side.inner().into_iter();
        let formula = operators::formula(self, inner.next().ok_or_else(|| self.gap())?)?;
        let promise = inner.next().map(|promise| values::promise(self, promise)).transpose()?;
        Ok((formula, promise))
    }

    fn fills(&self, parts: Parts<'_>) -> Read<StatementKind> {
        Ok(StatementKind::Fills(self.file_name(parts)?))
    }

    fn file_name(&self, parts: Parts<'_>) -> Read<FileName> {
        let path = parts.iter().find(|part| part.rule() == Rule::path).ok_or_else(|| self.gap())?;
        let pinned = parts.iter().find(|part| part.rule() == Rule::pinned).and_then(|part| part.clone().inner().pop());
        Ok(FileName {
            place: path.place(),
            path: values::unquoted(path.as_str()),
            pinned: pinned.map(|pin| (pin.place(), pin.as_str().to_lowercase())),
        })
    }

    fn check(&self, parts: Parts<'_>) -> Read<StatementKind> {
        let mut parts = parts.into_iter();
        let (label, condition) = (parts.next().ok_or_else(|| self.gap())?, parts.next().ok_or_else(|| self.gap())?);
        if label.as_str().trim().is_empty() {
            let place = condition.place();
            let instead = instead::check_label(&prose::joined(condition.as_str()));
            return Err(Trouble::new(place, Kind::CheckWithoutLabel { instead }));
        }
        let label = prose::joined(label.as_str());
        if parts.as_slice().is_empty() {
            mistakes::check_else(condition.place(), condition.as_str())?;
        }
        let condition = operators::formula(self, condition)?;
        let advice = match parts.next() {
            Some(advice) => {
                prose::check_continuations(self, advice.place())?;
                Some(prose::joined(advice.as_str()))
            }
            None => None,
        };
        Ok(StatementKind::Check(Check { label, condition, advice }))
    }

    fn chart(&self, parts: Parts<'_>) -> Read<StatementKind> {
        let mut parts = parts.into_iter();
        let title = parts.next().ok_or_else(|| self.gap())?;
        let drawn = parts.as_slice();
        if let (true, Some(first)) = (title.as_str().trim().is_empty(), drawn.first()) {
            let instead = instead::chart_title("ys by xs");
            return Err(Trouble::new(first.place(), Kind::ChartLine { instead }));
        }
        let title = prose::joined(title.as_str());
        let mut ys = parts.map(|part| operators::formula(self, part)).collect::<Read<Vec<_>>>()?;
        if let Some(both) = ys.iter().find(|y| matches!(y.kind, FormulaKind::Both(..))) {
            let instead = self.text(both.place).replacen(" and ", ", ", 1);
            return Err(Trouble::new(both.place, Kind::AndBetweenValues { instead: format!("`{instead}`") }));
        }
        let xs = ys.pop().ok_or_else(|| self.gap())?;
        Ok(StatementKind::Chart(Chart { title, ys, xs }))
    }

    fn crew(&self, parts: Parts<'_>) -> Read<StatementKind> {
        let mut parts = parts.into_iter();
        let word = values::name(self, &parts.next().ok_or_else(|| self.gap())?);
        let size = parts.next().map(|item| values::item(self, item)).transpose()?;
        Ok(StatementKind::Crew(word, size.map(Box::<Item>::new)))
    }

    /// A table row: cells between bars, and a remark after the last bar.
    fn row(&self, written: Written) -> Read<(StatementKind, Option<String>)> {
        let (cells, remark) = rows::cut(self, written)?;
        Ok((StatementKind::Row(cells), remark))
    }

    fn gap(&self) -> Trouble {
        unforeseen(Place::new(self.number, 0, 0))
    }
}

fn operators_in(pair: &Pair<'_, Rule>) -> usize {
    let is_operator =
        |pair: &Pair<'_, Rule>| matches!(pair.as_rule(), Rule::symbol | Rule::wording | Rule::negative | Rule::negated);
    pair.clone().into_inner().flatten().filter(is_operator).count()
}

/// Reads a row's cells as the first row of a table.
///
/// # Errors
/// The first cell that cannot be read.
pub fn parse_head(source: &Source, number: u16, cells: &[Place]) -> Result<Head, Trouble> {
    let reader = Reader { source, number };
    let Some((first, columns)) = cells.split_first() else { return Err(reader.gap()) };
    let mut head = table_cell(&reader, *first)?;
    head.columns = columns.iter().map(|cell| column_cell(&reader, *cell)).collect::<Read<_>>()?;
    Ok(head)
}

fn table_cell(reader: &Reader<'_>, cell: Place) -> Read<Head> {
    let parts = reader.read(Rule::table_cell, cell)?.inner();
    let mut head = Head {
        name: values::name(reader, parts.first().ok_or_else(|| reader.gap())?),
        rows_from: None,
        columns: Vec::new(),
    };
    if parts.iter().any(|part| part.rule() == Rule::path) {
        let table =
            parts.iter().find(|part| part.rule() == Rule::table_part).and_then(|part| part.clone().inner().pop());
        let units_as_declared = parts.iter().any(|part| part.rule() == Rule::as_declared);
        let table = table.map(|name| values::name(reader, &name));
        head.rows_from = Some(RowsFrom { file: reader.file_name(parts)?, units_as_declared, table });
    }
    Ok(head)
}

fn column_cell(reader: &Reader<'_>, cell: Place) -> Read<Column> {
    let [name, side] = exactly(reader.read(Rule::column_cell, cell)?.inner())?;
    let kind = match side.rule() {
        Rule::result_side => {
            let (formula, promise) = reader.result_side(side)?;
            ColumnKind::Worked(formula, promise)
        }
        _ => column_kind(reader, side.inner())?,
    };
    Ok(Column { place: cell, name: values::name(reader, &name), kind })
}

fn column_kind(reader: &Reader<'_>, parts: Parts<'_>) -> Read<ColumnKind> {
    let mut parts = parts.into_iter();
    let first = parts.next().ok_or_else(|| reader.gap())?;
    let doubt = parts.next().map(|doubt| values::doubt(reader, doubt)).transpose()?;
    Ok(match first.rule() {
        Rule::unit => ColumnKind::Entered(Some(values::unit(reader, first)?), doubt),
        Rule::number_kind => ColumnKind::Entered(None, None),
        other => ColumnKind::Other(other_kind(other)),
    })
}

pub(super) fn other_kind(rule: Rule) -> OtherKind {
    match rule {
        Rule::date_kind => OtherKind::Date,
        Rule::date_and_time => OtherKind::DateAndTime,
        Rule::yes_or_no => OtherKind::YesOrNo,
        _ => OtherKind::Text,
    }
}

/// A pair of the grammar that knows where it stands in the whole text.
#[derive(Clone)]
pub(super) struct Positioned<'i> {
    pair: Pair<'i, Rule>,
    start: usize,
    source: u16,
}

impl<'i> Positioned<'i> {
    pub(super) fn rule(&self) -> Rule {
        self.pair.as_rule()
    }

    pub(super) fn as_str(&self) -> &'i str {
        self.pair.as_str()
    }

    pub(super) fn place(&self) -> Place {
        let span = self.pair.as_span();
        let (text, start) = (span.as_str(), self.start + span.start());
        let is_bare =
            [text.bytes().next(), text.bytes().next_back()].into_iter().flatten().all(|end| end.is_ascii_graphic());
        if is_bare {
            return Place::new(self.source, start, start + text.len());
        }
        // Rules that end in optional white space do not point at it.
        let trimmed = text.trim_start();
        let start = start + text.len() - trimmed.len();
        Place::new(self.source, start, start + trimmed.trim_end().len())
    }

    /// Its parts, the end-of-input mark left out.
    pub(super) fn inner(self) -> Parts<'i> {
        let (start, source) = (self.start, self.source);
        self.pair
            .into_inner()
            .filter(|pair| pair.as_rule() != Rule::EOI)
            .map(|pair| Positioned { pair, start, source })
            .collect()
    }
}

/// The parts of a pair, which are few, mostly.
pub(super) type Parts<'i> = SmallVec<[Positioned<'i>; 3]>;

/// What is read of each part.
pub(super) fn all<'i, T>(parts: Parts<'i>, read: impl Fn(Positioned<'i>) -> Read<T>) -> Read<Vec<T>> {
    // They are one, mostly; collecting them would take room for four.
    let mut all = Vec::with_capacity(parts.len());
    for part in parts {
        all.push(read(part)?);
    }
    Ok(all)
}

/// Exactly so many parts, as the grammar promises.
pub(super) fn exactly<const N: usize>(parts: Parts<'_>) -> Read<[Positioned<'_>; N]> {
    let place = parts.first().map_or_else(Place::default, Positioned::place);
    parts.into_vec().try_into().map_err(|_| unforeseen(place))
}

/// The only part of a pair.
pub(super) fn only(pair: Positioned<'_>) -> Read<Positioned<'_>> {
    let place = pair.place();
    pair.inner().into_iter().next().ok_or_else(|| unforeseen(place))
}

/// What the grammar promises not to happen.
pub(super) fn unforeseen(place: Place) -> Trouble {
    Trouble::new(place, Kind::Unexpected { found: String::new(), instead: String::new() })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn what_is_plain_reads_as_the_grammar_has_it(text in "-?[0-9]{0,9}\\.?[0-9]{0,9}") {
            let source = Source::of_text("a.worksheet", format!("| {text} |"));
            let (reader, place) = (Reader { source: &source, number: 0 }, Place::new(0, 2, 2 + text.len()));
            let by_grammar = reader.read(Rule::alone, place).and_then(|pair| values::literal(&reader, only(pair)?));
            if let Some(plain) = values::plain(&text, place) {
                prop_assert_eq!(format!("{:?}", by_grammar.ok()), format!("{:?}", Some(plain)));
            }
        }
    }

    #[test]
    fn plain_are_digits_with_a_point_in_their_midst() {
        let is_plain = |text: &str| values::plain(text, Place::default()).is_some();
        assert!(["9", "9.5", "0.25", "12.50", "007"].into_iter().all(is_plain));
        assert!(
            !["", ".5", "9.", "1.2.3", "-4", "9 1/2", "1e3", "9,5", "½", "12345678901234567"].into_iter().any(is_plain)
        );
    }
}
