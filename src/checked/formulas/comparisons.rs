//! Comparisons, `within`, and the choice between two formulas.

use super::super::algebra::{self, Clash};
use super::super::literals;
use super::super::model::{Does, Expression};
use super::super::types::{NumberType, RangeType, Type};
use super::super::units::Position;
use super::{Typing, unknown, yes_no};
use crate::quantity::Measured;
use crate::syntax::tree::{Formula, FormulaKind, Relation};
use crate::text::Place;
use crate::trouble::Kind;
use crate::units::vocabulary::Ratio;

impl Typing<'_> {
    /// A comparison, or a `within`, whose left side is settled already.
    pub fn with_left(&mut self, formula: &Formula, left: Expression) -> Expression {
        let place = formula.place;
        match &formula.kind {
            FormulaKind::Comparison(relation, _, right) => {
                let right = self.formula(right);
                self.compared(place, *relation, left, right)
            }
            FormulaKind::WithinRange(_, range) => {
                let range = self.formula(range);
                self.in_range(place, left, range)
            }
            FormulaKind::WithinDistance(_, amount, base) => self.near(place, left, amount, base),
            _ => self.refuse(place, Kind::ChoiceForm),
        }
    }

    pub(super) fn comparison(
        &mut self,
        place: Place,
        relation: Relation,
        left: &Formula,
        right: &Formula,
    ) -> Expression {
        let (left, right) = (self.formula(left), self.formula(right));
        self.compared(place, relation, left, right)
    }

    pub(super) fn compared(
        &mut self,
        place: Place,
        relation: Relation,
        left: Expression,
        right: Expression,
    ) -> Expression {
        let does = |left, right| Does::Comparison(relation, Box::new(left), Box::new(right));
        let is_equality = matches!(relation, Relation::Is | Relation::IsNot);
        match (&left.kind, &right.kind) {
            (Type::Unknown, _) | (_, Type::Unknown) => unknown(place),
            (Type::Text, Type::Text) | (Type::YesNo, Type::YesNo) if is_equality => yes_no(place, does(left, right)),
            (Type::Text, Type::Text) | (Type::YesNo, Type::YesNo) => self.refuse(place, Kind::OrderOfText),
            (Type::Date { hour: first }, Type::Date { hour: second }) => match first == second {
                true => yes_no(place, does(left, right)),
                false => self.refuse(place, Kind::MixedDates),
            },
            (Type::Number(_) | Type::Several(_), Type::Number(_) | Type::Several(_)) => {
                let (left, right) = (self.as_one_number(left), self.as_one_number(right));
                let (Some((left, one)), Some((right, other))) = (left, right) else { return unknown(place) };
                match algebra::comparable(&one, &other) {
                    Ok(()) => yes_no(place, does(left, right)),
                    Err(clash) => {
                        let kind = self.clash(clash, &left, &one, &right, &other);
                        self.refuse(place, kind)
                    }
                }
            }
            _ => {
                let (left, right) = (self.named(&left), self.named(&right));
                self.refuse(place, Kind::UnitMismatch { left, right, instead: String::new() })
            }
        }
    }

    pub(super) fn within_range(&mut self, place: Place, value: &Formula, range: &Formula) -> Expression {
        let (value, range) = (self.formula(value), self.formula(range));
        self.in_range(place, value, range)
    }

    pub(super) fn in_range(&mut self, place: Place, value: Expression, range: Expression) -> Expression {
        if value.kind.is_unknown() || range.kind.is_unknown() {
            return unknown(place);
        }
        let (value, range) = (self.as_one_number(value), self.as_one_number(range));
        let (Some((value, one)), Some((range, other))) = (value, range) else { return unknown(place) };
        if !other.is_range() {
            let found = self.named(&range);
            return self.refuse(range.place, Kind::WithinNoRange { found, name: self.scope.text(range.place) });
        }
        match algebra::comparable(&one, &other) {
            Ok(()) => yes_no(place, Does::WithinRange(Box::new(value), Box::new(range))),
            Err(clash) => {
                let kind = self.clash(clash, &value, &one, &range, &other);
                self.refuse(place, kind)
            }
        }
    }

    pub(super) fn within_distance(
        &mut self,
        place: Place,
        value: &Formula,
        amount: &Formula,
        base: &Formula,
    ) -> Expression {
        let value = self.formula(value);
        self.near(place, value, amount, base)
    }

    pub(super) fn near(&mut self, place: Place, value: Expression, amount: &Formula, base: &Formula) -> Expression {
        let (value, amount, base) = (self.as_one_number(value), self.distance(amount), self.one_number(base));
        let (Some((value, one)), Some((amount, far)), Some((base, other))) = (value, amount, base) else {
            return unknown(place);
        };
        if other.is_range() {
            return self.refuse(base.place, Kind::DistanceFromRange { name: self.scope.text(base.place) });
        }
        if far.is_range() {
            return self.refuse(amount.place, Kind::RangeNotTaken { name: self.scope.text(amount.place) });
        }
        if let Err(clash) = algebra::comparable(&one, &other) {
            let kind = self.clash(clash, &value, &one, &base, &other);
            return self.refuse(place, kind);
        }
        let boxed = |expression| Box::new(expression);
        if far.ratio == Some(Ratio::Percent) {
            if other.is_point {
                let unit = algebra::difference_unit(&other.unit).symbol(&self.scope.measures.crew);
                let instead = format!("within 3 {unit} of {}", self.scope.text(base.place));
                return self.refuse(amount.place, Kind::ShareOfPoint { instead });
            }
            return yes_no(place, Does::WithinShare(boxed(value), boxed(amount), boxed(base)));
        }
        if far.dimension != other.dimension {
            let (left, right) = (self.named(&amount), self.named(&base));
            return self.refuse(amount.place, Kind::UnitMismatch { left, right, instead: String::new() });
        }
        yes_no(place, Does::WithinDistance(boxed(value), boxed(amount), boxed(base)))
    }

    /// The amount of `within … of`: a temperature there is a difference.
    pub fn distance(&mut self, formula: &Formula) -> Option<(Expression, NumberType)> {
        let FormulaKind::Amount(amount) = &formula.kind else { return self.one_number(formula) };
        let settled = {
            let scope = &self.scope;
            let is_name = |key: &str| scope.is_name(key);
            literals::settle_amount(scope.measures, amount, None, Position::Distance, &is_name)
        };
        match settled {
            Ok(settled) if settled.kind.is_point => {
                let number = settled.number.unwrap_or_default();
                let unit = algebra::difference_unit(&settled.kind.unit);
                let kind = NumberType { is_point: false, unit, ..settled.kind };
                let does = Does::Number(Measured::exact(number));
                Some((Expression { place: formula.place, kind: Type::Number(kind.clone()), does }, kind))
            }
            Ok(settled) if settled.names.is_empty() => {
                let expression = self.literal_number(amount, &settled);
                self.as_one_number(expression)
            }
            _ => self.one_number(formula),
        }
    }

    pub(super) fn choose(
        &mut self,
        place: Place,
        condition: &Formula,
        then: &Formula,
        otherwise: &Formula,
    ) -> Expression {
        let condition = self.condition(condition);
        let (then, otherwise) = (self.formula(then), self.formula(otherwise));
        let kind = match (&then.kind, &otherwise.kind) {
            (Type::Unknown, _) | (_, Type::Unknown) => Type::Unknown,
            (Type::Number(one), Type::Number(other)) => match self.same_branch(&then, one, &otherwise, other) {
                Ok(kind) => kind,
                Err(kind) => return self.refuse(then.place.to(otherwise.place), kind),
            },
            (one, other) if one == other => one.clone(),
            _ => {
                let (left, right) = (self.named(&then), self.named(&otherwise));
                return self.refuse(
                    then.place.to(otherwise.place),
                    Kind::UnitMismatch { left, right, instead: String::new() },
                );
            }
        };
        if condition.kind.is_unknown() {
            return unknown(place);
        }
        Expression { place, kind, does: Does::If(Box::new(condition), Box::new(then), Box::new(otherwise)) }
    }

    pub(super) fn same_branch(
        &self,
        then: &Expression,
        one: &NumberType,
        otherwise: &Expression,
        other: &NumberType,
    ) -> Result<Type, Kind> {
        if let Err(clash) = algebra::comparable(one, other) {
            return Err(self.clash(clash, then, one, otherwise, other));
        }
        if one.labels != other.labels {
            return Err(self.clash(Clash::Labels, then, one, otherwise, other));
        }
        let mut kind = if !one.is_named && other.is_named { other.clone() } else { one.clone() };
        kind.range = match (&one.range, &other.range) {
            (Some(first), Some(second)) => {
                let mut origins = first.origins.clone();
                origins.extend(second.origins.iter().filter(|origin| !first.origins.contains(origin)).cloned());
                let (has_low, has_high) = (first.has_low && second.has_low, first.has_high && second.has_high);
                Some(Box::new(RangeType { origins, has_low, has_high }))
            }
            (first, second) => first.clone().or_else(|| second.clone()),
        };
        Ok(Type::Number(kind))
    }
}
