//! The engine: goes through a checked sheet in the order of its needs and works each value once.

use super::bounds::{Bounds, MOST_PARTS};
use super::conditions::{self, Judged};
use super::rows::{Pool, Rows, Several};
use super::showing::Sizes;
use super::waiting::{Outcome, Stop, Wait, Waits};
use super::{entries, formulas, rows};
use crate::checked::Checked;
use crate::checked::data::entries::Given;
use crate::checked::drawn::GivenValue;
use crate::checked::model::{Check, Node, Origin, Remark, ShownIn, Slot, Written};
use crate::quantity::{Doubt, Measured, Moment, Source, SourceKind, Sources, Value};
use crate::text::{Place, Source as Text, single_spaced};
use crate::trouble::{Kind, Trouble};
use rustc_hash::{FxHashMap, FxHashSet};
use std::sync::Arc;

/// A sheet worked.
#[derive(Debug, Clone, Default)]
pub struct Worked {
    /// The value of each slot; readings in `lists`.
    pub slots: Vec<Outcome>,
    /// The readings of slots that have several.
    pub lists: FxHashMap<usize, Vec<Outcome>>,
    /// Cells by table, column, row.
    pub columns: Vec<Vec<Vec<Outcome>>>,
    /// What the engine noticed at each slot while working it.
    pub slot_remarks: Vec<Vec<Remark>>,
    /// The same for cells: table, column, row.
    pub cell_remarks: FxHashMap<(usize, usize, usize), Vec<Remark>>,
    /// How each check came out.
    pub checks: Vec<Judged>,
    /// The values along and upwards of each chart: first along, then each thing drawn.
    pub charts: Vec<Vec<Vec<Outcome>>>,
    /// The sources of doubt.
    pub sources: Sources,
    /// What is waited on in other worksheets, by the number that waits carry.
    pub elsewhere: Vec<String>,
    /// What could not be worked.
    pub troubles: Vec<Trouble>,
}

/// Works a checked sheet. `today` is the day that `today` stands for.
pub fn work(checked: &Checked, texts: &[Text], today: Moment) -> Worked {
    let mut engine = Engine::new(checked, texts, today);
    checked.order.iter().for_each(|node| engine.node(*node));
    for check in &checked.checks {
        let judged = engine.judged(check);
        engine.worked.checks.push(judged);
    }
    for chart in &checked.charts {
        let values = std::iter::once(&chart.xs).chain(&chart.ys).map(|part| rows::outcomes(&engine, part)).collect();
        engine.worked.charts.push(values);
    }
    engine.worked
}

/// Puts something in its place in a list.
pub(super) fn put<T>(list: &mut [T], index: usize, own: T) {
    if let Some(place) = list.get_mut(index) {
        *place = own;
    }
}

/// What a call in a column came to.
pub enum Kept {
    /// It looks at the row and is worked for each.
    OfEachRow,
    /// It is the same in all rows, with what was noticed.
    OfAllRows(Outcome, Vec<Remark>),
}

/// The state of the engine.
pub struct Engine<'a> {
    /// The sheet.
    pub checked: &'a Checked,
    /// Its texts, for naming what is in trouble.
    pub texts: &'a [Text],
    /// What `today` stands for.
    pub today: Moment,
    /// What a row of data gives, by slot.
    pub(super) given: Vec<Option<Given>>,
    /// What has been worked.
    pub worked: Worked,
    /// The row that a column's formula is worked for, or a choice looks at: table and row.
    pub row: Option<(usize, usize)>,
    /// The row that a formula is worked for, while a choice looks at another table's.
    pub outer_row: Option<(usize, usize)>,
    /// What has been noticed at the value being worked.
    pub remarks: Vec<Remark>,
    /// The scatter behind means.
    pub(super) scatters: FxHashMap<Scattered, u32>,
    /// What calls in columns came to, by place.
    pub kept: FxHashMap<Place, Kept>,
    /// Sources that are roots of 0.
    pub(super) roots: FxHashSet<u32>,
    /// Troubles met so far, by place and words.
    pub(super) met: FxHashSet<(Place, String)>,
    /// The source of the device of the column being worked: table, column, source.
    pub column_source: Option<((usize, usize), u32)>,
    /// Sources of other worksheets, by where they were first met.
    pub(super) taken_over: FxHashMap<(Arc<str>, u32), u32>,
    /// The rows of tables by their labels in small letters, for `pick`.
    pub(super) labels: FxHashMap<usize, FxHashMap<String, usize>>,
    /// How much all has come to so far.
    pub(super) bounds: Bounds,
}

