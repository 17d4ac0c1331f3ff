//! Written values settled: numbers in SI units with their type, `±`, ranges, readings, blanks.

use super::algebra;
use super::model::{Blank, End, HalfWidth, Written, WrittenDoubt, WrittenValue};
use super::types::{NumberType, RangeType, Type};
use super::units::{Measures, Position};
use crate::syntax::tree::{self, Amount, Doubt, DoubtNature, Item, Literal, LiteralKind, OpenSide, OtherKind};
use crate::text::{Place, Source, single_spaced};
use crate::trouble::{Kind, Trouble};
use crate::units::dimension::WHOLE;
use crate::units::vocabulary::{EntryKind, Ratio};
use crate::units::{Base, Dimension, Factor, Labels, Substance, describe};
use compact_str::CompactString;
use smallvec::{SmallVec, smallvec};

type Settled<T> = Result<T, Trouble>;

/// What is needed to settle written values.
pub struct Literals<'a> {
    /// Units and crew measures.
    pub measures: &'a Measures,
    /// The texts, for showing values as they were written.
    pub sources: &'a [Source],
    /// The blanks met so far.
    pub blanks: &'a mut Vec<Blank>,
}

/// An amount in SI units.
struct Settling {
    number: Option<f64>,
    kind: NumberType,
    crew: Vec<(u16, i16)>,
    place: Place,
    has_unit: bool,
}

