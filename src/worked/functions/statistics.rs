//! Functions of readings and columns. `mean` and `median` take what they are given as repeats of one thing (GUM 4.2);
//! the others carry on only the doubt that their values have already.

use crate::checked::model::{Argument, Does, Expression, Function, Remark, Repeats};
use crate::quantity::student::t_95;
use crate::quantity::{Doubt, Key, Measured, Value};
use crate::trouble::Kind;
use crate::worked::engine::Engine;
use crate::worked::formulas;
use crate::worked::rows::{self, Pool, Rows, Several};
use crate::worked::waiting::{Outcome, Stop, all};
use smallvec::SmallVec;
use std::cmp::Ordering;

/// Works a function of several values.
pub fn work(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    if let Some(nothing) = nothing_of_no_rows(engine, function, arguments) {
        return Ok(nothing);
    }
    let several = gathered(engine, call, arguments)?;
    if several.values.is_empty() {
        return nothing_kept(engine, call, function, &several);
    }
    if let Some(dates) = dates(function, &several) {
        return Ok(dates);
    }
    if function == Function::Count {
        return Ok(Value::Number(Measured::exact(counted(several.values.len()))));
    }
    let numbers = several.numbers(engine, call.place)?;
    let value = match function {
        Function::Mean => mean(engine, &several, &numbers),
        Function::Median => median(engine, &several, &numbers),
        Function::Sum => sum(&numbers),
        Function::Average => sum(&numbers).scaled(1.0 / counted(numbers.len())),
        Function::Min => extreme(engine, &numbers, Ordering::Less),
        Function::Max => extreme(engine, &numbers, Ordering::Greater),
        _ => spread(engine, call, function, &several, &numbers)?,
    };
    Ok(Value::Number(value))
}

#[allow(clippy::cast_precision_loss, reason = "counts stay far below 2^53")]
fn counted(count: usize) -> f64 {
    count as f64
}

/// The values given: one list or column, or several by commas.
fn gathered(engine: &mut Engine<'_>, call: &Expression, arguments: &[Argument]) -> Result<Several, Stop> {
    if let [argument] = arguments
        && matches!(argument.value.kind, crate::checked::types::Type::Several(_))
    {
        return rows::several(engine, argument);
    }
    let values = all(arguments.iter().map(|argument| formulas::work(engine, &argument.value)).collect::<Vec<_>>())?;
    let texts: Vec<String> = arguments.iter().map(|argument| engine.text(argument.value.place)).collect();
    Ok(Several {
        rows: Rows::first(values.len()),
        values,
        pool: Pool::Given(texts.join(", ").to_lowercase(), engine.row),
        place: if let [one] = arguments { one.value.place } else { call.place },
        repeats: None,
        choice_holds: None,
    })
}

/// Of a table without rows `sum` and `count` are 0, which is said; the others wait for its rows.
fn nothing_of_no_rows(engine: &mut Engine<'_>, function: Function, arguments: &[Argument]) -> Option<Value> {
    let [Argument { value: Expression { does: Does::Column(table, _), .. }, .. }] = arguments else { return None };
    let is_empty = rows::is_empty(engine, *table) && !rows::has_lost_rows(engine, *table);
    if !is_empty || !matches!(function, Function::Sum | Function::Count) {
        return None;
    }
    let name = engine.checked.tables.get(*table).map(|table| table.name.clone()).unwrap_or_default();
    engine.remarks.push(Remark::NoRows(name));
    Some(Value::Number(Measured::exact(0.0)))
}

/// A choice that keeps no row: 0 for `sum` and `count`, with a remark; the others have nothing to work on.
fn nothing_kept(engine: &mut Engine<'_>, call: &Expression, function: Function, several: &Several) -> Outcome {
    let (column, holds) = several.choice_holds.clone().unwrap_or_default();
    match function {
        Function::Sum | Function::Count => {
            engine.remarks.push(Remark::NoRowChosen(column, holds));
            Ok(Value::Number(Measured::exact(0.0)))
        }
        _ => Err(Stop::trouble(call.place, Kind::NoRowKept { function: function.name().to_owned(), column, holds })),
    }
}

fn dates(function: Function, several: &Several) -> Option<Value> {
    let dates: Vec<_> = several
        .values
        .iter()
        .filter_map(|value| if let Value::Date(date) = value { Some(*date) } else { None })
        .collect();
    let (first, others) = dates.split_first()?;
    let wanted = match function {
        Function::Min => Ordering::Less,
        Function::Max => Ordering::Greater,
        _ => return None,
    };
    Some(Value::Date(
        others.iter().fold(*first, |best, date| if date.partial_cmp(&best) == Some(wanted) { *date } else { best }),
    ))
}

