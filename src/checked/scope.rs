//! What names mean where a formula stands: the values and tables of the worksheet, and within a table the cells of
//! the row.

use super::model::{Column, Does, Expression, Named, Names, Origin, Slot, Table, WrittenValue};
use super::types::{NumberType, RangeOrigin, Type};
use super::units::Measures;
use crate::syntax::tree::{self, Amount, Name};
use crate::text::{Place, Source, single_spaced};
use crate::trouble::{Kind, Trouble, instead};
use crate::units::vocabulary::{self, Lookup};
use crate::units::{Base, Dimension, Factor, Unit, Word, dimension::WHOLE};
use std::cell::Cell;
use std::collections::HashSet;

/// How many names a sheet's missing ones are compared with, all of them together.
const MOST_COMPARISONS: usize = 1_000_000;

/// Everything a formula may refer to.
#[derive(Clone, Copy)]
pub struct Scope<'a> {
    /// Names of values and tables.
    pub names: &'a Names,
    /// The values, with the types known so far.
    pub slots: &'a [Slot],
    /// The tables, with the types of columns known so far.
    pub tables: &'a [Table],
    /// Units.
    pub measures: &'a Measures,
    /// The slot of each crew measure.
    pub crew_slots: &'a [Option<usize>],
    /// Names on lines that could not be read.
    pub unread: &'a HashSet<String>,
    /// How many names have been compared with missing ones, over the whole sheet.
    pub comparisons: &'a Cell<usize>,
    /// The texts.
    pub sources: &'a [Source],
    /// The table whose row's cells come before any other name.
    pub row: Option<usize>,
    /// The table that rows are chosen of, on the right side of a choice: the row's cells are those of the outer row.
    pub choice: Option<usize>,
}

/// Numbers that mark ranges as one: slots by their index, ranges of formulas above all of them. Cells that are entered
/// hold no range, and those of worked columns are of the ranges in their formulas.
const FORMULA_RANGES: usize = 1 << 40;