impl Literals<'_> {
    /// Settles a literal that is called `name`. Where it says no unit, it has that of `unsaid`.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn settle(&mut self, literal: &Literal, name: &str, unsaid: Option<&NumberType>) -> Settled<(Written, Type)> {
        let (value, kind) = match &literal.kind {
            LiteralKind::Text(text) => (WrittenValue::Text(text.clone()), Type::Text),
            LiteralKind::Date(moment) => (WrittenValue::Date(*moment), Type::Date { hour: moment.has_hour() }),
            LiteralKind::YesNo(yes) => (WrittenValue::YesNo(*yes), Type::YesNo),
            LiteralKind::Blank(other) => {
                let blank = self.blank(name, literal.place, Some(other_words(*other).into()), Labels::none());
                (WrittenValue::Blank(blank), other_type(*other))
            }
            LiteralKind::Open(side, item) => self.open(*side, item, name, unsaid)?,
            LiteralKind::Items(items) => match items.as_slice() {
                [item] => self.item(item, name, unsaid)?,
                several => self.readings(several, name, unsaid)?,
            },
        };
        let (text, doubt_text) = self.as_written(literal);
        let says_unit = says_unit(literal);
        Ok((Written { place: literal.place, value, text, doubt_text, says_unit }, kind))
    }

    /// Settles the size of a crew measure.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn settle_item(&mut self, item: &Item, name: &str) -> Settled<(Written, Type)> {
        let literal = Literal { place: item.place, kind: LiteralKind::Items(vec![item.clone()]) };
        self.settle(&literal, name, None)
    }

    /// Settles the device's `±` in a column's head.
    ///
    /// # Errors
    /// What is wrong with it.
    pub fn column_doubt(&self, doubt: &Doubt, kind: &NumberType, name: &str) -> Settled<WrittenDoubt> {
        self.doubt(doubt, kind, name)
    }

    fn blank(&mut self, name: &str, place: Place, unit: Option<CompactString>, labels: Labels) -> usize {
        self.blanks.push(Blank { name: name.to_owned(), place, unit, labels });
        self.blanks.len() - 1
    }

    fn item(&mut self, item: &Item, name: &str, unsaid: Option<&NumberType>) -> Settled<(WrittenValue, Type)> {
        let Some((upper, upper_doubt)) = &item.upper else {
            let amount = self.amount_with(&item.amount, item.doubt.as_ref(), unsaid)?;
            let end = self.end(&amount, item.doubt.as_ref(), name)?;
            return Ok((WrittenValue::Number(end), Type::Number(NumberType { is_named: true, ..amount.kind })));
        };
        let high = self.amount_with(upper, upper_doubt.as_ref(), unsaid)?;
        let unsaid = if high.has_unit { Some(&high.kind) } else { unsaid };
        let mut low = self.amount_with(&item.amount, item.doubt.as_ref(), unsaid)?;
        if low.has_unit && !high.has_unit {
            return Err(Trouble::new(item.place, Kind::HalfSaidUnit { unit: self.symbol(&low.kind).into() }));
        }
        if !low.has_unit {
            low.crew = high.crew.clone();
        }
        let kind = self.same_kind(low.kind.clone(), &high.kind, item.place)?;
        if let (Some(from), Some(until)) = (low.number, high.number)
            && low.crew == high.crew
            && from > until
        {
            return Err(Trouble::new(item.place, self.backward(&item.amount, upper)));
        }
        let low_end = self.end(&low, item.doubt.as_ref(), name)?;
        let high_end = self.end(&high, upper_doubt.as_ref(), name)?;
        let range = Some(Box::new(RangeType { has_low: true, has_high: true, ..RangeType::default() }));
        Ok((
            WrittenValue::Range(Some(low_end), Some(high_end)),
            Type::Number(NumberType { range, is_named: true, ..kind }),
        ))
    }

    /// `3 to 1 fl oz`, and the same turned round, the unit at the end.
    fn backward(&self, low: &Amount, high: &Amount) -> Kind {
        let has_unit = low.parts.iter().any(|part| part.unit.is_some());
        let (first, last) = (self.slice(low.place), self.slice(high.place));
        let figures = self.figures(high, true);
        let unit = last.strip_prefix(&figures).unwrap_or_default();
        let turned = if has_unit { format!("{last} to {first}") } else { format!("{figures} to {first}{unit}") };
        Kind::BackwardRange { low: first, high: last, turned }
    }

    fn open(
        &mut self,
        side: OpenSide,
        item: &Item,
        name: &str,
        unsaid: Option<&NumberType>,
    ) -> Settled<(WrittenValue, Type)> {
        let amount = self.amount_with(&item.amount, item.doubt.as_ref(), unsaid)?;
        let end = self.end(&amount, item.doubt.as_ref(), name)?;
        let (low, high) = match side {
            OpenSide::Low => (None, Some(end)),
            OpenSide::High => (Some(end), None),
        };
        let range =
            Some(Box::new(RangeType { has_low: low.is_some(), has_high: high.is_some(), ..RangeType::default() }));
        Ok((WrittenValue::Range(low, high), Type::Number(NumberType { range, is_named: true, ..amount.kind })))
    }

    fn readings(&mut self, items: &[Item], name: &str, unsaid: Option<&NumberType>) -> Settled<(WrittenValue, Type)> {
        let Some((last, others)) = items.split_last() else {
            return Err(Trouble::new(Place::default(), Kind::MissingValue));
        };
        let final_amount = self.amount_with(&last.amount, last.doubt.as_ref(), unsaid)?;
        let kind = final_amount.kind.clone();
        let crew = final_amount.crew.clone();
        let mut numbers = Vec::with_capacity(items.len());
        for item in others {
            let amount = self.amount(&item.amount, Some(&final_amount.kind))?;
            if amount.has_unit && amount.crew != crew {
                let unit = self.symbol(&kind);
                return Err(Trouble::new(item.place, Kind::ReadingInOtherMeasure { unit: unit.into() }));
            }
            self.same_kind(amount.kind, &kind, item.place)?;
            numbers.push((amount.number, item.place));
        }
        numbers.push((final_amount.number, last.place));
        let doubt = last.doubt.as_ref().map(|doubt| self.doubt(doubt, &kind, name)).transpose()?;
        let readings = numbers.into_iter().enumerate().map(|(index, (number, place))| {
            number.ok_or_else(|| {
                let unit = self.blank_unit(&kind);
                self.blank(&format!("{name}, reading {}", index + 1), place, unit, kind.labels.clone())
            })
        });
        let numbers = readings.collect();
        let each = Type::Number(NumberType { is_named: true, ..kind });
        Ok((WrittenValue::Readings(numbers, doubt, crew), Type::Several(Box::new(each))))
    }

    /// An amount with the `±` behind it: in `28 ± 1 in` the unit stands after the ± for both.
    fn amount_with(&self, amount: &Amount, doubt: Option<&Doubt>, unsaid: Option<&NumberType>) -> Settled<Settling> {
        let own = self.amount(amount, unsaid)?;
        let Some(doubt) = doubt.filter(|_| !own.has_unit) else { return Ok(own) };
        let given = self.distance(&doubt.amount)?;
        if !given.has_unit || is_of_value(&given.kind) {
            return Ok(own);
        }
        let unit = &given.kind.unit;
        // Of another scale (`60 ± 1 Δ°C` in a column of °F) it may be the unit of both.
        let is_difference = |unsaid: &NumberType| unsaid.is_point && *unit == algebra::difference_unit(&unsaid.unit);
        match unsaid {
            None => {
                let kind = NumberType { is_point: unit.is_point(), ..given.kind };
                Ok(Settling { has_unit: true, ..self.amount(amount, Some(&kind))? })
            }
            Some(unsaid)
                if unsaid.dimension == given.kind.dimension && unsaid.unit != *unit && !is_difference(unsaid) =>
            {
                let figures = self.slice(amount.place);
                let text = format!("{figures} ± {}", self.slice(doubt.amount.place));
                let first = format!("{figures} {}", self.symbol(unsaid)).trim_end().to_owned();
                let second = format!("{figures} {}", self.symbol(&given.kind));
                Err(Trouble::new(amount.place.to(doubt.place), Kind::UnitOfDoubt { text, first, second }))
            }
            Some(_) => Ok(own),
        }
    }

    fn end(&mut self, amount: &Settling, doubt: Option<&Doubt>, name: &str) -> Settled<End> {
        let doubt = doubt.map(|doubt| self.doubt(doubt, &amount.kind, name)).transpose()?;
        let blank = match amount.number {
            Some(_) => None,
            None => {
                let unit = self.blank_unit(&amount.kind);
                Some(self.blank(name, amount.place, unit, amount.kind.labels.clone()))
            }
        };
        Ok(End { number: amount.number, blank, doubt, crew: amount.crew.clone() })
    }

    fn doubt(&self, doubt: &Doubt, kind: &NumberType, name: &str) -> Settled<WrittenDoubt> {
        let given = self.distance(&doubt.amount)?;
        let number = match given.number {
            Some(number) if number >= 0.0 && !doubt.amount.negative => number,
            Some(_) => return Err(Trouble::new(doubt.place, Kind::NegativeDoubt)),
            None => return Err(Trouble::new(doubt.place, Kind::BlankDoubt)),
        };
        if given.kind.ratio == Some(Ratio::Percent) {
            let half_width = self.share_doubt(doubt, kind, number)?;
            return Ok(WrittenDoubt { half_width, crew: Vec::new(), nature: doubt.nature, name: name.into() });
        }
        if !given.has_unit {
            // A bare number is in the unit of the value, crew measures and all.
            let half_width = HalfWidth::Absolute(number * kind.unit.size());
            let crew = kind.unit.crew_words().collect();
            return Ok(WrittenDoubt { half_width, crew, nature: doubt.nature, name: name.into() });
        }
        if given.kind.dimension != kind.dimension {
            let instead = algebra::what_would_go(kind, &given.kind);
            let (value, own) = (self.described(kind), self.described(&given.kind));
            return Err(Trouble::new(doubt.place, Kind::DoubtMismatch { value, doubt: own, instead }));
        }
        let half_width = HalfWidth::Absolute(number);
        Ok(WrittenDoubt { half_width, crew: given.crew, nature: doubt.nature, name: name.into() })
    }

    fn share_doubt(&self, doubt: &Doubt, kind: &NumberType, share: f64) -> Settled<HalfWidth> {
        if kind.is_point {
            let difference = self.symbol(&NumberType { unit: algebra::difference_unit(&kind.unit), ..kind.clone() });
            let instead = format!("± 2 {difference}");
            return Err(Trouble::new(doubt.place, Kind::ShareOfPoint { instead }));
        }
        if kind.ratio.is_some() {
            let text = self.slice(doubt.amount.place);
            return Err(Trouble::new(doubt.place, Kind::PercentOfPercentage { points: text.replace('%', "points") }));
        }
        Ok(HalfWidth::Share(share))
    }

    /// The amount of a `±`: a difference, where the value is a point.
    fn distance(&self, amount: &Amount) -> Settled<Settling> {
        let mut settled = self.amount_in(amount, None, Position::Distance)?;
        settled.kind.is_point = false;
        Ok(settled)
    }

    fn amount(&self, amount: &Amount, unsaid: Option<&NumberType>) -> Settled<Settling> {
        self.amount_in(amount, unsaid, Position::Value)
    }

    fn amount_in(&self, amount: &Amount, unsaid: Option<&NumberType>, position: Position) -> Settled<Settling> {
        let settled = settle_amount(self.measures, amount, unsaid, position, &|_| false)
            .map_err(|trouble| self.measures.substance_in(trouble, amount, &|place| self.slice(place)))?;
        let crew = settled.kind.unit.crew_words().collect();
        let SettledAmount { number, kind, has_unit, .. } = settled;
        Ok(Settling { number, kind, crew, place: amount.place, has_unit })
    }

    /// Two ends or readings of one thing: the same dimension, and labels that agree; the last one's holds for all.
    fn same_kind(&self, first: NumberType, last: &NumberType, place: Place) -> Settled<NumberType> {
        if first.dimension != last.dimension || first.is_point != last.is_point {
            return Err(Trouble::new(
                place,
                Kind::EndsMismatch {
                    first: self.described(&first),
                    second: self.described(last),
                    instead: algebra::what_would_go(&first, last),
                },
            ));
        }
        if first.labels.is_empty() || first.labels == last.labels {
            return Ok(NumberType { labels: last.labels.clone(), share: last.share.clone(), ..first });
        }
        Err(Trouble::new(place, Kind::LabelsOfOneList { first: label_words(&first), second: label_words(last) }))
    }

    fn blank_unit(&self, kind: &NumberType) -> Option<CompactString> {
        let symbol = self.symbol(kind);
        (!symbol.is_empty()).then_some(symbol)
    }

    fn symbol(&self, kind: &NumberType) -> CompactString {
        kind.unit.symbol(&self.measures.crew)
    }

    fn described(&self, kind: &NumberType) -> String {
        described(kind, self.measures)
    }

    fn slice(&self, place: Place) -> String {
        let text = self.sources.get(usize::from(place.source)).map_or("", |source| source.slice(place));
        single_spaced(text)
    }

    /// The figures as they were written, and those of the `±`.
    fn as_written(&self, literal: &Literal) -> (String, String) {
        match &literal.kind {
            LiteralKind::Text(text) => (text.clone(), String::new()),
            LiteralKind::Date(moment) => (moment.to_string(), String::new()),
            LiteralKind::YesNo(yes) => ((if *yes { "yes" } else { "no" }).to_owned(), String::new()),
            LiteralKind::Blank(_) => (String::new(), String::new()),
            LiteralKind::Open(side, item) => {
                let word = if *side == OpenSide::Low { "up to" } else { "at least" };
                (
                    format!("{word} {}", self.figures(&item.amount, true)),
                    self.doubt_figures(item.doubt.as_ref(), &item.amount),
                )
            }
            LiteralKind::Items(items) => {
                let alike = one_unit(&amounts(literal));
                let text = match items.as_slice() {
                    [item] => self.item_figures(item, alike),
                    items => items.iter().map(|item| self.item_figures(item, alike)).collect::<Vec<_>>().join(", "),
                };
                // The ± of a list is that of its last; those of a range stand with its ends.
                let last = items.last().filter(|item| item.upper.is_none());
                let doubt = last.map_or_else(String::new, |item| self.doubt_figures(item.doubt.as_ref(), &item.amount));
                (text, doubt)
            }
        }
    }

    fn item_figures(&self, item: &Item, alike: bool) -> String {
        let low = self.figures(&item.amount, alike);
        let Some((upper, upper_doubt)) = &item.upper else { return low };
        let end = |figures: String, amount: &Amount, doubt: &Option<Doubt>| match doubt {
            Some(doubt) => format!("{figures} ± {}", self.doubt_figures(Some(doubt), amount)),
            None => figures,
        };
        let low = end(low, &item.amount, &item.doubt);
        format!("{low} to {}", end(self.figures(upper, alike), upper, upper_doubt))
    }

    /// An amount's figures: the number alone where one unit holds for all, else all of it.
    fn figures(&self, amount: &Amount, alike: bool) -> String {
        match amount.parts.as_slice() {
            [part] if part.number.is_none() => "____".to_owned(),
            [part] if alike => {
                let figures = self.slice(number_place(part.place, amount.place, self));
                if amount.negative { format!("-{figures}") } else { figures }
            }
            _ => self.slice(amount.place),
        }
    }

    fn doubt_figures(&self, doubt: Option<&Doubt>, amount: &Amount) -> String {
        let Some(doubt) = doubt else { return String::new() };
        // The percent of `28 ± 1 %` is not the unit of 28.
        let is_of_value = self.distance(&doubt.amount).is_ok_and(|own| is_of_value(&own.kind));
        let same = !is_of_value && one_unit(&[amount, &doubt.amount]);
        let figures = self.figures(&doubt.amount, same);
        match doubt.nature {
            DoubtNature::Limit => format!("{figures} at most"),
            DoubtNature::Freedom(freedom) => format!("{figures} ({freedom} df)"),
            DoubtNature::Sure => figures,
        }
    }
}