/// What a scatter is the scatter of: which rows of what, and for a median its values by name.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub(super) struct Scattered {
    pool: Pool,
    rows: Rows,
    median: Option<String>,
}

impl<'a> Engine<'a> {
    pub(super) fn new(checked: &'a Checked, texts: &'a [Text], today: Moment) -> Self {
        let broken = |slot: usize| Err(Stop::wait(Wait::Broken(Node::Slot(slot))));
        let columns = checked.tables.iter().enumerate().map(|(table, own)| {
            let cells = |column: usize| {
                own.rows.iter().map(|_| Err(Stop::wait(Wait::Broken(Node::Column(table, column))))).collect()
            };
            (0..own.columns.len()).map(cells).collect()
        });
        let worked = Worked {
            slots: (0..checked.slots.len()).map(broken).collect(),
            columns: columns.collect(),
            slot_remarks: vec![Vec::new(); checked.slots.len()],
            checks: Vec::with_capacity(checked.checks.len()),
            ..Worked::default()
        };
        Self {
            checked,
            texts,
            today,
            given: Vec::new(),
            worked,
            row: None,
            outer_row: None,
            remarks: Vec::new(),
            scatters: FxHashMap::default(),
            kept: FxHashMap::default(),
            roots: FxHashSet::default(),
            met: FxHashSet::default(),
            column_source: None,
            taken_over: FxHashMap::default(),
            labels: FxHashMap::default(),
            bounds: Bounds::of(checked),
        }
    }

    /// Goes on from a sheet that has been worked.
    pub fn resumed(checked: &'a Checked, texts: &'a [Text], today: Moment, worked: Worked) -> Self {
        Self { worked, ..Self::new(checked, texts, today) }
    }

    /// The text at a place, single-spaced.
    pub fn text(&self, place: Place) -> String {
        let text = self.texts.get(usize::from(place.source)).map_or("", |source| source.slice(place));
        single_spaced(text)
    }

    /// The source of the scatter of several values, made at its first use with what it is called.
    pub fn scatter(&mut self, several: &Several, median: Option<String>, name: &Arc<str>, freedom: f64) -> u32 {
        let key = Scattered { pool: several.pool.clone(), rows: several.rows.clone(), median };
        if let Some(source) = self.scatters.get(&key) {
            return *source;
        }
        let source = self.worked.sources.add(Source::new(SourceKind::Scatter, freedom, name.clone()));
        self.scatters.insert(key, source);
        source
    }

    /// What a person wrote down for an entry: in the row of data, if that gives it, else in the sheet.
    pub fn written(&self, slot: usize) -> Option<&Written> {
        match (self.given.get(slot), &self.checked.slots.get(slot)?.origin) {
            (Some(Some(Given::Written(written))), _) => Some(written),
            (Some(Some(_)), _) => None,
            (_, Origin::Entered(written)) => Some(written),
            _ => None,
        }
    }

    /// Works one thing.
    pub(super) fn node(&mut self, node: Node) {
        match node {
            Node::Slot(slot) => self.slot(slot),
            Node::Column(table, column) => self.column(table, column),
        }
    }

    /// How a check comes out.
    pub(super) fn judged(&mut self, check: &Check) -> Judged {
        let judged = match &check.condition {
            Some(condition) => conditions::judge(self, condition),
            None => Judged::waiting(Waits::on(Wait::Unread)),
        };
        if let Some(trouble) = &judged.trouble {
            self.worked.troubles.push(trouble.clone());
        }
        Judged { waits: judged.waits.map(|waits| self.bounded_waits(waits)), ..judged }
    }

    fn slot(&mut self, slot: usize) {
        let Some(own) = self.checked.slots.get(slot) else { return };
        let outcome = match &own.origin {
            Origin::Entered(written) => self.entry(slot, written).and_then(|value| self.entered(own, value, written)),
            Origin::Worked(expression) => match formulas::work(self, expression) {
                Ok(value) => self.showable(&value, &own.shown, expression.place).map(|()| value),
                stopped => stopped,
            },
            Origin::Broken | Origin::Stuck(_) => Err(Stop::wait(Wait::Broken(Node::Slot(slot)))),
        };
        let outcome = self.bounded(outcome, Node::Slot(slot), own.place);
        let outcome = self.recorded(outcome, Node::Slot(slot));
        self.keep(slot, outcome);
    }

