//! Spread patterns: how evenly passes side by side cover the ground, from catches in pans across one path.
//!
//! Everything is counted in half spacings, so that places are whole numbers: pan `i` stands at `2 (i − middle)`, the
//! pattern is straight between pans and falls straight to 0 where the next pan would stand.

use super::settled;
use crate::checked::model::{Argument, Expression, Function, Remark};
use crate::quantity::{Measured, Value};
use crate::text::single_spaced;
use crate::trouble::Kind;
use crate::worked::engine::Engine;
use crate::worked::formulas;
use crate::worked::rows;
use crate::worked::waiting::{Outcome, Stop, both};

/// The most pans: each is looked at for every swath.
pub const MOST_PANS: usize = 1_001;

/// Works `swath cv` or `widest swath`.
pub fn work(engine: &mut Engine<'_>, call: &Expression, function: Function, arguments: &[Argument]) -> Outcome {
    let [catches, spacing, third, style] = settled(<&[Argument; 4]>::try_from(arguments).ok(), call)?;
    let numbers = both(formulas::number(engine, &spacing.value), formulas::number(engine, &third.value));
    let found = both(both(rows::column(engine, &catches.value), formulas::work(engine, &style.value)), numbers);
    let ((pans, walk), (step, third_value)) = found?;
    let style_place = style.value.place;
    let walk = match walk {
        Value::Text(text) => Walk::read(&text),
        _ => None,
    };
    let Some(walk) = walk else {
        return Err(Stop::trouble(style_place, Kind::StyleWanted { found: engine.text(style_place) }));
    };
    check_pans(engine, &catches.value, &pans)?;
    if step.value <= 0.0 || step.is_nothing() {
        return Err(Stop::trouble(spacing.value.place, Kind::SpacingNotAboveZero));
    }
    let pattern = Pattern { pans: &pans, walk };
    match function {
        Function::SwathCv => {
            let halves = halves(engine, &third.value, &third_value, &step, &spacing.value)?;
            pattern.variation(engine, call, halves).map(Value::Number)
        }
        _ => widest(engine, call, &pattern, &step, &third_value, spacing).map(Value::Number),
    }
}

/// How the field is walked.
#[derive(Clone, Copy, PartialEq)]
enum Walk {
    BackAndForth,
    RoundAndRound,
}

impl Walk {
    fn read(text: &str) -> Option<Self> {
        match single_spaced(text).to_lowercase().as_str() {
            "back and forth" => Some(Self::BackAndForth),
            "round and round" => Some(Self::RoundAndRound),
            _ => None,
        }
    }
}

fn check_pans(engine: &mut Engine<'_>, place: &Expression, pans: &[Measured]) -> Result<(), Stop> {
    if pans.len() > MOST_PANS {
        return Err(Stop::trouble(place.place, Kind::TooManyPans { found: pans.len(), most: MOST_PANS }));
    }
    if pans.len().is_multiple_of(2) || pans.len() < 3 {
        return Err(Stop::trouble(place.place, Kind::PansNotOdd { found: pans.len() }));
    }
    if pans.iter().any(|pan| pan.value < 0.0 && !pan.is_nothing()) {
        return Err(Stop::trouble(place.place, Kind::NegativeCatch));
    }
    if pans.iter().all(Measured::is_nothing) {
        return Err(Stop::trouble(place.place, Kind::NothingCaught));
    }
    let outer = [pans.first(), pans.last()];
    if outer.into_iter().flatten().any(|pan| !pan.is_nothing()) {
        engine.remark(Remark::OuterPan);
    }
    Ok(())
}

/// A swath as a whole number of half spacings, two spacings at least.
fn halves(
    engine: &Engine<'_>,
    place: &Expression,
    swath: &Measured,
    spacing: &Measured,
    spacing_place: &Expression,
) -> Result<usize, Stop> {
    let halves = 2.0 * swath.value / spacing.value;
    let nearest = libm::round(halves).max(4.0);
    let fits = (halves - nearest).abs() <= 1e-12 * nearest.max(2.0 * swath.size / spacing.value);
    if !fits || nearest > 1e6 {
        let unit = place.kind.number().map(|kind| kind.unit.clone()).unwrap_or_default();
        let offer = nearest.min(1e6) * spacing.value / 2.0 / unit.size();
        let symbol = unit.symbol(&engine.checked.crew);
        let nearest = format!("{} {symbol}", trimmed(offer));
        return Err(Stop::trouble(
            place.place,
            Kind::SwathSteps { swath: engine.text(place.place), spacing: engine.text(spacing_place.place), nearest },
        ));
    }
    #[allow(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "from 4 to a million")]
    Ok(nearest as usize)
}

/// Up to six significant digits, no zeros behind.
fn trimmed(number: f64) -> String {
    let text = format!("{number:.4}");
    text.trim_end_matches('0').trim_end_matches('.').to_owned()
}

struct Pattern<'a> {
    pans: &'a [Measured],
    walk: Walk,
}