/// Whether a `±` is in percent or points, which say nothing of the unit of the value.
fn is_of_value(doubt: &NumberType) -> bool {
    let is_points = |factor: &Factor| factor.entry().is_some_and(|entry| entry.kind == EntryKind::Points);
    doubt.ratio == Some(Ratio::Percent) || doubt.unit.factors.iter().any(is_points)
}

/// Whether the figures say their units themselves: an amount in several parts, or amounts in different units.
fn says_unit(literal: &Literal) -> bool {
    !one_unit(&amounts(literal))
}

/// The amounts of a written value whose figures stand in one row; the `±` of a range stand with its ends.
fn amounts(literal: &Literal) -> Amounts<'_> {
    match &literal.kind {
        LiteralKind::Open(_, item) => smallvec![&item.amount],
        LiteralKind::Items(items) => items.iter().flat_map(of_item).collect(),
        _ => Amounts::new(),
    }
}

fn of_item(item: &Item) -> Amounts<'_> {
    let Some((upper, upper_doubt)) = &item.upper else { return smallvec![&item.amount] };
    let doubts = item.doubt.iter().chain(upper_doubt).map(|doubt| &doubt.amount);
    [&item.amount, upper].into_iter().chain(doubts).collect()
}

/// Most values have one amount, a range two to four.
type Amounts<'a> = SmallVec<[&'a Amount; 4]>;

