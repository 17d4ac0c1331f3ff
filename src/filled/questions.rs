//! Questions: the lines and cells of a sheet that a person fills in, in the order of the sheet, each with what stands
//! above it there. It holds no answers.

use crate::book::Settled;
use crate::checked::answers::{self, Asked};
use crate::checked::model::Table;
use crate::checked::types::Type;
use crate::gathered::RowRun;
use crate::syntax::tree::{self, ColumnKind, Item, Literal, Name, Statement, StatementKind};
use crate::text::{Place, single_spaced};

/// Something that a person fills in.
#[derive(Debug, Clone)]
pub struct Question {
    /// What it is called: `strip length`, `1 scoop`, or `passes.walk, first` for a cell.
    pub name: String,
    /// What stands in its place before it is answered: `____ ft`, or a value that may stay.
    pub standing: String,
    /// The remark on its line.
    pub remark: Option<String>,
    /// The heading and the notes above it, since the question before it.
    pub prose: Vec<Prose>,
    /// Whether a value may stay in its place.
    pub has_value: bool,
    /// Whether it is worth asking for: a blank, or a value that an entry has; what a cell has belongs to the form.
    pub is_asked: bool,
    /// The type of what belongs in its place.
    pub(super) kind: Type,
    /// Where that is.
    pub(super) spot: Spot,
    /// What part of a sheet it is.
    pub(super) part: Part,
}

/// What stands between the lines that are filled in.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Prose {
    /// `## What to measure`
    Section(String),
    /// `-- 2. Flag a straight strip.`
    Note(String),
}

/// Where an answer goes.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spot {
    /// In the place of what stands in the worksheet's own text.
    Here(Place),
    /// Into a line or a table added to it.
    Added,
}

/// What is filled in.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Part {
    Entry,
    Measure,
    /// A table, a row among those of its run, and a column.
    Cell(usize, usize, usize),
}

impl Question {
    /// How its value is asked for where its blank is, or is not, before the writer's eyes.
    pub(super) fn asked(&self, is_seen: bool) -> Asked {
        match (self.part, is_seen) {
            (Part::Cell(..), _) => Asked::OfCell,
            (_, true) => Asked::BesideBlank,
            (_, false) => Asked::ByName,
        }
    }

    /// Its line with a value in its place: `strip length : 60 ft`.
    pub fn line(&self, value: &str) -> String {
        let sign = if self.part == Part::Measure { '=' } else { ':' };
        format!("{} {sign} {value}", self.name)
    }
}

/// All that can be filled in, in the order of the sheet.
pub(super) fn questions(settled: &Settled) -> Vec<Question> {
    let reader = Reader { settled };
    let mut found: Vec<((usize, u32), Found)> = Vec::new();
    for statement in &settled.gathered.statements {
        let key = reader.rank(statement.place);
        found.extend(reader.statement(statement).map(|found| (key, found)));
    }
    for (number, run) in settled.gathered.runs.iter().enumerate() {
        if let Some(table) = settled.checked.tables.get(number).filter(|_| run.head.rows_from.is_none()) {
            found.push((reader.rank(run.place), Found::Questions(reader.cells(number, run, table))));
        }
    }
    found.sort_by_key(|(key, _)| *key);
    with_prose(found.into_iter().map(|(_, found)| found))
}

/// A part of the sheet that is told or asked.
enum Found {
    Prose(Prose),
    Questions(Vec<Question>),
}

/// Gives each question what stands above it. Of a section that asks nothing the heading and the notes are left out;
/// what stands above the first section is about the whole sheet.
fn with_prose(found: impl Iterator<Item = Found>) -> Vec<Question> {
    let mut questions: Vec<Question> = Vec::new();
    let (mut opening, mut above) = (Vec::new(), Vec::new());
    let mut is_opening = true;
    for found in found {
        match found {
            Found::Prose(Prose::Note(note)) if is_opening => opening.push(Prose::Note(note)),
            Found::Prose(Prose::Section(heading)) => {
                is_opening = false;
                above = vec![Prose::Section(heading)];
            }
            Found::Prose(note) => above.push(note),
            Found::Questions(mut own) => {
                if let Some(first) = own.iter_mut().find(|question| question.is_asked) {
                    first.prose = opening.drain(..).chain(above.drain(..)).collect();
                }
                questions.append(&mut own);
            }
        }
    }
    questions
}

