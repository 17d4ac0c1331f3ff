//! The algebra of types: what a sum, a product or a comparison is, told from what its parts are.

use super::types::{NumberType, RangeType};
use crate::syntax::tree::Operator;
use crate::trouble::instead;
use crate::units::dimension::WHOLE;
use crate::units::vocabulary::Ratio;
use crate::units::{Base, CrewWord, Dimension, Factor, Labels, Substance, Unit, Word};

/// Why two types do not go together; `formulas.rs` adds the words and the place.
#[derive(Debug, Clone, PartialEq)]
pub enum Clash {
    /// Different dimensions in a sum or comparison, or shares by weight and by volume.
    Dimension,
    /// Different labels in a sum or comparison.
    Labels,
    /// Two points of a temperature scale added up.
    PointsAdded,
    /// A point multiplied, divided or raised.
    PointMultiplied,
    /// A point and a difference compared, or a point taken from a difference.
    PointAndDifference,
    /// One range enters twice.
    RangeTwice,
    /// A range without an end, where it may not stand.
    OpenRange,
    /// A share multiplied with an amount that has its own label already.
    ShareOfItself(Substance),
    /// An amount of something else divided by a share.
    DividedByShare(Substance),
    /// A power of a unit that nothing measured has.
    PowerTooHigh,
    /// `% w/w` with a volume.
    WeightShareOfVolume,
    /// `% v/v` with a weight.
    VolumeShareOfWeight,
}

/// The type of `left + right` or `left - right`.
///
/// # Errors
/// Why they do not go together.
pub fn sum(operator: Operator, left: &NumberType, right: &NumberType) -> Result<NumberType, Clash> {
    if left.dimension != right.dimension || are_other_shares(left.ratio, right.ratio) {
        return Err(Clash::Dimension);
    }
    let is_minus = operator == Operator::Minus;
    let is_point = match (left.is_point, right.is_point) {
        (true, true) if !is_minus => return Err(Clash::PointsAdded),
        (false, true) if is_minus => return Err(Clash::PointAndDifference),
        (true, true) | (false, false) => false,
        _ => true,
    };
    let labels = sum_labels(&left.labels, &right.labels)?;
    let range = both_ranges(left, right)?;
    if right.is_open() && is_minus || (left.is_open() && right.is_range()) || (right.is_open() && left.is_range()) {
        return Err(Clash::OpenRange);
    }
    // What is shown in percent is a share from then on: 25 % and 0.1 are 35 %.
    let (unit, ratio) = match (left.is_point, right.is_point) {
        (true, true) => (difference_unit(&left.unit), None),
        (false, true) => (right.unit.clone(), None),
        _ if !left.is_named && right.is_named => (right.unit.clone(), right.ratio),
        _ => (left.unit.clone(), left.ratio),
    };
    Ok(NumberType {
        dimension: left.dimension.clone(),
        labels,
        is_point,
        ratio,
        share: left.share.clone().filter(|share| right.share.as_ref() == Some(share)),
        unit,
        whole_units: merged_wholes(left, right),
        range,
        is_named: left.is_named || right.is_named,
    })
}

/// Whether one is a share by weight and the other by volume; a bare percent is of any kind.
pub fn are_other_shares(one: Option<Ratio>, other: Option<Ratio>) -> bool {
    let by_stuff = |ratio: Option<Ratio>| ratio.filter(|ratio| *ratio != Ratio::Percent);
    by_stuff(one).zip(by_stuff(other)).is_some_and(|(one, other)| one != other)
}

/// The unit of a difference between two points: `Δ°F` for `°F`.
pub fn difference_unit(unit: &Unit) -> Unit {
    let symbol = unit.factors.first().and_then(Factor::entry).map_or("", |entry| entry.symbol);
    match crate::units::vocabulary::lookup(&format!("Δ{symbol}")) {
        crate::units::vocabulary::Lookup::Unit(parts) => Unit {
            factors: parts
                .iter()
                .map(|(index, twelfths)| Factor {
                    word: crate::units::Word::Known(*index),
                    twelfths: *twelfths,
                    lead: 1.0,
                })
                .collect(),
        },
        _ => unit.clone(),
    }
}

/// Labels of a sum: above and below each for itself, where both have one it must be the same, and one only stays if
/// both have it.
pub fn sum_labels(left: &Labels, right: &Labels) -> Result<Labels, Clash> {
    let above = sum_side(left, right, true)?;
    let below = sum_side(left, right, false)?;
    Ok(above.times(&below))
}

fn sum_side(left: &Labels, right: &Labels, is_above: bool) -> Result<Labels, Clash> {
    let (left, right) = (side(left, is_above), side(right, is_above));
    match (left.is_empty(), right.is_empty()) {
        (false, false) if left == right => Ok(left),
        (false, false) => Err(Clash::Labels),
        _ => Ok(Labels::none()),
    }
}