/// The number of a part of money stands after its sign.
fn number_place(part: Place, amount: Place, literals: &Literals<'_>) -> Place {
    let text = literals.sources.get(usize::from(part.source)).map_or("", |source| source.slice(part));
    let shown = text.trim_start_matches(['$', '£', '€', ' ']);
    let skipped = text.len() - shown.len();
    let end = if skipped > 0 { shown.find([' ', '/']).map_or(shown.len(), |index| index) } else { shown.len() };
    let start = part.start as usize + skipped;
    Place::new(amount.source, start, start + end)
}

/// Whether all amounts that say a unit say the same one, in single parts.
fn one_unit(amounts: &[&Amount]) -> bool {
    let mut units = amounts.iter().flat_map(|amount| &amount.parts).filter_map(|part| part.unit.as_ref());
    let first = units.next();
    amounts.iter().all(|amount| amount.parts.len() == 1)
        && units.all(|other| first.is_some_and(|first| is_same(first, other)))
}

/// Whether two units are written in the same words, in whatever letters.
fn is_same(one: &tree::Unit, other: &tree::Unit) -> bool {
    one.terms.iter().map(words).eq(other.terms.iter().map(words))
}

fn words(term: &tree::Term) -> (String, i16) {
    (term.words.to_lowercase(), term.power)
}