impl Pattern<'_> {
    /// Weights of pans in the catch at a place in half spacings from the walker: one pan, or two neighbours halved.
    fn weights(&self, place: i64) -> [(i64, f64); 2] {
        let middle = i64::try_from(self.pans.len() / 2).unwrap_or_default();
        let pan = place.div_euclid(2) + middle;
        if place.rem_euclid(2) == 0 { [(pan, 1.0), (pan, 0.0)] } else { [(pan, 0.5), (pan + 1, 0.5)] }
    }

    /// What falls at every place: pans, each as often as its part is, from all passes that reach the place.
    fn places(&self, halves: usize) -> Vec<Vec<(&Measured, f64)>> {
        let is_whole = halves.is_multiple_of(2);
        let count = match self.walk {
            Walk::RoundAndRound if is_whole => halves / 2,
            Walk::BackAndForth | Walk::RoundAndRound => halves,
        };
        (0..count).map(|index| self.falls_at(2 * i64::try_from(index).unwrap_or_default(), halves)).collect()
    }

    fn falls_at(&self, place: i64, halves: usize) -> Vec<(&Measured, f64)> {
        let swath = i64::try_from(halves).unwrap_or(i64::MAX);
        // Half a spacing past the outermost pan is the last place that a pass reaches.
        let reach = i64::try_from(self.pans.len()).unwrap_or(i64::MAX);
        let mut falls = Vec::new();
        for pass in (place - reach).div_euclid(swath)..=(place + reach).div_euclid(swath) {
            let offset = place - pass * swath;
            let is_mirrored = self.walk == Walk::BackAndForth && pass.rem_euclid(2) == 1;
            for (pan, weight) in self.weights(if is_mirrored { -offset } else { offset }) {
                let pan = usize::try_from(pan).ok().and_then(|pan| self.pans.get(pan));
                falls.extend(pan.filter(|_| weight != 0.0).map(|pan| (pan, weight)));
            }
        }
        falls
    }

    /// The CV by the values alone.
    fn variation_value(&self, halves: usize) -> f64 {
        let sums: Vec<f64> = self
            .places(halves)
            .iter()
            .map(|falls| falls.iter().map(|(pan, weight)| weight * pan.value).sum())
            .collect();
        #[allow(clippy::cast_precision_loss, reason = "a few thousand places at the most")]
        let count = sums.len() as f64;
        let mean = sums.iter().sum::<f64>() / count;
        let squares: f64 = sums.iter().map(|sum| (sum - mean) / mean).map(|off| off * off).sum();
        let variation = (squares / (count - 1.0)).sqrt();
        if variation <= crate::quantity::measured::SAMENESS { 0.0 } else { variation }
    }

    /// The CV with the doubt that the catches have.
    fn variation(&self, engine: &mut Engine<'_>, call: &Expression, halves: usize) -> Result<Measured, Stop> {
        let sums: Vec<Measured> = self
            .places(halves)
            .iter()
            .map(|falls| falls.iter().fold(Measured::exact(0.0), |sum, (pan, weight)| sum.plus(&pan.scaled(*weight))))
            .collect();
        #[allow(clippy::cast_precision_loss, reason = "a few thousand places at the most")]
        let count = sums.len() as f64;
        let mean = sums.iter().fold(Measured::exact(0.0), |whole, sum| whole.plus(sum)).scaled(1.0 / count);
        let (mut squares, mut is_in_doubt) = (Measured::exact(0.0), false);
        for sum in &sums {
            // By its share of the mean, since the squares of catches may be beyond all numbers.
            let off = sum.minus(&mean).over(&mean);
            is_in_doubt |= !off.doubt.is_none();
            if !off.is_nothing() {
                squares = squares.plus(&off.times(&off));
            }
        }
        if squares.is_nothing() && is_in_doubt {
            return Ok(formulas::rough_root(engine, call.place));
        }
        formulas::root(engine, call.place, &squares.scaled(1.0 / (count - 1.0)))
    }
}

/// The largest swath, in steps of half a spacing from two spacings to the distance between the outermost pans, that
/// meets the limit.
fn widest(
    engine: &mut Engine<'_>,
    call: &Expression,
    pattern: &Pattern<'_>,
    spacing: &Measured,
    limit: &Measured,
    spacing_argument: &Argument,
) -> Result<Measured, Stop> {
    let most = 2 * (pattern.pans.len() - 1);
    let variations: Vec<(usize, f64)> = (4..=most).map(|halves| (halves, pattern.variation_value(halves))).collect();
    let meets = |variation: f64| variation <= limit.value + crate::quantity::measured::SAMENESS * limit.size.max(1.0);
    let Some((widest, _)) = variations.iter().rev().find(|(_, variation)| meets(*variation)).copied() else {
        let lowest = variations.iter().map(|(_, variation)| *variation).fold(f64::INFINITY, f64::min);
        let swath = variations.iter().find(|(_, variation)| *variation == lowest).map_or(4, |(halves, _)| *halves);
        let swath = in_unit(engine, spacing_argument, spacing, swath);
        return Err(Stop::trouble(call.place, Kind::NoSwathMeets { lowest: percent(lowest), swath }));
    };
    let failing = variations
        .iter()
        .rev()
        .find(|(halves, variation)| *halves < widest && 2 * halves >= widest && !meets(*variation));
    if let Some((halves, variation)) = failing {
        let swath = in_unit(engine, spacing_argument, spacing, *halves);
        engine.remarks.push(Remark::NarrowerFails(swath, percent(*variation)));
    }
    #[allow(clippy::cast_precision_loss, reason = "a few thousand halves at the most")]
    Ok(spacing.scaled(widest as f64 / 2.0))
}

fn percent(share: f64) -> String {
    format!("{} %", trimmed(libm::round(share * 1e4) / 100.0))
}

fn in_unit(engine: &Engine<'_>, spacing: &Argument, step: &Measured, halves: usize) -> String {
    let unit = spacing.value.kind.number().map(|kind| kind.unit.clone()).unwrap_or_default();
    #[allow(clippy::cast_precision_loss, reason = "a few thousand halves at the most")]
    let width = step.value * halves as f64 / 2.0 / unit.size();
    format!("{} {}", trimmed(width), unit.symbol(&engine.checked.crew))
}