/// The labels above the line alone, or those below it alone.
pub fn side(labels: &Labels, is_above: bool) -> Labels {
    let mut own = Labels::none();
    if is_above {
        labels.all_above().for_each(|(substance, count)| own.add(substance, count));
    } else {
        labels.all_below().for_each(|(substance, count)| own.add(substance, -count));
    }
    own
}

/// Whether two values may be compared, without a sum's result.
///
/// # Errors
/// Why not.
pub fn comparable(left: &NumberType, right: &NumberType) -> Result<(), Clash> {
    if left.dimension != right.dimension || are_other_shares(left.ratio, right.ratio) {
        return Err(Clash::Dimension);
    }
    if left.is_point != right.is_point {
        return Err(Clash::PointAndDifference);
    }
    sum_labels(&left.labels, &right.labels).map(|_| ())
}

/// What to write where two kinds do not go together, if that can be told: `oz` is weight, and `fl oz` may have been
/// meant; a share by weight is brought to one by volume.
pub fn what_would_go(one: &NumberType, other: &NumberType) -> String {
    if are_other_shares(one.ratio, other.ratio) {
        return instead::one_kind_of_share();
    }
    let has_ounces = |kind: &NumberType| {
        kind.unit.factors.iter().any(|factor| factor.entry().is_some_and(|entry| entry.symbol == "oz"))
    };
    let weight_in_volume = Dimension::of(Base::Mass, WHOLE).over(&Dimension::of(Base::Length, 3 * WHOLE));
    let is_one_for_the_other = has_ounces(one) && one.dimension.over(&other.dimension) == weight_in_volume
        || has_ounces(other) && other.dimension.over(&one.dimension) == weight_in_volume;
    if is_one_for_the_other { "fl oz, if a volume is meant".to_owned() } else { String::new() }
}

/// The type of `left * right`, or of `left / right`.
///
/// # Errors
/// Why they do not go together.
pub fn product(left: &NumberType, right: &NumberType, is_over: bool, crew: &[CrewWord]) -> Result<NumberType, Clash> {
    if left.is_point || right.is_point {
        return Err(Clash::PointMultiplied);
    }
    check_ratio(left, right, is_over, crew)?;
    let range = both_ranges(left, right)?;
    let open_alone = (left.is_open() && right.is_range()) || (right.is_open() && (left.is_range() || is_over));
    if open_alone {
        return Err(Clash::OpenRange);
    }
    let (labels, share) = product_labels(left, right, is_over)?;
    let dimension =
        if is_over { left.dimension.over(&right.dimension) } else { left.dimension.times(&right.dimension) };
    let (of_left, of_right) = (left.share.is_some() && is_factor(right), right.share.is_some() && is_factor(left));
    let ratio = match (is_plain(left), is_plain(right)) {
        _ if of_left => left.ratio,
        _ if of_right && !is_over => right.ratio,
        (_, true) => left.ratio,
        (true, _) if !is_over => right.ratio,
        _ => None,
    };
    let unit = match (is_plain(left), is_plain(right)) {
        _ if of_left => left.unit.clone(),
        _ if of_right && !is_over => right.unit.clone(),
        (true, false) if !is_over && ratio.is_some() => right.unit.clone(),
        (false, true) if ratio.is_some() => left.unit.clone(),
        // A plain number has no unit, whatever words it came from: ft² over acre.
        _ if dimension.is_plain() => Unit::plain(),
        _ => merged_unit(left, right, is_over, crew),
    };
    if is_too_high(&dimension, &unit) {
        return Err(Clash::PowerTooHigh);
    }
    Ok(NumberType {
        dimension,
        labels,
        is_point: false,
        ratio,
        share,
        unit,
        whole_units: merged_wholes(left, right),
        range,
        is_named: left.is_named || right.is_named,
    })
}

/// The highest power of a unit: nothing in the field has more than a few, and beyond it numbers lose their range.
pub const MOST_POWER: i16 = 30;

/// Whether a power of a dimension or of a unit's word is above the highest.
pub fn is_too_high(dimension: &Dimension, unit: &Unit) -> bool {
    let powers = dimension.powers().iter().map(|(_, twelfths)| *twelfths);
    let mut powers = powers.chain(unit.factors.iter().map(|factor| factor.twelfths));
    powers.any(|twelfths| twelfths.saturating_abs() > MOST_POWER * WHOLE)
}

/// A plain number, of nothing and a ratio of nothing.
fn is_plain(kind: &NumberType) -> bool {
    kind.dimension.is_plain() && kind.labels.is_empty() && kind.ratio.is_none()
}

/// A plain number or a bare percentage, which leaves a share the share it is.
fn is_factor(kind: &NumberType) -> bool {
    kind.dimension.is_plain() && kind.labels.is_empty() && matches!(kind.ratio, None | Some(Ratio::Percent))
}

