//! Data from a file of rows: the names and units in its headers, and its cells settled by those. Whether a cell goes
//! into a table or fills an entry is not known here.

pub mod entries;

use super::fit::{self, words};
use super::literals::Literals;
use super::model::{Blank, End, Written, WrittenValue};
use super::types::{NumberType, Type};
use super::units::{Measures, Position};
use crate::quantity::Moment;
use crate::syntax::parse;
use crate::syntax::tree::{self, Literal, LiteralKind};
use crate::text::{Place, Source, single_spaced};
use crate::trouble::{Kind, Trouble};

/// What stands over a column: `length (m)`.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Header {
    /// The name as names are compared.
    pub key: String,
    /// The name as written.
    pub name: String,
    /// What its brackets hold.
    pub unit: Option<String>,
}

/// Why a header does not say what its cells are.
pub enum Unsaid {
    /// It has no unit, and needs one; the unit that would do.
    NoUnit(String),
    /// Its unit does not fit.
    Unfit(Kind),
}

impl Header {
    /// Reads a header; no name has brackets in it.
    pub fn read(text: &str) -> Self {
        let single = single_spaced(text);
        let (name, unit) = match single.strip_suffix(')').and_then(|rest| rest.split_once('(')) {
            Some((name, unit)) => (name.trim().to_owned(), Some(unit.trim().to_owned())),
            None => (single, None),
        };
        Self { key: tree::key(&name), name, unit }
    }

    /// What the cells below it are when they say no unit themselves: of the header's, if that fits what is wanted.
    ///
    /// # Errors
    /// A number with a unit under a header without one, or a unit that does not fit.
    pub fn unsaid(&self, wanted: &Type, measures: &Measures) -> Result<Option<NumberType>, Unsaid> {
        let (wanted, Some(unit)) = (wanted.each(), &self.unit) else { return self.without_unit(wanted, measures) };
        let Type::Number(number) = wanted else {
            return self.of_no_number(unit, wanted, measures).map(|()| None).map_err(Unsaid::Unfit);
        };
        let source = Source::of_text(&self.name, unit.clone());
        let settled =
            parse::parse_unit(&source, 0).and_then(|unit| measures.settle(&unit, Position::Value, &|_| false));
        let kind = settled.map_err(|trouble| trouble.kind).and_then(|settled| {
            fit::fit_for_good(&Type::Number(settled.kind), &Type::Number(number.single()), measures)
        });
        kind.map(|kind| kind.number().cloned()).map_err(Unsaid::Unfit)
    }

    fn without_unit(&self, wanted: &Type, measures: &Measures) -> Result<Option<NumberType>, Unsaid> {
        match wanted.each() {
            Type::Number(number) if !number.unit.is_plain() => {
                Err(Unsaid::NoUnit(number.unit.symbol(&measures.crew).into()))
            }
            Type::Number(number) => Ok(Some(number.single())),
            _ => Ok(None),
        }
    }

    /// A header of text, dates, or yes or no may say so in its brackets, and nothing else.
    fn of_no_number(&self, said: &str, wanted: &Type, measures: &Measures) -> Result<(), Kind> {
        let is_said = match wanted {
            Type::Text => said == "text",
            Type::Date { hour: true } => said == "date and time",
            Type::Date { hour: false } => said == "date",
            Type::YesNo => said == "yes or no",
            _ => true,
        };
        match is_said {
            true => Ok(()),
            false => Err(Kind::OtherKind { wanted: words(wanted, measures), found: format!("`{said}`") }),
        }
    }
}

/// A cell that says something, settled.
pub struct Cell {
    /// What it says.
    pub written: Written,
    /// Its type.
    pub kind: Type,
}

/// Settles the text of a cell, without white space at its ends; `None` where it is blank. `name` is what it is called;
/// a blank in it (`____ ft`) is added to `blanks`.
///
/// # Errors
/// What is wrong with it, its kind and unit apart, which the caller holds against what it is for.
pub fn cell(
    text: &str,
    wanted: &Type,
    unsaid: Option<&NumberType>,
    name: &str,
    measures: &Measures,
    blanks: &mut Vec<Blank>,
) -> Result<Option<Cell>, Kind> {
    if text.is_empty() || text.len() >= 2 && text.bytes().all(|byte| byte == b'_') {
        return Ok(None);
    }
    if *wanted == Type::Text {
        parse::check_text(text)?;
        let written = written(WrittenValue::Text(text.to_owned()), text);
        return Ok(Some(Cell { written, kind: Type::Text }));
    }
    if let (Some(kind), Some(number)) = (unsaid, plain_number(text.as_bytes())) {
        let crew = kind.unit.crew_words().collect();
        let number = number * kind.unit.size() + kind.unit.zero();
        if !number.is_finite() {
            return Err(Kind::NotFinite);
        }
        if number.is_subnormal() {
            return Err(Kind::NumberTooSmall);
        }
        let value = WrittenValue::Number(End { number: Some(number), blank: None, doubt: None, crew });
        return Ok(Some(Cell { written: written(value, text), kind: Type::Number(kind.clone()) }));
    }
    let source = Source::of_text(name, text.to_owned());
    let whole = Place::new(0, 0, text.len());
    let mut literals = Literals { measures, sources: std::slice::from_ref(&source), blanks };
    let settled = literal(&source, 0, whole, wanted).and_then(|literal| literals.settle(&literal, name, unsaid));
    let (mut written, kind) = settled.map_err(|trouble| match trouble.kind {
        // Where no text belongs, words in no quotes are no text that lacks them.
        Kind::TextWithoutQuotes { .. } => {
            Kind::OtherKind { wanted: words(wanted, measures), found: format!("`{text}`") }
        }
        kind => kind,
    })?;
    let unit = |kind: Option<&NumberType>| kind.map(|kind| kind.unit.clone());
    if !written.says_unit && unit(kind.number()) != unit(unsaid) {
        // A cell in another unit than its column's says so itself.
        written = Written { text: text.to_owned(), doubt_text: String::new(), says_unit: true, ..written };
    }
    Ok(Some(Cell { written, kind }))
}

