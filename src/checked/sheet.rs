//! A whole sheet settled, stage by stage: measures of the crew, names, entries, tables, the order of formulas, the
//! formulas themselves, checks and charts.

mod checks;
mod crew;
mod entries;
mod formulas;
mod others;

use super::drawn::{Given, GivenRows};
use super::model::{Checked, Named, Names, Node, Origin, Slot};
use super::order::{self, Reference};
use super::scope::Scope;
use super::tables::{self, Tables};
use super::types::Type;
use super::units::Measures;
use crate::gathered::{Gathered, RowRun};
use crate::syntax::tree::{ColumnKind, FileName, Formula, Literal, Name, Promise, Statement, StatementKind};
use crate::text::{Place, Source};
use crate::trouble::{Kind, Trouble};
use std::cell::Cell;
use std::collections::{HashMap, HashSet};

/// Settles a sheet. `given` is what it draws on from other files; `settings` are entries set for this run, in place of
/// what the sheet says. Their texts stand among `sources`, behind those of the sheet itself.
pub fn settle(gathered: &Gathered, given: &Given, sources: &[Source], settings: &[(Name, Literal)]) -> Checked {
    let mut settler = Settler::new(gathered, given, sources);
    settler.prose();
    if gathered.is_stopped {
        // The template is not the one that was meant: nothing is worked.
        return settler.finish();
    }
    settler.crew_measures();
    settler.drawn_sheets();
    settler.names();
    settler.entries(settings);
    settler.tables();
    settler.drawn_money();
    settler.formulas();
    settler.checks_and_charts();
    settler.near_misses();
    settler.finish()
}

struct Settler<'a> {
    gathered: &'a Gathered,
    given: &'a Given,
    sources: &'a [Source],
    measures: Measures,
    names: Names,
    /// Where each name was first defined.
    places: HashMap<String, Place>,
    unread: HashSet<String>,
    comparisons: Cell<usize>,
    runs: &'a [RowRun],
    /// Slots that are drawn from other worksheets and are money, with their currencies and the files' names.
    money: Vec<(usize, u16, &'a FileName)>,
    /// The formula of each slot that is worked out.
    worked: Vec<(usize, &'a Formula, Option<&'a Promise>)>,
    checked: Checked,
}

/// What is worked out: a slot's formula or a column's.
#[derive(Clone, Copy)]
struct Job<'a> {
    node: Node,
    formula: &'a Formula,
    promise: Option<&'a Promise>,
}

impl<'a> Settler<'a> {
    fn new(gathered: &'a Gathered, given: &'a Given, sources: &'a [Source]) -> Self {
        let checked =
            Checked { troubles: gathered.troubles.clone(), ranks: gathered.ranks.clone(), ..Checked::default() };
        let unread = gathered.unread.iter().map(|name| name.key.clone()).chain(gathered.lost_tables.clone()).collect();
        let lost = gathered.unread.iter().filter_map(|name| name.key.strip_prefix("1 "));
        let measures = Measures { lost: lost.map(str::to_owned).collect(), ..Measures::default() };
        Self {
            gathered,
            given,
            sources,
            measures,
            names: Names::new(),
            places: HashMap::new(),
            unread,
            comparisons: Cell::new(0),
            runs: &gathered.runs,
            money: Vec::new(),
            worked: Vec::new(),
            checked,
        }
    }

    fn refuse(&mut self, place: Place, kind: Kind) {
        self.checked.troubles.push(Trouble::new(place, kind));
    }

    fn prose(&mut self) {
        for statement in &self.gathered.statements {
            match &statement.kind {
                // The deepest template comes first, so that the title nearest to the worksheet stands.
                StatementKind::Title(text) => self.checked.title = Some(text.clone()),
                StatementKind::Section(text) => self.checked.sections.push((statement.place, text.clone())),
                StatementKind::Note(text) if !text.is_empty() => {
                    self.checked.notes.push((statement.place, text.clone()));
                }
                StatementKind::Caution(text) if !self.checked.cautions.contains(text) => {
                    self.checked.cautions.push(text.clone());
                }
                _ => {}
            }
        }
    }

    fn add_slot(&mut self, slot: Slot) -> usize {
        self.checked.slots.push(slot);
        self.checked.slots.len() - 1
    }

    fn line(&self, place: Place) -> usize {
        self.sources.get(usize::from(place.source)).map_or(0, |source| source.spot(place).line)
    }

