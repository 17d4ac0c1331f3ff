//! Areas of beds from what a tape can measure.

use super::settled;
use crate::checked::model::{Argument, Expression, Function};
use crate::quantity::{Measured, Value};
use crate::trouble::Kind;
use crate::worked::engine::Engine;
use crate::worked::formulas;
use crate::worked::rows;
use crate::worked::waiting::{Outcome, Stop, all, both};
use std::f64::consts::PI;

/// The most corners of a polygon: each pair of its sides is looked at.
pub const MOST_CORNERS: usize = 5_000;

/// Works the area of a bed.
pub fn work(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    let area = match (function, arguments) {
        (Function::Offsets, [widths, spacing]) => offsets(engine, call, &widths.value, &spacing.value)?,
        (Function::Polygon, [xs, ys]) => polygon(engine, call, &xs.value, &ys.value)?,
        _ => of_lengths(engine, call, function, arguments)?,
    };
    Ok(Value::Number(area))
}

fn of_lengths(
    engine: &mut Engine<'_>,
    call: &Expression,
    function: Function,
    arguments: &[Argument],
) -> Result<Measured, Stop> {
    let lengths = all(arguments.iter().map(|argument| formulas::number(engine, &argument.value)).collect::<Vec<_>>())?;
    for (length, argument) in lengths.iter().zip(arguments) {
        check_length(engine, length, &argument.value)?;
    }
    match (function, lengths.as_slice()) {
        (Function::Circle, [diameter]) => Ok(diameter.times(diameter).scaled(PI / 4.0)),
        (Function::CircleAround, [around]) => Ok(around.times(around).scaled(1.0 / (4.0 * PI))),
        (Function::Ellipse, [length, width]) => Ok(length.times(width).scaled(PI / 4.0)),
        (Function::Triangle, [a, b, c]) => triangle(engine, call, [a, b, c]),
        (Function::Trapezoid, [a, b, height]) => Ok(a.plus(b).times(height).scaled(0.5)),
        (Function::Quadrilateral, [a, b, c, d, diagonal]) => {
            let (first, second) =
                (triangle(engine, call, [a, b, diagonal])?, triangle(engine, call, [c, d, diagonal])?);
            Ok(first.plus(&second))
        }
        _ => settled(None, call),
    }
}

fn check_length(engine: &Engine<'_>, length: &Measured, argument: &Expression) -> Result<(), Stop> {
    match length.value < 0.0 && !length.is_nothing() {
        true => Err(Stop::trouble(argument.place, Kind::NegativeLength { name: engine.text(argument.place) })),
        false => Ok(()),
    }
}

/// Heron's formula with the sides in order of size, which keeps its digits for needles too (W. Kahan, Miscalculating
/// Area and Angles of a Needle-like Triangle).
fn triangle(engine: &mut Engine<'_>, call: &Expression, mut sides: [&Measured; 3]) -> Result<Measured, Stop> {
    sides.sort_by(|one, other| other.value.total_cmp(&one.value));
    // By its share of a power of two near the longest, since four sides multiplied may be beyond all numbers.
    let unit = libm::scalbn(1.0, libm::ilogb(sides.first().map_or(1.0, |longest| longest.value)).clamp(-500, 500));
    let [a, b, c] = &sides.map(|side| side.scaled(1.0 / unit));
    let reach = b.plus(c);
    if a.compare(&reach).is_gt() {
        return Err(Stop::trouble(call.place, Kind::SidesDoNotMeet { call: engine.text(call.place) }));
    }
    let factors = [a.plus(&b.plus(c)), c.minus(&a.minus(b)), c.plus(&a.minus(b)), a.plus(&b.minus(c))];
    let [first, second, third, fourth] = factors;
    let product = first.times(&second).times(&third).times(&fourth);
    Ok(formulas::root(engine, call.place, &product)?.scaled(0.25).scaled(unit).scaled(unit))
}

/// The trapezoid rule over widths at even steps, end to end.
fn offsets(
    engine: &mut Engine<'_>,
    call: &Expression,
    widths: &Expression,
    spacing: &Expression,
) -> Result<Measured, Stop> {
    let (found, step) = both(rows::column(engine, widths), formulas::number(engine, spacing))?;
    if found.len() < 3 {
        return Err(Stop::trouble(call.place, Kind::TooFewWidths { found: found.len() }));
    }
    check_length(engine, &step, spacing)?;
    for width in &found {
        check_length(engine, width, widths)?;
    }
    let last = found.len() - 1;
    let mut whole = Measured::exact(0.0);
    for (index, width) in found.iter().enumerate() {
        whole = whole.plus(&width.scaled(if index == 0 || index == last { 0.5 } else { 1.0 }));
    }
    Ok(whole.times(&step))
}

