//! Formulas settled: names found, dimensions and labels checked, all before a number is known.

use super::algebra::{self, Clash};
use super::calls;
use super::literals::{self, described, label_words};
use super::model::{Does, Expression, Named, Remark};
use super::scope::Scope;
use super::types::{NumberType, RangeOrigin, RangeType, Type};
use super::units::Position;
use crate::quantity::Measured;
use crate::syntax::tree::{Amount, Formula, FormulaKind, Joint, Name, Operator, Relation};
use crate::text::Place;
use crate::trouble::{Kind, Trouble};
use crate::units::dimension::WHOLE;
use crate::units::vocabulary::Ratio;

/// Settles formulas in one scope, collecting what is wrong with them.
pub struct Typing<'a> {
    /// What names mean here.
    pub scope: Scope<'a>,
    /// What is wrong.
    pub troubles: Vec<Trouble>,
    /// What the engine noticed.
    pub remarks: Vec<Remark>,
    /// Whether `today` is asked for.
    pub asks_today: bool,
}

impl<'a> Typing<'a> {
    /// Begins in a scope.
    pub fn new(scope: Scope<'a>) -> Self {
        Self { scope, troubles: Vec::new(), remarks: Vec::new(), asks_today: false }
    }

    /// Notes a trouble, and gives what stands in the place of what could not be settled.
    pub fn refuse(&mut self, place: Place, kind: Kind) -> Expression {
        self.troubles.push(Trouble::new(place, kind));
        unknown(place)
    }

    /// Settles a formula that may come to anything.
    pub fn formula(&mut self, formula: &Formula) -> Expression {
        let place = formula.place;
        match &formula.kind {
            FormulaKind::Amount(amount) => self.amount(amount, None),
            FormulaKind::Text(text) => Expression { place, kind: Type::Text, does: Does::Text(text.clone()) },
            FormulaKind::Date(moment) => {
                Expression { place, kind: Type::Date { hour: moment.has_hour() }, does: Does::Date(*moment) }
            }
            FormulaKind::Name(name) => self.name(name),
            FormulaKind::Member(table, member) => self.member(table, member),
            FormulaKind::Call(function, arguments) => calls::call(self, place, function, arguments),
            FormulaKind::Negative(inner) => self.negative(place, inner),
            FormulaKind::Not(inner) => {
                let inner = self.condition(inner);
                yes_no(place, Does::Not(Box::new(inner)))
            }
            FormulaKind::Arithmetic(operator, left, right) => self.arithmetic(place, *operator, left, right),
            FormulaKind::Comparison(relation, left, right) => self.comparison(place, *relation, left, right),
            FormulaKind::Both(left, right) => {
                let (left, right) = (self.condition(left), self.condition(right));
                yes_no(place, Does::Both(Box::new(left), Box::new(right)))
            }
            FormulaKind::Either(left, right) => {
                let (left, right) = (self.condition(left), self.condition(right));
                yes_no(place, Does::Either(Box::new(left), Box::new(right)))
            }
            FormulaKind::To(low, high) => self.to(place, low, high),
            FormulaKind::Share(share, whole) => self.share(place, share, whole),
            FormulaKind::WithinRange(value, range) => self.within_range(place, value, range),
            FormulaKind::WithinDistance(value, amount, base) => self.within_distance(place, value, amount, base),
            FormulaKind::If(condition, then, otherwise) => self.choose(place, condition, then, otherwise),
        }
    }

    /// Settles a formula that must come to yes or no.
    pub fn condition(&mut self, formula: &Formula) -> Expression {
        let settled = self.formula(formula);
        match settled.kind {
            Type::YesNo | Type::Unknown => settled,
            ref other => {
                let found = self.describe(other);
                self.refuse(formula.place, Kind::NoCondition { found })
            }
        }
    }

    /// Settles a formula that must come to one number (or range), not to several.
    pub fn one_number(&mut self, formula: &Formula) -> Option<(Expression, NumberType)> {
        let settled = self.formula(formula);
        self.as_one_number(settled)
    }

    /// Takes a settled formula as one number, or notes why it is none.
    pub fn as_one_number(&mut self, settled: Expression) -> Option<(Expression, NumberType)> {
        match &settled.kind {
            Type::Number(number) => {
                let number = number.clone();
                Some((settled, number))
            }
            Type::Unknown => None,
            Type::Several(_) => {
                self.refuse_several(&settled);
                None
            }
            other => {
                let found = self.describe(other);
                self.refuse(settled.place, Kind::NoNumber { found });
                None
            }
        }
    }

