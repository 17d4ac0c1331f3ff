//! Sums, products, powers, shares and ranges in a formula, by the types of their parts.

use super::super::algebra::{self, Clash};
use super::super::literals::{self, described, label_words};
use super::super::model::{Does, Expression};
use super::super::types::{NumberType, RangeOrigin, RangeType, Type};
use super::super::units::Position;
use super::{Typing, constant, unknown};
use crate::syntax::tree::{Formula, FormulaKind, Operator};
use crate::text::Place;
use crate::trouble::Kind;
use crate::units::dimension::WHOLE;

impl Typing<'_> {
    pub(super) fn negative(&mut self, place: Place, inner: &Formula) -> Expression {
        let Some((inner, number)) = self.one_number(inner) else { return unknown(place) };
        if number.is_point {
            return self.refuse(place, Kind::PointMultiplied);
        }
        if number.is_open() {
            return self.refuse(place, Kind::OpenRange);
        }
        Expression { place, kind: Type::Number(number), does: Does::Negative(Box::new(inner)) }
    }

    pub(super) fn arithmetic(
        &mut self,
        place: Place,
        operator: Operator,
        left: &Formula,
        right: &Formula,
    ) -> Expression {
        if operator == Operator::Over
            && let Some(kind) = self.unit_after_division(left, right)
        {
            return self.refuse(place, kind);
        }
        let (left, right) = (self.formula(left), self.formula(right));
        self.combined(place, operator, left, right)
    }

    /// `14 fl oz / gal` and `a / 2 fl oz / gal`, where `gal` is no name.
    pub(super) fn unit_after_division(&self, left: &Formula, right: &Formula) -> Option<Kind> {
        let FormulaKind::Name(name) = &right.kind else { return None };
        if self.scope.is_name(&name.key) || self.scope.is_unread(&name.key) || !self.scope.is_unit(&name.written) {
            return None;
        }
        let whole = self.scope.text(left.place.to(right.place));
        match &left.kind {
            FormulaKind::Amount(_) => {
                let joined = format!("{}/{}", self.scope.text(left.place), name.written);
                Some(Kind::UnitStandsAlone { name: name.written.clone(), joined })
            }
            FormulaKind::Arithmetic(Operator::Over, dividend, rate) if matches!(rate.kind, FormulaKind::Amount(_)) => {
                let (dividend, rate) = (self.scope.text(dividend.place), self.scope.text(rate.place));
                Some(Kind::DivisionTwice {
                    text: whole,
                    rate: format!("{dividend} / {rate}/{}", name.written),
                    chained: format!("{dividend} / {rate} / 1 {}", name.written),
                })
            }
            _ => None,
        }
    }

    /// Arithmetic on what is settled already.
    pub fn combined(&mut self, place: Place, operator: Operator, left: Expression, right: Expression) -> Expression {
        if let Some(kind) = self.date_arithmetic(place, operator, &left, &right) {
            return Expression { place, kind, does: Does::Arithmetic(operator, Box::new(left), Box::new(right)) };
        }
        let (left, right) = (self.as_one_number(left), self.as_one_number(right));
        let (Some((left, one)), Some((right, other))) = (left, right) else { return unknown(place) };
        let kind = match operator {
            Operator::Plus | Operator::Minus => algebra::sum(operator, &one, &other),
            Operator::Times => algebra::product(&one, &other, false, &self.scope.measures.crew),
            Operator::Over => algebra::product(&one, &other, true, &self.scope.measures.crew),
            Operator::Power => return self.power(place, left, one, right, &other),
        };
        match kind {
            Ok(number) => {
                let does = Does::Arithmetic(operator, Box::new(left), Box::new(right));
                Expression { place, kind: Type::Number(number), does }
            }
            Err(clash) => {
                let kind = self.clash(clash, &left, &one, &right, &other);
                self.refuse(place, kind)
            }
        }
    }

    pub(super) fn power(
        &mut self,
        place: Place,
        base: Expression,
        kind: NumberType,
        exponent: Expression,
        other: &NumberType,
    ) -> Expression {
        if !other.dimension.is_plain() || !other.labels.is_empty() || other.is_range() {
            let found = self.describe(&exponent.kind);
            return self.refuse(exponent.place, Kind::PowerNotPlain { found });
        }
        let is_bare = kind.dimension.is_plain() && kind.labels.is_empty() && !kind.is_range();
        let raised = match constant(&exponent) {
            Some(power) if !is_bare => self.raised(&kind, power, base.place),
            None if !is_bare => Err(Kind::PowerNotWritten { name: self.scope.text(exponent.place) }),
            _ => Ok(NumberType { is_named: kind.is_named, ..NumberType::plain() }),
        };
        match raised {
            Ok(number) => {
                let does = Does::Arithmetic(Operator::Power, Box::new(base), Box::new(exponent));
                Expression { place, kind: Type::Number(number), does }
            }
            Err(kind) => self.refuse(place, kind),
        }
    }

    /// The type of a root or power.
    pub fn raised(&self, kind: &NumberType, power: f64, place: Place) -> Result<NumberType, Kind> {
        let twelfths = power * f64::from(WHOLE);
        let no_unit = || Kind::PowerWithoutUnit { value: described(kind, self.scope.measures) };
        if twelfths.fract() != 0.0 || twelfths.abs() > 600.0 {
            return Err(no_unit());
        }
        #[allow(clippy::cast_possible_truncation, reason = "bounded above")]
        match algebra::power(kind, twelfths as i16) {
            Ok(number) => Ok(number),
            Err(Some(Clash::OpenRange)) => Err(Kind::OpenRange),
            Err(Some(Clash::PowerTooHigh)) => Err(Kind::PowerTooHigh { most: algebra::MOST_POWER }),
            Err(Some(_)) => Err(Kind::PointMultiplied),
            Err(None) if kind.labels.is_empty() => Err(no_unit()),
            Err(None) => Err(Kind::RootOfLabel { value: self.scope.text(place), labels: label_words(kind) }),
        }
    }

    pub(super) fn date_arithmetic(
        &mut self,
        place: Place,
        operator: Operator,
        left: &Expression,
        right: &Expression,
    ) -> Option<Type> {
        match (&left.kind, &right.kind, operator) {
            (Type::Date { .. }, Type::Unknown, _) | (Type::Unknown, Type::Date { .. }, _) => Some(Type::Unknown),
            (Type::Date { hour: first }, Type::Date { hour: second }, Operator::Minus) => {
                if first != second {
                    self.refuse(place, Kind::MixedDates);
                    return Some(Type::Unknown);
                }
                let unit = if *first { "hr" } else { "day" };
                Some(Type::Number(NumberType { is_named: true, ..self.scope.time_in(unit) }))
            }
            (Type::Date { hour }, Type::Number(number), Operator::Plus | Operator::Minus)
                if self.scope.is_time(number) =>
            {
                Some(Type::Date { hour: *hour })
            }
            (Type::Number(number), Type::Date { hour }, Operator::Plus) if self.scope.is_time(number) => {
                Some(Type::Date { hour: *hour })
            }
            (Type::Date { .. }, _, _) | (_, Type::Date { .. }, _) => {
                let is_turned = operator == Operator::Plus && matches!(right.kind, Type::Date { .. });
                let instead = match left.kind.number().filter(|number| is_turned && self.scope.is_time(number)) {
                    Some(_) => format!("{} + {}", self.scope.text(right.place), self.scope.text(left.place)),
                    None => String::new(),
                };
                let (left, right) = (self.named(left), self.named(right));
                self.refuse(place, Kind::DateArithmetic { left, right, instead });
                Some(Type::Unknown)
            }
            _ => None,
        }
    }

    /// The words for two values that do not go together.
    pub fn clash(
        &self,
        clash: Clash,
        left: &Expression,
        one: &NumberType,
        right: &Expression,
        other: &NumberType,
    ) -> Kind {
        match clash {
            Clash::Dimension => self.mismatch(left, one, right, other),
            Clash::Labels => {
                let of =
                    |settled: &Expression, kind| format!("{} is {}", self.scope.text(settled.place), label_words(kind));
                let labelled = [(left, one), (right, other)].into_iter().filter(|(_, kind)| !kind.labels.is_empty());
                let offers: Vec<String> =
                    labelled.map(|(settled, _)| format!("amount({})", self.scope.text(settled.place))).collect();
                Kind::LabelMismatch { left: of(left, one), right: of(right, other), offer: offers.join(" and ") }
            }
            Clash::PointsAdded => Kind::PointsAdded,
            Clash::PointMultiplied => Kind::PointMultiplied,
            Clash::PointAndDifference => Kind::PointAndDifference { left: self.named(left), right: self.named(right) },
            Clash::RangeTwice => Kind::RangeTwice { range: self.scope.range_name(one, other) },
            Clash::OpenRange => Kind::OpenRange,
            Clash::ShareOfItself(substance) => Kind::ShareOfItself { substance: substance.to_string() },
            Clash::DividedByShare(substance) => {
                let shown = self.scope.text(left.place);
                Kind::DividedByShare {
                    substance: substance.to_string(),
                    value: format!("{shown} is {}", label_words(one)),
                }
            }
            Clash::PowerTooHigh => Kind::PowerTooHigh { most: algebra::MOST_POWER },
            Clash::WeightShareOfVolume => Kind::WeightShareOfVolume,
            Clash::VolumeShareOfWeight => Kind::VolumeShareOfWeight,
        }
    }

    pub(super) fn mismatch(&self, left: &Expression, one: &NumberType, right: &Expression, other: &NumberType) -> Kind {
        let instead = algebra::what_would_go(one, other);
        Kind::UnitMismatch { left: self.named(left), right: self.named(right), instead }
    }

    pub(super) fn to(&mut self, place: Place, low: &Formula, high: &Formula) -> Expression {
        if let (FormulaKind::Amount(bare), FormulaKind::Share(share, whole)) = (&low.kind, &high.kind)
            && bare.parts.iter().all(|part| part.unit.is_none())
            && !self.scope.text(high.place).starts_with('(')
        {
            let text = |formula: &Formula| self.scope.text(formula.place);
            let (low, share, whole) = (text(low), text(share), text(whole));
            let kind = Kind::ShareOrEnd { low, share, whole };
            return self.refuse(place, kind);
        }
        // A label on the last holds for all of it, where the first is a number and no name.
        let is_written = matches!(low.kind, FormulaKind::Amount(_));
        let (low, high) = (self.bare_end(low, high), self.formula(high));
        if matches!((&low.kind, &high.kind), (Type::Date { .. }, Type::Date { .. })) {
            let (low, high) = (self.scope.text(low.place), self.scope.text(high.place));
            return self.refuse(place, Kind::RangeOfDates { low, high });
        }
        let (low, high) = (self.as_one_number(low), self.as_one_number(high));
        let (Some((low, one)), Some((high, other))) = (low, high) else { return unknown(place) };
        if one.is_range() || other.is_range() {
            return self.refuse(place, Kind::RangeOfRanges);
        }
        let same_labels = one.labels == other.labels || is_written && one.labels.is_empty();
        if let Err(clash) = algebra::comparable(&one, &other).and(same_labels.then_some(()).ok_or(Clash::Labels)) {
            let kind = self.clash(clash, &low, &one, &high, &other);
            return self.refuse(place, kind);
        }
        let (labels, share) = (other.labels.clone(), other.share.clone());
        let origins = smallvec::smallvec![RangeOrigin { sheet: None, number: self.scope.range_number(place) }];
        let range = Some(Box::new(RangeType { origins, has_low: true, has_high: true }));
        let said = if one.unit.is_plain() { other } else { one };
        let kind = NumberType { labels, share, range, ..said };
        Expression { place, kind: Type::Number(kind), does: Does::To(Box::new(low), Box::new(high)) }
    }

    /// A bare number right before `to` takes the unit of the number right after it: `1 to 3 mph`.
    pub(super) fn bare_end(&mut self, low: &Formula, high: &Formula) -> Expression {
        let (FormulaKind::Amount(bare), FormulaKind::Amount(full)) = (&low.kind, &high.kind) else {
            return self.formula(low);
        };
        let scope = self.scope;
        let full = literals::settle_amount(scope.measures, full, None, Position::Value, &|key| scope.is_name(key));
        self.amount(bare, full.ok().map(|full| full.kind).as_ref())
    }

    pub(super) fn share(&mut self, place: Place, share: &Formula, whole: &Formula) -> Expression {
        let (share, whole) = (self.one_number(share), self.one_number(whole));
        let (Some((share, _)), Some((whole, kind))) = (share, whole) else { return unknown(place) };
        if kind.is_point {
            return self.refuse(place, Kind::ShareOfPoint { instead: String::new() });
        }
        Expression { place, kind: Type::Number(kind), does: Does::Share(Box::new(share), Box::new(whole)) }
    }
}
