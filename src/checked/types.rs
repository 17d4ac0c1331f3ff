//! Types: what a value is, before any number is known.

use crate::units::vocabulary::{EntryKind, Ratio};
use crate::units::{CrewWord, Dimension, Labels, Substance, Unit};
use smallvec::SmallVec;
use std::sync::Arc;

/// The type of a value.
#[derive(Debug, Clone, PartialEq)]
#[allow(
    clippy::large_enum_variant,
    reason = "most values are numbers, and a box for each would be made anew at every step"
)]
pub enum Type {
    /// A number, with all that is known of it.
    Number(NumberType),
    /// Text.
    Text,
    /// A date, with an hour or without.
    Date {
        /// Whether it has a time of day; unknown where either may come.
        hour: bool,
    },
    /// Yes or no.
    YesNo,
    /// Several values of one type: readings, or a column.
    Several(Box<Type>),
    /// Not known, because something it needs is in trouble. Nothing more is said about it.
    Unknown,
}

/// The type of a number.
#[derive(Debug, Clone, PartialEq)]
pub struct NumberType {
    /// What it measures.
    pub dimension: Dimension,
    /// What it is of, and per what.
    pub labels: Labels,
    /// Whether it is a point on a temperature scale.
    pub is_point: bool,
    /// What a plain ratio is a ratio of, by name or by number.
    pub ratio: Option<Ratio>,
    /// The substance of a share of something: `22 % w/w of N`.
    pub share: Option<Substance>,
    /// The unit it is shown in.
    pub unit: Unit,
    /// Units of names in the formula that are whole in themselves, whatever bases their words share.
    pub whole_units: SmallVec<[Unit; 1]>,
    /// Whether it is a range, and if so made from which.
    pub range: Option<Box<RangeType>>,
    /// Whether the unit comes from a named value rather than from a number in the formula.
    pub is_named: bool,
}

/// Where a range was written down: one and the same wherever it comes to.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RangeOrigin {
    /// The worksheet that it was drawn from; none for this one.
    pub sheet: Option<Arc<str>>,
    /// Its number there.
    pub number: usize,
}

/// What is known of a range.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct RangeType {
    /// The ranges that enter it, by number.
    pub origins: SmallVec<[RangeOrigin; 2]>,
    /// Whether it has a lower end.
    pub has_low: bool,
    /// Whether it has an upper end.
    pub has_high: bool,
}

impl NumberType {
    /// A plain number.
    pub fn plain() -> Self {
        Self::of(Unit::plain(), &[])
    }

    /// A quantity in a unit, of nothing in particular.
    pub fn of(unit: Unit, crew: &[CrewWord]) -> Self {
        let ratio = match unit.factors.as_slice() {
            [factor] => factor.entry().and_then(|entry| match entry.kind {
                EntryKind::Ratio(ratio) => Some(ratio),
                _ => None,
            }),
            _ => None,
        };
        Self {
            dimension: unit.dimension(crew),
            labels: Labels::none(),
            is_point: unit.is_point(),
            ratio,
            share: None,
            whole_units: smallvec::smallvec![unit.clone()],
            unit,
            range: None,
            is_named: false,
        }
    }

    /// Whether it is a range.
    pub fn is_range(&self) -> bool {
        self.range.is_some()
    }

    /// Whether it has no lower, or no upper end.
    pub fn is_open(&self) -> bool {
        self.range.as_ref().is_some_and(|range| !(range.has_low && range.has_high))
    }

    /// The same, as one value.
    pub fn single(&self) -> Self {
        Self { range: None, ..self.clone() }
    }
}

impl Type {
    /// A plain number.
    pub fn plain() -> Self {
        Self::Number(NumberType::plain())
    }

    /// The number's type, if it is one number or range.
    pub fn number(&self) -> Option<&NumberType> {
        match self {
            Self::Number(number) => Some(number),
            _ => None,
        }
    }

    /// The type of each of several values, or of itself.
    pub fn each(&self) -> &Self {
        match self {
            Self::Several(each) => each,
            single => single,
        }
    }

    /// Whether something it needs is in trouble.
    pub fn is_unknown(&self) -> bool {
        matches!(self.each(), Self::Unknown)
    }
}
