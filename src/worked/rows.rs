//! Several values: readings, columns, and the rows of a column that a choice keeps.

use super::conditions::{self, Truth};
use super::engine::Engine;
use super::formulas;
use super::showing::{Sizes, is_measures};
use super::waiting::{Outcome, Stop, Wait, all};
use crate::checked::model::{Argument, Does, Expression, Repeats};
use crate::quantity::{Measured, Value};
use crate::text::Place;
use crate::trouble::Kind;
use smallvec::SmallVec;

/// Several values that belong together.
pub struct Several {
    /// The values, in order.
    pub values: Vec<Value>,
    /// Which of all that there are.
    pub rows: Rows,
    /// What they are values of.
    pub pool: Pool,
    /// Where what they are called stands.
    pub place: Place,
    /// What they and their scatter are called, where that is known beforehand.
    pub repeats: Option<Repeats>,
    /// The column a choice looks at first, and what it holds, where the choice kept no row.
    pub choice_holds: Option<(String, String)>,
}

/// The numbers of rows or readings.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Rows {
    /// So many, from the first on.
    First(u32),
    /// Those that a choice keeps.
    Chosen(Vec<u32>),
}

/// What values are values of: the same for all columns of one table.
#[derive(Debug, Clone, PartialEq, Eq, Hash)]
pub enum Pool {
    /// Readings.
    Slot(usize),
    /// A table.
    Table(usize),
    /// Values given one by one, by how they are written, and the row they are given in: in a column the same names
    /// stand for other values in each row.
    Given(String, Option<(usize, usize)>),
}

impl Rows {
    /// The first so many.
    pub fn first(count: usize) -> Self {
        Self::First(u32::try_from(count).unwrap_or(u32::MAX))
    }

    /// The numbers, in order.
    pub fn numbers(&self) -> Vec<usize> {
        let number = |row: u32| usize::try_from(row).ok();
        match self {
            Self::First(count) => (0..*count).filter_map(number).collect(),
            Self::Chosen(rows) => rows.iter().copied().filter_map(number).collect(),
        }
    }

    /// Those kept, of which all may be.
    fn chosen(rows: Vec<u32>) -> Self {
        let is_all = (0..).zip(&rows).all(|(number, row)| number == *row);
        if is_all { Self::first(rows.len()) } else { Self::Chosen(rows) }
    }
}

impl Several {
    /// Them as numbers, which they have been checked to be.
    ///
    /// # Errors
    /// One that is none all the same.
    pub fn numbers(&self, engine: &Engine<'_>, place: Place) -> Result<SmallVec<[&Measured; 8]>, Stop> {
        let not_taken = || Stop::trouble(place, Kind::RangeNotTaken { name: self.name(engine) });
        self.values.iter().map(|value| value.number().ok_or_else(not_taken)).collect()
    }

    /// What they are called.
    pub fn name(&self, engine: &Engine<'_>) -> String {
        engine.text(self.place)
    }
}

/// The values of an argument: one list or column, with its choice of rows.
///
/// # Errors
/// What any of them waits on.
pub fn several(engine: &mut Engine<'_>, argument: &Argument) -> Result<Several, Stop> {
    let several = several_of(engine, &argument.value, argument.choice.as_deref())?;
    Ok(Several { repeats: argument.repeats.clone(), ..several })
}

fn several_of(engine: &mut Engine<'_>, of: &Expression, choice: Option<&Expression>) -> Result<Several, Stop> {
    let place = of.place;
    let whole = |values: Vec<Value>, pool: Pool| Several {
        rows: Rows::first(values.len()),
        values,
        pool,
        place,
        repeats: None,
        choice_holds: None,
    };
    match of.does {
        Does::Slot(slot) => {
            engine.go_through(engine.worked.lists.get(&slot).map_or(0, Vec::len), place)?;
            let values = match engine.worked.lists.get(&slot) {
                Some(readings) => all(readings.iter().cloned())?,
                None => vec![formulas::slot_value(engine, slot)?],
            };
            Ok(whole(values, Pool::Slot(slot)))
        }
        // A table without rows is a form that nobody has filled in yet.
        Does::Column(table, _) if is_empty(engine, table) || has_lost_rows(engine, table) => {
            Err(Stop::wait(Wait::Rows(table)))
        }
        Does::Column(table, column) => match choice {
            None => {
                engine.go_through(cells(engine, table, column).len(), place)?;
                Ok(whole(all(cells(engine, table, column).iter().cloned())?, Pool::Table(table)))
            }
            Some(choice) => chosen(engine, table, column, choice, place),
        },
        _ => Err(Stop::trouble(place, Kind::SeveralWanted { found: engine.text(place) })),
    }
}

/// Whether a table has no rows.
pub fn is_empty(engine: &Engine<'_>, table: usize) -> bool {
    engine.checked.tables.get(table).is_none_or(|table| table.rows.is_empty())
}