    /// Gives each entry, result and table its name.
    fn names(&mut self) {
        let gathered = self.gathered;
        self.checked.slots.reserve(gathered.statements.len());
        for statement in &gathered.statements {
            match &statement.kind {
                StatementKind::Entry(name, _) => {
                    self.define_slot(statement, name);
                }
                StatementKind::Result(name, formula, promise) => {
                    if let Some(slot) = self.define_slot(statement, name) {
                        self.worked.push((slot, formula, promise.as_ref()));
                    }
                }
                _ => {}
            }
        }
        let heads: Vec<Name> = self.runs.iter().map(|run| run.head.name.clone()).collect();
        for (table, name) in heads.iter().enumerate() {
            self.define(name, Named::Table(table));
        }
    }

    fn define_slot(&mut self, statement: &Statement, name: &Name) -> Option<usize> {
        let slot = self.checked.slots.len();
        self.define(name, Named::Slot(slot)).then(|| {
            self.add_slot(Slot {
                name: name.written.clone(),
                place: statement.place,
                remark: statement.remark.clone(),
                kind: Type::Unknown,
                origin: Origin::Broken,
                shown: Vec::new(),
                remarks: Vec::new(),
                is_crew_measure: false,
                is_default: false,
                from: None,
            })
        })
    }

    fn define(&mut self, name: &Name, named: Named) -> bool {
        if matches!(name.key.as_str(), "pi" | "today" | "yes" | "no") {
            self.refuse(name.place, Kind::NameTaken { name: name.written.clone() });
            return false;
        }
        if let Some(first) = self.places.get(&name.key).copied() {
            let line = self.line(first);
            self.checked
                .troubles
                .push(Trouble::new(name.place, Kind::DefinedTwice { name: name.written.clone(), line }).beside(first));
            self.unread.insert(name.key.clone());
            return false;
        }
        self.places.insert(name.key.clone(), name.place);
        self.names.insert(name.key.clone(), named);
        true
    }

    fn tables(&mut self) {
        for (number, run) in self.runs.iter().enumerate() {
            let mut tables = Tables {
                measures: &self.measures,
                sources: self.sources,
                blanks: &mut self.checked.blanks,
                troubles: &mut self.checked.troubles,
            };
            let rows = self.given.rows.get(&number);
            let table = tables.settle(run, rows);
            self.checked.asks_today |= rows.is_some_and(GivenRows::rest_on_today);
            for (index, column) in run.head.columns.iter().take(tables::MOST_COLUMNS).enumerate() {
                if !matches!(column.kind, ColumnKind::Worked(..)) {
                    self.checked.order.push(Node::Column(number, index));
                }
            }
            self.checked.tables.push(table);
        }
    }

    /// Everything that a formula of the sheet refers to, in order.
    fn references(&self) -> Vec<Reference<'_>> {
        let formulas = self.gathered.statements.iter().flat_map(|statement| match &statement.kind {
            StatementKind::Result(_, formula, _) => vec![formula],
            StatementKind::Check(check) => vec![&check.condition],
            StatementKind::Chart(chart) => chart.ys.iter().chain([&chart.xs]).collect(),
            _ => Vec::new(),
        });
        let columns = self.runs.iter().flat_map(|run| &run.head.columns).filter_map(|column| match &column.kind {
            ColumnKind::Worked(formula, _) => Some(formula),
            _ => None,
        });
        let mut references = Vec::new();
        formulas.chain(columns).for_each(|formula| order::references(formula, &mut references));
        references
    }

    fn scope(&self, row: Option<usize>) -> Scope<'_> {
        Scope {
            names: &self.names,
            slots: &self.checked.slots,
            tables: &self.checked.tables,
            measures: &self.measures,
            crew_slots: &self.checked.crew_slots,
            unread: &self.unread,
            comparisons: &self.comparisons,
            sources: self.sources,
            row,
            choice: None,
        }
    }

    fn finish(mut self) -> Checked {
        // A measure in trouble is reported once, at its own line.
        self.checked.troubles.retain(|trouble| self.measures.lost_word(&trouble.kind).is_none());
        self.checked.crew = self.measures.crew;
        self.checked.crew_labels = self.measures.crew_labels;
        self.checked.currency = self.measures.currency.get();
        self.checked.troubles.sort_by_key(|trouble| trouble.place);
        self.checked.troubles.dedup();
        self.checked
    }
}