/// An amount settled, and the names that stand in its unit's place in a formula.
pub struct SettledAmount {
    /// The number in SI units (crew measures as 1); `None` for a blank.
    pub number: Option<f64>,
    /// Its type.
    pub kind: NumberType,
    /// Whether it says a unit.
    pub has_unit: bool,
    /// Names behind it, as in `2 ft/height`.
    pub names: Vec<(crate::syntax::tree::Joint, crate::syntax::tree::Name)>,
}

/// Settles an amount: its parts in SI units, added up. Where it says no unit, it has that of `unsaid`.
///
/// # Errors
/// A word that is no unit, or parts that make no one amount.
pub fn settle_amount(
    measures: &Measures,
    amount: &Amount,
    unsaid: Option<&NumberType>,
    position: Position,
    is_name: &dyn Fn(&str) -> bool,
) -> Settled<SettledAmount> {
    let sign = if amount.negative { -1.0 } else { 1.0 };
    let units = amount
        .parts
        .iter()
        .map(|part| part.unit.as_ref().map(|unit| measures.settle(unit, position, is_name)).transpose());
    let units = units.collect::<Settled<SmallVec<[_; 1]>>>()?;
    if let ([part], [unit]) = (amount.parts.as_slice(), units.as_slice()) {
        let is_bare = unit.as_ref().is_none_or(|unit| {
            unit.kind.unit.is_plain() && unit.kind.labels.is_empty() || is_currency_of(&unit.kind, unsaid)
        });
        let kind = match (unit, unsaid) {
            (Some(unit), _) if !is_bare || !unit.names.is_empty() => unit.kind.clone(),
            (_, Some(unsaid)) => NumberType { range: None, ..unsaid.clone() },
            _ => NumberType::plain(),
        };
        // A distance on a temperature scale is a difference and never sees the scale's zero.
        let zero = if position == Position::Distance { 0.0 } else { kind.unit.zero() };
        let number = part.number.map(|number| sign * number.value * kind.unit.size() + zero);
        let names = unit.as_ref().map(|unit| unit.names.clone()).unwrap_or_default();
        return finite(amount, SettledAmount { number, kind, has_unit: !is_bare, names });
    }
    compound(measures, amount, &units, sign)
}

