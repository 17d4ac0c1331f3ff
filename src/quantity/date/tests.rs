//! Dates read, shown, subtracted and moved. Expected figures of the calendar are by Python's `datetime` (3.11), which
//! is proleptic Gregorian over the same years.

use super::{DateError, Measured, Moment, SpanError};

/// What a date comes out as, or what is wrong with it.
fn shown(text: &str) -> Result<String, DateError> {
    Moment::parse(text).map(|moment| moment.to_string())
}

/// The time between two dates in seconds and whether it counts days.
fn between(later: &str, earlier: &str) -> Option<Result<(f64, bool), SpanError>> {
    let (later, earlier) = (Moment::parse(later).ok()?, Moment::parse(earlier).ok()?);
    Some(later.minus(&earlier).map(|span| (span.seconds, span.in_days)))
}

/// A date moved by seconds.
fn moved(from: &str, seconds: f64) -> Option<Result<String, SpanError>> {
    let from = Moment::parse(from).ok()?;
    Some(from.plus_seconds(seconds).map(|moment| moment.to_string()))
}

#[test]
fn what_the_notation_writes_is_read_and_shown_alike() {
    for date in ["2026-04-12", "2026-04-12 14:30", "0001-01-01", "9999-12-31 23:59", "2024-02-29", "2000-02-29 00:00"] {
        assert_eq!(shown(date).as_deref(), Ok(date));
    }
    assert_eq!(shown("  2026-04-12\t 14:30 ").as_deref(), Ok("2026-04-12 14:30"));
}

#[test]
fn other_ways_to_write_a_date_are_refused_with_the_fix() {
    let padded = |fixed: &str| Err(DateError::NotPadded { fixed: fixed.into() });
    let clock = |fixed: &str| Err(DateError::OtherClock { fixed: fixed.into() });
    let zone = |fixed: &str| Err(DateError::Zone { fixed: fixed.into() });
    assert_eq!(shown("2026-4-12"), padded("2026-04-12"));
    assert_eq!(shown("2026-04-2 14:30"), padded("2026-04-02 14:30"));
    assert_eq!(shown("2026-04-12 9:30"), padded("2026-04-12 09:30"));
    assert_eq!(shown("2026-04-12T14:30"), clock("2026-04-12 14:30"));
    assert_eq!(shown("2026-04-12 14.30"), clock("2026-04-12 14:30"));
    assert_eq!(shown("2026-04-12 2:30 pm"), clock("2026-04-12 14:30"));
    assert_eq!(shown("2026-04-12 12:05 a.m."), clock("2026-04-12 00:05"));
    assert_eq!(shown("2026-04-12 12PM"), clock("2026-04-12 12:00"));
    assert_eq!(shown("2026-04-12 14:30:15"), Err(DateError::Seconds { fixed: "2026-04-12 14:30".into() }));
    assert_eq!(shown("2026-04-12T14:30:15.250Z"), zone("2026-04-12 14:30"));
    assert_eq!(shown("2026-04-12 14:30+02:00"), zone("2026-04-12 14:30"));
}

#[test]
fn a_date_with_two_readings_is_refused_with_both() {
    let order = |readings: &[&str]| {
        Err(DateError::OtherOrder { readings: readings.iter().map(|reading| (*reading).into()).collect() })
    };
    assert_eq!(shown("4/12/2026"), order(&["2026-04-12", "2026-12-04"]));
    assert_eq!(shown("4/12/2026 2:30 pm"), order(&["2026-04-12 14:30", "2026-12-04 14:30"]));
    assert_eq!(shown("4/13/2026"), order(&["2026-04-13"]));
    assert_eq!(shown("13.4.2026"), order(&["2026-04-13"]));
    assert_eq!(shown("4-4-2026"), order(&["2026-04-04"]));
    assert_eq!(shown("2026/04/12"), order(&["2026-04-12"]));
    assert_eq!(shown("2026.4.12"), order(&["2026-04-12"]));
    assert_eq!(shown("4/12/26"), Err(DateError::ShortYear));
    assert_eq!(shown("4/12"), Err(DateError::NoYear));
}

