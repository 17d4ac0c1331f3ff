//! Units settled: the words of a written unit looked up in the vocabulary and among the crew's own measures.

mod substances;

use super::algebra;
use super::types::NumberType;
use crate::syntax::tree::{self, Joint};
use crate::text::Place;
use crate::trouble::{Kind, Trouble, refused_unit};
use crate::units::dimension::WHOLE;
use crate::units::vocabulary::{self, EntryKind, Lookup};
use crate::units::{Base, CrewWord, Dimension, Factor, Labels, Substance, Unit, Word};
use std::cell::Cell;
use std::collections::{HashMap, HashSet};

/// Where a unit stands, which says what words it may have.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Position {
    /// Behind a number, or in brackets: no `points`.
    Value,
    /// After `±`, or as the amount of `within … of`: `points` too.
    Distance,
}

/// What units are looked up in.
#[derive(Debug, Default)]
pub struct Measures {
    /// The crew's own measures.
    pub crew: Vec<CrewWord>,
    /// What one of each is of.
    pub crew_labels: Vec<Labels>,
    /// Their words in lower case.
    pub crew_index: HashMap<String, u16>,
    /// Words in lower case of those that are in trouble themselves: what is counted in one waits.
    pub lost: HashSet<String>,
    /// The currency of the worksheet, once one has been met.
    pub currency: Cell<Option<u16>>,
    /// The file that the currency comes from, where nothing but a value drawn from there says it.
    pub currency_from: Option<String>,
}

/// A unit settled.
#[derive(Debug, Clone)]
pub struct Settled {
    /// Its type: unit, dimension, labels, share.
    pub kind: NumberType,
    /// Denominators and factors that are rather names of values: `2 ft/height`.
    pub names: Vec<(Joint, tree::Name)>,
}

impl Measures {
    /// Settles a unit. `is_name` tells which words are names of values, where the text is a formula.
    ///
    /// # Errors
    /// The first word that is no unit, or has two readings.
    pub fn settle(
        &self,
        unit: &tree::Unit,
        position: Position,
        is_name: &dyn Fn(&str) -> bool,
    ) -> Result<Settled, Trouble> {
        self.check_substances(unit)?;
        let mut settled = Settled { kind: NumberType::plain(), names: Vec::new() };
        let (mut whole, mut labels, mut share) = (Unit::plain(), Labels::none(), None);
        for (index, term) in unit.terms.iter().enumerate() {
            let is_below = matches!(term.joint, Joint::Over | Joint::Per);
            let found = if term.words.is_empty() { Ok(Unit::plain()) } else { self.term(term, position) };
            let is_behind = term.joint != Joint::First;
            let may_be_name =
                is_behind && term.joint != Joint::Per && term.label.is_none() && is_name(&tree::key(&term.words));
            match found {
                Ok(_) if may_be_name => return Err(both_readings(unit, term)),
                Ok(own) => whole = joined(whole, &own, term, is_below),
                Err(_) if may_be_name && term.power == 1 && term.lead.is_none() => {
                    let key = tree::key(&term.words);
                    let name = tree::Name { place: term.words_place, written: term.words.clone(), key };
                    settled.names.push((term.joint, name));
                }
                Err(_) if index == 0 && is_name(&tree::key(&term.words)) => {
                    return Err(Trouble::new(
                        unit.place,
                        Kind::NumberBesideName {
                            text: format!("… {}", term.words),
                            product: format!("… * {}", term.words),
                        },
                    ));
                }
                Err(trouble) => return Err(trouble),
            }
            self.add_labels(term, is_below, &mut labels, &mut share)?;
        }
        if whole.factors.len() > 1
            && whole.factors.iter().any(|factor| factor.entry().is_some_and(|entry| entry.is_point()))
        {
            return Err(Trouble::new(unit.place, Kind::PointInUnit));
        }
        self.check_substance_below(unit, &whole, &labels)?;
        settled.kind = NumberType { labels, share, ..NumberType::of(whole, &self.crew) };
        if algebra::is_too_high(&settled.kind.dimension, &settled.kind.unit) {
            return Err(Trouble::new(unit.place, Kind::PowerTooHigh { most: algebra::MOST_POWER }));
        }
        if settled.kind.share.is_some() && !settled.kind.dimension.is_plain() {
            settled.kind.share = None;
        }
        Ok(settled)
    }

