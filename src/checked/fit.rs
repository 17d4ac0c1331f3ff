//! Whether a value fills a blank, a cell or an entry: the same kind and dimension, and labels that agree.

use super::literals::{described, label_words};
use super::types::{NumberType, Type};
use super::units::Measures;
use crate::trouble::Kind;

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

fn fit_number(given: &NumberType, wanted: &NumberType, measures: &Measures) -> Result<NumberType, Kind> {
    if given.dimension != wanted.dimension || given.is_point != wanted.is_point {
        let instead = match given.unit.is_plain() && !wanted.unit.is_plain() {
            true => format!("the number with its unit, {}", wanted.unit.symbol(&measures.crew)),
            false => super::algebra::fluid_ounces(given, wanted),
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
        return Ok(NumberType {
            labels: wanted.labels.clone(),
            share: wanted.share.clone(),
            ratio: given.ratio.or(wanted.ratio),
            ..given.clone()
        });
    }
    let given_sides = (given.labels.only_above(), given.labels.only_below());
    let wanted_sides = (wanted.labels.only_above(), wanted.labels.only_below());
    let agree = |given: Option<_>, wanted: Option<_>| given.is_none() || wanted.is_none() || given == wanted;
    match agree(given_sides.0, wanted_sides.0)
        && agree(given_sides.1, wanted_sides.1)
        && (given == wanted || !wanted.labels.is_empty() || given.labels.is_empty())
    {
        true => {
            let labels = crate::units::Labels::new(
                given_sides.0.or(wanted_sides.0).cloned(),
                given_sides.1.or(wanted_sides.1).cloned(),
            );
            Ok(NumberType { labels, ..given.clone() })
        }
        false => Err(Kind::OtherSubstance { wanted: label_words(wanted), found: label_words(given) }),
    }
}

/// What a value is, in words: `a range of a volume (gal)`, `a date`.
pub(super) fn words(kind: &Type, measures: &Measures) -> String {
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