#[test]
fn what_does_not_exist_is_refused_as_such() {
    let day = |day, month, year, days| Err(DateError::NoSuchDay { day, month, year, days });
    assert_eq!(shown("2026-02-29"), day(29, 2, 2026, 28));
    assert_eq!(shown("1900-02-29"), day(29, 2, 1900, 28));
    assert_eq!(shown("2024-2-30"), day(30, 2, 2024, 29));
    assert_eq!(shown("2026-04-31"), day(31, 4, 2026, 30));
    assert_eq!(shown("2026-04-00"), day(0, 4, 2026, 30));
    assert_eq!(shown("2026-13-01"), Err(DateError::NoSuchMonth { month: 13 }));
    assert_eq!(shown("2026-00-01"), Err(DateError::NoSuchMonth { month: 0 }));
    assert_eq!(shown("13/13/2026"), Err(DateError::NoSuchMonth { month: 13 }));
    assert_eq!(shown("0000-01-01"), Err(DateError::NoSuchYear));
    assert_eq!(shown("2026-04-12 24:00"), Err(DateError::NoSuchHour { hour: 24 }));
    assert_eq!(shown("2026-04-12 13:00 pm"), Err(DateError::NoSuchHour { hour: 13 }));
    assert_eq!(shown("2026-04-12 0:10 am"), Err(DateError::NoSuchHour { hour: 0 }));
    assert_eq!(shown("2026-04-12 14:60"), Err(DateError::NoSuchMinute { minute: 60 }));
}

#[test]
fn what_is_no_date_is_refused() {
    for text in [
        "",
        " ",
        "today",
        "T",
        "2026",
        "20260412",
        "2026-04",
        "12026-04-12",
        "2026-04-12-01",
        "26-004-12",
        "٢٠٢٦-٠٤-١٢",
    ] {
        assert_eq!(shown(text), Err(DateError::NotADate), "{text}");
    }
    for text in [
        "2026-04-12 noon",
        "2026-04-12 14",
        "2026-04-12 143:00",
        "2026-04-12 14:3",
        "2026-04-12 1:2:3:4:5",
        "2026-04-12T",
    ] {
        assert_eq!(shown(text), Err(DateError::NotAnHour), "{text}");
    }
}

#[test]
fn dates_without_an_hour_are_days_apart() {
    let days = |days: f64| Some(Ok((days * 86_400.0, true)));
    assert_eq!(between("2026-04-12", "2026-03-01"), days(42.0));
    assert_eq!(between("9999-12-31", "0001-01-01"), days(3_652_058.0));
    assert_eq!(between("2000-03-01", "2000-02-28"), days(2.0));
    assert_eq!(between("1900-02-28", "1900-03-01"), days(-1.0));
    assert_eq!(between("1582-10-15", "1582-10-04"), days(11.0));
    assert_eq!(between("2024-02-29", "2023-02-28"), days(366.0));
}

#[test]
fn dates_with_an_hour_are_hours_apart_and_do_not_mix() {
    assert_eq!(between("2026-04-13 06:15", "2026-04-12 14:30"), Some(Ok((56_700.0, false))));
    assert_eq!(between("9999-12-31 23:59", "0001-01-01 00:00"), Some(Ok((315_537_897_540.0, false))));
    assert_eq!(between("2024-02-28 23:59", "2024-03-01 00:00"), Some(Ok((-86_460.0, false))));
    assert_eq!(between("2026-04-13", "2026-04-12 14:30"), Some(Err(SpanError::Mixed)));
    assert_eq!(between("2026-04-13 14:30", "2026-04-12"), Some(Err(SpanError::Mixed)));
}

