//! Units as they are written and shown: words of the vocabulary, or of the crew's own, to powers.

use super::dimension::{Base, Dimension, WHOLE};
use super::vocabulary::{self, Entry};
use smallvec::SmallVec;

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
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Unit {
    /// In the order written.
    pub factors: SmallVec<[Factor; 2]>,
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
            let part = power(size, factor.twelfths.abs());
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
            unit.multiply(Factor { twelfths: -factor.twelfths, ..*factor });
        }
        unit
    }

    fn multiply(&mut self, factor: Factor) {
        let Some(index) = self.factors.iter().position(|own| own.word == factor.word) else {
            return self.factors.push(factor);
        };
        let own = &mut self.factors[index];
        own.twelfths += factor.twelfths;
        if own.twelfths == 0 {
            self.factors.remove(index);
        } else if own.twelfths > 0 {
            own.lead = 1.0;
        } else if factor.twelfths < 0 && own.lead == 1.0 {
            own.lead = factor.lead;
        }
    }

    /// The unit as it is shown, without labels: `gal/1000 ft²`, `lb/acre`, `ft²`, `1/min`; empty for a plain number.
    pub fn symbol(&self, crew: &[CrewWord]) -> String {
        let above: Vec<String> =
            self.factors.iter().filter(|factor| factor.twelfths > 0).map(|factor| factor.symbol(crew)).collect();
        let mut shown = above.join("·");
        for factor in self.factors.iter().filter(|factor| factor.twelfths < 0) {
            if shown.is_empty() {
                shown.push('1');
            }
            shown.push('/');
            shown.push_str(&factor.symbol(crew));
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

    fn symbol(&self, crew: &[CrewWord]) -> String {
        let word = match self.word {
            Word::Known(_) => self.entry().map_or("", |entry| entry.symbol),
            Word::Crew(index) => crew.get(usize::from(index)).map_or("", |own| own.word.as_str()),
        };
        let lead = if self.lead == 1.0 { String::new() } else { format!("{} ", self.lead) };
        format!("{lead}{word}{}", superscript(self.twelfths.abs()))
    }
}

/// A power in twelfths as it stands after a unit: nothing for 1, `²`, `³`, or `^1/2` where it is no whole number.
fn superscript(twelfths: i16) -> String {
    if twelfths % WHOLE != 0 {
        return format!("^{}/{WHOLE}", twelfths);
    }
    match twelfths / WHOLE {
        1 => String::new(),
        power => power.to_string().chars().map(|digit| match digit {
            '0' => '⁰', '1' => '¹', '2' => '²', '3' => '³', '4' => '⁴', '5' => '⁵', '6' => '⁶', '7' => '⁷', '8' => '⁸',
            '9' => '⁹', other => other,
        }).collect(),
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
