//! From a worked sheet to how one of its values comes about.

use super::doubts::Teller;
use super::places::{Others, Places};
use super::reach::Reacher;
use super::{DoubtSays, DoubtWhy, LimitWhy, SheetWhy, WaitedOn, Why};
use crate::checked::Checked;
use crate::checked::algebra;
use crate::checked::display;
use crate::checked::model::{Does, Node, Origin, ShownIn};
use crate::checked::needs::Need;
use crate::checked::types::{NumberType, Type};
use crate::quantity::shown::Form;
use crate::quantity::{Measured, Moment, Value};
use crate::report::Report;
use crate::report::build::{Sheet, outcome};
use crate::report::compared::relation_words;
use crate::report::data::{Cell, ReportValue};
use crate::report::shown::{Shower, part_words};
use crate::syntax::tree;
use crate::worked::again::{Again, FoundLimit};
use std::collections::HashMap;

/// What one may ask about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// An entry or a result, or a cell.
    Value(Need),
    /// A check.
    Check(usize),
}

/// A value of another worksheet from which one here is drawn.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord)]
pub struct Drawn {
    /// The worksheet's path in the crew folder.
    pub path: String,
    /// The value's name there.
    pub name: String,
}

/// Tells of one worksheet how its values come about.
pub struct Explainer<'a> {
    pub(super) checked: &'a Checked,
    pub(super) report: &'a Report,
    pub(super) places: Places<'a>,
    pub(super) again: Again<'a>,
    /// Where each text stands in the crew folder.
    pub(super) paths: &'a [String],
    /// The report's values by name.
    pub(super) values: HashMap<&'a str, &'a ReportValue>,
    /// Where in the order of work each thing stands.
    pub(super) order: HashMap<Node, usize>,
}

impl<'a> Explainer<'a> {
    /// For a worksheet and its report. `today` is the day it was worked for; `paths` tells where its texts stand.
    pub fn new(sheet: &Sheet<'a>, report: &'a Report, paths: &'a [String], today: Moment) -> Self {
        Self {
            checked: sheet.checked,
            report,
            places: Places::of(sheet),
            again: Again::new(sheet.checked, sheet.sources, today, sheet.worked.clone()),
            paths,
            values: report.values.iter().map(|value| (value.name.as_str(), value)).collect(),
            order: sheet.checked.order.iter().enumerate().map(|(place, node)| (*node, place)).collect(),
        }
    }

    /// How a value, or the outcome of a check, comes about in this worksheet; with what it draws from others.
    pub fn explain(&mut self, target: Target, others: &mut dyn Others) -> (Why, Vec<Drawn>) {
        match target {
            Target::Value(need) => self.value(need, others),
            Target::Check(check) => self.check(check, others),
        }
    }

    fn value(&mut self, need: Need, others: &mut dyn Others) -> (Why, Vec<Drawn>) {
        let reach = Reacher::new(self.checked, &mut self.again).of_values([need]);
        let (sheet, drawn) = self.steps(&reach, others);
        let (name, cell) = self.cell(need);
        let parts = cell.parts.iter().filter(|_| cell.waiting_on.is_empty());
        let why = Why {
            name,
            shown: parts.map(part_words).collect(),
            waiting: self.waiting(&cell.waiting_on),
            sheets: vec![sheet],
            doubts: self.doubts(need, others),
            ..Why::default()
        };
        (why, drawn)
    }