#[test]
fn only_dates_of_one_kind_have_an_order() {
    let [day, hour, later] =
        ["2026-04-12", "2026-04-12 00:00", "2026-04-12 00:01"].map(|date| Moment::parse(date).ok());
    assert!(hour.is_some() && hour < later && hour != later);
    let both = day.zip(hour);
    assert_eq!(both.map(|(day, hour)| day.partial_cmp(&hour)), Some(None));
    assert_eq!(both.map(|(day, hour)| day == hour), Some(false));
}

#[test]
fn a_day_moves_by_whole_days_only() {
    let day = 86_400.0;
    assert_eq!(moved("2026-04-12", 21.0 * day), Some(Ok("2026-05-03".into())));
    assert_eq!(moved("2024-02-28", day), Some(Ok("2024-02-29".into())));
    assert_eq!(moved("2023-02-28", day), Some(Ok("2023-03-01".into())));
    assert_eq!(moved("0001-01-01", 3_652_058.0 * day), Some(Ok("9999-12-31".into())));
    assert_eq!(moved("2026-01-01", -day), Some(Ok("2025-12-31".into())));
    assert_eq!(moved("2026-01-01", 0.0), Some(Ok("2026-01-01".into())));
    assert_eq!(moved("2026-01-01", 0.1 * 3.0 * 10.0 / 3.0 * day), Some(Ok("2026-01-02".into())));
    assert_eq!(moved("2026-01-01", day * (1.0 + 1e-11)), Some(Err(SpanError::PartOfDay)));
    assert_eq!(moved("2026-01-01", 3600.0), Some(Err(SpanError::PartOfDay)));
}

#[test]
fn an_hour_moves_by_any_time_and_is_shown_to_the_minute() {
    assert_eq!(moved("2026-04-12 14:30", 12.0 * 3600.0), Some(Ok("2026-04-13 02:30".into())));
    assert_eq!(moved("2026-04-12 14:30", -3600.0 / 3.0), Some(Ok("2026-04-12 14:10".into())));
    assert_eq!(moved("2026-04-12 14:30", 29.9), Some(Ok("2026-04-12 14:30".into())));
    assert_eq!(moved("2026-04-12 23:59", 30.0), Some(Ok("2026-04-13 00:00".into())));
    assert_eq!(moved("0001-01-01 00:00", 315_537_897_540.0), Some(Ok("9999-12-31 23:59".into())));
    assert_eq!(moved("9999-12-31 23:59", -315_537_897_540.0), Some(Ok("0001-01-01 00:00".into())));
    assert_eq!(moved("9999-12-31 23:59", 30.0), Some(Ok("9999-12-31 23:59".into())));
}

#[test]
fn binary_noise_is_taken_off_a_moved_date() {
    let start = Moment::parse("2026-04-12 14:30");
    let there = start.clone().map(|start| start.plus_seconds(86_400.0 / 7.0 * 7.0 * (1.0 + 4e-16)));
    assert_eq!(there, Moment::parse("2026-04-13 14:30").map(Ok));
    let nearly = Measured { size: 1e12, ..Measured::exact(0.3) };
    assert_eq!(start.clone().map(|start| start.plus(&nearly)), start.map(Ok));
}

#[test]
fn a_date_outside_the_years_is_refused() {
    let outside = Some(Err(SpanError::OutOfYears));
    assert_eq!(moved("9999-12-31", 86_400.0), outside);
    assert_eq!(moved("0001-01-01", -86_400.0), outside);
    assert_eq!(moved("0001-01-01 00:00", -1.0), outside);
    for seconds in [1e300, f64::INFINITY, f64::NEG_INFINITY, f64::NAN] {
        assert_eq!(moved("2026-04-12", seconds), outside, "{seconds}");
        assert_eq!(moved("2026-04-12 14:30", seconds), outside, "{seconds}");
    }
}

#[test]
fn an_hour_has_two_digits_and_so_has_a_minute() {
    for clock in ["143 pm", "123:45:10", "14:305:10", "14:3:10", "14:3", "123:45", "10:20:30:40:50"] {
        assert_eq!(shown(&format!("2026-04-12 {clock}")), Err(DateError::NotAnHour), "{clock}");
    }
}
