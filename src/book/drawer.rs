//! What other worksheets can draw on from a worked one, as plain data. It opens no file and works nothing.

use super::{LEFT_OUT, Patterns, Settled, is_pattern};
use crate::checked::display;
use crate::checked::drawn::{Drawn, DrawnTable, DrawnValue, GivenValue};
use crate::checked::model::{Origin, ShownIn, Slot};
use crate::checked::resting::Resting;
use crate::checked::types::{NumberType, RangeOrigin, Type};
use crate::quantity::{Doubt, Measured, Source, Value};
use crate::syntax::tree;
use crate::units::{Base, Factor, Unit, unit, vocabulary};
use crate::worked::{Outcome, Stop, Wait, Waits};
use std::collections::{BTreeMap, BTreeSet};
use std::sync::Arc;

/// Takes values out of a worked sheet, as plain data that another can use.
pub(super) struct Drawer<'a> {
    pub(super) path: &'a str,
    pub(super) settled: &'a Settled,
    pub(super) patterns: Patterns,
}

impl Drawer<'_> {
    pub(super) fn drawn(&self, fingerprint: String) -> Drawn {
        let (checked, worked) = (&self.settled.checked, &self.settled.worked);
        let resting = Resting::of(checked);
        let mut values = BTreeMap::new();
        for (number, (slot, outcome)) in checked.slots.iter().zip(&worked.slots).enumerate() {
            let is_named = !slot.is_crew_measure && slot.from.is_none() && !matches!(slot.kind, Type::Several(_));
            if is_named && !matches!(slot.origin, Origin::Broken) {
                let kind = self.with_origin(slot.kind.clone(), number);
                let value = self.value(&slot.name, &kind, &slot.shown, outcome, resting.slot(number));
                values.insert(tree::key(&slot.name), value);
            }
        }
        let is_list = |slot: &&Slot| slot.from.is_none() && matches!(slot.kind, Type::Several(_));
        let readings = checked.slots.iter().filter(is_list).map(|slot| tree::key(&slot.name)).collect();
        let mut tables = BTreeMap::new();
        for (number, (table, cells)) in checked.tables.iter().zip(&worked.columns).enumerate() {
            let mut own = DrawnTable {
                labels: table.rows.iter().map(|row| row.label.clone()).collect(),
                ..DrawnTable::default()
            };
            for (place, (column, outcomes)) in table.columns.iter().zip(cells).enumerate() {
                let rests = resting.column(number, place);
                let drawn = outcomes
                    .iter()
                    .map(|outcome| self.value(&column.name, &column.kind, &column.shown, outcome, rests))
                    .collect();
                own.columns.insert(tree::key(&column.name), drawn);
            }
            tables.insert(tree::key(&table.name), own);
        }
        Drawn { fingerprint, values, readings, tables, troubles: checked.troubles.len() + worked.troubles.len() }
    }

    fn value(&self, name: &str, kind: &Type, shown: &[ShownIn], outcome: &Outcome, rests_on_today: bool) -> DrawnValue {
        let given = match outcome {
            Ok(value) => GivenValue { value: Ok(value.clone()), sources: self.sources(value), rests_on_today },
            Err(stop) => {
                GivenValue::waiting(format!("{}: {}", self.path, self.waited(stop).unwrap_or_else(|| name.to_owned())))
            }
        };
        let (kind, shown) = self.without_sizes(kind, shown);
        let rests_on_left_out = outcome.as_ref().is_err_and(|stop| self.rests_on_left_out(stop));
        let (currency, counters) = (self.currency(&kind), self.counters(&kind, &shown));
        let name = name.to_owned();
        DrawnValue { name, kind, shown, currency, counters, given: Arc::new(given), rests_on_left_out }
    }

    /// The currency of a value that money is in, if only in a unit such as `$/100 $`.
    fn currency(&self, kind: &Type) -> Option<u16> {
        let is_currency =
            |factor: &Factor| factor.entry().is_some_and(|entry| entry.kind == vocabulary::EntryKind::Currency);
        let is_money = |number: &NumberType| {
            number.dimension.power_of(Base::Money) != 0 || number.unit.factors.iter().any(is_currency)
        };
        self.settled.checked.currency.filter(|_| kind.each().number().is_some_and(is_money))
    }

    /// The counters of the crew's own that a value is counted in, with their words.
    fn counters(&self, kind: &Type, shown: &[ShownIn]) -> Vec<(u16, String)> {
        let powers = kind.each().number().map_or(&[][..], |number| number.dimension.powers());
        let of_bases = powers.iter().filter_map(|(base, _)| unit::own_counter(*base));
        let own = kind.each().number().map(|number| &number.unit);
        let units = own.into_iter().chain(shown.iter().map(|shown| &shown.unit));
        let of_units = units.flat_map(Unit::crew_words).map(|(word, _)| word);
        let numbers: BTreeSet<u16> = of_bases.chain(of_units).collect();
        let word = |number: u16| Some((number, self.settled.checked.crew.get(usize::from(number))?.word.clone()));
        numbers.into_iter().filter_map(word).collect()
    }

    fn rests_on_left_out(&self, stop: &Stop) -> bool {
        let Stop::Waits(waits) = stop else { return false };
        let elsewhere = &self.settled.worked.elsewhere;
        let mut words = waits.iter().filter_map(|wait| match wait {
            Wait::Elsewhere(number) => elsewhere.get(number),
            _ => None,
        });
        words.any(|words| words == LEFT_OUT)
    }

    /// A range keeps where it was written down, so that it cannot enter a result twice by way of two values drawn.
    fn with_origin(&self, mut kind: Type, number: usize) -> Type {
        if let Type::Number(NumberType { range: Some(range), .. }) = &mut kind {
            if range.origins.is_empty() {
                range.origins.push(RangeOrigin { sheet: None, number });
            }
            for origin in &mut range.origins {
                origin.sheet.get_or_insert_with(|| self.path.into());
            }
        }
        kind
    }

    /// The first blank that a value waits on.
    fn waited(&self, stop: &Stop) -> Option<String> {
        let blank = |waits: &Waits| {
            waits.iter().find_map(|wait| if let Wait::Blank(blank) = wait { Some(blank) } else { None })
        };
        match stop {
            Stop::Waits(waits) => self.settled.checked.blanks.get(blank(waits)?).map(|blank| blank.name.clone()),
            Stop::Trouble(_) => None,
        }
    }

    /// Measures that have their sizes in this worksheet mean nothing in another: a value in one of them is handed on in SI
    /// units, and one that is shown in them besides without that.
    fn without_sizes(&self, kind: &Type, shown: &[ShownIn]) -> (Type, Vec<ShownIn>) {
        let checked = &self.settled.checked;
        let has_size = |word: u16| checked.crew_slots.get(usize::from(word)).is_some_and(Option::is_some);
        let is_sized = |unit: &Unit| unit.crew_words().any(|(word, _)| has_size(word));
        if !kind.each().number().is_some_and(|number| is_sized(&number.unit)) {
            return (kind.clone(), shown.iter().filter(|shown| !is_sized(&shown.unit)).cloned().collect());
        }
        let measures = checked.measures();
        match kind.number().and_then(|number| display::in_si(number, &measures)) {
            Some(number) => {
                let kind = Type::Number(number);
                let shown = display::in_own_unit(&kind, &measures);
                (kind, shown)
            }
            None => (Type::Unknown, Vec::new()),
        }
    }

    fn sources(&self, value: &Value) -> Vec<(u32, Source)> {
        let doubts: Vec<&Doubt> = match value {
            Value::Number(number) => vec![&number.doubt],
            Value::Range(range) => {
                [&range.low, &range.high].into_iter().flatten().map(|end: &Measured| &end.doubt).collect()
            }
            _ => Vec::new(),
        };
        let numbers: BTreeSet<u32> =
            doubts.iter().flat_map(|doubt| doubt.sources().chain(doubt.unknown_source())).collect();
        // Where tables are left out, other sources are met, and so they have other numbers.
        let has_left_out =
            self.settled.gathered.runs.iter().filter_map(|run| run.head.rows_from.as_ref()).any(is_pattern);
        let origin = match self.patterns {
            Patterns::LeftOut if has_left_out => format!("{} without {LEFT_OUT}", self.path),
            _ => self.path.to_owned(),
        };
        let source = |number: u32| {
            let mut source = self.settled.worked.sources.get(number)?.clone();
            source.origin.get_or_insert_with(|| (origin.as_str().into(), number));
            Some((number, source))
        };
        numbers.into_iter().filter_map(source).collect()
    }
}