    /// How entries and results of these names come about.
    pub fn down_from<'n>(
        &mut self,
        names: impl Iterator<Item = &'n str>,
        others: &mut dyn Others,
    ) -> (SheetWhy, Vec<Drawn>) {
        let slot = |name: &str| {
            let key = tree::key(name);
            self.checked.slots.iter().position(|slot| tree::has_key(&slot.name, &key)).map(Need::Slot)
        };
        let needs: Vec<Need> = names.filter_map(slot).collect();
        let reach = Reacher::new(self.checked, &mut self.again).of_values(needs);
        self.steps(&reach, others)
    }

    /// The name of a value, and its figures as the report has them.
    fn cell(&self, need: Need) -> (String, Cell) {
        match need {
            Need::Slot(slot) => {
                let name = self.checked.slots.get(slot).map_or("", |slot| &slot.name);
                (name.to_owned(), self.values.get(name).map(|value| value.cell.clone()).unwrap_or_default())
            }
            Need::Cell(table, column, row) => {
                let name = self.cell_name(table, column, row);
                (name, self.report_cell(table, column, row).cloned().unwrap_or_default())
            }
            Need::Column(..) => Default::default(),
        }
    }

    /// `beds.area, north walk`
    pub(super) fn cell_name(&self, table: usize, column: usize, row: usize) -> String {
        let label = self.checked.tables.get(table).and_then(|table| table.rows.get(row)).map(|row| row.label.as_str());
        format!("{}, {}", self.column_name(table, column), label.unwrap_or_default())
    }

    /// `beds.area`
    pub(super) fn column_name(&self, table: usize, column: usize) -> String {
        let Some(own) = self.checked.tables.get(table) else { return String::new() };
        format!("{}.{}", own.name, own.columns.get(column).map_or("", |column| &column.name))
    }

    /// A cell's figures as the report has them.
    pub(super) fn report_cell(&self, table: usize, column: usize, row: usize) -> Option<&'a Cell> {
        let own = self.checked.tables.get(table)?;
        let line = self.places.line(own.place);
        let table = self.report.tables.iter().find(|table| table.name == own.name && table.line == line)?;
        table.rows.get(row)?.cells.get(column)
    }

    fn waiting(&self, names: &[String]) -> Vec<WaitedOn> {
        let one = |name: &String| {
            let blank = self.checked.blanks.iter().find(|blank| blank.name == *name);
            let head = self.report.waiting.iter().find(|blank| blank.name == *name);
            let in_trouble = || self.places.value(None, name).map(|line| ("in trouble itself".to_owned(), line));
            let (unit, place) = match blank {
                Some(blank) => {
                    (head.map(|blank| blank.head.clone()).unwrap_or_default(), self.places.words(blank.place))
                }
                None => in_trouble().unwrap_or_default(),
            };
            WaitedOn { name: name.clone(), unit, place }
        };
        names.iter().map(one).collect()
    }

    /// What the doubt of a value comes from; nothing where it waits, or is no number and so has none to speak of.
    fn doubts(&mut self, need: Need, others: &mut dyn Others) -> Vec<DoubtWhy> {
        let none = |why: &str| vec![DoubtWhy { of: None, says: DoubtSays::None(why.to_owned()) }];
        let (value, is_list) = match need {
            Need::Slot(slot) => (self.again.worked().slots.get(slot), self.again.worked().lists.contains_key(&slot)),
            Need::Cell(table, column, row) => {
                let columns = self.again.worked().columns.get(table).and_then(|columns| columns.get(column));
                (columns.and_then(|cells| cells.get(row)), false)
            }
            Need::Column(..) => (None, false),
        };
        match value {
            Some(Ok(_)) if is_list => {
                none("each reading by itself has that of its ±; a mean has that of their scatter too")
            }
            Some(Ok(Value::Number(number))) => {
                vec![DoubtWhy { of: None, says: self.says(number, &self.shown_in(need), others) }]
            }
            Some(Ok(Value::Range(range))) => {
                let ends = [("the lower end", &range.low), ("the upper end", &range.high)];
                let ends = ends.into_iter().filter_map(|(name, end)| Some((name, end.as_ref()?)));
                let shown = self.shown_in(need);
                alike(ends.map(|(name, end)| (name.to_owned(), self.says(end, &shown, others))).collect())
            }
            Some(Ok(Value::Date(_))) => none("no doubt: a date counts as exact"),
            Some(Ok(Value::YesNo(_))) if self.is_worked(need) => none("no ±: yes or no goes by the values alone"),
            _ => Vec::new(),
        }
    }

    fn is_worked(&self, need: Need) -> bool {
        match need {
            Need::Slot(slot) => {
                matches!(self.checked.slots.get(slot).map(|slot| &slot.origin), Some(Origin::Worked(_)))
            }
            Need::Cell(table, column, _) | Need::Column(table, column) => {
                let column = self.checked.tables.get(table).and_then(|table| table.columns.get(column));
                column.is_some_and(|column| column.formula.is_some())
            }
        }
    }

    /// What a value is shown in.
    fn shown_in(&self, need: Need) -> Vec<ShownIn> {
        let column = |table: usize, column: usize| self.checked.tables.get(table)?.columns.get(column);
        match need {
            Need::Slot(slot) => self.checked.slots.get(slot).map(|slot| slot.shown.clone()),
            Need::Cell(table, own, _) | Need::Column(table, own) => column(table, own).map(|own| own.shown.clone()),
        }
        .unwrap_or_default()
    }

    /// What the doubt of a number comes from, in the first unit that it is shown in.
    fn says(&self, number: &Measured, shown: &[ShownIn], others: &mut dyn Others) -> DoubtSays {
        let shower = Shower::new(self.checked, self.again.worked());
        let own = shown.first().and_then(|shown| shower.in_unit(number, shown));
        let give = |half_width: f64| {
            let shown = shown.first().map(|shown| difference(shown.clone()));
            shown.map(|shown| format!("± {}", shower.half_width(half_width, &shown))).unwrap_or_default()
        };
        let doubt = &own.as_ref().unwrap_or(number).doubt;
        Teller { worked: self.again.worked(), places: &self.places, shown: &give }.says(doubt, others)
    }

    fn check(&mut self, number: usize, others: &mut dyn Others) -> (Why, Vec<Drawn>) {
        let checked = self.checked;
        let Some(own) = checked.checks.get(number) else { return Default::default() };
        // One in trouble is not among those of the report.
        let line = self.places.line(own.place);
        let check = self.report.checks.iter().find(|check| check.label == own.label && check.line == line);
        let mut why = Why { name: own.label.clone(), check: check.cloned(), ..Why::default() };
        let Some(condition) = &own.condition else { return (why, Vec::new()) };
        let reach = Reacher::new(checked, &mut self.again).of_condition(condition);
        let (mut sheet, drawn) = self.steps(&reach, others);
        let (step, is_rounded) = self.condition_step(condition, own.place, &own.label);
        sheet.steps.insert(0, step);
        sheet.is_rounded |= is_rounded;
        why.waiting = self.waiting(check.map(|check| check.waiting_on.as_slice()).unwrap_or_default());
        why.remarks = check.map(|check| check.remarks.clone()).unwrap_or_default();
        why.sheets = vec![sheet];
        let limits = self.again.limits(condition);
        let mut doubts = Vec::new();
        for limit in &limits {
            let Some((own, words)) = self.limit(limit) else { continue };
            doubts.push((words.limit.clone(), self.says(&limit.left, &[own], others)));
            why.limits.push(words);
        }
        why.doubts = alike(doubts);
        (why, drawn)
    }

    /// How much is left to a limit, in the unit of what is held against it, which comes first.
    fn limit(&self, found: &FoundLimit<'_>) -> Option<(ShownIn, LimitWhy)> {
        let shower = Shower::new(self.checked, self.again.worked());
        let own = match found.of.does {
            Does::Slot(slot) => self.checked.slots.get(slot).map(|slot| slot.shown.clone()).unwrap_or_default(),
            _ => Vec::new(),
        };
        let own = own.into_iter().next().or_else(|| {
            let kind = single(&found.of.kind);
            display::in_own_unit(&kind, &shower.measures()).into_iter().next()
        })?;
        let own = ShownIn { form: Form::Digits, ..own };
        let limit = shower.in_words(
            &Ok(Value::Number(found.limit.without_doubt())),
            std::slice::from_ref(&own),
            &found.of.kind,
        )?;
        let own = difference(own);
        let is_met = found.left.value >= 0.0 || found.left.is_nothing();
        let left = if is_met { found.left.clone() } else { found.left.negated() };
        let left = shower.with_half_width(&left, found.half_width, &own)?;
        let words = LimitWhy {
            outcome: outcome(found.outcome),
            limit: format!("{} {limit}", relation_words(found.relation)),
            left: format!("{left} {}", if is_met { "left" } else { "past it" }),
        };
        Some((own, words))
    }
}

/// A type, of its ends where it is a range.
fn single(kind: &Type) -> Type {
    match kind {
        Type::Number(number) => Type::Number(NumberType::single(number)),
        other => other.clone(),
    }
}

/// What a difference of two values is shown in: that of two temperatures is no temperature.
fn difference(shown: ShownIn) -> ShownIn {
    ShownIn { unit: algebra::difference_unit(&shown.unit), ..shown }
}

/// What is said of several, once where it is the same of all.
fn alike(each: Vec<(String, DoubtSays)>) -> Vec<DoubtWhy> {
    let first = each.first().map(|(_, says)| says.clone());
    match first {
        Some(says) if each.iter().all(|(_, own)| own.is_alike(&says)) => vec![DoubtWhy { of: None, says }],
        _ => each.into_iter().map(|(of, says)| DoubtWhy { of: Some(of), says }).collect(),
    }
}