/// A sum without the rounding of each step (Neumaier's compensation).
fn added(values: impl Iterator<Item = f64>) -> f64 {
    let (mut sum, mut lost) = (0.0f64, 0.0);
    for value in values {
        let next = sum + value;
        lost += if sum.abs() >= value.abs() { (sum - next) + value } else { (value - next) + sum };
        sum = next;
    }
    sum + lost
}

fn sum(numbers: &[&Measured]) -> Measured {
    let value = added(numbers.iter().map(|number| number.value));
    let size = numbers.iter().map(|number| number.size).fold(value.abs(), f64::max);
    Measured { value, size, doubt: weighted(numbers, 1.0, Kept::All) }
}

/// Which sources of several values are kept.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Kept {
    All,
    /// Those that two or more of the values share.
    Shared,
}

/// The doubts of several values put together, each with the same weight.
fn weighted(numbers: &[&Measured], weight: f64, kept: Kept) -> Doubt {
    if let Some(unknown) = numbers.iter().find(|number| number.doubt.is_unknown()) {
        return unknown.doubt.clone();
    }
    let mut parts: SmallVec<[(Key, usize, f64); 8]> = SmallVec::new();
    for (index, number) in numbers.iter().enumerate() {
        parts.extend(number.doubt.parts().iter().map(|(key, part)| (*key, index, *part)));
    }
    // By source, and what each value has of it in the order of the values.
    parts.sort_by_key(|(key, index, _)| (key.source, *index));
    let mut whole: SmallVec<[(Key, f64); 8]> = SmallVec::new();
    for own in parts.chunk_by(|(one, ..), (other, ..)| one.source == other.source) {
        let is_shared = own.first().map(|(_, index, _)| index) != own.last().map(|(_, index, _)| index);
        if kept == Kept::All || is_shared {
            whole.extend(own.iter().map(|(key, _, part)| (*key, part * weight)));
        }
    }
    whole.sort_by_key(|(key, _)| *key);
    let sums = whole.chunk_by(|(one, _), (other, _)| one == other);
    Doubt::from_parts(sums.filter_map(|own| {
        let (key, _) = own.first()?;
        Some((*key, own.iter().fold(0.0, |sum, (_, part)| sum + part)))
    }))
}

/// The mean of repeats: standard uncertainty sd/√n with n − 1 degrees of freedom (GUM 4.2.3), its scatter kept row by
/// row so that means over the same rows are correlated as the rows show (GUM 5.2.3), besides every source that two or
/// more of its values share, at its mean sensitivity.
fn mean(engine: &mut Engine<'_>, several: &Several, numbers: &[&Measured]) -> Measured {
    let count = counted(numbers.len());
    let value = added(numbers.iter().map(|number| number.value)) / count;
    let size = numbers.iter().map(|number| number.size).fold(value.abs(), f64::max);
    if is_alike(numbers) {
        return Measured { value, size, doubt: without_scatter(engine, several, numbers) };
    }
    let repeats = repeats(engine, several);
    let source = engine.scatter(several, None, &repeats.scatter, count - 1.0);
    let scale = 1.0 / (count * (count - 1.0)).sqrt();
    let rows: SmallVec<[f64; 8]> = numbers.iter().map(|number| (number.value - value) * scale).collect();
    if rows.iter().map(|row| row * row).sum::<f64>() < f64::MIN_POSITIVE {
        return Measured::too_small();
    }
    let scatter = Doubt::of(engine.worked.sources.scattered(source, &rows, &repeats.values), 1.0);
    let doubt = with_shared(engine, several, numbers, scatter);
    Measured { value, size, doubt }
}

/// The median of repeats: the mean's standard uncertainty times √(π/2), a source of its own.
fn median(engine: &mut Engine<'_>, several: &Several, numbers: &[&Measured]) -> Measured {
    let mut sorted: Vec<f64> = numbers.iter().map(|number| number.value).collect();
    sorted.sort_by(f64::total_cmp);
    let middle = sorted.len() / 2;
    let at = |index: usize| sorted.get(index).copied().unwrap_or_default();
    let value = if sorted.len() % 2 == 1 { at(middle) } else { f64::midpoint(at(middle - 1), at(middle)) };
    let size = numbers.iter().map(|number| number.size).fold(value.abs(), f64::max);
    if is_alike(numbers) {
        return Measured { value, size, doubt: without_scatter(engine, several, numbers) };
    }
    let count = counted(numbers.len());
    let of = several.name(engine).to_lowercase();
    let repeats = repeats(engine, several);
    let source = engine.scatter(several, Some(of), &repeats.scatter, count - 1.0);
    let standard = (std::f64::consts::PI / 2.0).sqrt() * deviation(numbers) / count.sqrt();
    if standard * standard < f64::MIN_POSITIVE {
        return Measured::too_small();
    }
    let scatter = Doubt::of(engine.worked.sources.scattered(source, &[standard], &repeats.values), 1.0);
    let doubt = with_shared(engine, several, numbers, scatter);
    Measured { value, size, doubt }
}

