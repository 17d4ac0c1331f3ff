//! From two worked sheets to what differs between them.

use super::behind::{Causes, behind, of_condition, of_value};
use super::same::{Sameness, change, points, sameness};
use super::side::{Formula, Side};
use super::{CheckDifference, Comparison, Difference, Only};
use crate::checked::model::{Check, HalfWidth, Slot, WrittenDoubt};
use crate::checked::needs::{self, Need};
use crate::report::Report;
use crate::report::build::Sheet;
use crate::report::data::ReportCheck;
use crate::report::figures::outcome_word;
use crate::syntax::tree;
use std::collections::HashMap;

/// So many cells of one column, or rows of one table, are listed; more are counted.
const MOST_LISTED: usize = 20;

/// Holds a new worksheet against an old one, each with its report.
pub fn compare(old: (&Sheet<'_>, &Report), new: (&Sheet<'_>, &Report)) -> Comparison {
    let (old, new) = (Side::new(old.0, old.1), Side::new(new.0, new.1));
    let mut comparer = Comparer {
        found: Comparison::default(),
        old: &old,
        new: &new,
        causes: [Causes::default(), Causes::default()],
        pending: Vec::new(),
    };
    comparer.cautions();
    let unworked = [("the old one", &old), ("the new one", &new)];
    comparer.found.unworked = unworked.iter().filter(|(_, side)| side.is_unworked()).map(|(name, _)| *name).collect();
    if comparer.found.unworked.is_empty() {
        comparer.values();
        comparer.tables();
        comparer.results();
        comparer.checks();
    }
    comparer.found
}

struct Comparer<'c, 'a> {
    found: Comparison,
    old: &'c Side<'a>,
    new: &'c Side<'a>,
    /// What differs by itself in the old one and in the new one.
    causes: [Causes; 2],
    /// Results that differ, by what they are in the old one and in the new one: what is behind each is told once all
    /// causes are known.
    pending: Vec<(Difference, Option<(Need, Need)>)>,
}

impl Comparer<'_, '_> {
    fn cautions(&mut self) {
        let gone = self.old.report.cautions.iter().filter(|caution| !self.new.report.cautions.contains(caution));
        self.found.cautions_gone = gone.cloned().collect();
    }

    /// Entries and results, in the order of the new worksheet's lines.
    fn values(&mut self) {
        let (old, new) = (self.old, self.new);
        for slot in in_order(new) {
            let need = Need::Slot(slot);
            match old.same_name(new, need) {
                Some(before) => {
                    self.formula(before, need);
                    self.value(before, need);
                }
                None => {
                    let only = only_value(new, need);
                    self.found.added.push(only);
                    self.causes[1].entries.insert(need);
                }
            }
        }
        for slot in in_order(old) {
            let need = Need::Slot(slot);
            if new.same_name(old, need).is_none() {
                self.found.gone.push(only_value(old, need));
                self.causes[0].entries.insert(need);
            }
        }
    }

    /// One value that both have; tells whether it is the same.
    fn value(&mut self, before: Need, need: Need) -> bool {
        let difference = self.difference(before, need);
        let is_same = difference.is_none();
        let counts = if is_same { &mut self.found.same } else { &mut self.found.differing };
        let is_result = self.new.is_worked(need) || self.old.is_worked(before);
        *(if is_result { &mut counts.results } else { &mut counts.entries }) += 1;
        let Some(difference) = difference else { return true };
        let is_written_alike = difference.was == difference.is && !needs::of(self.new.checked, need).is_empty();
        if is_result {
            self.pending.push((difference, Some((before, need))));
        } else if is_written_alike {
            // `3 scoop` is another weight once a scoop is.
            let remarks = vec!["written as before; the measure that it is counted in differs".to_owned()];
            let difference = Difference { remarks, ..difference };
            self.pending.push((difference, Some((before, need))));
        } else {
            self.causes[0].entries.insert(before);
            self.causes[1].entries.insert(need);
            self.found.entries.push(difference);
        }
        false
    }

    fn is_only_less_sure(&self, before: Need, need: Need) -> bool {
        let found = self.old.found(before).zip(self.new.found(need));
        found.is_some_and(|(was, is)| sameness(&was, &is) == Sameness::OtherDoubt)
    }

