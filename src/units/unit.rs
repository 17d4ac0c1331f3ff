//! Units as they are written and shown: words of the vocabulary, or of the crew's own, to powers.

use super::dimension::{Base, Dimension, WHOLE, to_the};
use super::vocabulary::{self, Entry};
use compact_str::{CompactString, format_compact};
use smallvec::SmallVec;
use std::borrow::Cow;

/// A measure of the crew's own: `1 scoop = 2.4 oz of product` or the bare counter `1 basket`. Its size is a value of
/// the worksheet (it may be blank, or have a doubt); here is what is known before anything is worked.
#[derive(Debug, Clone)]
pub struct CrewWord {
    /// The word, as written.
    pub word: String,
    /// The dimension of one of it; a counter's own base for `1 basket`.
    pub dimension: Dimension,
}

/// One word of a unit.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Word {
    /// A word of the vocabulary, by its place in the table.
    Known(u16),
    /// A measure of the crew's own, by its place in the worksheet.
    Crew(u16),
}

/// A word to a power, with the number that leads a denominator: the `1000 ft²` of `gal/1000 ft²` is `ft` to −2 with
/// the lead 1000.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Factor {
    /// The unit word.
    pub word: Word,
    /// Its power, in twelfths (see [`WHOLE`]).
    pub twelfths: i16,
    /// The number before it, 1 where none is written. Only a denominator has another.
    pub lead: f64,
}

/// A product of factors; none for a plain number.
#[derive(Debug, Default, PartialEq)]
pub struct Unit {
    /// In the order written.
    pub factors: SmallVec<[Factor; 2]>,
}

/// In one piece: the list's own copy goes factor by factor, and units are copied wherever types are.
impl Clone for Unit {
    fn clone(&self) -> Self {
        Self { factors: SmallVec::from_slice(&self.factors) }
    }
}

impl Unit {
    /// The unit of a plain number.
    pub fn plain() -> Self {
        Self::default()
    }

    /// One word to the power one.
    pub fn word(word: Word) -> Self {
        Self { factors: smallvec::smallvec![Factor { word, twelfths: WHOLE, lead: 1.0 }] }
    }

    /// Whether no word stands in it.
    pub fn is_plain(&self) -> bool {
        self.factors.is_empty()
    }

    /// What it measures.
    pub fn dimension(&self, crew: &[CrewWord]) -> Dimension {
        self.factors.iter().fold(Dimension::plain(), |whole, factor| match factor.dimension(crew) {
            Some(dimension) => whole.times(&dimension),
            None => whole,
        })
    }

    /// How many SI units (or counted things) one of it is, the crew's own measures taken as 1: their sizes are
    /// values of the worksheet.
    pub fn size(&self) -> f64 {
        let (mut above, mut below) = (1.0, 1.0);
        for factor in &self.factors {
            let size = factor.entry().map_or(1.0, |entry| entry.factor);
            let part = power(size, factor.twelfths.saturating_abs());
            if factor.twelfths > 0 {
                above *= part;
            } else {
                below *= part * factor.lead;
            }
        }
        above / below
    }

    /// The zero of a temperature scale above absolute zero, in kelvin; 0 for every other unit.
    pub fn zero(&self) -> f64 {
        match self.factors.as_slice() {
            [factor] if factor.twelfths == WHOLE => factor.entry().map_or(0.0, |entry| entry.zero),
            _ => 0.0,
        }
    }

    /// Whether it is a point on a temperature scale (°F, °C), not a difference.
    pub fn is_point(&self) -> bool {
        matches!(self.factors.as_slice(), [factor] if factor.twelfths == WHOLE && factor.entry().is_some_and(|entry| entry.is_point()))
    }

    /// The crew's own measures in it, with their powers in twelfths.
    pub fn crew_words(&self) -> impl Iterator<Item = (u16, i16)> {
        self.factors.iter().filter_map(|factor| match factor.word {
            Word::Crew(index) => Some((index, factor.twelfths)),
            Word::Known(_) => None,
        })
    }

    /// The unit of a product: equal words are put together.
    pub fn times(&self, other: &Self) -> Self {
        let mut unit = self.clone();
        other.factors.iter().for_each(|factor| unit.multiply(*factor));
        unit
    }

    /// The unit of a quotient.
    pub fn over(&self, other: &Self) -> Self {
        let mut unit = self.clone();
        for factor in &other.factors {
            unit.multiply(Factor { twelfths: factor.twelfths.saturating_neg(), ..*factor });
        }
        unit
    }

    /// The unit of a power `twelfths / 12`: `ft` for the root of `ft²`. `None` where a power of it is no multiple of a
    /// twelfth or out of range. A number that leads a denominator does not outlive it.
    pub fn to_the(&self, twelfths: i16) -> Option<Self> {
        let mut unit = Self::plain();
        for factor in &self.factors {
            let power = to_the(factor.twelfths, twelfths)?;
            if power != 0 {
                unit.factors.push(Factor { twelfths: power, lead: 1.0, ..*factor });
            }
        }
        Some(unit)
    }

