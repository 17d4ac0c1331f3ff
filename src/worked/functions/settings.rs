//! Functions of settings: straight between rows of a table, and the cell of one row.

use super::settled;
use crate::checked::model::{Argument, Does, Expression, Function};
use crate::quantity::{Measured, Value};
use crate::trouble::Kind;
use crate::worked::engine::Engine;
use crate::worked::formulas;
use crate::worked::rows;
use crate::worked::waiting::{Outcome, Stop, Wait, both};
use std::cmp::Ordering;

/// How many labels of a table a trouble names.
const MOST_LABELS: usize = 100;

/// Works `interpolate` or `pick`.
pub fn work(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    match (function, arguments) {
        (Function::Interpolate, [x, xs, ys]) => interpolate(engine, call, &x.value, &xs.value, &ys.value),
        (_, [column, label]) => pick(engine, &column.value, &label.value),
        _ => settled(None, call),
    }
}

fn interpolate(
    engine: &mut Engine<'_>,
    call: &Expression,
    x: &Expression,
    xs: &Expression,
    ys: &Expression,
) -> Outcome {
    let found = both(formulas::number(engine, x), both(rows::column(engine, xs), rows::column(engine, ys)));
    let (at, (along, up)) = found?;
    if along.len() != up.len() || along.len() < 2 {
        let (first, second) = (engine.text(xs.place), engine.text(ys.place));
        return Err(Stop::trouble(
            call.place,
            Kind::RowsUnequal { first, count: along.len(), second, other: up.len(), least: 2 },
        ));
    }
    let orders: Vec<Ordering> = along.windows(2).map(|pair| pair[0].compare(&pair[1])).collect();
    let direction = orders.first().copied().unwrap_or(Ordering::Equal);
    if direction == Ordering::Equal || orders.iter().any(|order| *order != direction) {
        return Err(Stop::trouble(xs.place, Kind::NeitherRisesNorFalls { name: engine.text(xs.place) }));
    }
    let mut found: Option<Measured> = None;
    let rows = along.iter().zip(&up);
    for ((from, low), (until, high)) in rows.clone().zip(rows.skip(1)) {
        let is_between = from.compare(&at) != direction.reverse() && at.compare(until) != direction.reverse();
        if is_between {
            let value = straight(&at, (from, low), (until, high));
            // At a row both of its sides are right, and the steeper one tells how sure the value is.
            let is_steeper = found.as_ref().is_none_or(|found| engine.unsureness(&value) > engine.unsureness(found));
            found = if is_steeper { Some(value) } else { found };
        }
    }
    let beyond = || Kind::BeyondRows { x: engine.text(x.place), xs: engine.text(xs.place) };
    found.map(Value::Number).ok_or_else(|| Stop::trouble(x.place, beyond()))
}

/// The value at `at` on the straight line between two points; at a point itself exactly that point's.
fn straight(at: &Measured, (from, low): (&Measured, &Measured), (until, high): (&Measured, &Measured)) -> Measured {
    let share = at.minus(from).over(&until.minus(from));
    low.plus(&high.minus(low).times(&share))
}

/// The row of a table with that label, in small letters; all labels are put in order at the first look.
fn row_called(engine: &mut Engine<'_>, table: usize, wanted: &str) -> Option<usize> {
    let checked = engine.checked;
    let by_label = engine.labels.entry(table).or_insert_with(|| {
        let rows = checked.tables.get(table).map(|table| table.rows.as_slice()).unwrap_or_default();
        // Of rows called alike, which are in trouble already, the first counts.
        rows.iter().enumerate().rev().map(|(row, own)| (own.label.to_lowercase(), row)).collect()
    });
    by_label.get(wanted).copied()
}

/// What the rows of a table are called, as far as anyone would read on.
fn labels(engine: &Engine<'_>, table: usize) -> String {
    let rows = engine.checked.tables.get(table).map(|table| table.rows.as_slice()).unwrap_or_default();
    let first: Vec<&str> = rows.iter().map(|row| row.label.as_str()).take(MOST_LABELS).collect();
    let more = if rows.len() > MOST_LABELS { ", …" } else { "" };
    format!("{}{more}", first.join(", "))
}

fn pick(engine: &mut Engine<'_>, column: &Expression, label: &Expression) -> Outcome {
    let wanted = match formulas::work(engine, label)? {
        Value::Text(text) => text.to_lowercase(),
        _ => return Err(Stop::wait(Wait::Unread)),
    };
    let Does::Column(table, index) = column.does else { return Err(Stop::wait(Wait::Unread)) };
    if rows::is_empty(engine, table) {
        return Err(Stop::wait(Wait::Rows(table)));
    }
    let Some(row) = row_called(engine, table, &wanted) else {
        if rows::has_lost_rows(engine, table) {
            return Err(Stop::wait(Wait::Rows(table)));
        }
        let labels = labels(engine, table);
        return Err(Stop::trouble(label.place, Kind::NoSuchRow { label: engine.text(label.place), labels }));
    };
    let cells = engine.worked.columns.get(table).and_then(|table| table.get(index));
    cells.and_then(|cells| cells.get(row)).cloned().unwrap_or(Err(Stop::wait(Wait::Cell(table, row, index))))
}