    fn difference(&self, before: Need, need: Need) -> Option<Difference> {
        let (was, is) = (self.old.found(before)?, self.new.found(need)?);
        let sameness = sameness(&was, &is);
        let is_shown = was.words != is.words;
        let (change, remark) = match sameness {
            Sameness::Same => return None,
            Sameness::OtherDoubt => {
                let remark = (!is_shown).then(|| "its ± differs by less than is shown".to_owned());
                ("± only".to_owned(), remark)
            }
            Sameness::Differs if is_shown => (change(&was, &is, &self.new.shower()), points(&was, &is)),
            Sameness::Differs => {
                (change(&was, &is, &self.new.shower()), Some("it differs by less than is shown".to_owned()))
            }
        };
        let from = match need {
            Need::Slot(slot) => self.new.checked.slots.get(slot).and_then(|slot| slot.from.clone()),
            _ => None,
        };
        let from = from.map(|file| format!("from {file}"));
        let remarks = remark.into_iter().chain(from).collect();
        Some(Difference {
            name: self.new.name(need),
            was: was.words,
            is: is.words,
            change,
            remarks,
            behind: Vec::new(),
        })
    }

    /// The formula of a result or a column that both have.
    fn formula(&mut self, before: Need, need: Need) {
        let (was, is) = (self.old.formula(before), self.new.formula(need));
        let meant = |formula: &Option<Formula>| formula.as_ref().map(|formula| formula.meant.clone());
        if meant(&was) == meant(&is) || !self.old.is_worked(before) && !self.new.is_worked(need) {
            return;
        }
        // What is in trouble has no formula that could be read.
        let is_unread = |formula: &Option<Formula>, side: &Side<'_>, need| formula.is_none() && side.is_worked(need);
        if is_unread(&was, self.old, before) || is_unread(&is, self.new, need) {
            return;
        }
        self.causes[0].formulas.insert(before);
        self.causes[1].formulas.insert(need);
        let words = |formula: Option<Formula>| formula.map_or_else(|| "written down".to_owned(), |own| own.spelt);
        let name = self.new.name(need);
        self.found.formulas.push(Difference { name, was: words(was), is: words(is), ..Difference::default() });
    }

    fn tables(&mut self) {
        let (old, new) = (self.old, self.new);
        for (number, table) in new.checked.tables.iter().enumerate() {
            match old.table(&table.name) {
                Some(before) => {
                    self.rows(before, number);
                    (0..table.columns.len()).for_each(|column| self.column(number, column));
                }
                None => self.found.added.push(only("table", &table.name, rows_words(table.rows.len()))),
            }
        }
        for (number, table) in old.checked.tables.iter().enumerate() {
            if new.table(&table.name).is_none() {
                self.found.gone.push(only("table", &table.name, rows_words(table.rows.len())));
                continue;
            }
            let columns = (0..table.columns.len()).map(|column| Need::Column(number, column));
            let gone = columns.filter(|column| new.same_name(old, *column).is_none());
            self.found.gone.extend(gone.map(|column| only("column", &old.name(column), String::new())));
        }
    }

    /// The rows that only one of two tables has.
    fn rows(&mut self, before: usize, number: usize) {
        let lacking = |side: &Side<'_>, table: usize, other: &Side<'_>, others: usize| -> Vec<usize> {
            let rows = side.checked.tables.get(table).map(|table| table.rows.as_slice()).unwrap_or_default();
            (0..rows.len())
                .filter(|row| rows.get(*row).is_some_and(|row| other.row(others, &row.label).is_none()))
                .collect()
        };
        let (gone, added) = (lacking(self.old, before, self.new, number), lacking(self.new, number, self.old, before));
        self.found.gone.extend(only_rows(self.old, before, &gone));
        self.found.added.extend(only_rows(self.new, number, &added));
        self.causes[0].rows.extend(gone.into_iter().map(|row| (before, row)));
        self.causes[1].rows.extend(added.into_iter().map(|row| (number, row)));
    }