impl Scope<'_> {
    /// The text at a place, single-spaced.
    pub fn text(&self, place: Place) -> String {
        let text = self.sources.get(usize::from(place.source)).map_or("", |source| source.slice(place));
        single_spaced(text)
    }

    /// What a name stands for.
    pub fn find(&self, key: &str) -> Option<Named> {
        self.names.get(key).copied()
    }

    /// Whether a value of that name is in scope.
    pub fn is_name(&self, key: &str) -> bool {
        self.names.contains_key(key) || self.row_column(key).is_some()
    }

    /// Whether a line that could not be read was to define the name.
    pub fn is_unread(&self, key: &str) -> bool {
        self.unread.contains(key)
    }

    /// Whether the words are a unit.
    pub fn is_unit(&self, words: &str) -> bool {
        self.measures.crew_word(words).is_some() || matches!(vocabulary::lookup(words), Lookup::Unit(_))
    }

    fn row_column(&self, key: &str) -> Option<usize> {
        self.column_index(self.row?, key)
    }

    fn column_index(&self, table: usize, key: &str) -> Option<usize> {
        self.tables.get(table)?.columns.iter().position(|column| tree::has_key(&column.name, key))
    }

    /// Whether it names a column of the table that rows are chosen of.
    pub fn is_column_of_choice(&self, key: &str) -> bool {
        self.choice.is_some_and(|table| self.column_index(table, key).is_some())
    }

    /// The cell of this row, where the name is a column's of the table.
    pub fn cell(&self, name: &Name) -> Option<Expression> {
        let column = self.row_column(&name.key)?;
        let kind = self.tables.get(self.row?)?.columns.get(column)?.kind.clone();
        let does = if self.choice.is_some() { Does::OuterCell(column) } else { Does::Cell(column) };
        Some(Expression { place: name.place, kind, does })
    }

    /// A slot's value.
    pub fn slot(&self, slot: usize, place: Place) -> Expression {
        let kind = self.with_range_number(self.slot_type(slot), slot);
        Expression { place, kind, does: Does::Slot(slot) }
    }

    /// A slot's type.
    pub fn slot_type(&self, slot: usize) -> Type {
        self.slots.get(slot).map_or(Type::Unknown, |slot| slot.kind.clone())
    }

    /// A range that a person wrote down is its own origin.
    fn with_range_number(&self, kind: Type, number: usize) -> Type {
        match kind {
            Type::Number(mut own) => {
                if let Some(range) = own.range.as_mut().filter(|range| range.origins.is_empty()) {
                    range.origins.push(RangeOrigin { sheet: None, number });
                }
                Type::Number(own)
            }
            other => other,
        }
    }

    /// The number that marks a range made in a formula.
    pub fn range_number(&self, place: Place) -> usize {
        FORMULA_RANGES + (usize::from(place.source) << 32) + place.start as usize
    }

    /// What a range that two values share is called.
    pub fn range_name(&self, one: &NumberType, other: &NumberType) -> String {
        let (Some(first), Some(second)) = (&one.range, &other.range) else { return "the range".to_owned() };
        let shared = first.origins.iter().find(|origin| second.origins.contains(origin));
        if let Some(sheet) = shared.and_then(|origin| origin.sheet.as_ref()) {
            return format!("a range of {sheet}");
        }
        let shared = shared.map(|origin| origin.number);
        match shared {
            Some(slot) if slot < FORMULA_RANGES => {
                self.slots.get(slot).map_or_else(String::new, |slot| slot.name.clone())
            }
            _ => "the range".to_owned(),
        }
    }

    /// A whole column of a table.
    pub fn column(&self, table: usize, key: &str, place: Place) -> Option<Expression> {
        let index = self.column_index(table, key)?;
        let column = self.tables.get(table)?.columns.get(index)?;
        let kind = Type::Several(Box::new(column.kind.clone()));
        Some(Expression { place, kind, does: Does::Column(table, index) })
    }

    /// The column whose name is nearest, as a formula takes it: `beds.area`, in a choice of rows `area` alone.
    pub fn nearest_column(&self, table: usize, key: &str, in_choice: bool) -> String {
        let Some(table) = self.tables.get(table) else { return String::new() };
        let names: Vec<&str> = table.columns.iter().map(|column| column.name.as_str()).collect();
        let offer = |name: &str| if in_choice { name.to_owned() } else { format!("{}.{name}", table.name) };
        match nearest(key, names.iter().copied()) {
            Some(name) => offer(name),
            None => names.iter().map(|name| offer(name)).collect::<Vec<_>>().join(", or "),
        }
    }

    /// A column to write in a table's place.
    pub fn column_offer(&self, table: usize) -> String {
        let Some(table) = self.tables.get(table) else { return String::new() };
        table.columns.first().map_or_else(String::new, |column: &Column| format!("{}.{}", table.name, column.name))
    }

    /// The trouble of a name that nothing defines, with the nearest ones.
    pub fn missing(&self, name: &Name) -> Kind {
        if name.key.contains('-') {
            let parts: Vec<&str> = name.written.split('-').map(str::trim).collect();
            let is_known = |key: &str| self.is_name(key) || self.is_unread(key);
            if parts.iter().all(|part| is_known(&tree::key(part))) {
                return Kind::HyphenName { name: name.written.clone(), spaced: parts.join(" - ") };
            }
        }
        if let Some((first, second)) = name.written.split_once(" x ").or_else(|| name.written.split_once(" X ")) {
            let is_known = |part: &str| self.is_name(&part.to_lowercase());
            if is_known(first) && is_known(second) {
                return Kind::CrossName { name: name.written.clone(), product: format!("{first} * {second}") };
            }
        }
        if let Some(kind) = self.other_comparison(name) {
            return kind;
        }
        if let Some(measure) =
            self.measures.crew_word(&name.written).and_then(|own| self.measures.crew.get(usize::from(own)))
        {
            return Kind::MissingName { name: name.written.clone(), near: format!("1 {}", measure.word) };
        }
        let own = self.slots.iter().filter(|slot| !slot.is_crew_measure).map(|slot| slot.name.as_str());
        let tables = self.tables.iter().map(|table| table.name.as_str());
        let columns =
            self.row.and_then(|row| self.tables.get(row)).map(|table| table.columns.as_slice()).unwrap_or_default();
        let columns = columns.iter().map(|column| column.name.as_str());
        let count = self.slots.len() + self.tables.len() + columns.len();
        self.comparisons.set(self.comparisons.get().saturating_add(count));
        // A sheet of nothing but missing names is told so without a look at all pairs of them.
        let is_few = self.comparisons.get() <= MOST_COMPARISONS;
        let names = own.chain(tables).chain(columns).take(if is_few { count } else { 0 });
        let near = nearest(&name.key, names).map(str::to_owned).unwrap_or_default();
        Kind::MissingName { name: name.written.clone(), near }
    }

    /// `pace under 3 mph`: the name of a value, a word that compares in speech, and a limit.
    fn other_comparison(&self, name: &Name) -> Option<Kind> {
        SPOKEN_COMPARISONS.iter().find_map(|(word, plain)| {
            let (value, limit) = name.written.split_once(&format!(" {word} "))?;
            let instead = instead::exact(&format!("{value} {plain} {limit}"));
            let kind = Kind::ComparisonWord { found: (*word).to_owned(), instead };
            self.is_name(&tree::key(value)).then_some(kind)
        })
    }

    /// Puts the number into a trouble about a number beside a name.
    pub fn with_factor(&self, trouble: Trouble, amount: &Amount) -> Trouble {
        let Kind::NumberBesideName { text, .. } = &trouble.kind else { return trouble };
        let words = text.trim_start_matches('…').trim().to_owned();
        let number = amount.parts.first().map(|part| self.text(part.place)).unwrap_or_default();
        let kind = Kind::NumberBesideName { text: format!("{number} {words}"), product: format!("{number} * {words}") };
        Trouble { kind, place: amount.place, ..trouble }
    }

    /// How many values several are, in words.
    pub fn count_of(&self, settled: &Expression) -> String {
        match settled.does {
            Does::Slot(slot) => match self.slots.get(slot).map(|slot| &slot.origin) {
                Some(Origin::Entered(written)) => match &written.value {
                    WrittenValue::Readings(numbers, _, _) => format!("{} readings", numbers.len()),
                    _ => "several values".to_owned(),
                },
                _ => "several values".to_owned(),
            },
            Does::Column(table, _) => {
                let rows = self.tables.get(table).map_or(0, |table| table.rows.len());
                format!("{rows} row{}", if rows == 1 { "" } else { "s" })
            }
            _ => "several values".to_owned(),
        }
    }

    /// The slot of a crew measure's size.
    pub fn crew_slot(&self, word: u16) -> Option<usize> {
        self.crew_slots.get(usize::from(word)).copied().flatten()
    }

    /// The type of a time in the unit given.
    pub fn time_in(&self, unit: &str) -> NumberType {
        let unit = match vocabulary::lookup(unit) {
            Lookup::Unit(parts) => Unit {
                factors: parts
                    .iter()
                    .map(|(entry, twelfths)| Factor { word: Word::Known(*entry), twelfths: *twelfths, lead: 1.0 })
                    .collect(),
            },
            _ => Unit::plain(),
        };
        NumberType::of(unit, &self.measures.crew)
    }

    /// Whether a number is a time.
    pub fn is_time(&self, number: &NumberType) -> bool {
        number.dimension == Dimension::of(Base::Time, WHOLE) && !number.is_range()
    }
}

/// Words that compare two values in speech, and those of the notation.
const SPOKEN_COMPARISONS: [(&str, &str); 6] = [
    ("equals", "is"),
    ("under", "less than"),
    ("below", "less than"),
    ("over", "more than"),
    ("above", "more than"),
    ("exceeds", "more than"),
];

/// The longest name that is looked for among others.
const LONGEST_MISTAKEN: usize = 100;

/// The nearest of some names, if it is near enough to be meant.
pub fn nearest<'n>(key: &str, names: impl Iterator<Item = &'n str>) -> Option<&'n str> {
    let (length, most) = (key.chars().count(), (key.chars().count() / 3).max(1));
    // Nobody takes one name that goes on for lines for another, and to compare them takes the product of their lengths.
    let is_near_length = |name: &&str| length <= LONGEST_MISTAKEN && name.chars().count().abs_diff(length) <= most;
    let near = names
        .filter(is_near_length)
        .map(|name| (strsim::damerau_levenshtein(key, &name.to_lowercase()), name))
        .min_by_key(|(distance, _)| *distance);
    near.filter(|(distance, _)| *distance <= most).map(|(_, name)| name)
}