struct Reader<'a> {
    settled: &'a Settled,
}

impl Reader<'_> {
    /// Where a line stands among those of all texts: a template's come first.
    fn rank(&self, place: Place) -> (usize, u32) {
        let ranks = &self.settled.gathered.ranks;
        (ranks.get(usize::from(place.source)).copied().unwrap_or_default(), place.start)
    }

    fn text(&self, place: Place) -> String {
        let text = self.settled.sources.get(usize::from(place.source)).map_or("", |source| source.slice(place));
        single_spaced(text)
    }

    fn statement(&self, statement: &Statement) -> Option<Found> {
        match &statement.kind {
            StatementKind::Section(text) => Some(Found::Prose(Prose::Section(text.clone()))),
            StatementKind::Note(text) => Some(Found::Prose(Prose::Note(text.clone()))),
            StatementKind::Entry(name, literal) => self.entry(statement, name, literal),
            StatementKind::Crew(word, Some(item)) => self.measure(statement, word, item),
            _ => None,
        }
    }

    fn entry(&self, statement: &Statement, name: &Name, literal: &Literal) -> Option<Found> {
        let fill = self.settled.gathered.fills.iter().rev().find(|fill| fill.name.key == name.key);
        let literal = fill.map_or(literal, |fill| &fill.literal);
        let remark = fill.and_then(|fill| fill.remark.clone()).or_else(|| statement.remark.clone());
        Some(Found::Questions(vec![Question {
            name: name.written.clone(),
            standing: self.standing(literal.place),
            remark,
            prose: Vec::new(),
            has_value: !literal.has_blank(),
            is_asked: true,
            kind: self.kind(statement.place)?,
            spot: spot(literal.place),
            part: Part::Entry,
        }]))
    }

    /// The size of a measure of the crew's own; one of a template's cannot be given by the worksheet that fills it.
    fn measure(&self, statement: &Statement, word: &Name, item: &Item) -> Option<Found> {
        if statement.place.source > 0 {
            return None;
        }
        Some(Found::Questions(vec![Question {
            name: format!("1 {}", word.written),
            standing: self.standing(item.place),
            remark: statement.remark.clone(),
            prose: Vec::new(),
            has_value: !item.has_blank(),
            is_asked: true,
            kind: self.kind(statement.place)?,
            spot: spot(item.place),
            part: Part::Measure,
        }]))
    }

    /// The type of the value on a line.
    fn kind(&self, line: Place) -> Option<Type> {
        self.settled.checked.slots.iter().find(|slot| slot.place == line).map(|slot| slot.kind.clone())
    }

    /// What stands in the place of a value; a blank alone says that it is one of a number.
    fn standing(&self, place: Place) -> String {
        let text = self.text(place);
        if answers::is_blank(&text) { format!("{text} number") } else { text }
    }

    /// The cells of a table, row by row.
    fn cells(&self, number: usize, run: &RowRun, table: &Table) -> Vec<Question> {
        let mut cells = Vec::new();
        for (index, line) in run.rows.iter().enumerate() {
            // A row of dashes is none.
            let Some(row) = table.rows.iter().find(|row| row.place == line.place) else { continue };
            let heads = run.head.columns.iter().zip(&table.columns).zip(line.cells.iter().skip(1)).enumerate();
            for (column, ((head, settled), place)) in heads {
                if matches!(head.kind, ColumnKind::Worked(..)) {
                    continue;
                }
                let text = self.text(*place);
                let is_blank = text.is_empty() || answers::is_blank(&text);
                let declared = self.text(head.place);
                let unit = declared.split_once(':').map_or("", |(_, unit)| unit.trim());
                cells.push(Question {
                    name: format!("{}.{}, {}", table.name, settled.name, row.label),
                    standing: if is_blank { format!("____ {unit}") } else { text },
                    remark: line.remark.clone(),
                    prose: Vec::new(),
                    has_value: !is_blank,
                    is_asked: is_blank,
                    kind: settled.kind.clone(),
                    spot: spot(*place),
                    part: Part::Cell(number, index, column),
                });
            }
        }
        cells
    }
}

fn spot(place: Place) -> Spot {
    if place.source == 0 { Spot::Here(place) } else { Spot::Added }
}

/// The key by which names are the same, whatever their white space.
pub(super) fn key(name: &str) -> String {
    tree::key(&single_spaced(name))
}
