//! A sheet worked again and again, for rows of data that give some of its entries. What rests on none of these is worked
//! once; the rest anew for each row, by the same engine, from where it stood before the first.

use super::conditions::Judged;
use super::engine::{Engine, Kept, Worked, put};
use super::limits;
use super::straight::{Desk, Straight};
use super::waiting::{Wait, Waits};
use crate::checked::Checked;
use crate::checked::data::entries::Given;
use crate::checked::model::{Does, Expression, Node, Origin, Slot};
use crate::quantity::doubt::Mark;
use crate::quantity::{Measured, Moment, Value};
use crate::text::{Place, Source as Text};
use std::collections::{BTreeSet, HashSet};

/// A sheet, and what of it each row changes.
pub struct Repeated<'a> {
    engine: Engine<'a>,
    /// The entries given.
    given: Vec<usize>,
    /// Those of them that are more than a number in this row.
    written: Vec<usize>,
    /// What rests on them, in the order to work it.
    jobs: Vec<Job<'a>>,
    /// The checks that do.
    checks: Vec<usize>,
    before: Before,
    desk: Desk,
}

/// One thing to work for each row; a straight formula with what it is shown in.
struct Job<'a> {
    node: Node,
    straight: Option<(usize, Straight, &'a Slot)>,
}

impl<'a> Job<'a> {
    fn of(checked: &'a Checked, node: Node) -> Self {
        let straight = match node {
            Node::Slot(slot) => checked.slots.get(slot).and_then(|own| match &own.origin {
                // What is shown in a measure whose size is not known waits, which is not seen on the straight way.
                Origin::Worked(formula) if own.shown.iter().all(|shown| shown.is_simple) => {
                    Some((slot, Straight::of(formula)?, own))
                }
                _ => None,
            }),
            Node::Column(..) => None,
        };
        Self { node, straight }
    }

    /// Works it straight, where that comes off.
    fn straight(&self, engine: &mut Engine<'a>, desk: &mut Desk) -> Option<()> {
        let (slot, straight, own) = self.straight.as_ref()?;
        straight.work(engine, desk)?;
        let value = Value::Number(std::mem::take(&mut desk.number));
        if !own.shown.iter().all(|shown| engine.is_finite_in(&value, shown)) {
            return None;
        }
        engine.keep(*slot, Ok(value));
        Some(())
    }
}

/// Where the engine stood before the first row.
struct Before {
    sources: Mark,
    parts: usize,
    elsewhere: usize,
    scatters: usize,
    kept: HashSet<Place>,
    cell_remarks: HashSet<(usize, usize, usize)>,
}

impl<'a> Repeated<'a> {
    /// A sheet of which rows of data will give the entries in these slots. Those wait until a row comes.
    pub fn new(checked: &'a Checked, texts: &'a [Text], today: Moment, given: &[usize]) -> Self {
        let mut engine = Engine::new(checked, texts, today);
        let resting = resting(checked, given);
        let (nodes, others): (Vec<Node>, Vec<Node>) = checked.order.iter().partition(|node| resting.contains(node));
        others.iter().for_each(|node| engine.node(*node));
        let nodes = nodes.into_iter().filter(|node| !given.iter().any(|slot| *node == Node::Slot(*slot)));
        let jobs = nodes.map(|node| Job::of(checked, node)).collect();
        let mut checks = Vec::new();
        for (index, check) in checked.checks.iter().enumerate() {
            if check.condition.as_ref().is_some_and(|condition| rests(condition, None, &resting)) {
                checks.push(index);
                engine.worked.checks.push(Judged::waiting(Waits::on(Wait::Unread)));
            } else {
                let judged = engine.judged(check);
                engine.worked.checks.push(judged);
            }
        }
        engine.given = (0..checked.slots.len()).map(|slot| given.contains(&slot).then_some(Given::Lost)).collect();
        let before = Before {
            sources: engine.worked.sources.mark(),
            parts: engine.bounds.parts,
            elsewhere: engine.worked.elsewhere.len(),
            scatters: engine.scatters.len(),
            kept: engine.kept.keys().copied().collect(),
            cell_remarks: engine.worked.cell_remarks.keys().copied().collect(),
        };
        Self { engine, given: given.to_vec(), written: Vec::new(), jobs, checks, before, desk: Desk::default() }
    }

    /// The sheet as it stands: before the first row what rests on no row of data.
    pub fn worked(&self) -> &Worked {
        &self.engine.worked
    }

    /// What the next row gives for an entry.
    pub fn give(&mut self, slot: usize, given: Given) {
        self.written.push(slot);
        put(&mut self.engine.given, slot, Some(given));
    }

    /// The same for a number in SI units without any doubt.
    pub fn give_number(&mut self, slot: usize, number: f64) {
        put(&mut self.engine.worked.slots, slot, Ok(Value::Number(Measured::exact(number))));
        put(&mut self.engine.given, slot, Some(Given::Number(number)));
    }