/// `$96` where dollars per gallon are expected: the sign stands for the unit that the column says.
fn is_currency_of(given: &NumberType, unsaid: Option<&NumberType>) -> bool {
    let Some(unsaid) = unsaid else { return false };
    let is_money = |dimension: &crate::units::Dimension| dimension.power_of(crate::units::Base::Money) != 0;
    let [own] = given.unit.factors.as_slice() else { return false };
    is_money(&given.dimension) && unsaid.unit.factors.len() > 1 && unsaid.unit.factors.first() == Some(own)
}

fn finite(amount: &Amount, settled: SettledAmount) -> Settled<SettledAmount> {
    let is_something = amount.parts.iter().any(|part| part.number.is_some_and(|number| number.value != 0.0));
    match settled.number {
        // What has fewer digits than it was written with, or none, would go on as another number.
        Some(number) if number.is_subnormal() || number == 0.0 && is_something && settled.kind.unit.zero() == 0.0 => {
            Err(Trouble::new(amount.place, Kind::NumberTooSmall))
        }
        Some(number) if !number.is_finite() => Err(Trouble::new(amount.place, Kind::NotFinite)),
        _ => Ok(settled),
    }
}

/// `5 ft 6 in`, `2 lb 4 oz per 1000 ft²`: largest unit first, one dimension; what stands per something stands last.
fn compound(
    measures: &Measures,
    amount: &Amount,
    units: &[Option<super::units::Settled>],
    sign: f64,
) -> Settled<SettledAmount> {
    let trouble = |kind| Err(Trouble::new(amount.place, kind));
    let Some(units) = units.iter().map(Option::as_ref).collect::<Option<Vec<_>>>() else {
        return trouble(Kind::CompoundWithoutUnit);
    };
    let Some((last, others)) = units.split_last() else { return trouble(Kind::MissingValue) };
    if units.iter().any(|unit| unit.kind.unit.crew_words().next().is_some()) {
        return trouble(Kind::CompoundCrew);
    }
    let labelled =
        |part: &tree::Part| part.unit.as_ref().is_some_and(|unit| unit.terms.iter().any(|term| term.label.is_some()));
    if amount.parts.iter().take(others.len()).any(labelled) {
        return trouble(Kind::CompoundLabel { instead: "as in 2 lb 4 oz of product".to_owned() });
    }
    let tail = crate::units::Unit { factors: last.kind.unit.factors.iter().skip(1).copied().collect() };
    let mut total = 0.0;
    let mut previous = f64::INFINITY;
    for (part, unit) in amount.parts.iter().zip(&units) {
        let is_last = std::ptr::eq(*unit, *last);
        let own = if is_last { unit.kind.unit.clone() } else { unit.kind.unit.times(&tail) };
        if own.dimension(&measures.crew) != last.kind.dimension {
            return trouble(compound_mismatch(measures, unit, last));
        }
        let whole = own.size();
        let Some(number) = part.number else { return trouble(Kind::CompoundBlank) };
        if whole >= previous {
            return trouble(Kind::CompoundOrder);
        }
        previous = whole;
        total += number.value * whole;
    }
    if last.kind.is_point {
        return trouble(Kind::CompoundUnit);
    }
    let first = others.first().unwrap_or(last);
    let kind =
        NumberType { labels: last.kind.labels.clone(), ..NumberType::of(first.kind.unit.times(&tail), &measures.crew) };
    finite(amount, SettledAmount { number: Some(sign * total), kind, has_unit: true, names: Vec::new() })
}

