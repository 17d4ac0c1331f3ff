//! Values that a person wrote down, in SI units.

use crate::checked::drawn::GivenValue;
use crate::quantity::Moment;
use crate::syntax::tree::DoubtNature;
use crate::text::Place;
use std::sync::Arc;

/// A value that a person wrote down.
#[derive(Debug, Clone)]
pub struct Written {
    /// Where.
    pub place: Place,
    /// What.
    pub value: WrittenValue,
    /// The text as written, single-spaced, its `±` left out; for showing it as it was entered.
    pub text: String,
    /// The `±` as written, the sign and unit left out.
    pub doubt_text: String,
    /// Whether the text says its units itself, as `5 ft 6 in` does.
    pub says_unit: bool,
}

/// The kinds of written values, numbers in SI units times the crew measures beside them.
#[derive(Debug, Clone)]
pub enum WrittenValue {
    /// One number.
    Number(End),
    /// A range; an end that is missing has no limit.
    Range(Option<End>, Option<End>),
    /// Readings, those still to take by the numbers of their blanks, and the `±` of the device that took them all.
    Readings(Vec<Result<f64, usize>>, Option<WrittenDoubt>, Vec<(u16, i16)>),
    /// Text.
    Text(String),
    /// A date.
    Date(Moment),
    /// Yes or no.
    YesNo(bool),
    /// Not measured yet: the blank's number.
    Blank(usize),
    /// Drawn from another worksheet.
    Given(Arc<GivenValue>),
}

/// A number, or an end of a range, as a person wrote it down.
#[derive(Debug, Clone)]
pub struct End {
    /// The number in SI units; `None` for a blank end.
    pub number: Option<f64>,
    /// The blank's number, where it is one.
    pub blank: Option<usize>,
    /// Its `±`.
    pub doubt: Option<WrittenDoubt>,
    /// Crew measures it is counted in, with powers in twelfths.
    pub crew: Vec<(u16, i16)>,
}

/// A `±` as written.
#[derive(Debug, Clone)]
pub struct WrittenDoubt {
    /// The half-width, in SI units or as a share of the value.
    pub half_width: HalfWidth,
    /// Crew measures that the half-width is counted in, with powers in twelfths.
    pub crew: Vec<(u16, i16)>,
    /// What it means.
    pub nature: DoubtNature,
    /// What it is the doubt of: `spray width`, `passes.catch`.
    pub name: Arc<str>,
}

/// The size of a `±`.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum HalfWidth {
    /// In SI units, times the crew measures it is counted in.
    Absolute(f64),
    /// As a share of the value.
    Share(f64),
}
