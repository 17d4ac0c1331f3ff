//! Entries and cells: what a person wrote down, as values with their doubt.

use super::engine::Engine;
use super::formulas::is_finite;
use super::waiting::{Outcome, Stop, Wait, all};
use crate::checked::model::{End, HalfWidth, Node, Written, WrittenDoubt, WrittenValue};
use crate::quantity::student::{Z_95, t_95};
use crate::quantity::{Doubt, Key, Measured, Range, Source, SourceKind, Value};
use crate::syntax::tree::DoubtNature;
use crate::trouble::Kind;
use crate::units::dimension::WHOLE;

/// The value of an entry.
pub fn slot(engine: &mut Engine<'_>, slot: usize, written: &Written) -> Outcome {
    match &written.value {
        WrittenValue::Readings(numbers, doubt, crew) => {
            let readings = readings(engine, numbers, doubt.as_ref(), crew);
            // Readings in several units are shown in the last of them.
            let shown = engine.checked.slots.get(slot).map_or(&[][..], |slot| &slot.shown);
            let is_kept = |value: &Value| {
                value.number().is_none_or(is_finite) && shown.iter().all(|shown| engine.is_finite_in(value, shown))
            };
            if !readings.iter().flatten().all(is_kept) {
                return Err(Stop::trouble(written.place, Kind::NotFinite));
            }
            let whole = all(readings.iter().cloned());
            engine.worked.lists.insert(slot, readings);
            // The slot itself is never one value; what takes it as one has been refused.
            whole.map(|_| Value::YesNo(false))
        }
        other => single(engine, other, written),
    }
}

/// The value of a cell of an entered column.
pub fn cell(engine: &mut Engine<'_>, table: usize, column: usize, row: usize) -> Outcome {
    let checked = engine.checked;
    let unread = Stop::wait(Wait::Cell(table, row, column));
    let Some((own, kind)) = checked.column(table, column) else { return Err(unread) };
    if kind.is_broken {
        return Err(Stop::wait(Wait::Broken(Node::Column(table, column))));
    }
    let written = own.rows.get(row).and_then(|line| line.cells.get(column)?.as_ref()).ok_or(unread)?;
    match (single(engine, &written.value, written)?, &kind.doubt) {
        (Value::Number(number), Some(doubt)) => {
            // A device's ± in the head is one source for all rows; a cell's own ± stands beside it.
            let source = match engine.column_source {
                Some((own, source)) if own == (table, column) => source,
                _ => add_source(engine, doubt),
            };
            engine.column_source = Some(((table, column), source));
            let half_width = half_width(engine, doubt, &number)?;
            let shared = contribution(doubt, half_width, source, row);
            let doubt = number.doubt.combined(1.0, &shared, 1.0);
            Ok(Value::Number(Measured { doubt, ..number }))
        }
        (value, _) => Ok(value),
    }
}

fn single(engine: &mut Engine<'_>, value: &WrittenValue, written: &Written) -> Outcome {
    match value {
        WrittenValue::Number(end) => self::end(engine, end).map(Value::Number),
        WrittenValue::Range(low, high) => {
            let mut ends = [low, high].map(|end| end.as_ref().map(|end| self::end(engine, end)));
            let [low, high] = [ends[0].take(), ends[1].take()];
            let found: Vec<Option<Measured>> = all([low, high].map(|end| match end {
                Some(Ok(end)) => Ok(Some(end)),
                Some(Err(stop)) => Err(stop),
                None => Ok(None),
            }))?;
            let mut found = found.into_iter();
            let range = Range { low: found.next().flatten(), high: found.next().flatten() };
            // Ends counted in crew measures show only here which is the larger.
            match range.ends() {
                Some((low, high)) if low.compare(high).is_gt() => {
                    Err(Stop::trouble(written.place, Kind::RangeBackward { range: engine.text(written.place) }))
                }
                _ => Ok(range.into()),
            }
        }
        WrittenValue::Readings(..) => Err(Stop::wait(Wait::Unread)),
        WrittenValue::Text(text) => Ok(Value::Text(text.as_str().into())),
        WrittenValue::Date(moment) => Ok(Value::Date(*moment)),
        WrittenValue::YesNo(yes) => Ok(Value::YesNo(*yes)),
        WrittenValue::Blank(blank) => Err(Stop::wait(Wait::Blank(*blank))),
        WrittenValue::Given(given) => engine.drawn(given),
    }
}