fn merged_wholes(left: &NumberType, right: &NumberType) -> smallvec::SmallVec<[Unit; 1]> {
    let mut wholes = left.whole_units.clone();
    for unit in &right.whole_units {
        if !wholes.contains(unit) {
            wholes.push(unit.clone());
        }
    }
    wholes
}

fn both_ranges(left: &NumberType, right: &NumberType) -> Result<Option<Box<RangeType>>, Clash> {
    let (Some(first), Some(second)) = (&left.range, &right.range) else {
        return Ok(left.range.clone().or_else(|| right.range.clone()));
    };
    if first.origins.iter().any(|origin| second.origins.contains(origin)) {
        return Err(Clash::RangeTwice);
    }
    let origins = first.origins.iter().chain(&second.origins).cloned().collect();
    let (has_low, has_high) = (first.has_low && second.has_low, first.has_high && second.has_high);
    Ok(Some(Box::new(RangeType { origins, has_low, has_high })))
}

/// What an amount is by its numerator, which `% w/w` and `% v/v` ask for.
#[derive(PartialEq)]
enum Stuff {
    Weight,
    Volume,
    Neither,
}

fn stuff(kind: &NumberType, crew: &[CrewWord]) -> Stuff {
    let (mut above, mut below) = (Dimension::plain(), Vec::new());
    for factor in &kind.unit.factors {
        let Some(dimension) = factor.dimension(crew) else { continue };
        if factor.twelfths > 0 { above = above.times(&dimension) } else { below.push(dimension) }
    }
    let volume = Dimension::of(Base::Length, 3 * WHOLE);
    let weight = Dimension::of(Base::Mass, WHOLE);
    // Per area, time or plant an amount stays one; a strength such as lb/gal is neither.
    let is_strength = below
        .iter()
        .any(|dimension| dimension.power_of(Base::Mass) != 0 || dimension.power_of(Base::Length) == -3 * WHOLE);
    match above {
        _ if is_strength => Stuff::Neither,
        above if above == volume => Stuff::Volume,
        above if above == weight => Stuff::Weight,
        _ => Stuff::Neither,
    }
}

/// `% w/w` goes with weights and `% v/v` with volumes, as a factor and as a divisor.
fn check_ratio(left: &NumberType, right: &NumberType, is_over: bool, crew: &[CrewWord]) -> Result<(), Clash> {
    let check = |ratio: Option<Ratio>, amount: &NumberType| match ratio {
        Some(Ratio::WeightInWeight) if stuff(amount, crew) == Stuff::Volume => Err(Clash::WeightShareOfVolume),
        Some(Ratio::VolumeInVolume) if stuff(amount, crew) == Stuff::Weight => Err(Clash::VolumeShareOfWeight),
        _ => Ok(()),
    };
    check(right.ratio, left)?;
    if is_over { Ok(()) } else { check(left.ratio, right) }
}

/// Labels of a product or quotient; a share (`22 % w/w of N`) puts its label in the place of the other's.
fn product_labels(left: &NumberType, right: &NumberType, is_over: bool) -> Result<(Labels, Option<Substance>), Clash> {
    if is_over {
        // What a number over a share is of cancels later, with an amount of it; an amount is cancelled with at once.
        if let Some(substance) = right.share.as_ref().filter(|_| left.share.is_none() && !is_factor(left)) {
            return Ok((divided_by_share(left, right, substance)?, None));
        }
        let share = left.share.clone().filter(|_| is_factor(right));
        return Ok((left.labels.over(&right.labels), share));
    }
    match (&left.share, &right.share) {
        (Some(substance), None) => shared(left, substance, right),
        (None, Some(substance)) => shared(right, substance, left),
        _ => Ok((left.labels.times(&right.labels), None)),
    }
}

fn shared(
    share: &NumberType,
    substance: &Substance,
    amount: &NumberType,
) -> Result<(Labels, Option<Substance>), Clash> {
    if is_factor(amount) {
        return Ok((share.labels.clone(), share.share.clone()));
    }
    if amount.labels.all_above().any(|(own, _)| own == substance) {
        return Err(Clash::ShareOfItself(substance.clone()));
    }
    Ok((share.labels.times(&side(&amount.labels, false)), None))
}

fn divided_by_share(amount: &NumberType, share: &NumberType, substance: &Substance) -> Result<Labels, Clash> {
    let above = side(&amount.labels, true);
    if above.is_empty() {
        return Ok(amount.labels.clone());
    }
    match above == side(&share.labels, true) {
        true => Ok(side(&amount.labels, false)),
        false => Err(Clash::DividedByShare(substance.clone())),
    }
}