/// Reads the literal of a cell whose column says what it is to be.
///
/// # Errors
/// The trouble, at its place in the text.
pub fn literal(source: &Source, number: u16, cell: Place, wanted: &Type) -> Result<Literal, Trouble> {
    let literal = parse::parse_literal(source, number, cell).map_err(|trouble| match (wanted, &trouble.kind) {
        // What is wrong with a character can't be seen in the cell.
        (_, Kind::Lookalike { .. } | Kind::ControlCharacter { .. } | Kind::LoneReturn) => trouble,
        (Type::YesNo, _) => {
            let found = format!("`{}`", source.slice(cell));
            Trouble::new(cell, Kind::OtherKind { wanted: "yes or no".to_owned(), found })
        }
        _ => trouble,
    })?;
    check_date(wanted, &literal, source.slice(cell))?;
    Ok(literal)
}

/// `4/12` where a date is expected is no fraction.
///
/// # Errors
/// Why the text is no date, at the literal's place.
pub(super) fn check_date(wanted: &Type, literal: &Literal, text: &str) -> Result<(), Trouble> {
    if matches!(wanted, Type::Date { .. })
        && matches!(literal.kind, LiteralKind::Items(_))
        && let Err(error) = Moment::parse(text)
    {
        return Err(Trouble::new(literal.place, crate::trouble::bad_date(&error)));
    }
    Ok(())
}

fn written(value: WrittenValue, text: &str) -> Written {
    Written { place: Place::default(), value, text: text.to_owned(), doubt_text: String::new(), says_unit: false }
}

/// Digits with a point at the most, which need no grammar.
pub fn plain_number(text: &[u8]) -> Option<f64> {
    /// So many digits make a whole number that is exact.
    const EXACT: usize = 15;
    const TENS: [f64; EXACT + 1] =
        [1e0, 1e1, 1e2, 1e3, 1e4, 1e5, 1e6, 1e7, 1e8, 1e9, 1e10, 1e11, 1e12, 1e13, 1e14, 1e15];
    let digits = text.strip_prefix(b"-").unwrap_or(text);
    let (mut whole, mut count, mut point) = (0u64, 0usize, None);
    for byte in digits {
        match byte {
            b'0'..=b'9' => {
                whole = whole.wrapping_mul(10).wrapping_add(u64::from(byte - b'0'));
                count += 1;
            }
            b'.' if point.is_none() => point = Some(count),
            _ => return None,
        }
    }
    let decimals = count - point.unwrap_or(count);
    if count == 0 || point == Some(count) {
        return None;
    }
    // A quotient of two exact numbers is the nearest to what is written.
    let exact = TENS.get(decimals).filter(|_| count <= EXACT);
    #[allow(clippy::cast_precision_loss, reason = "it has fifteen digits at the most")]
    let number = exact.map(|tens| whole as f64 / tens).or_else(|| std::str::from_utf8(digits).ok()?.parse().ok());
    // Hundreds of digits are no finite number, or one too small, which the grammar tells.
    let is_nothing = || digits.iter().all(|byte| matches!(byte, b'0' | b'.'));
    let number = number.filter(|number| number.is_normal() || is_nothing())?;
    Some(if digits.len() < text.len() { -number } else { number })
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn plain_numbers_are_those_of_the_library(text in "-?[0-9]{0,18}\\.?[0-9]{0,18}") {
            let digits = text.trim_start_matches('-');
            let is_plain = !digits.ends_with('.') && !digits.is_empty();
            prop_assert_eq!(plain_number(text.as_bytes()).map(f64::to_bits), text.parse().ok().filter(|_| is_plain).map(f64::to_bits));
        }
    }

    #[test]
    fn what_else_is_none() {
        for text in ["", "-", ".", "5.", "1.2.3", "--1", "1e5", "+1", " 1", "1 2", "½", "nan", "inf"] {
            assert_eq!(plain_number(text.as_bytes()), None, "{text}");
        }
        assert_eq!(plain_number("9".repeat(400).as_bytes()), None);
    }
}
