//! What results are shown in: the brackets at their end settled, or the unit they come to without any.

use super::algebra;
use super::literals::{described, label_words};
use super::model::ShownIn;
use super::types::{NumberType, Type};
use super::units::{Measures, Position};
use crate::quantity::shown::{Form, Rounding, Step};
use crate::syntax::tree::{Display, Measure, Number, Promise};
use crate::text::Place;
use crate::trouble::{Kind, Trouble};
use crate::units::dimension::WHOLE;
use crate::units::vocabulary::{self, EntryKind, Lookup, Ratio};
use crate::units::{Base, Dimension, Factor, Labels, Substance, Unit, Word, describe, unit};
use compact_str::CompactString;
use smallvec::smallvec;

/// Shows a value in its own unit, to the digits it deserves.
pub fn in_own_unit(kind: &Type, measures: &Measures) -> Vec<ShownIn> {
    let Type::Number(number) = kind.each() else { return Vec::new() };
    let symbol = number.unit.symbol(&measures.crew);
    let form = if is_money_alone(&number.unit) { Form::Cents } else { Form::Digits };
    vec![ShownIn {
        of: number.labels.only_above().cloned(),
        per: number.labels.only_below().cloned(),
        ..ShownIn::new(number.unit.clone(), form, smallvec![symbol])
    }]
}

/// A number in SI units, which mean the same in every worksheet; money and what the crew counts stay what they are.
pub fn in_si(number: &NumberType, measures: &Measures) -> Option<NumberType> {
    let part = |(base, twelfths): &(Base, i16)| {
        let word = match (base, unit::own_counter(*base)) {
            (_, Some(counter)) => Word::Crew(counter),
            (Base::Money, _) => Word::Known(measures.currency.get()?),
            _ => Word::Known(si_word(*base)?),
        };
        Some(Factor { word, twelfths: *twelfths, lead: 1.0 })
    };
    let factors = number.dimension.powers().iter().map(part).collect::<Option<_>>()?;
    let kind = NumberType::of(Unit { factors }, &measures.crew);
    Some(NumberType { labels: number.labels.clone(), range: number.range.clone(), is_named: true, ..kind })
}

/// The SI unit of a base, or the counter of the vocabulary.
fn si_word(base: Base) -> Option<u16> {
    let Lookup::Unit(parts) = vocabulary::lookup(&describe::in_si(&Dimension::of(base, WHOLE), &[])) else {
        return None;
    };
    parts.first().map(|(entry, _)| *entry)
}

fn is_money_alone(unit: &Unit) -> bool {
    match unit.factors.as_slice() {
        [factor] => {
            factor.twelfths == crate::units::dimension::WHOLE
                && factor.entry().is_some_and(|entry| entry.kind == EntryKind::Currency)
        }
        _ => false,
    }
}

/// Settles what a result is shown in, and the type it has from then on.
///
/// # Errors
/// Where the brackets do not fit the formula, or are missing where they must say the unit.
pub fn settle(
    kind: &Type,
    promise: Option<&Promise>,
    place: Place,
    measures: &Measures,
) -> Result<(Type, Vec<ShownIn>), Trouble> {
    let number = match kind {
        Type::Number(number) => number,
        _ => {
            return match promise {
                Some(promise) if !kind.is_unknown() => Err(Trouble::new(promise.place, Kind::UnitOfNoNumber)),
                _ => Ok((kind.clone(), Vec::new())),
            };
        }
    };
    match promise {
        None => without_brackets(number, place, measures),
        Some(promise) => with_brackets(number, promise, place, measures),
    }
}