    /// Puts in one more factor. Only equal words are put together; a number leads a denominator as long as it stands,
    /// and is gone when it rises above the line.
    fn multiply(&mut self, factor: Factor) {
        let index = self.factors.iter().position(|own| own.word == factor.word);
        let Some((index, own)) = index.and_then(|index| Some((index, self.factors.get_mut(index)?))) else {
            let lead = if factor.twelfths < 0 { factor.lead } else { 1.0 };
            return self.factors.push(Factor { lead, ..factor });
        };
        own.twelfths = own.twelfths.saturating_add(factor.twelfths);
        if own.twelfths == 0 {
            self.factors.remove(index);
        } else if own.twelfths > 0 {
            own.lead = 1.0;
        } else if factor.twelfths < 0 && own.lead == 1.0 {
            own.lead = factor.lead;
        }
    }

    /// The unit as it is shown, without labels: `gal/1000 ft²`, `lb/acre`, `ft²`, `1/min`; empty for a plain number.
    pub fn symbol(&self, crew: &[CrewWord]) -> CompactString {
        let mut shown = CompactString::default();
        for factor in self.factors.iter().filter(|factor| factor.twelfths > 0) {
            if !shown.is_empty() {
                shown.push('·');
            }
            factor.write_symbol(crew, &mut shown);
        }
        for factor in self.factors.iter().filter(|factor| factor.twelfths < 0) {
            if shown.is_empty() {
                shown.push('1');
            }
            shown.push('/');
            factor.write_symbol(crew, &mut shown);
        }
        shown
    }
}

impl Factor {
    /// The row of the vocabulary, unless it is the crew's own measure.
    pub fn entry(&self) -> Option<&'static Entry> {
        match self.word {
            Word::Known(index) => vocabulary::entry(index),
            Word::Crew(_) => None,
        }
    }

    /// The dimension of the word to its power.
    pub fn dimension(&self, crew: &[CrewWord]) -> Option<Dimension> {
        match self.word {
            Word::Known(_) => self.entry()?.dimension().to_the(self.twelfths),
            Word::Crew(index) => crew.get(usize::from(index))?.dimension.to_the(self.twelfths),
        }
    }

    fn write_symbol(&self, crew: &[CrewWord], shown: &mut CompactString) {
        let word = match self.word {
            Word::Known(_) => self.entry().map_or("", |entry| entry.symbol),
            Word::Crew(index) => crew.get(usize::from(index)).map_or("", |own| own.word.as_str()),
        };
        if self.lead != 1.0 {
            shown.push_str(&format_compact!("{} ", self.lead));
        }
        shown.push_str(word);
        if self.twelfths.abs() != WHOLE {
            shown.push_str(&superscript(self.twelfths.saturating_abs()));
        }
    }
}

/// A positive power in twelfths as it stands after a unit: nothing for 1, `²`, `³`, or `^(1/2)` where it is no whole
/// number.
pub(super) fn superscript(twelfths: i16) -> Cow<'static, str> {
    const DIGITS: [char; 10] = ['⁰', '¹', '²', '³', '⁴', '⁵', '⁶', '⁷', '⁸', '⁹'];
    if twelfths % WHOLE != 0 {
        let shared = [6, 4, 3, 2].into_iter().find(|part| twelfths % part == 0).unwrap_or(1);
        return format!("^({}/{})", twelfths / shared, WHOLE / shared).into();
    }
    match twelfths / WHOLE {
        1 => "".into(),
        2 => "²".into(),
        3 => "³".into(),
        power => {
            let digits = power.to_string();
            digits.chars().filter_map(|digit| DIGITS.get(digit.to_digit(10)? as usize).copied()).collect()
        }
    }
}

/// A positive size to a positive power in twelfths; whole powers by multiplication, which every machine does alike.
fn power(size: f64, twelfths: i16) -> f64 {
    if twelfths % WHOLE == 0 {
        (0..twelfths / WHOLE).fold(1.0, |product, _| product * size)
    } else {
        libm::pow(size, f64::from(twelfths) / f64::from(WHOLE))
    }
}

/// The base of the `index`th counter of the crew's own.
pub fn crew_counter(index: u16) -> Base {
    Base::Counter(vocabulary::COUNTERS + index)
}

