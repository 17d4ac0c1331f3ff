//! Dates as they are written: `2026-04-12`, `2026-04-12 14:30`, and what is wrong with any other way. It does no
//! arithmetic and words no message.

use super::{Moment, YEARS};
use jiff::civil::{Date, Time};

/// Why a text is no date of the notation, with what to write instead where that is known.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum DateError {
    /// Nothing that could be a date.
    NotADate,
    /// A date, and then something that is no time of day.
    NotAnHour,
    /// `4/12`
    NoYear,
    /// `4/12/26`: the year takes four digits.
    ShortYear,
    /// The year 0000.
    NoSuchYear,
    /// `2026-13-01`
    NoSuchMonth {
        /// As written.
        month: u32,
    },
    /// `2026-02-30`
    NoSuchDay {
        /// As written.
        day: u32,
        /// The month it was to be in.
        month: u32,
        /// The year, on which February depends.
        year: u32,
        /// How many days that month has.
        days: u32,
    },
    /// `2026-04-12 25:00`
    NoSuchHour {
        /// As written.
        hour: u32,
    },
    /// `2026-04-12 14:60`
    NoSuchMinute {
        /// As written.
        minute: u32,
    },
    /// `2026-4-12`, `2026-04-12 9:30`
    NotPadded {
        /// As the notation writes it.
        fixed: String,
    },
    /// `4/12/2026`, `2026/04/12`
    OtherOrder {
        /// Each date it can be read as, the month first before the day first.
        readings: Vec<String>,
    },
    /// `2026-04-12T14:30`, `2026-04-12 2:30 pm`
    OtherClock {
        /// As the notation writes it.
        fixed: String,
    },
    /// `2026-04-12 14:30:15`
    Seconds {
        /// Without them.
        fixed: String,
    },
    /// `2026-04-12 14:30Z`, `2026-04-12 14:30+02:00`
    Zone {
        /// Without it.
        fixed: String,
    },
}

/// How far a text is from the notation's form, the farthest last.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
enum Form {
    AsNotated,
    NotPadded,
    OtherClock,
    Seconds,
    Zone,
    OtherOrder,
}

/// Reads a date; leading and trailing white space does not count.
pub fn read(text: &str) -> Result<Moment, DateError> {
    let (day, clock, joint) = halves(text.trim());
    let (dates, day_form) = read_day(day)?;
    let Some(clock) = clock else { return settle(dates.into_iter().map(Moment::Day).collect(), day_form) };
    let (time, clock_form) = read_clock(clock.trim())?;
    let moments = dates.into_iter().map(|date| Moment::Hour(date.to_datetime(time))).collect();
    settle(moments, day_form.max(joint).max(clock_form))
}

/// The date, the time of day if there is any, and how the two are joined.
fn halves(text: &str) -> (&str, Option<&str>, Form) {
    match text.split_once(char::is_whitespace) {
        Some((day, clock)) => (day, Some(clock), Form::AsNotated),
        None => match text.split_once(['T', 't']) {
            Some((day, clock)) => (day, Some(clock), Form::OtherClock),
            None => (text, None, Form::AsNotated),
        },
    }
}

/// The one moment that was written as the notation writes it, or the error that says how it would be.
fn settle(moments: Vec<Moment>, form: Form) -> Result<Moment, DateError> {
    let Some(first) = moments.first().copied() else { return Err(DateError::NotADate) };
    let fixed = first.to_string();
    Err(match form {
        Form::AsNotated => return Ok(first),
        Form::NotPadded => DateError::NotPadded { fixed },
        Form::OtherClock => DateError::OtherClock { fixed },
        Form::Seconds => DateError::Seconds { fixed },
        Form::Zone => DateError::Zone { fixed },
        Form::OtherOrder => DateError::OtherOrder { readings: moments.iter().map(Moment::to_string).collect() },
    })
}

/// Every date that a text can be read as (each once), and in which form it stands.
fn read_day(text: &str) -> Result<(Vec<Date>, Form), DateError> {
    let parts: Vec<&str> = text.split(['-', '/', '.']).collect();
    if !parts.iter().all(|part| is_digits(part)) {
        return Err(DateError::NotADate);
    }
    let lengths: Vec<usize> = parts.iter().map(|part| part.len()).collect();
    match (parts.as_slice(), lengths.as_slice()) {
        ([year, month, day], [4, 1..=2, 1..=2]) => {
            let date = existing(year, month, day)?;
            let dashes = !text.contains(['/', '.']);
            let form = match lengths.as_slice() {
                _ if !dashes => Form::OtherOrder,
                [4, 2, 2] => Form::AsNotated,
                _ => Form::NotPadded,
            };
            Ok((vec![date], form))
        }
        ([first, second, year], [1..=2, 1..=2, 4]) => {
            either_order(existing(year, first, second), existing(year, second, first))
        }
        ([_, _, _], [1..=2, 1..=2, 1..=2]) => Err(DateError::ShortYear),
        ([_, _], [1..=2, 1..=2]) => Err(DateError::NoYear),
        _ => Err(DateError::NotADate),
    }
}