/// The area within corners in order, by the surveyor's formula about the first corner.
fn polygon(engine: &mut Engine<'_>, call: &Expression, xs: &Expression, ys: &Expression) -> Result<Measured, Stop> {
    let (across, up) = both(rows::column(engine, xs), rows::column(engine, ys))?;
    if across.len() != up.len() || across.len() < 3 {
        let (first, second) = (engine.text(xs.place), engine.text(ys.place));
        return Err(Stop::trouble(
            call.place,
            Kind::RowsUnequal { first, count: across.len(), second, other: up.len(), least: 3 },
        ));
    }
    if across.len() > MOST_CORNERS {
        return Err(Stop::trouble(call.place, Kind::TooManyCorners { found: across.len(), most: MOST_CORNERS }));
    }
    let (numbers, corners) = distinct(&across, &up);
    if let Some((one, other)) = crossing(&corners) {
        let corner = |index: usize| numbers.get(index % numbers.len()).copied().unwrap_or_default();
        let side = |index: usize| format!("{} to {}", corner(index), corner(index + 1));
        return Err(Stop::trouble(call.place, Kind::SidesCross { first: side(one), second: side(other) }));
    }
    Ok(surveyed(&across, &up))
}

/// The corners with their numbers from 1. One that is taken twice in a row is one, and so is the first where a survey
/// closes on it: there is no side between.
fn distinct(xs: &[Measured], ys: &[Measured]) -> (Vec<usize>, Vec<Point>) {
    let mut kept: Vec<(usize, Point)> = (1..).zip(xs.iter().zip(ys).map(|(x, y)| (x.value, y.value))).collect();
    kept.dedup_by_key(|(_, corner)| *corner);
    let first = kept.first().map(|(_, corner)| *corner);
    if kept.len() > 1 && kept.last().map(|(_, corner)| *corner) == first {
        kept.pop();
    }
    kept.into_iter().unzip()
}

fn surveyed(xs: &[Measured], ys: &[Measured]) -> Measured {
    let (Some(x0), Some(y0)) = (xs.first(), ys.first()) else { return Measured::exact(0.0) };
    let mut twice = Measured::exact(0.0);
    let corners = xs.iter().zip(ys).skip(1);
    for ((x1, y1), (x2, y2)) in corners.clone().zip(corners.skip(1)) {
        let one = x1.minus(x0).times(&y2.minus(y0));
        let other = x2.minus(x0).times(&y1.minus(y0));
        twice = twice.plus(&one.minus(&other));
    }
    twice.scaled(libm::copysign(0.5, twice.value))
}

/// The first two sides that meet elsewhere than at a corner they share.
fn crossing(corners: &[(f64, f64)]) -> Option<(usize, usize)> {
    let count = corners.len();
    let side = |index: usize| Some((*corners.get(index)?, *corners.get((index + 1) % count)?));
    for one in 0..count {
        for other in one + 1..count {
            let ((a, b), (c, d)) = (side(one)?, side(other)?);
            let meets = match (other == one + 1, one == 0 && other == count - 1) {
                // Neighbours share a corner; they cross only where one runs back over the other.
                (true, _) => runs_back(a, b, d),
                (_, true) => runs_back(c, a, b),
                _ => segments_meet(a, b, c, d),
            };
            if meets {
                return Some((one, other));
            }
        }
    }
    None
}

type Point = (f64, f64);

/// Twice the area of a triangle, positive where it turns left; nothing where that is within the rounding of its terms.
fn turn(a: Point, b: Point, c: Point) -> f64 {
    let (left, right) = ((b.0 - a.0) * (c.1 - a.1), (b.1 - a.1) * (c.0 - a.0));
    let turn = left - right;
    if turn.abs() <= 1e-12 * left.abs().max(right.abs()) { 0.0 } else { turn }
}

fn runs_back(a: Point, b: Point, d: Point) -> bool {
    let forward = (b.0 - a.0) * (d.0 - b.0) + (b.1 - a.1) * (d.1 - b.1);
    turn(a, b, d) == 0.0 && forward < 0.0
}

fn segments_meet(a: Point, b: Point, c: Point, d: Point) -> bool {
    let (one, two, three, four) = (turn(a, b, c), turn(a, b, d), turn(c, d, a), turn(c, d, b));
    // Not by their product, which may be too small for a number.
    let apart = |one: f64, other: f64| one.min(other) < 0.0 && one.max(other) > 0.0;
    let across = apart(one, two) && apart(three, four);
    // Where the later side begins on the earlier one, the side before it has ended there and met that already.
    across || two == 0.0 && between(a, b, d) || three == 0.0 && between(c, d, a) || four == 0.0 && between(c, d, b)
}

fn between(a: Point, b: Point, c: Point) -> bool {
    let within = |low: f64, high: f64, value: f64| low.min(high) <= value && value <= low.max(high);
    within(a.0, b.0, c.0) && within(a.1, b.1, c.1)
}