fn without_brackets(number: &NumberType, place: Place, measures: &Measures) -> Result<(Type, Vec<ShownIn>), Trouble> {
    check_labels(number, place)?;
    if let Some((first, second)) = algebra::mixed_words(number, &measures.crew) {
        let symbol = |factor: Factor| {
            let word = Factor { twelfths: factor.twelfths.abs(), lead: 1.0, ..factor };
            Unit { factors: smallvec![word] }.symbol(&measures.crew)
        };
        return Err(Trouble::new(
            place,
            Kind::UnitMustBeSaid { first: symbol(first).into(), second: symbol(second).into() },
        ));
    }
    let mut kind = number.clone();
    // Of labels below the line one can be said; several go unsaid, and are gone.
    kind.labels = Labels::new(kind.labels.only_above().cloned(), kind.labels.only_below().cloned());
    kind.is_named = true;
    kind.whole_units = smallvec![kind.unit.clone()];
    let kind = Type::Number(kind);
    let shown = in_own_unit(&kind, measures);
    Ok((kind, shown))
}

/// One label above the line, once.
fn check_labels(number: &NumberType, place: Place) -> Result<(), Trouble> {
    match number.labels.all_above().next().is_none() || number.labels.only_above().is_some() {
        true => Ok(()),
        false => Err(Trouble::new(place, Kind::TooManyLabels { labels: label_words(number) })),
    }
}

fn with_brackets(
    number: &NumberType,
    promise: &Promise,
    place: Place,
    measures: &Measures,
) -> Result<(Type, Vec<ShownIn>), Trouble> {
    check_labels(number, place)?;
    let mut settled = Vec::with_capacity(promise.displays.len());
    for display in &promise.displays {
        settled.push(self::display(number, display, place, measures)?);
    }
    let said =
        settled.iter().find(|(_, labels)| !labels.is_empty()).map(|(_, labels)| labels.clone()).unwrap_or_default();
    for ((_, labels), display) in settled.iter().zip(&promise.displays) {
        if !labels.is_empty() && *labels != said {
            return Err(Trouble::new(display.place, Kind::DisplaysOfTwoLabels));
        }
    }
    let labels = filled_labels(number, &said, promise.place)?;
    let (of, per) = (labels.only_above().cloned(), labels.only_below().cloned());
    for (shown, _) in &mut settled {
        shown.of.clone_from(&of);
        shown.per.clone_from(&per);
    }
    let shown: Vec<ShownIn> = settled.into_iter().map(|(shown, _)| shown).collect();
    let unit = shown.first().map(|shown| shown.unit.clone()).unwrap_or_default();
    // A share by weight or volume stays one by whatever name; what is shown without its percent is a number.
    let stuff = number.ratio.filter(|ratio| *ratio != Ratio::Percent);
    let kind = NumberType {
        labels,
        ratio: NumberType::of(unit.clone(), &measures.crew).ratio.or(stuff),
        whole_units: smallvec![unit.clone()],
        unit,
        is_named: true,
        ..number.clone()
    };
    Ok((Type::Number(kind), shown))
}

/// The labels a value has once it is shown with those said: a label above may be neither dropped nor changed, one
/// below may go unsaid, a plain value may be given one.
pub fn filled_labels(number: &NumberType, said: &Labels, place: Place) -> Result<Labels, Trouble> {
    let own = (number.labels.only_above(), said.only_above());
    let changed = |first: Option<&Substance>, second: Option<&Substance>| {
        Trouble::new(place, Kind::LabelChanged { own: spoken(first), said: spoken(second) })
    };
    let above = match own {
        (Some(first), Some(second)) if first != second => return Err(changed(Some(first), Some(second))),
        (Some(first), None) => return Err(changed(Some(first), None)),
        (_, second) => second.cloned(),
    };
    let below_said = said.only_below();
    let has_below = number.labels.all_below().next().is_some();
    if let Some(second) = below_said
        && has_below
        && !number.labels.all_below().any(|(own, _)| own == second)
    {
        return Err(changed(number.labels.only_below(), Some(second)));
    }
    Ok(Labels::new(above, below_said.cloned()))
}

fn spoken(substance: Option<&Substance>) -> String {
    substance.map_or_else(|| "nothing named".to_owned(), ToString::to_string)
}