/// `4/12/2026` with the month first and with the day first: what exists of the two.
fn either_order(
    month_first: Result<Date, DateError>,
    day_first: Result<Date, DateError>,
) -> Result<(Vec<Date>, Form), DateError> {
    let dates = match (month_first, day_first) {
        (Ok(date), Ok(other)) if date != other => vec![date, other],
        (Ok(date), _) | (Err(_), Ok(date)) => vec![date],
        (Err(error), Err(_)) => return Err(error),
    };
    Ok((dates, Form::OtherOrder))
}

fn existing(year: &str, month: &str, day: &str) -> Result<Date, DateError> {
    let (year, month, day) = (number(year), number(month), number(day));
    let calendar_year = i16::try_from(year).ok().filter(|year| YEARS.contains(year)).ok_or(DateError::NoSuchYear)?;
    let first = i8::try_from(month).ok().and_then(|month| Date::new(calendar_year, month, 1).ok());
    let first = first.ok_or(DateError::NoSuchMonth { month })?;
    let date = i8::try_from(day).ok().and_then(|day| Date::new(calendar_year, first.month(), day).ok());
    date.ok_or(DateError::NoSuchDay { day, month, year, days: first.days_in_month().unsigned_abs().into() })
}

/// A time of day, and in which form it stands.
fn read_clock(text: &str) -> Result<(Time, Form), DateError> {
    let (text, zone) = without_zone(text);
    let (text, half) = without_half(text);
    let parts: Vec<&str> = text.split([':', '.']).collect();
    if !parts.iter().all(|part| is_digits(part)) {
        return Err(DateError::NotAnHour);
    }
    let (hour, minute, form) = match parts.as_slice() {
        [hour] if half.is_some() && hour.len() <= 2 => (*hour, "00", Form::OtherClock),
        [hour, minute] if hour.len() <= 2 && minute.len() == 2 => (*hour, *minute, clock_form(text, hour)),
        [hour, minute, _, ..] if hour.len() <= 2 && minute.len() == 2 && parts.len() <= 4 => {
            (*hour, *minute, Form::Seconds)
        }
        _ => return Err(DateError::NotAnHour),
    };
    let form = if half.is_some() { form.max(Form::OtherClock) } else { form };
    Ok((existing_time(number(hour), number(minute), half)?, if zone { Form::Zone } else { form }))
}

fn clock_form(text: &str, hour: &str) -> Form {
    match hour.len() {
        _ if text.contains('.') => Form::OtherClock,
        2 => Form::AsNotated,
        _ => Form::NotPadded,
    }
}

fn existing_time(hour: u32, minute: u32, half: Option<Half>) -> Result<Time, DateError> {
    let whole_day = match half {
        None => Some(hour),
        Some(half) => (1..=12).contains(&hour).then_some(hour % 12 + if half == Half::After { 12 } else { 0 }),
    };
    let narrow = |figure: u32, end: u32| i8::try_from(figure).ok().filter(|_| figure < end);
    let whole_day = whole_day.and_then(|hour| narrow(hour, 24)).ok_or(DateError::NoSuchHour { hour })?;
    let minute_kept = narrow(minute, 60).ok_or(DateError::NoSuchMinute { minute })?;
    Time::new(whole_day, minute_kept, 0, 0).map_err(|_| DateError::NotAnHour)
}

/// Which half of the day a clock of twelve hours means.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum Half {
    Before,
    After,
}

fn without_half(text: &str) -> (&str, Option<Half>) {
    let clock = text.trim_end_matches(|letter: char| letter.is_ascii_alphabetic() || letter == '.');
    let letters = text.strip_prefix(clock).unwrap_or_default().replace('.', "").to_ascii_lowercase();
    match letters.as_str() {
        "am" => (clock.trim_end(), Some(Half::Before)),
        "pm" => (clock.trim_end(), Some(Half::After)),
        _ => (text, None),
    }
}

fn without_zone(text: &str) -> (&str, bool) {
    let clock = text.trim_end_matches(['Z', 'z']);
    match clock.split_once(['+', '-']) {
        Some((clock, _)) => (clock.trim_end(), true),
        None => (clock.trim_end(), clock.len() < text.len()),
    }
}

fn is_digits(text: &str) -> bool {
    !text.is_empty() && text.bytes().all(|byte| byte.is_ascii_digit())
}

/// The number that a few digits write; more than fit count as a number too large for any date.
fn number(digits: &str) -> u32 {
    digits.parse().unwrap_or(u32::MAX)
}