    /// The cells of a column of the new worksheet, held against those of the old one.
    fn column(&mut self, table: usize, column: usize) {
        let need = Need::Column(table, column);
        let Some(before) = self.old.same_name(self.new, need) else {
            self.found.added.push(only("column", &self.new.name(need), String::new()));
            return;
        };
        self.formula(before, need);
        self.device(before, need);
        let rows = self.new.checked.tables.get(table).map_or(0, |table| table.rows.len());
        let has_other_device = self.causes[1].devices.contains(&need);
        let mut differing = 0;
        let (entries, pending) = (self.found.entries.len(), self.pending.len());
        for row in 0..rows {
            let cell = Need::Cell(table, column, row);
            let Some(before) = self.old.same_name(self.new, cell) else { continue };
            // The ± in the head of a column stands in no cell.
            if !(has_other_device && self.is_only_less_sure(before, cell)) {
                differing += usize::from(!self.value(before, cell));
            }
        }
        if differing > MOST_LISTED {
            let more = format!("and {} more of its cells differ", differing - MOST_LISTED);
            let more = Difference { name: self.new.name(need), remarks: vec![more], ..Difference::default() };
            if self.pending.len() > pending {
                self.pending.truncate(pending + MOST_LISTED);
                self.pending.push((more, None));
            } else {
                self.found.entries.truncate(entries + MOST_LISTED);
                self.found.entries.push(more);
            }
        }
    }

    /// The `±` of the device in a column's head.
    fn device(&mut self, before: Need, need: Need) {
        let doubt = |side: &Side<'_>, need| match need {
            Need::Column(table, column) => side.column(table, column).and_then(|(_, column)| column.doubt.clone()),
            _ => None,
        };
        if is_same_doubt(doubt(self.old, before).as_ref(), doubt(self.new, need).as_ref()) {
            return;
        }
        let words = |side: &Side<'_>, need| {
            let give = side.places.give(&side.name(need)).map(|give| give.written).unwrap_or_default();
            if give.is_empty() { "no ±".to_owned() } else { format!("each {give}") }
        };
        self.found.differing.entries += 1;
        self.causes[0].devices.insert(before);
        self.causes[1].devices.insert(need);
        self.found.entries.push(Difference {
            name: self.new.name(need),
            was: words(self.old, before),
            is: words(self.new, need),
            ..Difference::default()
        });
    }

    /// What is behind each result that differs, now that all causes are known.
    fn results(&mut self) {
        for (mut difference, needs) in std::mem::take(&mut self.pending) {
            if let Some((before, need)) = needs {
                let reached = [of_value(self.new, Some(need)), of_value(self.old, Some(before))];
                difference.behind = self.behind(reached);
            }
            self.found.results.push(difference);
        }
    }

    fn behind(&self, [new, old]: [std::collections::BTreeSet<Need>; 2]) -> Vec<String> {
        behind([(self.new, &self.causes[1], new), (self.old, &self.causes[0], old)])
    }

    fn checks(&mut self) {
        let (old, new) = (labelled(self.old), labelled(self.new));
        for (key, (own, check)) in &new {
            let Some((_, (before, was))) = old.iter().find(|(other, _)| other == key) else {
                self.found.added.push(only("check", &own.label, check_words(*check)));
                continue;
            };
            self.check((before, *was), (own, *check));
        }
        let gone = old.iter().filter(|(key, _)| !new.iter().any(|(other, _)| other == key));
        let gone: Vec<Only> = gone.map(|(_, (own, check))| only("check", &own.label, check_words(*check))).collect();
        self.found.gone.extend(gone);
    }

    fn check(&mut self, (before, was): (&Check, Option<&ReportCheck>), (own, is): (&Check, Option<&ReportCheck>)) {
        let condition =
            |check: &Check, side: &Side<'_>| check.condition.as_ref().map(|condition| side.told(condition, None).meant);
        let is_asked_alike = condition(before, self.old) == condition(own, self.new);
        let outcome = |check: Option<&ReportCheck>| check.map(|check| check.outcome);
        if outcome(was) == outcome(is) && is_asked_alike {
            self.found.same.checks += 1;
            return;
        }
        let (Some(was), Some(is)) = (was, is) else {
            let trouble = |check: Option<&ReportCheck>| {
                check.map_or_else(|| "in trouble".to_owned(), |check| check_words(Some(check)))
            };
            let (name, was, is) = (own.label.clone(), trouble(was), trouble(is));
            self.found.formulas.push(Difference { name, was, is, ..Difference::default() });
            return;
        };
        let mut behind = self.behind([
            of_condition(self.new, own.condition.as_ref()),
            of_condition(self.old, before.condition.as_ref()),
        ]);
        if !is_asked_alike {
            behind.insert(0, "what it asks".to_owned());
        }
        self.found.checks.push(CheckDifference {
            label: own.label.clone(),
            was: (was.outcome, was.compared.clone()),
            is: (is.outcome, is.compared.clone()),
            advice: is.advice.clone(),
            behind,
        });
    }
}