/// The unit of a product or quotient: what cancels is gone, other words of one dimension are merged into the first
/// met, a named value's before a number's; percentages are gone.
fn merged_unit(left: &NumberType, right: &NumberType, is_over: bool, crew: &[CrewWord]) -> Unit {
    let signed = |kind: &NumberType, is_over: bool| -> Vec<Factor> {
        let factors = kind.unit.factors.iter().filter(|factor| !is_ratio(factor, crew));
        factors
            .map(|factor| Factor { twelfths: if is_over { -factor.twelfths } else { factor.twelfths }, ..*factor })
            .collect()
    };
    let (left_factors, right_factors) = (signed(left, false), signed(right, is_over));
    let numbers_last = right.is_named && !left.is_named;
    let (first, second) = if numbers_last { (right_factors, left_factors) } else { (left_factors, right_factors) };
    let with = |unit: Unit, factor: &Factor, word: Word| {
        let lead = if factor.twelfths < 0 { factor.lead } else { 1.0 };
        unit.times(&Unit { factors: smallvec::smallvec![Factor { word, lead, ..*factor }] })
    };
    // One after the other, so that a word above and below the line (`gal per 100 gal`) is gone.
    let unit = first.iter().fold(Unit::plain(), |unit, factor| with(unit, factor, factor.word));
    second.iter().fold(unit, |unit, factor| {
        let word = partner(&unit, factor, crew).unwrap_or(factor.word);
        with(unit, factor, word)
    })
}

/// The word of a unit that a factor is put together with: the same one across the line, another of its dimension
/// across the line, and only then one on its own side.
fn partner(unit: &Unit, factor: &Factor, crew: &[CrewWord]) -> Option<Word> {
    let whole = |factor: &Factor| Factor { twelfths: WHOLE, ..*factor }.dimension(crew);
    let alike = unit.factors.iter().filter(|own| whole(own) == whole(factor));
    let best = alike.max_by_key(|own| {
        let is_across = (own.twelfths < 0) != (factor.twelfths < 0);
        let place = unit.factors.iter().position(|other| other == *own).map(std::cmp::Reverse);
        (is_across, own.word == factor.word, place)
    });
    best.map(|own| own.word)
}

fn is_ratio(factor: &Factor, crew: &[CrewWord]) -> bool {
    factor.dimension(crew).is_none_or(|dimension| dimension.is_plain())
}

/// Two words of a unit that share a base dimension and do not come together from one value's unit: such a result
/// must say its unit.
pub fn mixed_words(kind: &NumberType, crew: &[CrewWord]) -> Option<(Factor, Factor)> {
    let factors = &kind.unit.factors;
    for (index, first) in factors.iter().enumerate() {
        for second in factors.iter().skip(index + 1) {
            let (Some(one), Some(other)) = (first.dimension(crew), second.dimension(crew)) else { continue };
            let shares = one.powers().iter().any(|(base, _)| other.power_of(*base) != 0);
            if shares && !kind.whole_units.iter().any(|whole| stand_together(whole, first, second)) {
                return Some((*first, *second));
            }
        }
    }
    None
}

fn stand_together(whole: &Unit, first: &Factor, second: &Factor) -> bool {
    let power = |wanted: &Factor| whole.factors.iter().find(|own| own.word == wanted.word).map(|own| own.twelfths);
    match (power(first), power(second)) {
        (Some(one), Some(other)) => {
            (one, other) == (first.twelfths, second.twelfths) || (-one, -other) == (first.twelfths, second.twelfths)
        }
        _ => false,
    }
}

/// The type of `base ^ (twelfths / 12)`.
///
/// # Errors
/// Why it has none; `None` in it where the power makes no dimension.
pub fn power(base: &NumberType, twelfths: i16) -> Result<NumberType, Option<Clash>> {
    if base.is_point {
        return Err(Some(Clash::PointMultiplied));
    }
    if base.is_open() {
        return Err(Some(Clash::OpenRange));
    }
    let whole = twelfths % WHOLE == 0;
    if !whole && !base.labels.is_empty() {
        return Err(None);
    }
    let dimension = base.dimension.to_the(twelfths).ok_or(None)?;
    let unit = Unit {
        factors: base
            .unit
            .factors
            .iter()
            .filter(|factor| factor.entry().is_none_or(|entry| !entry.powers.is_empty()))
            .copied()
            .collect(),
    };
    let unit = unit.to_the(twelfths).ok_or(None)?;
    let whole_units = base.whole_units.iter().filter_map(|unit| unit.to_the(twelfths)).collect();
    if is_too_high(&dimension, &unit) {
        return Err(Some(Clash::PowerTooHigh));
    }
    let ratio = None;
    Ok(NumberType {
        dimension,
        labels: base.labels.to_the(twelfths / WHOLE),
        ratio,
        share: None,
        unit,
        whole_units,
        ..base.clone()
    })
}