/// Which of the crew's own counters a base is; they come first among the crew's measures, and so have the same numbers.
pub fn own_counter(base: Base) -> Option<u16> {
    match base {
        Base::Counter(index) => index.checked_sub(vocabulary::COUNTERS),
        _ => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::vocabulary::{Lookup, lookup};

    fn unit(above: &[&str], below: &[(f64, &str)]) -> Unit {
        let part = |words: &str| match lookup(words) {
            Lookup::Unit(parts) => parts,
            _ => smallvec::smallvec![(u16::MAX, WHOLE)],
        };
        let mut factors = SmallVec::new();
        for words in above {
            factors.extend(part(words).into_iter().map(|(index, twelfths)| Factor {
                word: Word::Known(index),
                twelfths,
                lead: 1.0,
            }));
        }
        for (lead, words) in below {
            factors.extend(part(words).into_iter().map(|(index, twelfths)| Factor {
                word: Word::Known(index),
                twelfths: -twelfths,
                lead: *lead,
            }));
        }
        Unit { factors }
    }

    #[test]
    fn symbols_read_as_they_are_written() {
        let shown = |unit: Unit| unit.symbol(&[]);
        assert_eq!(shown(Unit::plain()), "");
        assert_eq!(shown(unit(&["fl. oz."], &[])), "fl oz");
        assert_eq!(shown(unit(&["sq ft"], &[])), "ft²");
        assert_eq!(shown(unit(&["gallons"], &[(1000.0, "square feet")])), "gal/1000 ft²");
        assert_eq!(shown(unit(&[], &[(1.0, "min")])), "1/min");
        assert_eq!(shown(unit(&["psi", "ft"], &[(1.0, "s"), (1.0, "plant")])), "psi·ft/s/plant");
        assert_eq!(shown(unit(&["imp gal"], &[(100.0, "m")])), "imp gal/100 m");
    }

    #[test]
    fn sizes_count_the_lead_below_the_line() {
        // 3.785411784 L on 92.90304 m².
        assert_eq!(unit(&["gal"], &[(1000.0, "sq ft")]).size(), 0.003785411784 / (1000.0 * 0.3048 * 0.3048));
        assert_eq!(unit(&["km"], &[(1.0, "h")]).size(), 1000.0 / 3600.0);
        assert_eq!(Unit::plain().size(), 1.0);
    }

    #[test]
    fn whole_powers_are_products() {
        for index in 0..u16::try_from(vocabulary::entries().len()).unwrap_or_default() {
            let size = vocabulary::entry(index).map_or(0.0, |entry| entry.factor);
            let cube = Unit::word(Word::Known(index)).to_the(3 * WHOLE).map(|cube| cube.size());
            assert_eq!(cube, Some(size * size * size), "{index}");
        }
    }

    #[test]
    fn only_equal_words_are_put_together() {
        let product = unit(&["gal"], &[(1.0, "min")]).times(&unit(&["s"], &[]));
        assert_eq!(product.symbol(&[]), "gal·s/min");
        assert_eq!(product.times(&unit(&["min"], &[])).symbol(&[]), "gal·s");
        assert_eq!(unit(&["ft"], &[]).times(&unit(&["ft"], &[])).symbol(&[]), "ft²");
    }

    #[test]
    fn a_lead_stands_as_long_as_its_denominator() {
        let rate = unit(&["gal"], &[(1000.0, "sq ft")]);
        assert_eq!(rate.times(&unit(&["ft"], &[])).symbol(&[]), "gal/1000 ft");
        assert_eq!(rate.times(&unit(&["sq ft"], &[])).symbol(&[]), "gal");
        assert_eq!(rate.times(&unit(&["acre"], &[])).symbol(&[]), "gal·acre/1000 ft²");
        let turned = Unit::plain().over(&rate);
        assert_eq!(turned.symbol(&[]), "ft²/gal", "a lead above the line would be a wrong unit");
        assert_eq!(turned.size(), 0.3048 * 0.3048 / 0.003785411784);
        assert_eq!(unit(&["ft"], &[]).over(&unit(&[], &[(1000.0, "ft")])).symbol(&[]), "ft²");
        assert_eq!(unit(&["gal"], &[]).over(&unit(&["ft"], &[])).symbol(&[]), "gal/ft");
    }

    #[test]
    fn powers_and_roots() {
        assert_eq!(unit(&["sq ft"], &[]).to_the(6).map(|root| root.symbol(&[])), Some("ft".into()));
        assert_eq!(unit(&["psi"], &[]).to_the(6).map(|root| root.symbol(&[])), Some("psi^(1/2)".into()));
        assert_eq!(unit(&["ft"], &[]).to_the(18).map(|power| power.symbol(&[])), Some("ft^(3/2)".into()));
        assert_eq!(unit(&["ft"], &[(1.0, "s")]).to_the(-24).map(|power| power.symbol(&[])), Some("s²/ft²".into()));
        assert_eq!(unit(&["ft"], &[]).to_the(0), Some(Unit::plain()));
        assert_eq!(unit(&["ft"], &[]).to_the(1).and_then(|root| root.to_the(6)), None);
        assert_eq!(unit(&["cubic ft"], &[]).to_the(i16::MAX), None);
    }

    #[test]
    fn points_of_a_scale_stand_alone() {
        assert!(unit(&["°F"], &[]).is_point());
        assert_eq!(unit(&["°C"], &[]).zero(), 273.15);
        assert!(!unit(&["Δ°F"], &[]).is_point());
        assert!(!unit(&["°F"], &[(1.0, "min")]).is_point());
    }
}
