//! Whether a value fills a blank, a cell or an entry: the same kind and dimension, and labels that agree.

use super::literals::{described, label_words};
use super::types::{NumberType, RangeType, Type};
use super::units::Measures;
use crate::trouble::Kind;
use crate::units::vocabulary::Ratio;

/// The type a value has where `wanted` is expected: no label takes the blank's, another one is refused.
///
/// # Errors
/// Why it does not fit.
pub fn fit(given: &Type, wanted: &Type, measures: &Measures) -> Result<Type, Kind> {
    match (given, wanted) {
        (Type::Unknown, _) | (_, Type::Unknown) => Ok(given.clone()),
        (Type::Several(given), Type::Several(wanted)) => Ok(Type::Several(Box::new(fit(given, wanted, measures)?))),
        (Type::Several(given), Type::Number(_)) => Ok(Type::Several(Box::new(fit(given, wanted, measures)?))),
        (Type::Number(_), Type::Several(wanted)) => fit(given, wanted, measures),
        (Type::Number(given), Type::Number(wanted)) => fit_number(given, wanted, measures).map(Type::Number),
        (Type::Date { hour: false }, Type::Date { hour: true }) => Err(Kind::HourMissing),
        (Type::Date { hour: true }, Type::Date { hour: false }) => Err(Kind::HourUnwanted),
        (given, wanted) if given == wanted => Ok(given.clone()),
        (given, wanted) => Err(Kind::OtherKind { wanted: words(wanted, measures), found: words(given, measures) }),
    }
}

/// The type of a value where formulas have been settled with `wanted` and are not settled anew, as in the cells of a
/// column: it may bring nothing that they would have had to be told, such as another kind of share or a substance.
///
/// # Errors
/// Why it does not fit.
pub fn fit_for_good(given: &Type, wanted: &Type, measures: &Measures) -> Result<Type, Kind> {
    if matches!((given, wanted), (Type::Several(_), Type::Number(_))) {
        return Err(Kind::ReadingsInCell);
    }
    let fitted = fit(given, wanted, measures)?;
    if let (Some(own), Some(wanted)) = (fitted.each().number(), wanted.each().number()) {
        check_for_good(own, wanted, measures)?;
    }
    Ok(fitted)
}

fn check_for_good(own: &NumberType, wanted: &NumberType, measures: &Measures) -> Result<(), Kind> {
    // `5 % v/v` in a column of `% w/w`; a bare `%` says no kind of its own.
    let is_of_stuff = matches!(own.ratio, Some(Ratio::VolumeInVolume | Ratio::WeightInWeight));
    if is_of_stuff && own.ratio != wanted.ratio {
        let instead = super::algebra::what_would_go(own, wanted);
        let (wanted, found) = (described(wanted, measures), described(own, measures));
        return Err(Kind::OtherUnit { wanted, found, instead });
    }
    if own.labels.only_above() != wanted.labels.only_above() {
        return Err(Kind::OtherSubstance { wanted: label_words(wanted), found: label_words(own) });
    }
    let lacks =
        |has: fn(&RangeType) -> bool| wanted.range.as_deref().is_some_and(has) && !own.range.as_deref().is_none_or(has);
    for (lacks, end) in [(lacks(|range| range.has_low), "lower"), (lacks(|range| range.has_high), "upper")] {
        if lacks {
            let found = format!("a range without its {end} end");
            return Err(Kind::OtherKind { wanted: "a range with both ends".to_owned(), found });
        }
    }
    Ok(())
}

fn fit_number(given: &NumberType, wanted: &NumberType, measures: &Measures) -> Result<NumberType, Kind> {
    if given.dimension != wanted.dimension || given.is_point != wanted.is_point {
        let instead = match given.unit.is_plain() && !wanted.unit.is_plain() {
            true => format!("the number with its unit, {}", wanted.unit.symbol(&measures.crew)),
            false => super::algebra::what_would_go(given, wanted),
        };
        return Err(Kind::OtherUnit {
            wanted: described(wanted, measures),
            found: described(given, measures),
            instead,
        });
    }
    if wanted.is_range() != given.is_range() {
        let word = |kind: &NumberType| if kind.is_range() { "a range" } else { "one value" }.to_owned();
        return Err(Kind::OtherKind { wanted: word(wanted), found: word(given) });
    }
    if given.labels.is_empty() {
        // A bare number or percent says no kind of its own, and is a share of the kind that belongs here.
        let stuff = given.ratio.filter(|ratio| *ratio != Ratio::Percent);
        return Ok(NumberType {
            labels: wanted.labels.clone(),
            share: wanted.share.clone(),
            ratio: stuff.or(wanted.ratio).or(given.ratio),
            ..given.clone()
        });
    }
    let given_sides = (given.labels.only_above(), given.labels.only_below());
    let wanted_sides = (wanted.labels.only_above(), wanted.labels.only_below());
    let agree = |given: Option<_>, wanted: Option<_>| given.is_none() || wanted.is_none() || given == wanted;
    let (above, below) = (given_sides.0.or(wanted_sides.0), given_sides.1.or(wanted_sides.1));
    match agree(given_sides.0, wanted_sides.0) && agree(given_sides.1, wanted_sides.1) && !wanted.labels.is_empty() {
        // One that stood above the line here and below it there would cancel, and be gone.
        true if above.is_none() || above != below => {
            let labels = crate::units::Labels::new(above.cloned(), below.cloned());
            Ok(NumberType { labels, ..given.clone() })
        }
        _ => Err(Kind::OtherSubstance { wanted: label_words(wanted), found: label_words(given) }),
    }
}

/// What a type is, in the trade's words.
pub fn words(kind: &Type, measures: &Measures) -> String {
    match kind {
        Type::Number(number) if number.is_range() => format!("a range of {}", described(number, measures)),
        Type::Number(number) => described(number, measures),
        Type::Text => "text".to_owned(),
        Type::Date { hour: true } => "a date with an hour".to_owned(),
        Type::Date { .. } => "a date".to_owned(),
        Type::YesNo => "yes or no".to_owned(),
        Type::Several(each) => format!("several values, each {}", words(each, measures)),
        Type::Unknown => "something that could not be read".to_owned(),
    }
}