    /// `catch has 3 readings; write mean(catch)`
    pub fn refuse_several(&mut self, settled: &Expression) {
        if settled.kind.is_unknown() {
            return;
        }
        let name = self.scope.text(settled.place);
        let count = self.scope.count_of(settled);
        self.refuse(settled.place, Kind::ReadingsAsOne { mean: format!("mean({name})"), name, count });
    }

    /// A type in the trade's words.
    pub fn describe(&self, kind: &Type) -> String {
        match kind {
            Type::Number(number) if number.is_range() => {
                format!("a range of {}", described(number, self.scope.measures))
            }
            Type::Number(number) => described(number, self.scope.measures),
            Type::Text => "text".to_owned(),
            Type::Date { hour: true } => "a date with an hour".to_owned(),
            Type::Date { .. } => "a date".to_owned(),
            Type::YesNo => "yes or no".to_owned(),
            Type::Several(each) => format!("several values, each {}", self.describe(each)),
            Type::Unknown => "something that could not be read".to_owned(),
        }
    }

    /// What a value is called and is, for messages: `strip length is a length (ft)`.
    fn named(&self, settled: &Expression) -> String {
        format!("{} is {}", self.scope.text(settled.place), self.describe(&settled.kind))
    }

    /// A number with its unit; where it says none, it has that of `unsaid`.
    fn amount(&mut self, amount: &Amount, unsaid: Option<&NumberType>) -> Expression {
        let settled = {
            let scope = &self.scope;
            let is_name = |key: &str| scope.is_name(key);
            literals::settle_amount(scope.measures, amount, unsaid, Position::Value, &is_name)
        };
        let settled = match settled {
            Ok(settled) => settled,
            Err(trouble) => {
                self.troubles.push(self.scope.with_factor(trouble, amount));
                return unknown(amount.place);
            }
        };
        if let Some((reading, product)) = self.label_or_name(amount, &settled.kind) {
            return self.refuse(amount.place, Kind::ShareOrSubstance { reading, product });
        }
        let number = self.literal_number(amount, &settled);
        settled.names.iter().fold(number, |left, (joint, name)| {
            let right = self.name(name);
            let place = left.place.to(right.place);
            let operator = if *joint == Joint::Times { Operator::Times } else { Operator::Over };
            self.combined(place, operator, left, right)
        })
    }

    /// A number, times the sizes of the crew measures it is counted in.
    fn literal_number(&mut self, amount: &Amount, settled: &literals::SettledAmount) -> Expression {
        let place = amount.place;
        let number = Measured::exact(settled.number.unwrap_or_default());
        let kind = Type::Number(settled.kind.clone());
        let mut whole = Expression { place, kind: kind.clone(), does: Does::Number(number) };
        for (word, twelfths) in settled.kind.unit.crew_words() {
            let Some(slot) = self.scope.crew_slot(word) else { continue };
            let size = Expression { place, kind: kind.clone(), does: Does::Slot(slot) };
            let power = f64::from(twelfths.abs()) / f64::from(WHOLE);
            let exponent = Expression { place, kind: Type::plain(), does: Does::Number(Measured::exact(power)) };
            let raised = Does::Arithmetic(Operator::Power, Box::new(size.clone()), Box::new(exponent));
            let factor = if power == 1.0 { size } else { Expression { place, kind: kind.clone(), does: raised } };
            let operator = if twelfths > 0 { Operator::Times } else { Operator::Over };
            whole = Expression {
                place,
                kind: kind.clone(),
                does: Does::Arithmetic(operator, Box::new(whole), Box::new(factor)),
            };
        }
        whole
    }

    /// `0.25 % v/v of tank` and `1/2 of tank`, where `tank` is a name.
    fn label_or_name(&self, amount: &Amount, kind: &NumberType) -> Option<(String, String)> {
        let term = amount.parts.last()?.unit.as_ref()?.terms.last()?;
        let label = term.label.as_ref()?;
        let is_ratio = kind.dimension.is_plain() && (kind.ratio.is_some() || term.words.is_empty());
        (is_ratio && self.scope.is_name(&label.key)).then(|| {
            let text = self.scope.text(amount.place);
            let number = text.split(" of ").next().unwrap_or(&text).to_owned();
            (text.clone(), format!("{number} * {}", label.written))
        })
    }

