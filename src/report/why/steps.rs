//! The steps of one worksheet: how each result is worked out, the numbers put in, and what was written down.

use super::explain::{Drawn, Explainer};
use super::figures::{Figures, cell_value, held};
use super::places::Others;
use super::reach::Reach;
use super::{EntryWhy, SheetWhy, Step};
use crate::checked::model::{Column, Expression, Node, Origin, ShownIn, Slot};
use crate::checked::types::Type;
use crate::quantity::Value;
use crate::report::data::Cell;
use crate::report::figures::{of_cell, waits_on};
use crate::report::formula::spelt;
use crate::report::shown::{Shower, part_words};
use crate::text::Place;
use crate::text::crew_folder::within;
use crate::worked::again::InRow;
use std::collections::BTreeSet;

/// Where an entry stands among all: the text's rank, the line, and for cells column and row.
type Rank = (usize, u32, usize, usize);

impl Explainer<'_> {
    /// Everything within reach: what is worked out first, each before what it needs, then what was written down.
    pub(super) fn steps(&mut self, reach: &Reach, others: &mut dyn Others) -> (SheetWhy, Vec<Drawn>) {
        let mut found = SheetWhy::default();
        let mut steps: Vec<(usize, Vec<Step>)> = Vec::new();
        let (mut entries, mut drawn): (Vec<(Rank, EntryWhy)>, Vec<Drawn>) = (Vec::new(), Vec::new());
        let checked = self.checked;
        for slot in &reach.slots {
            let Some(own) = checked.slots.get(*slot) else { continue };
            match &own.origin {
                Origin::Worked(formula) => {
                    let step = self.slot_step(*slot, own, formula, &mut found.is_rounded);
                    steps.push((self.rank_of_work(Node::Slot(*slot)), vec![step]));
                }
                Origin::Entered(_) => {
                    let (from, rank) = (self.drawn(own), (self.rank(own.place), own.place.start, 0, 0));
                    entries.push((rank, self.entry(own, from.as_ref(), others)));
                    drawn.extend(from);
                }
                Origin::Broken | Origin::Stuck(_) => steps.push((0, vec![self.stuck_step(own)])),
            }
        }
        for ((table, column), rows) in &reach.cells {
            let more = reach.more(*table, *column);
            let Some(kind) = checked.tables.get(*table).and_then(|table| table.columns.get(*column)) else { continue };
            if let Some(formula) = &kind.formula {
                let own = self.column_steps((*table, *column), kind, formula, rows, more, &mut found.is_rounded);
                steps.push((self.rank_of_work(Node::Column(*table, *column)), own));
            } else {
                entries.extend(self.cells((*table, *column), kind, rows, more, others));
            }
        }
        steps.sort_by_key(|(place, _)| std::cmp::Reverse(*place));
        entries.sort_by_key(|(rank, _)| *rank);
        found.steps = steps.into_iter().flat_map(|(_, steps)| steps).collect();
        found.entries = entries.into_iter().map(|(_, entry)| entry).collect();
        (found, drawn)
    }

    fn rank_of_work(&self, node: Node) -> usize {
        self.order.get(&node).copied().unwrap_or_default()
    }

    fn rank(&self, place: Place) -> usize {
        self.checked.ranks.get(usize::from(place.source)).copied().unwrap_or_default()
    }

    /// A formula as it is spelt, then with its numbers; `is_rounded` is set where one of them is shown rounded.
    fn lines(&mut self, formula: &Expression, row: InRow, is_rounded: &mut bool) -> Vec<String> {
        let spelt = spelt(formula, &|place| self.places.text(place));
        let (checked, places, again) = (self.checked, &self.places, &mut self.again);
        let mut figures = Figures { checked, places, again, row, depth: 0, is_rounded: false };
        let mut lines = figures.lines(formula);
        *is_rounded |= figures.is_rounded;
        lines.insert(0, spelt);
        lines.dedup_by(|line, before| same_words(line, before));
        lines
    }

    fn slot_step(&mut self, slot: usize, own: &Slot, formula: &Expression, is_rounded: &mut bool) -> Step {
        let mut step = Step {
            name: own.name.clone(),
            equal: self.lines(formula, None, is_rounded),
            place: self.places.words(own.place),
            ..Step::default()
        };
        let value = self.again.worked().slots.get(slot).and_then(|outcome| outcome.as_ref().ok()).cloned();
        let cell = self.values.get(own.name.as_str()).map(|value| value.cell.clone()).unwrap_or_default();
        self.finish(&mut step, value.as_ref(), &cell, &own.kind, &own.shown);
        step
    }

    /// A result that is in trouble itself, or whose formula needs something that is: what stands on its line.
    fn stuck_step(&self, own: &Slot) -> Step {
        let line = self.places.text(own.place);
        let formula = line.split_once('=').map_or("", |(_, formula)| formula.trim()).to_owned();
        let remark = match &own.origin {
            Origin::Stuck(names) if !names.is_empty() => waits_on(names),
            _ => "in trouble itself".to_owned(),
        };
        let place = self.places.words(own.place);
        Step { name: own.name.clone(), equal: vec![formula], remarks: vec![remark], place, ..Step::default() }
    }

    /// Adds what a step comes to, in each unit, or what it waits on.
    fn finish(&self, step: &mut Step, value: Option<&Value>, cell: &Cell, kind: &Type, shown: &[ShownIn]) {
        let Some(value) = value else {
            step.remarks.extend((!cell.waiting_on.is_empty()).then(|| waits_on(&cell.waiting_on)));
            return;
        };
        let shower = Shower::new(self.checked, self.again.worked());
        for (place, part) in cell.parts.iter().enumerate() {
            let moved = shown.get(place).filter(|shown| shower.is_moved(value, shown));
            let Some(moved) = moved else {
                step.equal.push(held(&part_words(part)));
                continue;
            };
            let (digits, shown) = (shower.in_digits(&Ok(value.clone()), kind, moved), part_words(part));
            step.shown_as.extend((digits.as_ref() != Some(&shown)).then_some(shown));
            if place == 0 {
                step.equal.extend(digits.map(|words| held(&words)));
            }
        }
        step.equal.dedup_by(|line, before| same_words(line, before));
        step.remarks.extend(cell.remarks.clone());
    }

    /// A worked-out column: its formula once, then each row with its numbers.
    fn column_steps(
        &mut self,
        (table, column): (usize, usize),
        kind: &Column,
        formula: &Expression,
        rows: &BTreeSet<usize>,
        more: usize,
        is_rounded: &mut bool,
    ) -> Vec<Step> {
        let place = self.places.words(kind.place);
        let mut steps: Vec<Step> = Vec::new();
        for row in rows {
            let lines = self.lines(formula, Some((table, *row)), is_rounded);
            let mut step = Step { name: self.cell_name(table, column, *row), equal: lines, ..Step::default() };
            let cell = self.report_cell(table, column, *row).cloned().unwrap_or_default();
            let value = cell_value(self.again.worked(), table, column, *row);
            self.finish(&mut step, value.as_ref(), &cell, &kind.kind, &kind.shown);
            steps.push(step);
        }
        if let ([only], 0) = (steps.as_mut_slice(), more) {
            only.place = place;
            return steps;
        }
        steps.iter_mut().for_each(|step| drop(step.equal.drain(..1)));
        let spelt = spelt(formula, &|place| self.places.text(place));
        let head = Step { name: self.column_name(table, column), equal: vec![spelt], place, ..Step::default() };
        steps.insert(0, head);
        if let (Some(last), true) = (steps.last_mut(), more > 0) {
            last.remarks.push(format!("and {more} more rows"));
        }
        steps
    }

    /// The value of another worksheet that an entry is drawn from.
    fn drawn(&self, own: &Slot) -> Option<Drawn> {
        let (file, from) = (own.from.as_ref()?, self.paths.get(usize::from(own.place.source))?);
        let (_, name) = own.name.split_once('.')?;
        Some(Drawn { path: within(from, file).ok()?, name: name.to_owned() })
    }

    fn entry(&self, own: &Slot, from: Option<&Drawn>, others: &mut dyn Others) -> EntryWhy {
        let value = self.values.get(own.name.as_str());
        let cell = value.map(|value| value.cell.clone()).unwrap_or_default();
        let there = from.map(|from| match others.value(&from.path, None, &from.name) {
            Some(line) => format!("{}, {line}", from.path),
            None => from.path.clone(),
        });
        let mut remarks = of_cell(&cell, "", &own.name).remarks;
        remarks.retain(|remark| *remark != waits_on(&cell.waiting_on) || from.is_some());
        EntryWhy {
            name: own.name.clone(),
            shown: entered_words(&cell, &own.name),
            remarks,
            place: there.unwrap_or_else(|| self.places.slot(own)),
        }
    }

    /// The entered cells of a column, the `±` of its device first.
    fn cells(
        &self,
        (table, column): (usize, usize),
        kind: &Column,
        rows: &BTreeSet<usize>,
        more: usize,
        others: &mut dyn Others,
    ) -> Vec<(Rank, EntryWhy)> {
        let Some(own) = self.checked.tables.get(table) else { return Vec::new() };
        let rank = |row: usize| (self.rank(own.place), own.place.start, column, row);
        let name = self.column_name(table, column);
        let mut found = Vec::new();
        if let Some(give) = self.places.give(&name).filter(|_| kind.doubt.is_some()) {
            let shown = format!("each {}", give.written);
            found.push((rank(0), EntryWhy { name: name.clone(), shown, place: give.place, remarks: Vec::new() }));
        }
        for row in rows {
            let cell_name = self.cell_name(table, column, *row);
            let cell = self.report_cell(table, column, *row).cloned().unwrap_or_default();
            let mut remarks = of_cell(&cell, "", &cell_name).remarks;
            remarks.extend(own.rows.get(*row).and_then(|row| row.remark.clone()));
            let shown = entered_words(&cell, &cell_name);
            let place = self.places.cell(table, column, *row, others);
            found.push((rank(row + 1), EntryWhy { name: cell_name, shown, remarks, place }));
        }
        if more > 0 {
            let shown = format!("and {more} more rows");
            let last = own.rows.len() + 1;
            found.push((rank(last), EntryWhy { name, shown, remarks: Vec::new(), place: String::new() }));
        }
        found
    }

    /// The condition of a check as it is spelt and with its numbers put in.
    pub(super) fn condition_step(&mut self, condition: &Expression, place: Place, label: &str) -> (Step, bool) {
        let mut is_rounded = false;
        let equal = self.lines(condition, None, &mut is_rounded);
        let step = Step { name: label.to_owned(), equal, place: self.places.words(place), ..Step::default() };
        (step, is_rounded)
    }
}

/// A value that was written down, with its unit.
fn entered_words(cell: &Cell, name: &str) -> String {
    let parts = of_cell(cell, "", name).parts;
    if parts.first().is_some_and(|part| part.value == "waiting") {
        return "waiting".to_owned();
    }
    parts.iter().map(part_words).collect::<Vec<_>>().join("; ")
}

/// Whether two lines say the same, quotes and held spaces aside.
fn same_words(one: &str, other: &str) -> bool {
    let plain = |line: &str| line.replace(crate::report::spaces::HELD, " ").trim_matches('"').to_owned();
    plain(one) == plain(other)
}