fn end(engine: &mut Engine<'_>, end: &End) -> Result<Measured, Stop> {
    if let End { number: Some(number), doubt: None, crew, .. } = end
        && crew.is_empty()
    {
        return Ok(Measured::exact(*number));
    }
    let size = crew_size(engine, &end.crew);
    let number = match (end.number, end.blank) {
        (Some(number), _) => Ok(number),
        (None, Some(blank)) => Err(Stop::wait(Wait::Blank(blank))),
        (None, None) => Err(Stop::wait(Wait::Unread)),
    };
    let (number, size) = super::waiting::both(number, size)?;
    let exact = Measured::exact(number);
    let value = match &size {
        Some(size) => exact.times(size),
        None => exact,
    };
    let Some(doubt) = &end.doubt else { return Ok(value) };
    let half_width = half_width(engine, doubt, &value)?;
    let source = add_source(engine, doubt);
    let own = contribution(doubt, half_width, source, 0);
    Ok(Measured { doubt: value.doubt.combined(1.0, &own, 1.0), ..value })
}

/// The size of the crew measures a value is counted in; `None` where it is counted in none.
fn crew_size(engine: &Engine<'_>, crew: &[(u16, i16)]) -> Result<Option<Measured>, Stop> {
    let mut whole: Option<Measured> = None;
    for (word, twelfths) in crew {
        let Some(Some(slot)) = engine.checked.crew_slots.get(usize::from(*word)).copied() else { continue };
        let size = match engine.worked.slots.get(slot) {
            Some(Ok(Value::Number(size))) => size.clone(),
            Some(Err(stop)) => return Err(stop.clone()),
            _ => return Err(Stop::wait(Wait::Unread)),
        };
        for _ in 0..(twelfths.abs() / WHOLE) {
            let before = whole.unwrap_or_else(|| Measured::exact(1.0));
            whole = Some(if *twelfths > 0 { before.times(&size) } else { before.over(&size) });
        }
    }
    Ok(whole)
}

fn readings(
    engine: &mut Engine<'_>,
    numbers: &[Result<f64, usize>],
    doubt: Option<&WrittenDoubt>,
    crew: &[(u16, i16)],
) -> Vec<Outcome> {
    let source = doubt.map(|doubt| add_source(engine, doubt));
    let size = crew_size(engine, crew);
    let mut found = Vec::with_capacity(numbers.len());
    for (index, number) in numbers.iter().enumerate() {
        let number = match number {
            Ok(number) => number,
            Err(blank) => {
                found.push(Err(Stop::wait(Wait::Blank(*blank))));
                continue;
            }
        };
        let reading = size.clone().and_then(|size| {
            let exact = Measured::exact(*number);
            let value = size.as_ref().map_or(exact.clone(), |size| exact.times(size));
            let (Some(doubt), Some(source)) = (doubt, source) else { return Ok(Value::Number(value)) };
            let half_width = half_width(engine, doubt, &value)?;
            let own = contribution(doubt, half_width, source, index);
            Ok(Value::Number(Measured { doubt: value.doubt.combined(1.0, &own, 1.0), ..value }))
        });
        found.push(reading);
    }
    found
}

/// The half-width in SI units.
fn half_width(engine: &Engine<'_>, doubt: &WrittenDoubt, value: &Measured) -> Result<f64, Stop> {
    let size = crew_size(engine, &doubt.crew)?.map_or(1.0, |size| size.value.abs());
    Ok(match doubt.half_width {
        HalfWidth::Absolute(half_width) => half_width * size,
        HalfWidth::Share(share) => share * value.value.abs(),
    })
}

fn add_source(engine: &mut Engine<'_>, doubt: &WrittenDoubt) -> u32 {
    let (kind, freedom) = match doubt.nature {
        DoubtNature::Sure => (SourceKind::Single, f64::INFINITY),
        DoubtNature::Freedom(freedom) => (SourceKind::Single, f64::from(freedom)),
        DoubtNature::Limit => (SourceKind::Limit, f64::INFINITY),
    };
    engine.worked.sources.add(Source::new(kind, freedom, doubt.name.clone()))
}

/// What the `±` contributes: its half-width as a standard uncertainty (GUM 4.3.4 for a normal's, 4.3.7 for a limit of
/// error, G.3.2 for one with degrees of freedom).
fn contribution(doubt: &WrittenDoubt, half_width: f64, source: u32, part: usize) -> Doubt {
    let (standard, part) = match doubt.nature {
        DoubtNature::Sure => (half_width / Z_95, 0),
        DoubtNature::Freedom(freedom) => (half_width / t_95(freedom), 0),
        DoubtNature::Limit => (half_width / 3f64.sqrt(), u32::try_from(part).unwrap_or(u32::MAX)),
    };
    Doubt::of(Key { source, part }, standard)
}
