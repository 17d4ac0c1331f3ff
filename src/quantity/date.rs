//! Dates, with or without the hour, and the times between them: ISO 8601, the proleptic Gregorian calendar, the wall
//! clock's time where the job is. It knows no zone, no today and no worksheet.

#[cfg(test)]
mod tests;
mod written;

pub use written::DateError;

use super::measured::Measured;
use jiff::civil::{Date, DateTime};
use jiff::{SignedDuration, Unit};
use std::cmp::Ordering;
use std::fmt;

/// The years a date may lie in, as four digits write them.
pub const YEARS: std::ops::RangeInclusive<i16> = 1..=9999;

const DAY: f64 = 86_400.0;

/// A date. One with an hour and one without are never equal and have no order.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
pub enum Moment {
    /// `2026-04-12`
    Day(Date),
    /// `2026-04-12 14:30`; worked to the nanosecond, shown to the nearest minute.
    Hour(DateTime),
}

/// The time from one date to another.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Span {
    /// How long, negative where the second date is the later one.
    pub seconds: f64,
    /// Whether it is counted in whole days (neither date has an hour); otherwise in hours.
    pub in_days: bool,
}

/// Why two dates, or a date and a time, do not go together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SpanError {
    /// One date has an hour, the other none.
    Mixed,
    /// A part of a day cannot be added to a date without an hour.
    PartOfDay,
    /// The date would lie outside of [`YEARS`], or the time is no finite number.
    OutOfYears,
}

impl Moment {
    /// Reads a date as the notation writes it; what is written otherwise is refused with the fix, where it is known.
    pub fn parse(text: &str) -> Result<Self, DateError> {
        written::read(text)
    }

    /// Whether it has an hour.
    pub fn has_hour(&self) -> bool {
        matches!(self, Self::Hour(_))
    }

    /// `self - other`
    pub fn minus(&self, other: &Self) -> Result<Span, SpanError> {
        match (self, other) {
            (Self::Day(own), Self::Day(other)) => {
                Ok(Span { seconds: own.duration_since(*other).as_secs_f64(), in_days: true })
            }
            (Self::Hour(own), Self::Hour(other)) => {
                Ok(Span { seconds: own.duration_since(*other).as_secs_f64(), in_days: false })
            }
            _ => Err(SpanError::Mixed),
        }
    }

    /// The date that many seconds later, or earlier where they are negative.
    pub fn plus_seconds(&self, seconds: f64) -> Result<Self, SpanError> {
        self.plus(&Measured::exact(seconds))
    }

    /// The date that much later. The time is in seconds; what its size says is binary noise about a whole day or
    /// second is taken off. Its doubt is not looked at.
    pub fn plus(&self, time: &Measured) -> Result<Self, SpanError> {
        let moved = match self {
            Self::Day(day) => day.checked_add(days(whole_days(time)?)?).map(Self::Day),
            Self::Hour(hour) => {
                let seconds = nearest_whole(time, 1.0).unwrap_or(time.value);
                let whole_days = (seconds / DAY).floor();
                let rest =
                    SignedDuration::try_from_secs_f64(seconds - whole_days * DAY).map_err(|_| SpanError::OutOfYears)?;
                hour.checked_add(days(whole_days)?).and_then(|hour| hour.checked_add(rest)).map(Self::Hour)
            }
        };
        moved.ok().filter(|moved| YEARS.contains(&moved.year())).ok_or(SpanError::OutOfYears)
    }

    fn year(&self) -> i16 {
        match self {
            Self::Day(day) => day.year(),
            Self::Hour(hour) => hour.year(),
        }
    }
}

/// The whole number of steps, in seconds, that a time is the same value as.
fn nearest_whole(time: &Measured, step: f64) -> Option<f64> {
    let whole = (time.value / step).round() * step;
    time.is_same(&Measured::exact(whole)).then_some(whole)
}

fn whole_days(time: &Measured) -> Result<f64, SpanError> {
    let part_of_day = if time.value.is_finite() { SpanError::PartOfDay } else { SpanError::OutOfYears };
    nearest_whole(time, DAY).map(|seconds| seconds / DAY).ok_or(part_of_day)
}

/// Days to go on by; past the calendar's reach they are refused, and so is what is no number.
fn days(count: f64) -> Result<jiff::Span, SpanError> {
    let reach = f64::from(YEARS.end() - YEARS.start()) * 366.0;
    let count = Some(count).filter(|count| count.abs() <= reach).ok_or(SpanError::OutOfYears)?;
    jiff::Span::new().try_days(count as i64).map_err(|_| SpanError::OutOfYears)
}

impl PartialOrd for Moment {
    fn partial_cmp(&self, other: &Self) -> Option<Ordering> {
        match (self, other) {
            (Self::Day(own), Self::Day(other)) => Some(own.cmp(other)),
            (Self::Hour(own), Self::Hour(other)) => Some(own.cmp(other)),
            _ => None,
        }
    }
}

impl fmt::Display for Moment {
    fn fmt(&self, formatter: &mut fmt::Formatter<'_>) -> fmt::Result {
        match self {
            Self::Day(day) => write!(formatter, "{day}"),
            Self::Hour(hour) => {
                // The last half minute of the year 9999 has no next minute to be rounded to.
                let shown = hour.round(Unit::Minute).unwrap_or(*hour);
                write!(formatter, "{} {:02}:{:02}", shown.date(), shown.hour(), shown.minute())
            }
        }
    }
}
