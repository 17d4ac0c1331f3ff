//! Holds every word of the vocabulary against sizes from outside: a table made with a general-purpose units library, and
//! the factors that NIST prints. Knows the vocabulary alone, no worksheet.

#![allow(clippy::panic)]

use catchwork::syntax::parse;
use catchwork::syntax::tree::Joint;
use catchwork::text::Source;
use catchwork::trouble::Kind;
use catchwork::units::vocabulary::{self, EntryKind, Lookup};
use catchwork::units::{Base, Dimension, Factor, Unit, Word};
use std::collections::BTreeSet;

const PINT: &str = include_str!("reference/units/pint.tsv");
const SP811: &str = include_str!("reference/units/sp811.tsv");

/// The rows of a table below its remarks and its head.
fn rows<const COLUMNS: usize>(table: &'static str) -> Vec<[&'static str; COLUMNS]> {
    let lines = table.lines().filter(|line| !line.starts_with('#')).skip(1);
    lines
        .map(|line| line.split('\t').collect::<Vec<_>>().try_into().unwrap_or_else(|_| panic!("columns of {line}")))
        .collect()
}

fn unit(words: &str) -> Unit {
    let Lookup::Unit(parts) = vocabulary::lookup(words) else { panic!("{words} is not known") };
    let factors =
        parts.iter().map(|(index, twelfths)| Factor { word: Word::Known(*index), twelfths: *twelfths, lead: 1.0 });
    Unit { factors: factors.collect() }
}

fn number(text: &str) -> f64 {
    text.replace(' ', "").parse().unwrap_or_else(|error| panic!("{text}: {error}"))
}

/// Reads `length 3, time -1`; `itself` is whatever counter the unit has.
fn dimension(text: &str, unit: &Unit) -> Dimension {
    text.split(", ").filter(|part| *part != "-").fold(Dimension::plain(), |whole, part| {
        let (base, power) = part.split_once(' ').unwrap_or_else(|| panic!("power of {part}"));
        let base = match base {
            "length" => Base::Length,
            "mass" => Base::Mass,
            "time" => Base::Time,
            "temperature" => Base::Temperature,
            "angle" => Base::Angle,
            "money" => Base::Money,
            "itself" => match unit.dimension(&[]).powers() {
                [(counter @ Base::Counter(_), 12)] => *counter,
                other => panic!("no counter: {other:?}"),
            },
            other => panic!("base {other}"),
        };
        whole.times(&Dimension::of(base, 12 * number(power) as i16))
    })
}

#[test]
fn every_word_has_the_size_that_an_outside_table_gives() {
    for [word, size, zero, powers, source] in rows(PINT) {
        let unit = unit(word);
        let (size, ours) = (number(size), unit.size());
        // One word to the power one is the very number that is nearest to the exact size; products are rounded again.
        let exact = matches!(unit.factors.as_slice(), [factor] if factor.twelfths == 12);
        let allowed = if exact { 0.0 } else { 1e-15 * size };
        assert!((ours - size).abs() <= allowed, "{word}: {ours}, and {size} by {source}");
        assert_eq!(unit.zero(), number(zero), "zero of {word}");
        assert_eq!(unit.dimension(&[]), dimension(powers, &unit), "dimension of {word}");
    }
}

#[test]
fn no_word_lacks_an_outside_size() {
    let known: BTreeSet<&str> = rows::<5>(PINT).iter().map(|[word, ..]| *word).collect();
    assert_eq!(known.len(), rows::<5>(PINT).len(), "a word stands twice in the table");
    let entries = vocabulary::entries().iter();
    let single = entries.clone().flat_map(|entry| [entry.symbol].into_iter().chain(entry.synonyms.iter().copied()));
    let composite = vocabulary::composites().iter().flat_map(|composite| composite.synonyms.iter().copied());
    let missing: Vec<&str> = single.chain(composite).filter(|word| !known.contains(word)).collect();
    assert!(missing.is_empty(), "make tests/reference/units/pint.tsv anew: {missing:?}");
    for entry in entries.filter(|entry| entry.dimension() == Dimension::of(Base::Length, 12)) {
        for before in ["sq", "square", "cu", "cubic"] {
            let raised = format!("{before} {}", entry.symbol);
            assert!(known.contains(raised.as_str()), "{raised}");
        }
    }
}

/// What the vocabulary knows can be written: each word, where a unit stands, is read as what it is.
#[test]
fn every_word_is_read_where_a_unit_stands() {
    let read = |word: &str| {
        let unit = parse::parse_unit(&Source::of_text("a unit", word.to_owned()), 0).map_err(|trouble| trouble.kind)?;
        let terms = unit.terms.iter().map(|term| {
            let one: f64 = (0..term.power).map(|_| self::unit(&term.words).size()).product();
            if term.joint == Joint::Over { 1.0 / one } else { one }
        });
        Ok::<f64, Kind>(terms.product())
    };
    let misread: Vec<String> = rows::<5>(PINT)
        .into_iter()
        .map(|[word, ..]| (word, read(word)))
        .filter(|(word, read)| !matches!(read, Ok(size) if (size / unit(word).size() - 1.0).abs() < 1e-12))
        .map(|(word, read)| format!("{word}: {read:?}"))
        .collect();
    assert!(misread.is_empty(), "{}", misread.join("\n"));
}

#[test]
fn factors_round_to_what_nist_prints() {
    for [word, printed, row] in rows(SP811) {
        let digits = printed.split(" E").next().unwrap_or("").replace(' ', "").len() - 2;
        let ours = format!("{:.digits$e}", unit(word).size());
        assert_eq!(number(&ours), number(printed), "{word}: {row}");
    }
}

/// The identities that the notation states in so many words.
#[test]
fn sizes_hold_the_notation_to_its_word() {
    let size = |words: &str| unit(words).size();
    assert_eq!(size("acre"), 4046.8564224);
    assert_eq!(size("ton"), 907.18474);
    assert_eq!(size("% w/v"), 10.0);
    assert_eq!((size("%"), size("% v/v"), size("% w/w"), size("points")), (0.01, 0.01, 0.01, 0.01));
    let kind = |words: &str| vocabulary::entries().iter().find(|entry| entry.symbol == words).map(|entry| entry.kind);
    assert_eq!(kind("°F"), Some(EntryKind::Point));
    assert_eq!(kind("points"), Some(EntryKind::Points));
    assert_eq!(kind("$"), Some(EntryKind::Currency));
}

#[test]
fn every_row_names_its_source() {
    for entry in vocabulary::entries() {
        let named = ["NIST ", "BIPM ", "ISO ", "UK Weights and Measures Act", "common practice", "counted"];
        assert!(named.iter().any(|source| entry.source.starts_with(source)), "{}: {}", entry.symbol, entry.source);
    }
}