    /// Puts the label of a term, and what a crew measure is of, above or below the line.
    fn add_labels(
        &self,
        term: &tree::Term,
        is_below: bool,
        labels: &mut Labels,
        share: &mut Option<Substance>,
    ) -> Result<(), Trouble> {
        let sign = if is_below { -1 } else { 1 };
        let of_crew = self.crew_word(&term.words).and_then(|index| self.crew_labels.get(usize::from(index)));
        let of_crew = of_crew.filter(|labels| !labels.is_empty());
        match (&term.label, of_crew) {
            (Some(label), Some(own)) if own.only_above() != Some(&Substance::new(&label.written)) => {
                let own = own.only_above().map_or_else(|| "something else".to_owned(), Substance::to_string);
                let kind = Kind::CrewSubstance { word: term.words.clone(), own, said: label.written.clone() };
                return Err(Trouble::new(label.place, kind));
            }
            (_, Some(own)) => *labels = labels.times(&own.to_the(sign * term.power)),
            (Some(label), None) => {
                let substance = Substance::new(&label.written);
                labels.add(&substance, sign);
                let is_strength = term.words.starts_with('%') || term.words.to_lowercase().starts_with("ppm ");
                if is_strength && !is_below {
                    *share = Some(substance);
                }
            }
            (None, None) => {}
        }
        Ok(())
    }

    fn term(&self, term: &tree::Term, position: Position) -> Result<Unit, Trouble> {
        let trouble = |kind| Err(Trouble::new(term.words_place, kind));
        if let Some(index) = self.crew_word(&term.words) {
            return raised(Unit::word(Word::Crew(index)), term);
        }
        match vocabulary::lookup(&term.words) {
            Lookup::Unit(parts) => {
                self.check_kind(&parts, term, position)?;
                let factors = parts.iter().map(|(entry, twelfths)| Factor {
                    word: Word::Known(*entry),
                    twelfths: *twelfths,
                    lead: 1.0,
                });
                raised(Unit { factors: factors.collect() }, term)
            }
            Lookup::Refused(refusal) => trouble(refused_unit(refusal, &term.words)),
            Lookup::Unknown => match self.with_digit(term) {
                Some(shorter) => self.term(&shorter, position),
                None => trouble(unknown(&term.words)),
            },
        }
    }

    /// `ft2` is `ft` to the power 2.
    fn with_digit(&self, term: &tree::Term) -> Option<tree::Term> {
        let digit =
            term.words.chars().last().and_then(|last| last.to_digit(10)).filter(|digit| (2..=9).contains(digit))?;
        let words = term.words.get(..term.words.len() - 1)?.to_owned();
        let is_unit = self.crew_word(&words).is_some() || matches!(vocabulary::lookup(&words), Lookup::Unit(_));
        (term.power == 1 && is_unit).then(|| tree::Term {
            words,
            power: i16::try_from(digit).unwrap_or(1),
            ..term.clone()
        })
    }

    fn check_kind(&self, parts: &[(u16, i16)], term: &tree::Term, position: Position) -> Result<(), Trouble> {
        let Some((index, _)) = parts.first() else { return Ok(()) };
        match vocabulary::entry(*index).map(|entry| entry.kind) {
            Some(EntryKind::Points) if position == Position::Value => {
                Err(Trouble::new(term.words_place, Kind::PointsAsUnit))
            }
            Some(EntryKind::Currency) => match self.currency.get() {
                Some(first) if first != *index => {
                    Err(Trouble::new(term.words_place, self.two_currencies(first, *index)))
                }
                _ => {
                    self.currency.set(Some(*index));
                    Ok(())
                }
            },
            _ => Ok(()),
        }
    }

    /// What is wrong where the worksheet counts in the first currency.
    pub fn two_currencies(&self, first: u16, second: u16) -> Kind {
        let (first, second) = (vocabulary::symbol(first), vocabulary::symbol(second));
        match &self.currency_from {
            Some(file) => Kind::CurrencyBesideDrawn { file: file.clone(), first, second },
            None => Kind::TwoCurrencies { first, second },
        }
    }