    /// An entry's value, where it is one that can be shown; the size of a crew measure, where it is one.
    fn entered(&self, own: &Slot, value: Value, written: &Written) -> Outcome {
        if own.is_crew_measure && value.number().is_none_or(|size| size.value <= 0.0) {
            let word = own.name.trim_start_matches("1 ").to_owned();
            return Err(Stop::trouble(written.place, Kind::CrewMeasureNothing { word }));
        }
        self.showable(&value, &own.shown, written.place).map(|()| value)
    }

    /// Keeps the value of a slot, with what there is to say about it.
    pub(super) fn keep(&mut self, slot: usize, outcome: Outcome) {
        self.note_doubtful(&outcome);
        if !self.remarks.is_empty()
            && let Some(remarks) = self.worked.slot_remarks.get_mut(slot)
        {
            remarks.append(&mut self.remarks);
        }
        put(&mut self.worked.slots, slot, outcome);
    }

    /// Notes what there is to say about the value that is being worked, once.
    pub(super) fn remark(&mut self, remark: Remark) {
        if !self.remarks.contains(&remark) {
            self.remarks.push(remark);
        }
    }

    /// An entry: what a row of data gives for it, or what the sheet has.
    fn entry(&mut self, slot: usize, written: &Written) -> Outcome {
        let given = self.given.get_mut(slot).and_then(Option::take);
        let outcome = match &given {
            None => entries::slot(self, slot, written),
            Some(Given::Number(number)) => Ok(Value::Number(Measured::exact(*number))),
            Some(Given::Lost) => Err(Stop::wait(Wait::Broken(Node::Slot(slot)))),
            Some(Given::Written(written)) => entries::slot(self, slot, written),
        };
        put(&mut self.given, slot, given);
        outcome
    }

    fn column(&mut self, table: usize, column: usize) {
        let Some((own, kind)) = self.checked.column(table, column) else { return };
        for row in 0..own.rows.len() {
            let outcome = match &kind.formula {
                Some(expression) => {
                    self.row = Some((table, row));
                    let outcome = formulas::work(self, expression);
                    self.row = None;
                    outcome.and_then(|value| self.showable(&value, &kind.shown, expression.place).map(|()| value))
                }
                None => entries::cell(self, table, column, row).and_then(|value| {
                    let place = own.rows.get(row).map_or(kind.place, |row| row.place);
                    self.showable(&value, &kind.shown, place).map(|()| value)
                }),
            };
            let parts = outcome.as_ref().ok().and_then(Value::number).map_or(0, |number| number.doubt.parts().len());
            self.bounds.parts += parts;
            if self.bounds.parts > MOST_PARTS {
                return self.refuse_doubts(table, column);
            }
            let outcome = self.bounded(outcome, Node::Column(table, column), kind.place);
            let outcome = self.recorded(outcome, Node::Column(table, column));
            self.note_doubtful(&outcome);
            if !self.remarks.is_empty() {
                let remarks = std::mem::take(&mut self.remarks);
                self.worked.cell_remarks.insert((table, column, row), remarks);
            }
            put(self.cells(table, column), row, outcome);
        }
    }

    fn cells(&mut self, table: usize, column: usize) -> &mut [Outcome] {
        self.worked.columns.get_mut(table).and_then(|table| table.get_mut(column)).map_or(&mut [], Vec::as_mut_slice)
    }

    /// A result shown in a crew measure waits on the measure's size, whether its formula needs it or not; and one that
    /// is no finite number in the unit it is shown in is refused.
    pub(super) fn showable(&self, value: &Value, shown: &[ShownIn], place: Place) -> Result<(), Stop> {
        let in_measures = shown.iter().filter(|shown| !shown.is_simple);
        for (word, _) in in_measures.flat_map(|shown| shown.unit.crew_words()) {
            let slot = self.checked.crew_slots.get(usize::from(word)).copied().flatten();
            if let Some(Err(stop)) = slot.and_then(|slot| self.worked.slots.get(slot)) {
                return Err(stop.clone());
            }
        }
        match shown.iter().all(|shown| self.is_finite_in(value, shown)) {
            true => Ok(()),
            false => Err(Stop::trouble(place, Kind::NotFinite)),
        }
    }

    /// Whether a value is a finite number, doubt and all, in the unit it is shown in.
    pub(super) fn is_finite_in(&self, value: &Value, shown: &ShownIn) -> bool {
        let sizes = Sizes { checked: self.checked, slots: &self.worked.slots, sources: &self.worked.sources };
        match value {
            Value::Number(number) => sizes.is_finite(number, shown),
            Value::Range(range) => {
                [&range.low, &range.high].into_iter().flatten().all(|end| sizes.is_finite(end, shown))
            }
            _ => true,
        }
    }

