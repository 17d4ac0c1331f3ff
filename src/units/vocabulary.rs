//! The vocabulary: every unit that a worksheet may name, its exact size and source, and the look-up from words to
//! units. The table is made from `grammar/vocabulary.tsv` when the program is built. Knows nothing of a worksheet's own
//! measures, nor of how the words of a unit are told from those around it.

use super::dimension::{Base, Dimension};
use smallvec::{SmallVec, smallvec};
use std::cmp::Ordering;

include!(concat!(env!("OUT_DIR"), "/vocabulary.rs"));

/// One unit of the vocabulary, as `catchwork units` prints it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Entry {
    /// The word as it is shown: `fl oz`.
    pub symbol: &'static str,
    /// How many SI units one of it is, rounded once from `exact`.
    pub factor: f64,
    /// The zero of a temperature scale above absolute zero, in kelvin; 0 for every other unit.
    pub zero: f64,
    /// What it measures: bases with their powers in twelfths, in order.
    pub powers: &'static [(Base, i16)],
    /// Other words for it; the first of a counter is its plural.
    pub synonyms: &'static [&'static str],
    /// The factor as it is defined: `231 * 0.0254^3`.
    pub exact: &'static str,
    /// Where the factor stands.
    pub source: &'static str,
    /// What sort of unit it is.
    pub kind: EntryKind,
}

/// What sort of unit a row of the vocabulary is.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum EntryKind {
    /// A unit like any other: `ft`, `% w/v`.
    Measure,
    /// A point on a temperature scale: `°F`, `°C`.
    Point,
    /// A plain ratio: `%`, `% v/v`.
    Ratio(Ratio),
    /// `points`, 1 % each, only after `±` and `within`.
    Points,
    /// A counted thing, a dimension of its own: `plant`.
    Counter,
    /// `$`, `£`, `€`: one a worksheet.
    Currency,
}

/// What a plain ratio is a ratio of.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Ratio {
    /// `%`, of anything.
    Percent,
    /// `% v/v`, `ppm v/v`: a volume in a volume.
    VolumeInVolume,
    /// `% w/w`, `ppm w/w`: a weight in a weight.
    WeightInWeight,
}

impl Entry {
    /// What it measures.
    pub fn dimension(&self) -> Dimension {
        Dimension::from_powers(self.powers)
    }

    /// Whether it is a point on a temperature scale, not a difference.
    pub fn is_point(&self) -> bool {
        self.kind == EntryKind::Point
    }
}

/// A word for units put together: `gpm` is `gal/min`.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Composite {
    /// The units as they are written: `gal/min`.
    pub symbol: &'static str,
    /// Places in the table, with powers in twelfths.
    pub parts: &'static [(u16, i16)],
    /// The words for it.
    pub synonyms: &'static [&'static str],
}

/// What a run of unit words comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum Lookup {
    /// Places in the table, with powers in twelfths: `sq ft` is `ft` to 24, `gpm` is `gal` to 12 and `min` to −12.
    Unit(SmallVec<[(u16, i16); 2]>),
    /// Words that a worksheet may not use as a unit.
    Refused(Refusal),
    /// No word of the vocabulary.
    Unknown,
}

/// Why a word is no unit although the trade writes it: it has two readings.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Refusal {
    /// `ppm`: mg/kg, mg/L, ppm v/v or ppm w/w?
    Ppm,
    /// `ppb`: a thousandth of any of those.
    Ppb,
    /// `t`, `T`: a tonne, a ton, a teaspoon or a tablespoon?
    Tonne,
    /// `M`: a thousand, as in lb/M, a metre, or a mile?
    M,
    /// `Mg`: mg, or a million grams, which is a tonne?
    Megagram,
    /// `A`: acre, or the are of 100 m²?
    A,
    /// `C`: °C, or a cup?
    C,
    /// `F`: °F, written with its sign.
    F,
    /// `lb ai`: write `lb of ai`.
    ActiveIngredient,
    /// `22 % N`: write `22 % w/w of N`.
    PercentOf,
    /// A month has no one length: write days.
    Month,
    /// Nor has a year.
    Year,
}