fn display(
    number: &NumberType,
    display: &Display,
    place: Place,
    measures: &Measures,
) -> Result<(ShownIn, Labels), Trouble> {
    let mut units = Vec::new();
    let mut labels = Labels::none();
    for measure in &display.measures {
        let (unit, own) = measure_unit(measure, measures)?;
        check_dimension(number, &unit, display, place, measures)?;
        if !own.is_empty() {
            labels = own;
        }
        units.push(unit);
    }
    if display.rounding != Rounding::Nearest && number.is_range() {
        return Err(Trouble::new(display.place, Kind::RangeUpOrDown));
    }
    let symbols = units.iter().map(|unit| unit.symbol(&measures.crew)).collect();
    let form = form(display, &units, measures)?;
    let unit = units.into_iter().next().unwrap_or_default();
    let form = if form == Form::Digits && is_money_alone(&unit) { Form::Cents } else { form };
    Ok((ShownIn::new(unit, form, symbols), labels))
}

fn measure_unit(measure: &Measure, measures: &Measures) -> Result<(Unit, Labels), Trouble> {
    let Some(unit) = &measure.unit else { return Ok((Unit::plain(), Labels::none())) };
    let settled = measures.settle(unit, Position::Value, &|_| false)?;
    Ok((settled.kind.unit, settled.kind.labels))
}

fn check_dimension(
    number: &NumberType,
    unit: &Unit,
    display: &Display,
    place: Place,
    measures: &Measures,
) -> Result<(), Trouble> {
    let promised = NumberType::of(unit.clone(), &measures.crew);
    let is_other_share = algebra::are_other_shares(promised.ratio, number.ratio);
    if promised.dimension == number.dimension && promised.is_point == number.is_point && !is_other_share {
        return Ok(());
    }
    Err(Trouble::new(
        display.place,
        Kind::PromiseBroken {
            formula: described(number, measures),
            promised: described(&promised, measures),
            instead: algebra::what_would_go(number, &promised),
        },
    )
    .beside(place))
}

fn form(display: &Display, units: &[Unit], measures: &Measures) -> Result<Form, Trouble> {
    let Some((last, others)) = display.measures.split_last() else { return Ok(Form::Digits) };
    if let Some(measure) = others.iter().find(|measure| measure.step.is_some()) {
        return Err(Trouble::new(measure.place, Kind::StepBeforeLast));
    }
    let symbol = units.last().map(|unit| unit.symbol(&measures.crew)).unwrap_or_default();
    let step = last.step.map(|number| settle_step(number, last.place, symbol)).transpose()?;
    if others.is_empty() {
        return Ok(match step {
            Some(step) => Form::Step(step, display.rounding),
            None if display.rounding != Rounding::Nearest => {
                Form::Step(Step { size: 1.0, denominator: Some(1), decimals: 0 }, display.rounding)
            }
            None => Form::Digits,
        });
    }
    if units.iter().any(|unit| unit.crew_words().next().is_some()) {
        return Err(Trouble::new(display.place, Kind::CompoundUnit));
    }
    let sizes: Vec<f64> = units.iter().map(Unit::size).collect();
    let ratios: Vec<f64> = sizes.windows(2).map(|pair| pair[0] / pair[1]).collect();
    if ratios.iter().any(|ratio| *ratio <= 1.0) {
        return Err(Trouble::new(display.place, Kind::CompoundOrder));
    }
    if units.iter().any(Unit::is_point) {
        return Err(Trouble::new(display.place, Kind::CompoundUnit));
    }
    Ok(Form::Measures { ratios, step, rounding: display.rounding })
}

fn settle_step(number: Number, place: Place, unit: CompactString) -> Result<Step, Trouble> {
    if number.value <= 0.0 {
        return Err(Trouble::new(place, Kind::StepNotAboveZero));
    }
    let is_whole = number.value.fract() == 0.0;
    if is_whole && number.value >= 100.0 {
        let step = number.value.to_string();
        let (text, alone) = match unit.is_empty() {
            true => (step.clone(), String::new()),
            false => (format!("{step} {unit}"), format!("{unit} alone, or ")),
        };
        return Err(Trouble::new(place, Kind::StepOrThousands { text, step, alone }));
    }
    let denominator = number.denominator.or((number.decimals == 0).then_some(1));
    Ok(Step { size: number.value, denominator, decimals: number.decimals })
}
