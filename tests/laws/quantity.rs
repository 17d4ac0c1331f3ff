//! Written values of generated sheets: numbers in a unit, with their `±`, that can be written in another unit of the
//! same dimension.

use crate::measures::{Dimension, Measure};
use crate::tape::Tape;

/// A number as it is written.
#[derive(Debug, Clone, PartialEq)]
pub struct Figure {
    /// The number in its unit.
    pub number: f64,
    /// The unit.
    pub unit: Measure,
    /// The text, without the unit: `9 1/2`.
    text: String,
}

/// How a `±` is written.
#[derive(Debug, Clone, PartialEq)]
pub enum Give {
    /// `± 0.2 in`, `± 0.2 in (6 df)`, `± 0.2 in at most`
    Amount(f64, Measure, String),
    /// `± 2 %`
    Share(usize, String),
}

impl Figure {
    /// A figure near a size in SI units, with few digits or as a fraction.
    pub fn near(tape: &mut Tape, dimension: Dimension) -> Self {
        let unit = *tape.pick(dimension.measures());
        let about = dimension.middling() / unit.size;
        if about > 2.0 && about < 500.0 && tape.chance(20) {
            return Self::fraction(tape, about, unit);
        }
        let digits = tape.between(10, 999);
        let power = libm::log10(about).floor() as i32 - 1;
        let text = format!("{digits}e{power}");
        let number: f64 = text.parse().unwrap_or_default();
        Self { number, unit, text: plain(number) }
    }

    fn fraction(tape: &mut Tape, about: f64, unit: Measure) -> Self {
        let (whole, bottom) = (tape.between(1, about as usize * 2), *tape.pick(&[2usize, 4, 8, 16]));
        let top = 2 * tape.below(bottom / 2) + 1;
        Self { number: whole as f64 + top as f64 / bottom as f64, unit, text: format!("{whole} {top}/{bottom}") }
    }

    /// The same quantity in another unit.
    pub fn in_unit(&self, unit: Measure) -> Self {
        if unit == self.unit {
            return self.clone();
        }
        let number = (self.number * self.unit.size + self.unit.zero - unit.zero) / unit.size;
        Self { number, unit, text: plain(number) }
    }

    /// A figure like it, a few percent above or below.
    pub fn beside(&self, tape: &mut Tape) -> Self {
        let number = self.number * (1.0 + (tape.below(41) as f64 - 20.0) / 200.0);
        self.with(format!("{number:.3e}").parse().unwrap_or(self.number))
    }

    /// A larger figure.
    pub fn above(&self, tape: &mut Tape) -> Self {
        let number = self.number * (1.0 + tape.between(1, 60) as f64 / 20.0);
        self.with(format!("{number:.3e}").parse().unwrap_or(self.number))
    }

    /// The figure times a number.
    pub fn times(&self, factor: f64) -> Self {
        if factor == 1.0 { self.clone() } else { self.with(self.number * factor) }
    }

    fn with(&self, number: f64) -> Self {
        Self { number, unit: self.unit, text: plain(number) }
    }

    /// The number without its unit.
    pub fn bare(&self) -> &str {
        &self.text
    }
}

impl std::fmt::Display for Figure {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "{} {}", self.text, self.unit.symbol)
    }
}

impl Give {
    /// A few percent of a figure.
    pub fn of(tape: &mut Tape, figure: &Figure, dimension: Dimension) -> Self {
        let share = tape.between(1, 12);
        let sort = match tape.below(5) {
            0 => " at most".to_owned(),
            1 => format!(" ({} df)", tape.between(1, 30)),
            _ => String::new(),
        };
        if dimension != Dimension::Point && tape.chance(30) {
            return Self::Share(share, sort);
        }
        let digits = (figure.number.abs() * share as f64 / 100.0).max(1e-9);
        let number = format!("{digits:.1e}").parse().unwrap_or(1.0);
        Self::Amount(number, figure.unit, sort)
    }

    /// The same half-width in another unit.
    pub fn in_unit(&self, unit: Measure) -> Self {
        match self {
            Self::Amount(number, own, sort) if *own != unit => {
                Self::Amount(number * own.size / unit.size, unit, sort.clone())
            }
            same => same.clone(),
        }
    }
}

impl std::fmt::Display for Give {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        match self {
            Self::Amount(number, unit, sort) => write!(formatter, " ± {} {}{sort}", plain(*number), unit.symbol),
            Self::Share(share, sort) => write!(formatter, " ± {share} %{sort}"),
        }
    }
}

/// A number in digits alone, as many as it takes to read the same number back.
pub fn plain(number: f64) -> String {
    format!("{number}")
}