#[derive(Debug, Clone, Copy)]
enum Meaning {
    Entry(u16),
    Power(u16, i16),
    Composite(u16),
    Refused(Refusal),
}

impl Meaning {
    fn lookup(self) -> Lookup {
        match self {
            Self::Entry(index) => Lookup::Unit(smallvec![(index, super::dimension::WHOLE)]),
            Self::Power(index, twelfths) => Lookup::Unit(smallvec![(index, twelfths)]),
            Self::Composite(index) => match COMPOSITES.get(usize::from(index)) {
                Some(composite) => Lookup::Unit(SmallVec::from_slice(composite.parts)),
                None => Lookup::Unknown,
            },
            Self::Refused(refusal) => Lookup::Refused(refusal),
        }
    }
}

/// The row at a place in the table.
pub fn entry(index: u16) -> Option<&'static Entry> {
    ENTRIES.get(usize::from(index))
}

/// All rows, in the order of the file.
pub fn entries() -> &'static [Entry] {
    &ENTRIES
}

/// All words for units put together, besides `sq` and `cu` before a length.
pub fn composites() -> &'static [Composite] {
    &COMPOSITES
}

/// The row of the `index`th counter of the vocabulary.
pub fn counter(index: u16) -> Option<&'static Entry> {
    ENTRIES.iter().find(|entry| entry.powers.first().is_some_and(|(base, _)| *base == Base::Counter(index)))
}

/// Looks up a run of words with single spaces: `fl oz`, `sq ft`, `imp gal`, `% v/v`, `Gal`, `lbs.`. A dot that ends a
/// word is passed over. Case counts only where two words differ by it: `m` is a metre, `M` is refused.
pub fn lookup(words: &str) -> Lookup {
    let start = WORDS.partition_point(|(word, _)| compare(word, words) == Ordering::Less);
    let group = WORDS.iter().skip(start).take_while(|(word, _)| compare(word, words) == Ordering::Equal);
    match group.clone().find(|(word, _)| word.bytes().eq(without_dots(words))) {
        Some((_, meaning)) => meaning.lookup(),
        None => any_case(group.map(|(_, meaning)| *meaning)),
    }
}

/// What words alike but for case mean in a case that is none of theirs: the one unit among them, if it is the only one.
fn any_case(meanings: impl Iterator<Item = Meaning>) -> Lookup {
    let (mut unit, mut refused) = (None, None);
    for meaning in meanings {
        match meaning {
            Meaning::Refused(_) => refused = refused.or(Some(meaning)),
            _ if unit.is_some() => return Lookup::Unknown,
            _ => unit = Some(meaning),
        }
    }
    unit.or(refused).map_or(Lookup::Unknown, Meaning::lookup)
}

fn compare(word: &str, words: &str) -> Ordering {
    word.bytes().map(|byte| byte.to_ascii_lowercase()).cmp(without_dots(words).map(|byte| byte.to_ascii_lowercase()))
}

/// The bytes of some words without the dots that end them.
fn without_dots(words: &str) -> impl Iterator<Item = u8> + '_ {
    let bytes = words.as_bytes();
    let ends_word = move |index: usize| index > 0 && bytes.get(index + 1).is_none_or(|next| *next == b' ');
    bytes.iter().enumerate().filter(move |(index, byte)| **byte != b'.' || !ends_word(*index)).map(|(_, byte)| *byte)
}

/// The word of the vocabulary nearest to a misspelt one, if one is near enough to offer.
pub fn nearest(words: &str) -> Option<&'static str> {
    let wanted = words.to_lowercase();
    let allowed = (wanted.chars().count() / 3).max(1);
    let distance = |word: &str| strsim::osa_distance(&word.to_lowercase(), &wanted);
    let units = WORDS.iter().filter(|(_, meaning)| !matches!(meaning, Meaning::Refused(_)));
    let near = units.map(|(word, _)| (distance(word), *word)).filter(|(distance, _)| *distance <= allowed);
    near.min_by_key(|(distance, word)| (*distance, word.len())).map(|(_, word)| word)
}