    /// Refuses a column whose cells would fill the memory with what each of them depends on.
    fn refuse_doubts(&mut self, table: usize, column: usize) {
        let Some((own, kind)) = self.checked.column(table, column) else { return };
        let name = format!("{}.{}", own.name, kind.name);
        let trouble = Stop::trouble(kind.place, Kind::TooManyDoubts { column: name, most: MOST_PARTS });
        let broken = self.recorded(Err(trouble), Node::Column(table, column));
        self.cells(table, column).fill(broken);
        self.bounds.parts = 0;
    }

    /// Keeps a trouble in the list, and lets what depends on the value wait.
    fn recorded(&mut self, outcome: Outcome, node: Node) -> Outcome {
        match outcome {
            Err(Stop::Trouble(trouble)) => {
                if self.met.insert((trouble.place, trouble.kind.says())) {
                    self.worked.troubles.push(*trouble);
                }
                Err(Stop::wait(Wait::Broken(node)))
            }
            other => other,
        }
    }

    /// A value whose doubt nobody can state says which reading it comes from, and one of which too few digits are left
    /// says that it counts as 0; of a range either end may.
    fn note_doubtful(&mut self, outcome: &Outcome) {
        let ends = match outcome {
            Ok(Value::Number(number)) => [Some(number), None],
            Ok(Value::Range(range)) => [range.low.as_ref(), range.high.as_ref()],
            _ => return,
        };
        if ends.into_iter().flatten().any(Measured::is_lost) {
            self.remark(Remark::CountsAsNothing);
        }
        for source in ends.into_iter().flatten().filter_map(|end| end.doubt.unknown_source()) {
            let name = self.worked.sources.get(source).map(|source| source.name.to_string()).unwrap_or_default();
            let is_root = self.roots.contains(&source);
            self.remark(if is_root { Remark::RootUnknown(name) } else { Remark::DoubtUnknown(name) });
        }
    }

    /// A value drawn from another worksheet, its sources of doubt taken over: one that comes by two ways is still one.
    pub fn drawn(&mut self, given: &GivenValue) -> Outcome {
        let value = match &given.value {
            Ok(value) => value.clone(),
            Err(on) => return Err(self.elsewhere(on)),
        };
        let mut numbers = FxHashMap::default();
        for (number, source) in &given.sources {
            let own = match source.origin.as_ref().and_then(|origin| self.taken_over.get(origin)) {
                Some(own) => *own,
                None => {
                    let own = self.worked.sources.add(source.clone());
                    self.taken_over.extend(source.origin.clone().map(|origin| (origin, own)));
                    own
                }
            };
            numbers.insert(*number, own);
        }
        let renumbered = |number: &Measured| Measured {
            doubt: number.doubt.renumbered(|source| numbers.get(&source).copied().unwrap_or(source)),
            ..number.clone()
        };
        Ok(match value {
            Value::Number(number) => Value::Number(renumbered(&number)),
            Value::Range(range) => range.mapped(renumbered).into(),
            other => other,
        })
    }

    /// Waiting on something in another worksheet.
    fn elsewhere(&mut self, on: &str) -> Stop {
        let known = self.worked.elsewhere.iter().position(|other| other == on);
        let number = known.unwrap_or_else(|| {
            self.worked.elsewhere.push(on.to_owned());
            self.worked.elsewhere.len() - 1
        });
        Stop::wait(Wait::Elsewhere(number))
    }

    /// How unsure a value is: its standard uncertainty, without end where nobody can state it.
    pub fn unsureness(&self, number: &Measured) -> f64 {
        number.doubt.summary(&self.worked.sources).map_or(f64::INFINITY, |summary| summary.standard)
    }

    /// A doubt that nobody can state, with what it is the doubt of.
    pub fn unknown_doubt(&mut self, name: &str) -> Doubt {
        Doubt::unknown(self.unknown_source(name))
    }

    /// The doubt of a root at 0, where first order knows none.
    pub fn root_doubt(&mut self, name: &str) -> Doubt {
        let source = self.unknown_source(name);
        self.roots.insert(source);
        Doubt::unknown(source)
    }

    fn unknown_source(&mut self, name: &str) -> u32 {
        self.worked.sources.add(Source::new(SourceKind::Single, f64::INFINITY, name.into()))
    }
}