    /// Works the row that has been given.
    pub fn work(&mut self) -> &Worked {
        self.go_back();
        self.written.sort_unstable();
        for slot in self.written.drain(..) {
            self.engine.node(Node::Slot(slot));
        }
        for job in &self.jobs {
            if job.straight(&mut self.engine, &mut self.desk).is_none() {
                self.engine.node(job.node);
            }
        }
        for index in &self.checks {
            let Some(check) = self.engine.checked.checks.get(*index) else { continue };
            let outcome = check.condition.as_ref().and_then(|condition| limits::outcome(&self.engine, condition));
            let judged = outcome.map_or_else(|| self.engine.judged(check), Judged::of);
            put(&mut self.engine.worked.checks, *index, judged);
        }
        &self.engine.worked
    }

    /// Forgets what the last row brought.
    fn go_back(&mut self) {
        let (engine, before) = (&mut self.engine, &self.before);
        let worked = &mut engine.worked;
        worked.sources.back_to(&before.sources);
        worked.elsewhere.truncate(before.elsewhere);
        worked.troubles.clear();
        engine.met.clear();
        engine.bounds.back_to(before.parts);
        engine.column_source = None;
        let is_older = |source: &u32| (*source as usize) < before.sources.sources();
        engine.roots.retain(is_older);
        engine.taken_over.retain(|_, source| is_older(source));
        if engine.scatters.len() > before.scatters {
            engine.scatters.retain(|_, source| is_older(source));
        }
        if engine.kept.len() > before.kept.len() {
            engine.kept.retain(|place, kept| before.kept.contains(place) || matches!(kept, Kept::OfEachRow));
        }
        if worked.cell_remarks.len() > before.cell_remarks.len() {
            worked.cell_remarks.retain(|cell, _| before.cell_remarks.contains(cell));
        }
        if !worked.lists.is_empty() {
            self.given.iter().for_each(|slot| drop(worked.lists.remove(slot)));
        }
        let slots = self.jobs.iter().filter_map(|job| if let Node::Slot(slot) = &job.node { Some(slot) } else { None });
        for slot in self.given.iter().chain(slots) {
            if let Some(remarks) = worked.slot_remarks.get_mut(*slot) {
                remarks.clear();
            }
        }
    }
}

/// All that rests on some entries, themselves among it.
fn resting(checked: &Checked, given: &[usize]) -> BTreeSet<Node> {
    let mut resting: BTreeSet<Node> = given.iter().map(|slot| Node::Slot(*slot)).collect();
    for node in &checked.order {
        let (formula, table) = match *node {
            Node::Slot(slot) => match checked.slots.get(slot).map(|slot| &slot.origin) {
                Some(Origin::Worked(formula)) => (Some(formula), None),
                _ => (None, None),
            },
            Node::Column(table, column) => {
                let column = checked.tables.get(table).and_then(|table| table.columns.get(column));
                (column.and_then(|column| column.formula.as_ref()), Some(table))
            }
        };
        if formula.is_some_and(|formula| rests(formula, table, &resting)) {
            resting.insert(*node);
        }
    }
    resting
}

/// Whether a formula rests on anything that does. Sizes of the crew's own measures never do, since no column of data
/// gives them.
fn rests(formula: &Expression, table: Option<usize>, resting: &BTreeSet<Node>) -> bool {
    Resting { nodes: resting, cells: table, outer: None }.has(formula)
}

/// What rests on the entries given, seen from a formula.
struct Resting<'r> {
    nodes: &'r BTreeSet<Node>,
    /// The table whose cells it names.
    cells: Option<usize>,
    /// The table for a row of which it chooses rows of that one.
    outer: Option<usize>,
}

impl Resting<'_> {
    fn has(&self, formula: &Expression) -> bool {
        let cell = |table: Option<usize>, column: usize| {
            table.is_none_or(|table| self.nodes.contains(&Node::Column(table, column)))
        };
        match &formula.does {
            Does::Slot(slot) => self.nodes.contains(&Node::Slot(*slot)),
            Does::Column(table, column) => self.nodes.contains(&Node::Column(*table, *column)),
            Does::Cell(column) => cell(self.cells, *column),
            Does::OuterCell(column) => cell(self.outer, *column),
            Does::Call(_, arguments) => arguments.iter().any(|argument| {
                let chosen = match argument.value.does {
                    Does::Column(table, _) => Some(table),
                    _ => None,
                };
                let choosing = Resting { nodes: self.nodes, cells: chosen, outer: self.cells };
                self.has(&argument.value) || argument.choice.as_ref().is_some_and(|choice| choosing.has(choice))
            }),
            _ => {
                let mut has = false;
                formula.each_part(&mut |part| has |= self.has(part));
                has
            }
        }
    }
}
