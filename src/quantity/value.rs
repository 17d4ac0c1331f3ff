//! Values of every kind.

use super::{Measured, Moment, Range};
use std::sync::Arc;

/// A value that has been worked, numbers in SI units.
#[derive(Debug, Clone, PartialEq)]
pub enum Value {
    /// One number.
    Number(Measured),
    /// A range, behind a pointer, since most values are none and all would be as large.
    Range(Box<Range>),
    /// Text.
    Text(Arc<str>),
    /// A date.
    Date(Moment),
    /// Yes or no.
    YesNo(bool),
}

impl From<Range> for Value {
    fn from(range: Range) -> Self {
        Self::Range(Box::new(range))
    }
}

impl Value {
    /// The number, if it is one.
    pub fn number(&self) -> Option<&Measured> {
        match self {
            Self::Number(number) => Some(number),
            _ => None,
        }
    }
}