fn compound_mismatch(measures: &Measures, first: &super::units::Settled, last: &super::units::Settled) -> Kind {
    let symbol = |unit: &super::units::Settled| unit.kind.unit.symbol(&measures.crew);
    let instead = if symbol(last) == "oz" { "fl oz".to_owned() } else { String::new() };
    Kind::CompoundMismatch {
        first: symbol(first).into(),
        first_is: described(&first.kind, measures),
        second: symbol(last).into(),
        second_is: described(&last.kind, measures),
        instead,
    }
}

/// What a number is, in the trade's words with its unit: `a volume (gal)`.
pub fn described(kind: &NumberType, measures: &Measures) -> String {
    let symbol = kind.unit.symbol(&measures.crew);
    let words = match kind.is_point {
        true => "a temperature".to_owned(),
        false if kind.ratio.is_some() && !kind.unit.is_plain() => "a share".to_owned(),
        false if kind.dimension == Dimension::of(Base::Temperature, WHOLE) => "a difference of temperature".to_owned(),
        false => describe::describe_unit(&kind.unit, &measures.crew),
    };
    if symbol.is_empty() { words } else { format!("{words} ({symbol})") }
}

/// What a number is of, in words: `of N per product`, `of nothing named`.
pub fn label_words(kind: &NumberType) -> String {
    let list = |labels: Vec<String>| labels.join(" and ");
    let name = |(substance, count): (&Substance, i16)| {
        if count == 1 { substance.to_string() } else { format!("{substance} {count} times over") }
    };
    let above = list(kind.labels.all_above().map(name).collect());
    let below = list(kind.labels.all_below().map(name).collect());
    match (above.is_empty(), below.is_empty()) {
        (true, true) => "of nothing named".to_owned(),
        (false, true) => format!("of {above}"),
        (true, false) => format!("per something of {below}"),
        (false, false) => format!("of {above}, per something of {below}"),
    }
}

/// The kind of a blank that is no number, in words.
pub fn other_words(kind: OtherKind) -> &'static str {
    match kind {
        OtherKind::Text => "text",
        OtherKind::Date => "date",
        OtherKind::DateAndTime => "date and time",
        OtherKind::YesOrNo => "yes or no",
    }
}

/// The type of a blank that is no number.
pub fn other_type(kind: OtherKind) -> Type {
    match kind {
        OtherKind::Text => Type::Text,
        OtherKind::Date => Type::Date { hour: false },
        OtherKind::DateAndTime => Type::Date { hour: true },
        OtherKind::YesOrNo => Type::YesNo,
    }
}