/// The slots in the order of their lines, templates first.
fn in_order(side: &Side<'_>) -> Vec<usize> {
    let rank = |slot: &Slot| {
        let source = usize::from(slot.place.source);
        (side.checked.ranks.get(source).copied().unwrap_or_default(), slot.place.start)
    };
    let mut slots: Vec<(usize, &Slot)> = side.checked.slots.iter().enumerate().collect();
    slots.sort_by_key(|(_, slot)| rank(slot));
    slots.into_iter().map(|(number, _)| number).collect()
}

fn only(what: &'static str, name: &str, shown: String) -> Only {
    Only { what, name: name.to_owned(), shown }
}

fn only_value(side: &Side<'_>, need: Need) -> Only {
    let what = if side.is_worked(need) { "result" } else { "entry" };
    only(what, &side.name(need), side.found(need).map(|found| found.words).unwrap_or_default())
}

fn only_rows(side: &Side<'_>, table: usize, rows: &[usize]) -> Vec<Only> {
    let Some(own) = side.checked.tables.get(table) else { return Vec::new() };
    let label =
        |row: &usize| own.rows.get(*row).map(|row| only("row", &format!("{}, {}", own.name, row.label), String::new()));
    let mut found: Vec<Only> = rows.iter().take(MOST_LISTED).filter_map(label).collect();
    if let Some(more) = rows.len().checked_sub(MOST_LISTED).filter(|more| *more > 0) {
        found.push(only("row", &format!("{more} more of {}", own.name), String::new()));
    }
    found
}

fn rows_words(count: usize) -> String {
    format!("{count} row{}", if count == 1 { "" } else { "s" })
}

/// How a check comes out, and what is compared.
fn check_words(check: Option<&ReportCheck>) -> String {
    check.map_or_else(String::new, |check| format!("{}: {}", outcome_word(check.outcome), check.compared))
}

fn is_same_doubt(one: Option<&WrittenDoubt>, other: Option<&WrittenDoubt>) -> bool {
    let close = |one: f64, other: f64| (one - other).abs() <= 1e-14 * one.abs().max(other.abs());
    match (one, other) {
        (Some(one), Some(other)) => {
            let is_same_width = match (one.half_width, other.half_width) {
                (HalfWidth::Absolute(one), HalfWidth::Absolute(other))
                | (HalfWidth::Share(one), HalfWidth::Share(other)) => close(one, other),
                _ => false,
            };
            is_same_width && one.nature == other.nature && one.crew == other.crew
        }
        (one, other) => one.is_none() && other.is_none(),
    }
}

/// A check with what the report has of it; nothing where it is in trouble.
type Labelled<'s> = ((String, usize), (&'s Check, Option<&'s ReportCheck>));

/// The checks by their labels; several of one label are told apart by their order.
fn labelled<'s>(side: &'s Side<'_>) -> Vec<Labelled<'s>> {
    let mut met: HashMap<String, usize> = HashMap::new();
    let mut found = Vec::new();
    for own in &side.checked.checks {
        let key = tree::key(&own.label);
        let count = met.entry(key.clone()).or_default();
        let line = side.places.line(own.place);
        let check = side.report.checks.iter().find(|check| check.label == own.label && check.line == line);
        found.push(((key, *count), (own, check)));
        *count += 1;
    }
    found
}
