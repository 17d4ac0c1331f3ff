//! Several values: readings, columns, and the rows of a column that a choice keeps.

use super::conditions::{self, Truth};
use super::engine::Engine;
use super::formulas;
use super::waiting::{Outcome, Stop, Wait, all};
use crate::checked::model::{Argument, Does, Expression, Node};
use crate::quantity::{Measured, Value};
use crate::text::Place;
use crate::trouble::Kind;

/// Several values that belong together.
pub struct Several {
    /// The values, in order.
    pub values: Vec<Value>,
    /// The number of each one's row or reading.
    pub rows: Vec<u32>,
    /// What they are values of: the same for all columns of one table.
    pub key: String,
    /// What they are called.
    pub name: String,
    /// The column a choice looks at first, and what it holds, where the choice kept no row.
    pub choice_holds: Option<(String, String)>,
}

impl Several {
    /// Them as numbers, which they have been checked to be.
    ///
    /// # Errors
    /// One that is none all the same.
    pub fn numbers(&self, place: Place) -> Result<Vec<Measured>, Stop> {
        let number = |value: &Value| match value {
            Value::Number(number) => Ok(number.clone()),
            _ => Err(Stop::trouble(place, Kind::RangeNotTaken { name: self.name.clone() })),
        };
        self.values.iter().map(number).collect()
    }
}

/// The values of an argument: one list or column, with its choice of rows.
///
/// # Errors
/// What any of them waits on.
pub fn several(engine: &mut Engine<'_>, argument: &Argument) -> Result<Several, Stop> {
    let name = engine.text(argument.value.place);
    match argument.value.does {
        Does::Slot(slot) => {
            let readings = match engine.worked.lists.get(&slot) {
                Some(readings) => readings.clone(),
                None => vec![
                    engine.worked.slots.get(slot).cloned().unwrap_or(Err(Stop::wait(Wait::Broken(Node::Slot(slot))))),
                ],
            };
            let values = all(readings)?;
            Ok(Several { rows: numbered(values.len()), values, key: format!("slot {slot}"), name, choice_holds: None })
        }
        // A table without rows is a form that nobody has filled in yet.
        Does::Column(table, _) if is_empty(engine, table) || has_lost_rows(engine, table) => {
            Err(Stop::wait(Wait::Rows(table)))
        }
        Does::Column(table, column) => match &argument.choice {
            None => {
                let values = all(cells(engine, table, column))?;
                Ok(Several {
                    rows: numbered(values.len()),
                    values,
                    key: format!("table {table}"),
                    name,
                    choice_holds: None,
                })
            }
            Some(choice) => chosen(engine, table, column, choice, name),
        },
        _ => Err(Stop::trouble(argument.value.place, Kind::SeveralWanted { found: name })),
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
        Does::Column(table, column) => cells(engine, table, column),
        _ => Vec::new(),
    }
}

/// The values of a list or column without a choice.
///
/// # Errors
/// What any of them waits on.
pub fn column(engine: &mut Engine<'_>, expression: &Expression) -> Result<Vec<Measured>, Stop> {
    several(engine, &Argument { value: expression.clone(), choice: None })?.numbers(expression.place)
}

fn numbered(count: usize) -> Vec<u32> {
    (0..count).map(|row| u32::try_from(row).unwrap_or(u32::MAX)).collect()
}

fn cells(engine: &Engine<'_>, table: usize, column: usize) -> Vec<Outcome> {
    engine.worked.columns.get(table).and_then(|table| table.get(column)).cloned().unwrap_or_default()
}

/// The rows that a choice keeps; a waiting row is passed over only where its known cells rule it out.
fn chosen(
    engine: &mut Engine<'_>,
    table: usize,
    column: usize,
    choice: &Expression,
    name: String,
) -> Result<Several, Stop> {
    let outer = engine.row;
    let outer_before = std::mem::replace(&mut engine.outer_row, outer);
    let mut kept = Vec::new();
    let mut rows = Vec::new();
    for (row, cell) in cells(engine, table, column).into_iter().enumerate() {
        engine.row = Some((table, row));
        let holds = conditions::holds(engine, choice);
        match holds {
            Ok(Truth::No) => continue,
            Ok(Truth::Yes) => kept.push(cell),
            Ok(Truth::InPart) => {
                (engine.row, engine.outer_row) = (outer, outer_before);
                return Err(Stop::trouble(choice.place, Kind::HoldsInPart { condition: engine.text(choice.place) }));
            }
            Err(stop) => kept.push(Err(stop)),
        }
        rows.push(u32::try_from(row).unwrap_or(u32::MAX));
    }
    (engine.row, engine.outer_row) = (outer, outer_before);
    let key = format!("table {table}");
    let choice_holds = if kept.is_empty() { held(engine, table, choice) } else { None };
    Ok(Several { values: all(kept)?, rows, key, name, choice_holds })
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
            _ => continue,
        };
        if !found.contains(&text) {
            found.push(text);
        }
    }
    engine.row = outer;
    Some((engine.text(left.place), found.join(", ")))
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
