//! The vocabulary: every unit that a worksheet may name, its exact size and source, and the look-up from words to
//! units. The table is made from `grammar/vocabulary.tsv` when the program is built. Knows nothing of a worksheet's own
//! measures, nor of how the words of a unit are told from those around it.

use super::dimension::{Base, Dimension, WHOLE};
use super::spelling;
use smallvec::{SmallVec, smallvec};

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
    /// That zero as it is defined, `459.67 * 5 / 9`; empty where there is none.
    pub exact_zero: &'static str,
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
            Self::Entry(index) => Lookup::Unit(smallvec![(index, WHOLE)]),
            Self::Power(index, twelfths) => Lookup::Unit(smallvec![(index, twelfths)]),
            Self::Composite(index) => match COMPOSITES.get(usize::from(index)) {
                Some(composite) => Lookup::Unit(SmallVec::from_slice(composite.parts)),
                None => Lookup::Unknown,
            },
            Self::Refused(refusal) => Lookup::Refused(refusal),
        }
    }
}

/// The symbol of a row.
pub fn symbol(index: u16) -> String {
    entry(index).map_or("", |entry| entry.symbol).to_owned()
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
    let group = || bucket(words).iter().filter(|(word, _)| spelling::folded(word).eq(spelling::folded(words)));
    match group().find(|(word, _)| word.bytes().eq(spelling::bytes(words))) {
        Some((_, meaning)) => meaning.lookup(),
        None => any_case(group().map(|(_, meaning)| *meaning)),
    }
}

/// The few words among which these can be, if they are a unit.
fn bucket(words: &str) -> &'static [(&'static str, Meaning)] {
    let bucket = spelling::bucket(words);
    let end = |bucket: usize| STARTS.get(bucket).map(|start| usize::from(*start));
    end(bucket).zip(end(bucket + 1)).and_then(|(start, end)| WORDS.get(start..end)).unwrap_or_default()
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

/// The word of the vocabulary nearest to a misspelt one, if one is near enough to offer: one slip in three letters.
pub fn nearest(words: &str) -> Option<&'static str> {
    let wanted = words.to_lowercase();
    let (length, allowed) = (wanted.chars().count(), wanted.chars().count() / 3);
    // As many letters as one is longer than the other are slips.
    let is_near_length = |word: &str| word.chars().count().abs_diff(length) <= allowed;
    let units = WORDS.iter().filter(|(word, meaning)| is_near_length(word) && !matches!(meaning, Meaning::Refused(_)));
    let near = units.map(|(word, _)| (strsim::osa_distance(&word.to_lowercase(), &wanted), *word));
    near.filter(|(distance, _)| *distance <= allowed).min().map(|(_, word)| word)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn shown(words: &str) -> String {
        match lookup(words) {
            Lookup::Unit(parts) => {
                let part = |(index, power): &(u16, i16)| Some(format!("{} {power}", entry(*index)?.symbol));
                parts.iter().filter_map(part).collect::<Vec<_>>().join(", ")
            }
            other => format!("{other:?}"),
        }
    }

    #[test]
    fn every_word_finds_its_own_row() {
        for (index, entry) in entries().iter().enumerate() {
            for word in [entry.symbol].iter().chain(entry.synonyms) {
                let unit = Lookup::Unit(smallvec![(u16::try_from(index).unwrap_or(u16::MAX), 12)]);
                assert_eq!(lookup(word), unit, "{word}");
            }
        }
        assert!(composites().iter().any(|composite| composite.synonyms.contains(&"gpm")));
        for composite in composites() {
            for word in composite.synonyms {
                assert_eq!(lookup(word), Lookup::Unit(SmallVec::from_slice(composite.parts)), "{word}");
            }
        }
    }

    #[test]
    fn words_are_found_dotted_and_in_any_case() {
        for (words, unit) in [
            ("fl. oz.", "fl oz 12"),
            ("FL OZ", "fl oz 12"),
            ("lbs.", "lb 12"),
            ("Gal", "gal 12"),
            ("in.", "in 12"),
            ("Imp. Gal.", "imp gal 12"),
            ("l", "L 12"),
            ("ML", "mL 12"),
            ("MG", "mg 12"),
            ("m", "m 12"),
            ("% V/V", "% v/v 12"),
            ("sq. ft.", "ft 24"),
            ("Square Feet", "ft 24"),
            ("cubic yards", "yd 36"),
            ("cu. in.", "in 36"),
            ("sq cm", "cm 24"),
            ("gpm", "gal 12, min -12"),
            ("GPA", "gal 12, acre -12"),
            ("cc", "cm 36"),
            ("hr", "h 12"),
            ("passes", "pass 12"),
            ("∆°F", "Δ°F 12"),
        ] {
            assert_eq!(shown(words), unit, "{words}");
        }
    }

    #[test]
    fn words_with_two_readings_are_refused() {
        for (words, refusal) in [
            ("ppm", "Refused(Ppm)"),
            ("t", "Refused(Tonne)"),
            ("T", "Refused(Tonne)"),
            ("M", "Refused(M)"),
            ("Mg", "Refused(Megagram)"),
            ("lb ai", "Refused(ActiveIngredient)"),
            ("lb a.i.", "Refused(ActiveIngredient)"),
            ("oz AI", "Refused(ActiveIngredient)"),
            ("% N", "Refused(PercentOf)"),
            ("months", "Refused(Month)"),
            ("yr.", "Refused(Year)"),
            ("A", "Refused(A)"),
            ("C", "Refused(C)"),
            ("F", "Refused(F)"),
        ] {
            assert_eq!(shown(words), refusal, "{words}");
        }
    }

    #[test]
    fn other_words_are_unknown() {
        for words in
            ["", ".", "..", "ft.lb", "lbs..", "fl  oz", "oz fl", "kJ", "µg", "sq acre", "sq", "imp", "ft²", "Ω"]
        {
            assert_eq!(lookup(words), Lookup::Unknown, "{words}");
        }
    }

    #[test]
    fn a_misspelt_word_is_told_the_nearest() {
        assert_eq!(nearest("galon"), Some("gallon"));
        assert_eq!(nearest("Teespoon"), Some("teaspoon"));
        assert_eq!(nearest("acer"), Some("acre"));
        assert_eq!(nearest("squar feet"), Some("square feet"));
        assert_eq!(nearest("zebra"), None);
        assert_eq!(nearest("q"), None);
    }

    #[test]
    fn counters_are_found_by_their_base() {
        let last = COUNTERS.checked_sub(1).and_then(counter).map(|entry| entry.symbol);
        assert_eq!((counter(0).map(|entry| entry.symbol), last), (Some("plant"), Some("person")));
        assert_eq!(counter(COUNTERS), None);
    }
}
