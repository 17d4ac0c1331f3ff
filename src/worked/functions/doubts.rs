//! Functions of doubt, and `shown`.

use super::settled;
use crate::checked::model::{Argument, Does, Expression, Function, ShownIn, WrittenValue};
use crate::quantity::{Measured, Value};
use crate::syntax::tree::DoubtNature;
use crate::trouble::Kind;
use crate::worked::engine::Engine;
use crate::worked::formulas;
use crate::worked::showing::Sizes;
use crate::worked::waiting::{Outcome, Stop, Wait};

/// Works `shown(x)`, `give or take(x)`, `standard uncertainty(x)`, `degrees of freedom(x)`.
pub fn work(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    let argument = settled(arguments.first(), call)?;
    let value = formulas::work(engine, &argument.value)?;
    if function == Function::Shown {
        return shown(engine, &argument.value, &value);
    }
    let number = settled(value.number(), call)?;
    let name = engine.text(argument.value.place);
    let Some(summary) = number.doubt.summary(&engine.worked.sources) else {
        return Err(Stop::trouble(call.place, Kind::DoubtNotKnown { name }));
    };
    let found = match function {
        Function::GiveOrTake => as_written(engine, &argument.value, number).unwrap_or(summary.half_width),
        Function::StandardUncertainty => summary.standard,
        _ if summary.freedom.is_finite() => summary.freedom,
        _ => return Err(Stop::trouble(call.place, Kind::FreedomWithoutEnd { name })),
    };
    Ok(Value::Number(Measured::exact(found)))
}

/// A limit of error is printed as written, which is its `give or take` too; so in a cell that has one of its own.
pub fn as_written(engine: &Engine<'_>, argument: &Expression, number: &Measured) -> Option<f64> {
    let written = match argument.does {
        Does::Slot(slot) => engine.written(slot)?,
        Does::Cell(column) => {
            let (table, row) = engine.row?;
            engine.checked.tables.get(table)?.rows.get(row)?.cells.get(column)?.as_ref()?
        }
        _ => return None,
    };
    let WrittenValue::Number(end) = &written.value else { return None };
    let is_limit = end.doubt.as_ref().is_some_and(|doubt| doubt.nature == DoubtNature::Limit);
    match number.doubt.parts() {
        [(_, part)] if is_limit => Some(part.abs() * 3f64.sqrt()),
        _ => None,
    }
}

fn shown(engine: &Engine<'_>, argument: &Expression, value: &Value) -> Outcome {
    let shown_in: Option<&ShownIn> = match argument.does {
        Does::Slot(slot) => engine.checked.slots.get(slot).and_then(|slot| slot.shown.first()),
        Does::Cell(column) => engine
            .row
            .and_then(|(table, _)| engine.checked.tables.get(table))
            .and_then(|table| table.columns.get(column))
            .and_then(|column| column.shown.first()),
        _ => None,
    };
    let Some(shown_in) = shown_in else { return Ok(value.clone()) };
    let sizes = Sizes { checked: engine.checked, slots: &engine.worked.slots, sources: &engine.worked.sources };
    sizes.as_shown(value, shown_in).ok_or(Stop::wait(Wait::Unread))
}
