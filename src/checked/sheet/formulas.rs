//! The formulas of a sheet, each after those it needs: circles refused, and what rests on a trouble told what it waits
//! for. How a formula is settled by itself is not known here.

use super::super::formulas::Typing;
use super::super::model::{Named, Node, Origin, Remark, ShownIn};
use super::super::order::{self, Reference};
use super::super::types::{NumberType, Type};
use super::super::units::Position;
use super::super::{display, tables};
use super::checks::check_choices;
use super::{Job, Settler};
use crate::syntax::tree::{self, ColumnKind, Formula, Name, Promise};
use crate::trouble::Kind;
use std::collections::{HashMap, HashSet};

impl Settler<'_> {
    /// Settles all formulas, each after those it needs.
    pub(super) fn formulas(&mut self) {
        let runs = self.runs;
        let mut jobs: Vec<Job<'_>> = Vec::new();
        for (slot, formula, promise) in &self.worked {
            jobs.push(Job { node: Node::Slot(*slot), formula, promise: *promise });
        }
        for (table, run) in runs.iter().enumerate() {
            for (index, column) in run.head.columns.iter().take(tables::MOST_COLUMNS).enumerate() {
                if let ColumnKind::Worked(formula, promise) = &column.kind {
                    jobs.push(Job { node: Node::Column(table, index), formula, promise: promise.as_ref() });
                }
            }
        }
        let sorted = order::sort(&self.needs(&jobs));
        let mut in_circle = HashSet::new();
        for circle in &sorted.circles {
            self.circle(circle, &jobs, &mut in_circle);
        }
        for index in sorted.order {
            let Some(job) = jobs.get(index) else { continue };
            if in_circle.contains(&index) {
                continue;
            }
            self.formula(*job);
            self.checked.order.push(job.node);
        }
    }

    /// For each formula, the other formulas that it needs.
    pub(super) fn needs(&self, jobs: &[Job<'_>]) -> Vec<Vec<usize>> {
        let by_node: HashMap<Node, usize> = jobs.iter().enumerate().map(|(index, job)| (job.node, index)).collect();
        jobs.iter()
            .map(|job| {
                let row = match job.node {
                    Node::Column(table, _) => Some(table),
                    Node::Slot(_) => None,
                };
                let mut found = Vec::new();
                order::references(job.formula, &mut found);
                let mut words = Vec::new();
                order::unit_words(job.formula, &mut words);
                let named = found.iter().filter_map(|reference| self.node(reference, row));
                let from_words = words.iter().filter_map(|key| self.node_of(key, row));
                let mut needs: Vec<usize> =
                    named.chain(from_words).filter_map(|node| by_node.get(&node).copied()).collect();
                needs.sort_unstable();
                needs.dedup();
                needs
            })
            .collect()
    }

    pub(super) fn node(&self, reference: &Reference<'_>, row: Option<usize>) -> Option<Node> {
        match reference {
            Reference::Name(name) => self.node_of(&name.key, row),
            Reference::Member(table, member) | Reference::Chosen(table, member) => self.column_of_name(table, member),
        }
    }

    pub(super) fn node_of(&self, key: &str, row: Option<usize>) -> Option<Node> {
        if let Some(node) = row.and_then(|table| self.column_of(table, key)) {
            return Some(node);
        }
        match self.names.get(key) {
            Some(Named::Slot(slot)) => Some(Node::Slot(*slot)),
            _ => None,
        }
    }

    pub(super) fn column_of(&self, table: usize, key: &str) -> Option<Node> {
        let columns = &self.checked.tables.get(table)?.columns;
        columns.iter().position(|column| tree::has_key(&column.name, key)).map(|column| Node::Column(table, column))
    }

    pub(super) fn circle(&mut self, circle: &[usize], jobs: &[Job<'_>], in_circle: &mut HashSet<usize>) {
        in_circle.extend(circle.iter().copied());
        let names: Vec<String> =
            circle.iter().filter_map(|index| jobs.get(*index)).map(|job| self.node_name(job.node)).collect();
        let Some((first, job)) = names.first().zip(circle.first().and_then(|index| jobs.get(*index))) else { return };
        let chain = format!("{} needs {first}", names.join(" needs "));
        self.refuse(job.formula.place, Kind::Circle { chain });
    }

    pub(super) fn node_name(&self, node: Node) -> String {
        match node {
            Node::Slot(slot) => self.checked.slots.get(slot).map_or_else(String::new, |slot| slot.name.clone()),
            Node::Column(table, column) => {
                let table = self.checked.tables.get(table);
                let column = table.and_then(|table| table.columns.get(column));
                table.zip(column).map_or_else(String::new, |(table, column)| format!("{}.{}", table.name, column.name))
            }
        }
    }

    pub(super) fn formula(&mut self, job: Job<'_>) {
        let row = match job.node {
            Node::Column(table, _) => Some(table),
            Node::Slot(_) => None,
        };
        let mut typing = Typing::new(self.scope(row));
        let expression = typing.formula(job.formula);
        if let Type::Several(_) = expression.kind {
            typing.refuse_several(&expression);
        }
        check_choices(&mut typing, &expression);
        let settled = display::settle(&expression.kind, job.promise, job.formula.place, &self.measures);
        let (mut troubles, remarks, asks_today) = (typing.troubles, paired(typing.remarks), typing.asks_today);
        let (kind, shown) = match settled {
            Ok(settled) => settled,
            Err(trouble) => {
                troubles.push(trouble);
                (Type::Unknown, Vec::new())
            }
        };
        let is_sound = troubles.is_empty() && !expression.kind.is_unknown();
        let lost: Vec<String> = troubles.iter().filter_map(|trouble| self.measures.lost_word(&trouble.kind)).collect();
        let is_stuck = lost.len() == troubles.len();
        let stuck = is_stuck.then(|| [self.stuck_on(job.formula, row), lost].concat());
        let (kind, shown) = if kind.is_unknown() || !is_sound { self.promised(job.promise) } else { (kind, shown) };
        self.checked.asks_today |= asks_today;
        self.checked.troubles.extend(troubles);
        match job.node {
            Node::Slot(slot) => {
                if let Some(own) = self.checked.slots.get_mut(slot) {
                    (own.kind, own.shown) = (kind, shown);
                    own.remarks.extend(remarks);
                    own.origin = match stuck {
                        _ if is_sound => Origin::Worked(expression),
                        Some(names) => Origin::Stuck(names),
                        None => Origin::Broken,
                    };
                }
            }
            Node::Column(table, column) => {
                if let Some(own) = self.checked.tables.get_mut(table).and_then(|table| table.columns.get_mut(column)) {
                    (own.kind, own.shown) = (kind, shown);
                    own.is_broken = !is_sound;
                    own.formula = is_sound.then_some(expression);
                }
            }
        }
    }

    /// What a formula needs that is in trouble.
    pub(super) fn stuck_on(&self, formula: &Formula, row: Option<usize>) -> Vec<String> {
        let mut found = Vec::new();
        order::references(formula, &mut found);
        let mut names: Vec<String> = Vec::new();
        for reference in found {
            let (name, node) = match reference {
                Reference::Name(name) => (name.written.clone(), self.node_of(&name.key, row)),
                Reference::Member(table, member) => {
                    (format!("{}.{}", table.written, member.written), self.column_of_name(table, member))
                }
                // What is no column is the label of the row, which is never in trouble.
                Reference::Chosen(table, column) => match self.column_of_name(table, column) {
                    Some(node) => (format!("{}.{}", table.written, column.written), Some(node)),
                    None => continue,
                },
            };
            let is_broken = match node {
                Some(Node::Slot(slot)) => self.checked.slots.get(slot).is_none_or(|slot| slot.kind.is_unknown()),
                Some(Node::Column(table, column)) => self
                    .checked
                    .tables
                    .get(table)
                    .and_then(|table| table.columns.get(column))
                    .is_none_or(|column| column.kind.is_unknown()),
                None => true,
            };
            if is_broken && !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    pub(super) fn column_of_name(&self, table: &Name, member: &Name) -> Option<Node> {
        match self.names.get(&table.key) {
            Some(Named::Table(table)) => self.column_of(*table, &member.key),
            Some(Named::Sheet) => self.node_of(&format!("{}.{}", table.key, member.key), None),
            _ => None,
        }
    }

    /// The type that the brackets alone tell, where the formula could not be settled: what depends on it is still
    /// checked.
    pub(super) fn promised(&self, promise: Option<&Promise>) -> (Type, Vec<ShownIn>) {
        let unit = promise.and_then(|promise| promise.displays.first()).and_then(|display| display.measures.first());
        let Some(unit) = unit.and_then(|measure| measure.unit.as_ref()) else { return (Type::Unknown, Vec::new()) };
        match self.measures.settle(unit, Position::Value, &|_| false) {
            Ok(settled) => {
                let kind = Type::Number(NumberType { is_named: true, ..settled.kind });
                let shown = display::in_own_unit(&kind, &self.measures);
                (kind, shown)
            }
            Err(_) => (Type::Unknown, Vec::new()),
        }
    }
}

/// Two bare means of lists of equal count in one formula draw one remark.
fn paired(remarks: Vec<Remark>) -> Vec<Remark> {
    let mut kept = Vec::new();
    let mut bare: Vec<(String, String)> = Vec::new();
    for remark in remarks {
        match remark {
            Remark::UnpairedMeans(name, count) => {
                if let Some((other, _)) = bare.iter().find(|(other, own)| *own == count && *other != name) {
                    kept.push(Remark::UnpairedMeans(other.clone(), name.clone()));
                }
                bare.push((name, count));
            }
            other => kept.push(other),
        }
    }
    kept
}