/// Whether rows of a table could not be read.
pub fn has_lost_rows(engine: &Engine<'_>, table: usize) -> bool {
    engine.checked.tables.get(table).is_some_and(|table| table.has_lost_rows)
}

/// Every value of a list or column, those that wait too.
pub fn outcomes(engine: &Engine<'_>, expression: &Expression) -> Vec<Outcome> {
    match expression.does {
        Does::Slot(slot) => engine.worked.lists.get(&slot).cloned().unwrap_or_default(),
        Does::Column(table, column) => cells(engine, table, column).to_vec(),
        _ => Vec::new(),
    }
}

/// The values of a list or column without a choice.
///
/// # Errors
/// What any of them waits on.
pub fn column(engine: &mut Engine<'_>, expression: &Expression) -> Result<Vec<Measured>, Stop> {
    let several = several_of(engine, expression, None)?;
    Ok(several.numbers(engine, expression.place)?.into_iter().cloned().collect())
}

fn cells<'e>(engine: &'e Engine<'_>, table: usize, column: usize) -> &'e [Outcome] {
    engine.worked.columns.get(table).and_then(|table| table.get(column)).map(Vec::as_slice).unwrap_or_default()
}

/// The rows that a choice keeps; a waiting row is passed over only where its known cells rule it out.
fn chosen(
    engine: &mut Engine<'_>,
    table: usize,
    column: usize,
    choice: &Expression,
    place: Place,
) -> Result<Several, Stop> {
    // A condition takes longer than a value.
    engine.go_through(cells(engine, table, column).len().saturating_mul(4), place)?;
    let outer = engine.row;
    let outer_before = std::mem::replace(&mut engine.outer_row, outer);
    let mut kept = Vec::new();
    let mut rows = Vec::new();
    for row in 0..cells(engine, table, column).len() {
        engine.row = Some((table, row));
        let holds = conditions::holds(engine, choice);
        match holds {
            Ok(Truth::No) => continue,
            Ok(Truth::Yes) => kept.extend(cells(engine, table, column).get(row).cloned()),
            Ok(Truth::InPart) => {
                (engine.row, engine.outer_row) = (outer, outer_before);
                return Err(Stop::trouble(choice.place, Kind::HoldsInPart { condition: engine.text(choice.place) }));
            }
            Err(stop) => kept.push(Err(stop)),
        }
        rows.push(u32::try_from(row).unwrap_or(u32::MAX));
    }
    (engine.row, engine.outer_row) = (outer, outer_before);
    let choice_holds = if kept.is_empty() { held(engine, table, choice) } else { None };
    let rows = Rows::chosen(rows);
    Ok(Several { values: all(kept)?, rows, pool: Pool::Table(table), place, repeats: None, choice_holds })
}

/// What the first column of a choice holds.
fn held(engine: &mut Engine<'_>, table: usize, choice: &Expression) -> Option<(String, String)> {
    let left = first_left(choice)?;
    let outer = engine.row;
    let count = engine.checked.tables.get(table).map_or(0, |table| table.rows.len());
    let mut found: Vec<String> = Vec::new();
    for row in 0..count {
        engine.row = Some((table, row));
        let text = match formulas::work(engine, left) {
            Ok(Value::Text(text)) => text.to_string(),
            Ok(Value::Date(date)) => date.to_string(),
            Ok(Value::YesNo(yes)) => (if yes { "yes" } else { "no" }).to_owned(),
            Ok(Value::Number(number)) => match in_figures(engine, table, left, &number) {
                Some(figures) => figures,
                None => continue,
            },
            _ => continue,
        };
        if !found.contains(&text) {
            found.push(text);
        }
    }
    engine.row = outer;
    Some((engine.text(left.place), found.join(", ")))
}

/// A number of a column with its unit, as the column shows it.
fn in_figures(engine: &Engine<'_>, table: usize, cell: &Expression, number: &Measured) -> Option<String> {
    let Does::Cell(column) = cell.does else { return None };
    let shown_in = engine.checked.tables.get(table)?.columns.get(column)?.shown.first()?;
    let sizes = Sizes { checked: engine.checked, slots: &engine.worked.slots, sources: &engine.worked.sources };
    let figures = sizes.show_number(number, shown_in)?.text;
    match shown_in.symbols.first() {
        Some(symbol) if !symbol.is_empty() && !is_measures(&shown_in.form) => Some(format!("{figures} {symbol}")),
        _ => Some(figures),
    }
}

fn first_left(choice: &Expression) -> Option<&Expression> {
    match &choice.does {
        Does::Comparison(_, left, _)
        | Does::WithinRange(left, _)
        | Does::WithinDistance(left, _, _)
        | Does::WithinShare(left, _, _) => Some(left),
        Does::Both(left, _) | Does::Either(left, _) | Does::Not(left) => first_left(left),
        Does::Cell(_) => Some(choice),
        _ => None,
    }
}