fn repeats(engine: &Engine<'_>, several: &Several) -> Repeats {
    several.repeats.clone().unwrap_or_else(|| Repeats::of(&several.name(engine)))
}

/// One reading, or readings all alike: nothing tells how they scatter.
fn is_alike(numbers: &[&Measured]) -> bool {
    match numbers.split_first() {
        Some((first, others)) => others.iter().all(|other| other.is_same(first)),
        None => true,
    }
}

fn without_scatter(engine: &mut Engine<'_>, several: &Several, numbers: &[&Measured]) -> Doubt {
    let name = several.name(engine);
    if numbers.iter().all(|number| number.doubt.is_none()) {
        return engine.unknown_doubt(&name);
    }
    engine.remarks.push(Remark::RepeatabilityMissing(name));
    weighted(numbers, 1.0 / counted(numbers.len()), Kept::All)
}

fn with_shared(engine: &mut Engine<'_>, several: &Several, numbers: &[&Measured], scatter: Doubt) -> Doubt {
    let device = weighted(numbers, 1.0 / counted(numbers.len()), Kept::Shared);
    if numbers.len() < 3 {
        let remark = Remark::FewReadings { of: several.name(engine), count: numbers.len(), t: t_95(1) };
        engine.remark(remark);
    }
    scatter.combined(1.0, &device, 1.0)
}

/// The smallest or largest; of those that are the same value the one that is least sure, whatever their order and units.
fn extreme(engine: &Engine<'_>, numbers: &[&Measured], wanted: Ordering) -> Measured {
    let best = numbers.iter().copied().reduce(|best, number| {
        let order = number.compare(best);
        let is_less_sure = || engine.unsureness(number) > engine.unsureness(best);
        if order == wanted || order.is_eq() && is_less_sure() { number } else { best }
    });
    best.cloned().unwrap_or_default()
}

/// The standard deviation, divided by n − 1; two passes with the second corrected for the mean's own rounding.
fn deviation(numbers: &[&Measured]) -> f64 {
    let count = counted(numbers.len());
    let mean = added(numbers.iter().map(|number| number.value)) / count;
    let most = numbers.iter().map(|number| (number.value - mean).abs()).fold(0.0, f64::max);
    // By its share of a power of two near the largest, whose square is a number however large or small that is.
    let unit = libm::scalbn(1.0, libm::ilogb(most).clamp(-1000, 1000));
    let off = || numbers.iter().map(|number| (number.value - mean) / unit);
    let (squares, rest) = (added(off().map(|off| off * off)), added(off()));
    let variance = (squares - rest * rest / count) / (count - 1.0);
    unit * if variance < 0.0 { 0.0 } else { variance.sqrt() }
}

/// `sd`, `cv`, `spread`: no doubt of their own.
fn spread(
    engine: &Engine<'_>,
    call: &Expression,
    function: Function,
    several: &Several,
    numbers: &[&Measured],
) -> Result<Measured, Stop> {
    if function != Function::Spread && numbers.len() < 2 {
        return Err(Stop::trouble(call.place, Kind::DeviationOfOne { name: several.name(engine) }));
    }
    let value = match function {
        Function::Spread => {
            let end = |wanted| extreme(engine, numbers, wanted).value;
            end(Ordering::Greater) - end(Ordering::Less)
        }
        _ => deviation(numbers),
    };
    if function == Function::Sd {
        let size = numbers.iter().map(|number| number.size).fold(value, f64::max);
        return Ok(Measured { value, size, doubt: Doubt::none() });
    }
    let whole = sum(numbers).scaled(1.0 / counted(numbers.len())).without_doubt();
    if whole.is_nothing() {
        let divisor = format!("the mean of {}", several.name(engine));
        return Err(Stop::trouble(call.place, Kind::DivisionByNothing { divisor }));
    }
    Ok(Measured { value, size: whole.size, doubt: Doubt::none() }.over(&whole))
}