    /// The crew's own measure of that word, plural or not.
    pub fn crew_word(&self, words: &str) -> Option<u16> {
        if self.crew_index.is_empty() {
            return None;
        }
        let key = words.to_lowercase();
        let singular = key.strip_suffix('s');
        // What is in trouble is no unit by its plural either, whichever other measure has that word.
        if self.lost.contains(&key) || singular.is_some_and(|singular| self.lost.contains(singular)) {
            return None;
        }
        self.crew_index.get(&key).or_else(|| self.crew_index.get(singular?)).copied()
    }

    /// The crew measure in trouble that makes a word no unit, as it is called where something waits on it.
    pub fn lost_word(&self, kind: &Kind) -> Option<String> {
        let (Kind::UnknownUnit { words, .. } | Kind::CounterElsewhere { word: words, .. }) = kind else { return None };
        let key = words.to_lowercase();
        let singular = key.strip_suffix('s').filter(|singular| self.lost.contains(*singular));
        let word = self.lost.get(&key).map(String::as_str).or(singular)?;
        Some(format!("1 {word}"))
    }
}

fn raised(unit: Unit, term: &tree::Term) -> Result<Unit, Trouble> {
    if term.power == 1 {
        return Ok(unit);
    }
    unit.to_the(term.power * crate::units::dimension::WHOLE)
        .ok_or_else(|| Trouble::new(term.words_place, Kind::BadPower { text: term.power.to_string() }))
}

fn joined(whole: Unit, own: &Unit, term: &tree::Term, is_below: bool) -> Unit {
    let mut own = own.clone();
    if let (Some(lead), Some(first)) = (term.lead, own.factors.first_mut()) {
        first.lead = lead.value;
    }
    // Factors stay as written, side by side: in `gal per 100 gal` nothing cancels, since its 100 would be lost.
    let mut unit = whole;
    let sign = if is_below { -1 } else { 1 };
    unit.factors.extend(own.factors.iter().map(|factor| Factor { twelfths: sign * factor.twelfths, ..*factor }));
    unit
}

fn unknown(words: &str) -> Kind {
    if let Some(substance) = words.strip_prefix("% ") {
        return Kind::PercentOfSubstance { words: words.to_owned(), substance: substance.to_owned() };
    }
    let near = of_substance(words).or_else(|| vocabulary::nearest(words).map(str::to_owned)).unwrap_or_default();
    Kind::UnknownUnit { words: words.to_owned(), near }
}

/// `gal water`: a volume or a weight, and what it is of.
fn of_substance(words: &str) -> Option<String> {
    let splits = words.match_indices(' ').map(|(index, _)| words.split_at(index));
    let (unit, substance) = splits.rev().find(|(unit, _)| is_amount(unit))?;
    Some(format!("{unit} of {}", substance.trim_start()))
}

fn is_amount(unit: &str) -> bool {
    let Lookup::Unit(parts) = vocabulary::lookup(unit) else { return false };
    let [(entry, WHOLE)] = parts.as_slice() else { return false };
    let dimension = vocabulary::entry(*entry).map(vocabulary::Entry::dimension);
    dimension
        .is_some_and(|own| own == Dimension::of(Base::Mass, WHOLE) || own == Dimension::of(Base::Length, 3 * WHOLE))
}

fn both_readings(unit: &tree::Unit, term: &tree::Term) -> Trouble {
    let first = unit.terms.first().map_or("", |first| first.words.as_str());
    let place = Place { end: term.words_place.end, ..unit.place };
    let (work, spaced, sign) = match term.joint {
        Joint::Times => ("multiplication", "*", "·"),
        _ => ("division", "/", "/"),
    };
    Trouble::new(
        place,
        Kind::NameIsUnit {
            name: term.words.clone(),
            unit: format!("{first}{sign}{}", term.words),
            work: work.to_owned(),
            formula: format!("{first} {spaced} {}", term.words),
        },
    )
}
