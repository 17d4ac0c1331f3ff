//! Formulas: puts the grammar's flat row of operands and operators into a tree, by precedence, and refuses rows that
//! have two readings.
//!
//! From loose to tight: `or`; `and`; `not`; comparisons and `within`; `to`; `+ -`; `* /`; `… % of`; unary minus; `^`.

mod unclear;

use super::parse::{Positioned, Read, Reader, Rule, all, exactly};
use super::tree::{Amount, Argument, Formula, FormulaKind, Name, Operator, Relation};
use super::{mistakes, values};
use crate::text::{Place, single_spaced};
use crate::trouble::{Kind, Trouble, instead};

/// A formula of the grammar as a tree.
pub(super) fn formula(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Formula> {
    let parts = pair.inner();
    let mut row = Vec::with_capacity(parts.len());
    for part in parts {
        push_token(reader, part, &mut row)?;
    }
    split_distances(&mut row);
    unclear::check_between(reader, &row)?;
    unclear::check_spacing(reader, &row)?;
    let end = row.len();
    let mut climber = Climber { reader, row: &mut row, next: 0 };
    climber.climb(Level::Or, end)
}

/// One element of the flat row.
#[derive(Debug, Clone)]
enum Token {
    Operand(Formula),
    Infix(Infix, Place),
    Minus(Place),
    Not(Place),
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Infix {
    Or,
    And,
    Relation(Relation),
    Within,
    To,
    Arithmetic(Operator),
    Of,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Level {
    Or,
    And,
    Not,
    Comparison,
    To,
    Sum,
    Product,
    Share,
    Negative,
    Power,
}

impl Infix {
    fn level(self) -> Level {
        match self {
            Self::Or => Level::Or,
            Self::And => Level::And,
            Self::Relation(_) | Self::Within => Level::Comparison,
            Self::To => Level::To,
            Self::Arithmetic(Operator::Plus | Operator::Minus) => Level::Sum,
            Self::Arithmetic(Operator::Times | Operator::Over) => Level::Product,
            Self::Of => Level::Share,
            Self::Arithmetic(Operator::Power) => Level::Power,
        }
    }

    /// An operator by its sign, or its words in whatever letters.
    fn read(text: &str) -> Self {
        let own = Self::named(text).or_else(|| Self::named(&single_spaced(&text.to_lowercase())));
        own.unwrap_or(Self::Arithmetic(Operator::Times))
    }

    fn named(text: &str) -> Option<Self> {
        Some(match text {
            "or" => Self::Or,
            "and" => Self::And,
            "within" => Self::Within,
            "to" => Self::To,
            "of" => Self::Of,
            "<" | "less than" => Self::Relation(Relation::Less),
            "<=" | "≤" | "at most" => Self::Relation(Relation::AtMost),
            ">" | "more than" => Self::Relation(Relation::More),
            ">=" | "≥" | "at least" => Self::Relation(Relation::AtLeast),
            "is" => Self::Relation(Relation::Is),
            "is not" => Self::Relation(Relation::IsNot),
            "+" => Self::Arithmetic(Operator::Plus),
            "-" | "−" => Self::Arithmetic(Operator::Minus),
            "/" | "÷" => Self::Arithmetic(Operator::Over),
            "^" => Self::Arithmetic(Operator::Power),
            "*" | "×" | "·" | "⋅" => Self::Arithmetic(Operator::Times),
            _ => return None,
        })
    }
}

fn push_token(reader: &Reader<'_>, part: Positioned<'_>, row: &mut Vec<Token>) -> Read<()> {
    let place = part.place();
    match part.rule() {
        Rule::negative => row.push(Token::Minus(place)),
        Rule::negated => row.push(Token::Not(place)),
        Rule::symbol | Rule::wording => row.push(Token::Infix(Infix::read(part.as_str()), place)),
        _ => row.push(Token::Operand(operand(reader, part)?)),
    }
    Ok(())
}

fn operand(reader: &Reader<'_>, part: Positioned<'_>) -> Read<Formula> {
    let place = part.place();
    let kind = match part.rule() {
        Rule::string => FormulaKind::Text(values::unquoted(part.as_str())),
        Rule::date => FormulaKind::Date(values::date(&part)?),
        Rule::quantity => {
            let amount = values::amount(reader, part)?;
            if let Some(blank) = amount.parts.iter().find(|part| part.number.is_none()) {
                return Err(Trouble::new(blank.place, Kind::BlankInFormula));
            }
            FormulaKind::Amount(amount)
        }
        Rule::bracketed => {
            let [inner] = exactly(part.inner())?;
            return Ok(Formula { place, ..formula(reader, inner)? });
        }
        Rule::choice => {
            let [condition, then, otherwise] = exactly(part.inner())?;
            let [condition, then, otherwise] =
                [formula(reader, condition)?, formula(reader, then)?, formula(reader, otherwise)?];
            FormulaKind::If(Box::new(condition), Box::new(then), Box::new(otherwise))
        }
        Rule::odd_call => {
            let [function, arguments] = exactly(part.inner())?;
            FormulaKind::Call(values::name(reader, &function), self::arguments(reader, arguments)?)
        }
        _ => reference(reader, part)?,
    };
    Ok(Formula { place, kind })
}

/// `strip length`, `passes.flow`, `mean(passes.flow)`
fn reference(reader: &Reader<'_>, part: Positioned<'_>) -> Read<FormulaKind> {
    let place = part.place();
    let mut parts = part.inner().into_iter();
    let Some(name) = parts.next() else { return Err(Trouble::new(place, Kind::MissingValue)) };
    let name = values::name(reader, &name);
    match parts.next() {
        None => Ok(FormulaKind::Name(name)),
        Some(next) if next.rule() == Rule::member => {
            let [member] = exactly(next.inner())?;
            Ok(FormulaKind::Member(name, values::name(reader, &member)))
        }
        Some(next) => Ok(FormulaKind::Call(name, arguments(reader, next)?)),
    }
}

fn arguments(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Vec<Argument>> {
    all(pair.inner(), |argument| {
        let mut parts = argument.inner().into_iter();
        let value = match parts.next() {
            Some(value) => formula(reader, value)?,
            None => return Err(Trouble::new(Place::default(), Kind::MissingValue)),
        };
        let choice = parts.next().map(|choice| formula(reader, choice)).transpose()?;
        Ok(Argument { value, choice })
    })
}

/// Puts `of` back as an operator where it is no substance's: after a bare `%` (`10 % of x`), and the first one after
/// `within` when no `to` stands before the comparison ends (`within 0.5 fl oz of y`).
fn split_distances(row: &mut Vec<Token>) {
    let mut index = 0;
    let mut in_distance = false;
    while let Some(token) = row.get(index) {
        match token {
            Token::Infix(Infix::Within, _) => in_distance = !has_to(row.get(index + 1..).unwrap_or(&[])),
            Token::Infix(Infix::Of, _) => in_distance = false,
            Token::Infix(infix, _) if infix.level() <= Level::Comparison => in_distance = false,
            Token::Operand(operand) => {
                if let Some(split) = split_label(operand, in_distance) {
                    row.splice(index..=index, split);
                    in_distance = false;
                    index += 2;
                }
            }
            _ => {}
        }
        index += 1;
    }
}

/// Whether a `to` stands before the comparison ends.
fn has_to(row: &[Token]) -> bool {
    row.iter()
        .take_while(|token| !matches!(token, Token::Infix(infix, _) if infix.level() <= Level::Comparison))
        .any(|token| matches!(token, Token::Infix(Infix::To, _)))
}

/// An amount whose last term's label is rather the thing it is a share or a distance of.
fn split_label(operand: &Formula, in_distance: bool) -> Option<[Token; 3]> {
    let FormulaKind::Amount(amount) = &operand.kind else { return None };
    let term = amount.parts.last()?.unit.as_ref()?.terms.last()?;
    let name = term.label.clone()?;
    if term.words != "%" && !in_distance {
        return None;
    }
    let (amount, place) = without_label(amount, &name)?;
    let of = Place { source: place.source, start: place.end, end: name.place.start };
    Some([
        Token::Operand(Formula { place, kind: FormulaKind::Amount(amount) }),
        Token::Infix(Infix::Of, of),
        Token::Operand(Formula { place: name.place, kind: FormulaKind::Name(name) }),
    ])
}

fn without_label(amount: &Amount, name: &Name) -> Option<(Amount, Place)> {
    let mut amount = amount.clone();
    let part = amount.parts.last_mut()?;
    let unit = part.unit.as_mut()?;
    let term = unit.terms.last_mut()?;
    term.label = None;
    let end = if term.words.is_empty() { part.place.end } else { term.words_place.end };
    term.place.end = end.max(term.place.start);
    let is_bare = term.words.is_empty();
    unit.place.end = end.max(unit.place.start);
    if is_bare {
        part.unit = None;
    }
    let place = Place { end: end.min(name.place.start), ..amount.place };
    amount.place = place;
    Some((amount, place))
}

/// Precedence climbing over the row.
struct Climber<'a> {
    reader: &'a Reader<'a>,
    row: &'a mut [Token],
    next: usize,
}

impl Climber<'_> {
    /// Reads all operators at least as tight as `level`, up to `end`.
    fn climb(&mut self, level: Level, end: usize) -> Read<Formula> {
        let mut left = self.prefixed(level, end)?;
        while self.next < end {
            let Some(&Token::Infix(infix, place)) = self.row.get(self.next) else { break };
            if infix.level() < level {
                break;
            }
            self.next += 1;
            left = self.infix(left, infix, place, end)?;
        }
        Ok(left)
    }

    fn prefixed(&mut self, level: Level, end: usize) -> Read<Formula> {
        let last = self.row.last().map_or_else(Place::default, token_place);
        let Some(token) = self.row.get_mut(self.next).filter(|_| self.next < end) else {
            return Err(self.missing_beside(last));
        };
        self.next += 1;
        match token {
            // Taken, not copied: what is nested 200 deep would be copied 200 times over. Its place stays for messages.
            Token::Operand(operand) => {
                let rest = Formula { place: operand.place, kind: FormulaKind::Text(String::new()) };
                Ok(std::mem::replace(operand, rest))
            }
            &mut Token::Minus(place) => {
                if let Some(amount) = self.negative_amount(place, end) {
                    return Ok(amount);
                }
                let operand = self.climb(Level::Negative, end)?;
                Ok(Formula { place: place.to(operand.place), kind: FormulaKind::Negative(Box::new(operand)) })
            }
            &mut Token::Not(place) if level <= Level::Not => {
                let operand = self.climb(Level::Not, end)?;
                Ok(Formula { place: place.to(operand.place), kind: FormulaKind::Not(Box::new(operand)) })
            }
            &mut Token::Not(place) => Err(Trouble::new(place, Kind::MisplacedNot)),
            &mut Token::Infix(_, place) => Err(self.missing_beside(place)),
        }
    }

    /// A minus right before a number belongs to it, as in an entry: `-10 °C` is a point, not the negative of one.
    fn negative_amount(&mut self, minus: Place, end: usize) -> Option<Formula> {
        let Token::Operand(Formula { kind: FormulaKind::Amount(amount), place }) =
            self.row.get(self.next).filter(|_| self.next < end)?
        else {
            return None;
        };
        let is_bracketed = self.reader.text(*place).starts_with('(');
        let is_raised =
            matches!(self.row.get(self.next + 1), Some(Token::Infix(Infix::Arithmetic(Operator::Power), _)));
        if is_bracketed || is_raised || amount.negative {
            return None;
        }
        self.next += 1;
        let place = minus.to(*place);
        let amount = Amount { negative: true, place, ..amount.clone() };
        Some(Formula { place, kind: FormulaKind::Amount(amount) })
    }

    fn missing_beside(&self, place: Place) -> Trouble {
        Trouble::new(place, Kind::MissingOperand { beside: self.reader.text(place).to_owned() })
    }

    fn infix(&mut self, left: Formula, infix: Infix, at: Place, end: usize) -> Read<Formula> {
        if infix == Infix::Within {
            return self.within(left, end);
        }
        let right = self.climb(tighter(infix.level()), end)?;
        let place = left.place.to(right.place);
        self.check_chain(infix, &left, &right, end)?;
        let (left, right) = (Box::new(left), Box::new(right));
        let kind = match infix {
            Infix::Or => FormulaKind::Either(left, right),
            Infix::And => FormulaKind::Both(left, right),
            Infix::Relation(relation) => FormulaKind::Comparison(relation, left, right),
            Infix::To => FormulaKind::To(left, right),
            Infix::Arithmetic(operator) => FormulaKind::Arithmetic(operator, left, right),
            Infix::Of => self.share(*left, *right, at)?,
            Infix::Within => return Err(self.missing_beside(at)),
        };
        Ok(Formula { place, kind })
    }

    /// `1 < x < 2` and `1 to 2 to 3` are refused.
    fn check_chain(&self, infix: Infix, left: &Formula, right: &Formula, end: usize) -> Read<()> {
        let Some(Token::Infix(following, sign)) = self.row.get(self.next).filter(|_| self.next < end) else {
            return Ok(());
        };
        let same = following.level() == infix.level();
        let stop = (self.next + 1..end).find(
            |index| matches!(self.row.get(*index), Some(Token::Infix(infix, _)) if infix.level() <= following.level()),
        );
        let (third, text) = self.stretch(self.next + 1, stop.unwrap_or(end));
        let place = left.place.to(third);
        match infix.level() {
            Level::Comparison if same => {
                let first = self.reader.text(left.place.to(right.place));
                let second = format!("{} {} {text}", self.reader.text(right.place), self.reader.text(*sign));
                let instead = format!("`{first} and {second}`");
                Err(Trouble::new(place, Kind::ChainedComparison { instead }))
            }
            Level::To if same => Err(Trouble::new(place, Kind::ChainedRange)),
            _ => Ok(()),
        }
    }

    /// Some tokens of the row: where they stand, and their text.
    fn stretch(&self, from: usize, until: usize) -> (Place, String) {
        let places = self.row.get(from..until).unwrap_or(&[]).iter().map(token_place);
        let place =
            places.reduce(Place::to).unwrap_or_else(|| self.row.last().map_or_else(Place::default, token_place));
        (place, self.reader.text(place).to_owned())
    }

    fn share(&self, share: Formula, whole: Formula, at: Place) -> Read<FormulaKind> {
        let is_share = matches!(&share.kind, FormulaKind::Amount(amount)
            if matches!(amount.parts.as_slice(), [part] if part.unit.as_ref().is_some_and(|unit| unit.terms.iter().all(|term| term.words == "%"))));
        match is_share {
            true => Ok(FormulaKind::Share(Box::new(share), Box::new(whole))),
            false => {
                let (left, right) = (self.reader.text(share.place), self.reader.text(whole.place));
                let functions = ["mean", "median", "average", "sum", "count", "min", "max", "sd", "cv", "spread"];
                let product = match functions.contains(&left.to_lowercase().as_str()) {
                    true => format!("{left}({right})"),
                    false => format!("{left} * {right}"),
                };
                let place = share.place.to(at).to(whole.place);
                // `2 lb of product 4 oz of product`
                let within = mistakes::label_within(self.reader.text(place));
                let within = within.map(|kind| match kind {
                    Kind::TwoThings { .. } => Kind::TwoThings { instead: instead::sign_between() },
                    kind => kind,
                });
                Err(Trouble::new(place, within.unwrap_or(Kind::OfBetweenValues { product })))
            }
        }
    }

    /// After `within`: a range, or a distance of something.
    fn within(&mut self, value: Formula, end: usize) -> Read<Formula> {
        let stop = (self.next..end).find(
            |index| matches!(self.row.get(*index), Some(Token::Infix(infix, _)) if infix.level() <= Level::Comparison),
        );
        let end = stop.unwrap_or(end);
        let first = |wanted: Infix| {
            (self.next..end)
                .find(|index| matches!(self.row.get(*index), Some(Token::Infix(infix, _)) if *infix == wanted))
        };
        let (to, of) = (first(Infix::To), first(Infix::Of));
        let (kind, place) = match (to, of) {
            (Some(to), Some(of)) if of < to => return Err(self.distance_or_range(&value, to, of, end)),
            (None, Some(of)) => {
                let amount = self.climb(Level::Sum, of)?;
                self.next = of + 1;
                let base = self.climb(Level::Sum, end)?;
                let place = value.place.to(base.place);
                (FormulaKind::WithinDistance(Box::new(value), Box::new(amount), Box::new(base)), place)
            }
            _ => {
                let range = self.climb(Level::To, end)?;
                let place = value.place.to(range.place);
                (FormulaKind::WithinRange(Box::new(value), Box::new(range)), place)
            }
        };
        match self.row.get(self.next).filter(|_| self.next == end) {
            Some(Token::Infix(infix, _)) if infix.level() == Level::Comparison => {
                Err(Trouble::new(place, Kind::ChainedComparison { instead: instead::and_between() }))
            }
            _ => Ok(Formula { place, kind }),
        }
    }

    /// `within 10 % of low end to high end`
    fn distance_or_range(&self, value: &Formula, to: usize, of: usize, end: usize) -> Trouble {
        let value_text = self.reader.text(value.place);
        let (whole, _) = self.stretch(self.next, end);
        let (_, amount) = self.stretch(self.next, of);
        let (_, low) = self.stretch(of + 1, to);
        let (_, high) = self.stretch(to + 1, end);
        let range = format!("{value_text} within ({amount} of {low}) to {high}");
        let above = format!("{value_text} at least {low} - {amount} of {low}");
        let distance = format!("{above} and {value_text} at most {high} + {amount} of {high}");
        Trouble::new(value.place.to(whole), Kind::DistanceOrRange { range, distance })
    }
}

fn token_place(token: &Token) -> Place {
    match token {
        Token::Operand(operand) => operand.place,
        Token::Infix(_, place) | Token::Minus(place) | Token::Not(place) => *place,
    }
}

fn tighter(level: Level) -> Level {
    match level {
        Level::Or => Level::And,
        Level::And => Level::Not,
        Level::Not => Level::Comparison,
        Level::Comparison => Level::To,
        Level::To => Level::Sum,
        Level::Sum => Level::Product,
        Level::Product => Level::Share,
        Level::Share => Level::Negative,
        Level::Negative | Level::Power => Level::Power,
    }
}