    /// A name by itself.
    pub fn name(&mut self, name: &Name) -> Expression {
        let place = name.place;
        if let Some(expression) = self.scope.cell(name) {
            return expression;
        }
        match self.scope.find(&name.key) {
            Some(Named::Slot(slot)) => self.scope.slot(slot, place),
            Some(Named::Sheet) => self.refuse(place, Kind::SheetAsValue { name: name.written.clone() }),
            Some(Named::Table(table)) => {
                let (name, offer) = (name.written.clone(), self.scope.column_offer(table));
                self.refuse(place, Kind::TableAsValue { name, offer })
            }
            None => self.constant_or_missing(name),
        }
    }

    fn constant_or_missing(&mut self, name: &Name) -> Expression {
        let place = name.place;
        if self.scope.is_column_of_choice(&name.key) {
            return self.refuse(place, Kind::ChoiceRightSide { name: name.written.clone() });
        }
        match name.key.as_str() {
            "pi" => {
                Expression { place, kind: Type::plain(), does: Does::Number(Measured::exact(std::f64::consts::PI)) }
            }
            "today" => {
                self.asks_today = true;
                Expression { place, kind: Type::Date { hour: false }, does: Does::Today }
            }
            "yes" => yes_no(place, Does::YesNo(true)),
            "no" => yes_no(place, Does::YesNo(false)),
            key if self.scope.is_unread(key) => unknown(place),
            _ => {
                let kind = self.scope.missing(name);
                self.refuse(place, kind)
            }
        }
    }

    fn member(&mut self, table: &Name, member: &Name) -> Expression {
        let place = table.place.to(member.place);
        match self.scope.find(&table.key) {
            Some(Named::Table(index)) => match self.scope.column(index, &member.key, place) {
                Some(column) => column,
                None => {
                    let near = self.scope.nearest_column(index, &member.key, false);
                    self.refuse(
                        member.place,
                        Kind::MissingMember { table: table.written.clone(), column: member.written.clone(), near },
                    )
                }
            },
            Some(Named::Sheet) => match self.scope.find(&format!("{}.{}", table.key, member.key)) {
                Some(Named::Slot(slot)) => self.scope.slot(slot, place),
                _ => self.refuse(
                    member.place,
                    Kind::MissingMember {
                        table: table.written.clone(),
                        column: member.written.clone(),
                        near: String::new(),
                    },
                ),
            },
            Some(Named::Slot(slot)) if self.scope.slot_type(slot).is_unknown() => unknown(place),
            // Defined twice, and the other one may be the table.
            Some(Named::Slot(_)) if self.scope.is_unread(&table.key) => unknown(place),
            Some(Named::Slot(_)) => self.refuse(place, Kind::NotATable { name: table.written.clone() }),
            None if self.scope.is_unread(&table.key) => unknown(place),
            None => {
                let kind = self.scope.missing(table);
                self.refuse(table.place, kind)
            }
        }
    }

    fn negative(&mut self, place: Place, inner: &Formula) -> Expression {
        let Some((inner, number)) = self.one_number(inner) else { return unknown(place) };
        if number.is_point {
            return self.refuse(place, Kind::PointMultiplied);
        }
        if number.is_open() {
            return self.refuse(place, Kind::OpenRange);
        }
        Expression { place, kind: Type::Number(number), does: Does::Negative(Box::new(inner)) }
    }

    fn arithmetic(&mut self, place: Place, operator: Operator, left: &Formula, right: &Formula) -> Expression {
        if operator == Operator::Over
            && let Some(kind) = self.unit_after_division(left, right)
        {
            return self.refuse(place, kind);
        }
        let (left, right) = (self.formula(left), self.formula(right));
        self.combined(place, operator, left, right)
    }

    /// `14 fl oz / gal` and `a / 2 fl oz / gal`, where `gal` is no name.
    fn unit_after_division(&self, left: &Formula, right: &Formula) -> Option<Kind> {
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

    fn power(
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

    fn date_arithmetic(
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
                let unit = if *first && *second { "hr" } else { "day" };
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

    fn mismatch(&self, left: &Expression, one: &NumberType, right: &Expression, other: &NumberType) -> Kind {
        let instead = algebra::fluid_ounces(one, other);
        Kind::UnitMismatch { left: self.named(left), right: self.named(right), instead }
    }

    fn to(&mut self, place: Place, low: &Formula, high: &Formula) -> Expression {
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
        let labels = other.labels.clone();
        let origins = smallvec::smallvec![RangeOrigin { sheet: None, number: self.scope.range_number(place) }];
        let range = Some(RangeType { origins, has_low: true, has_high: true });
        let (unit, whole_units) = if one.unit.is_plain() {
            (other.unit.clone(), other.whole_units)
        } else {
            (one.unit.clone(), one.whole_units.clone())
        };
        let kind = NumberType { labels, range, unit, whole_units, ..one };
        Expression { place, kind: Type::Number(kind), does: Does::To(Box::new(low), Box::new(high)) }
    }

    /// A bare number right before `to` takes the unit of the number right after it: `1 to 3 mph`.
    fn bare_end(&mut self, low: &Formula, high: &Formula) -> Expression {
        let (FormulaKind::Amount(bare), FormulaKind::Amount(full)) = (&low.kind, &high.kind) else {
            return self.formula(low);
        };
        let scope = self.scope;
        let full = literals::settle_amount(scope.measures, full, None, Position::Value, &|key| scope.is_name(key));
        self.amount(bare, full.ok().map(|full| full.kind).as_ref())
    }

    fn share(&mut self, place: Place, share: &Formula, whole: &Formula) -> Expression {
        let (share, whole) = (self.one_number(share), self.one_number(whole));
        let (Some((share, _)), Some((whole, kind))) = (share, whole) else { return unknown(place) };
        if kind.is_point {
            return self.refuse(place, Kind::ShareOfPoint { instead: String::new() });
        }
        if kind.is_open() {
            return self.refuse(place, Kind::OpenRange);
        }
        Expression { place, kind: Type::Number(kind), does: Does::Share(Box::new(share), Box::new(whole)) }
    }

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

    fn comparison(&mut self, place: Place, relation: Relation, left: &Formula, right: &Formula) -> Expression {
        let (left, right) = (self.formula(left), self.formula(right));
        self.compared(place, relation, left, right)
    }

    fn compared(&mut self, place: Place, relation: Relation, left: Expression, right: Expression) -> Expression {
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

    fn within_range(&mut self, place: Place, value: &Formula, range: &Formula) -> Expression {
        let (value, range) = (self.formula(value), self.formula(range));
        self.in_range(place, value, range)
    }

    fn in_range(&mut self, place: Place, value: Expression, range: Expression) -> Expression {
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

    fn within_distance(&mut self, place: Place, value: &Formula, amount: &Formula, base: &Formula) -> Expression {
        let value = self.formula(value);
        self.near(place, value, amount, base)
    }

    fn near(&mut self, place: Place, value: Expression, amount: &Formula, base: &Formula) -> Expression {
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

    fn choose(&mut self, place: Place, condition: &Formula, then: &Formula, otherwise: &Formula) -> Expression {
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

    fn same_branch(
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
                Some(RangeType {
                    origins,
                    has_low: first.has_low && second.has_low,
                    has_high: first.has_high && second.has_high,
                })
            }
            (first, second) => first.clone().or_else(|| second.clone()),
        };
        Ok(Type::Number(kind))
    }
}

/// What stands in the place of a formula that could not be settled.
pub fn unknown(place: Place) -> Expression {
    Expression { place, kind: Type::Unknown, does: Does::YesNo(false) }
}

fn yes_no(place: Place, does: Does) -> Expression {
    Expression { place, kind: Type::YesNo, does }
}

/// The number of a formula of plain numbers alone: `2`, `-1`, `(1/3)`.
pub fn constant(expression: &Expression) -> Option<f64> {
    match &expression.does {
        Does::Number(number) => Some(number.value),
        Does::Negative(inner) => constant(inner).map(|number| -number),
        Does::Arithmetic(operator, left, right) => {
            let (left, right) = (constant(left)?, constant(right)?);
            match operator {
                Operator::Plus => Some(left + right),
                Operator::Minus => Some(left - right),
                Operator::Times => Some(left * right),
                Operator::Over => Some(left / right),
                Operator::Power => None,
            }
        }
        _ => None,
    }
}
