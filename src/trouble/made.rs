//! Troubles made from the errors of dates and texts, which know no words.

use super::Kind;
use crate::quantity::date::DateError;
use crate::text::crew_folder::{FolderError, MOST_FILES};
use crate::text::source::{MOST_BYTES, MOST_LINES, Unreadable};
use crate::units::vocabulary::Refusal;

/// The trouble of a text that is no date of the notation.
pub fn bad_date(error: &DateError) -> Kind {
    let form = "2026-04-12, or 2026-04-12 14:30 with the hour".to_owned();
    let (says, instead) = match error {
        DateError::NotADate => ("this is no date".to_owned(), form),
        DateError::NotAnHour => ("a date stands here with something behind it that is no time of day".to_owned(), form),
        DateError::NoYear => ("a date needs its year; this has none".to_owned(), form),
        DateError::ShortYear => ("the year of a date takes four digits".to_owned(), form),
        DateError::NoSuchYear => ("there is no year 0".to_owned(), form),
        DateError::NoSuchMonth { month } => (format!("there is no month {month}"), form),
        DateError::NoSuchDay { day, month, year, days } => {
            (format!("{year:04}-{month:02} has {days} days, and no day {day}"), String::new())
        }
        DateError::NoSuchHour { hour } => {
            (format!("a day has the hours 0 to 23; there is no hour {hour}"), String::new())
        }
        DateError::NoSuchMinute { minute } => {
            (format!("an hour has the minutes 0 to 59; there is no minute {minute}"), String::new())
        }
        DateError::NotPadded { fixed } => ("month, day and hour take two digits each".to_owned(), fixed.clone()),
        DateError::OtherOrder { readings } => match readings.as_slice() {
            [one] => ("a date is written year, month, day".to_owned(), one.clone()),
            several => (format!("this date has more than one reading: {}", several.join(", ")), several.join(", or ")),
        },
        DateError::OtherClock { fixed } => {
            ("the hour is written on the 24-hour clock after a space".to_owned(), fixed.clone())
        }
        DateError::Seconds { fixed } => ("seconds are not kept".to_owned(), fixed.clone()),
        DateError::Zone { fixed } => {
            ("an hour is the wall clock's where the job is; it has no zone".to_owned(), fixed.clone())
        }
    };
    Kind::BadDate { says, instead }
}

/// The trouble of bytes that are no worksheet.
pub fn unreadable(unreadable: Unreadable) -> Kind {
    match unreadable {
        Unreadable::NotUtf8(byte) => Kind::NotUtf8 { byte },
        Unreadable::TooLong(bytes) => Kind::FileTooLong { bytes, most: MOST_BYTES },
        Unreadable::TooManyLines(lines) => Kind::TooManyLines { lines, most: MOST_LINES },
    }
}

/// The trouble of a file that cannot be had.
pub fn no_file(file: &str, error: &FolderError) -> Kind {
    let file = file.to_owned();
    match error {
        FolderError::Outside => Kind::FileOutside { file },
        FolderError::Missing => Kind::FileMissing { file },
        FolderError::NotAFile => Kind::FileIsNone { file },
        FolderError::TooLong => Kind::FileOfFolderTooLong { file },
        FolderError::NoMatch => Kind::NoFileMatches { pattern: file },
        FolderError::TooMany => Kind::TooManyFiles { pattern: file, most: MOST_FILES },
        FolderError::BadPattern => Kind::BadPattern { pattern: file },
        FolderError::System(why) => Kind::CannotRead { file, why: why.clone() },
    }
}

/// The trouble of a word that the trade writes for a unit and that has several readings.
pub fn refused_unit(refusal: Refusal, words: &str) -> Kind {
    let (readings, instead) = match refusal {
        Refusal::Ppm => ("mg/kg, mg/L, ppm v/v", "mg/kg, mg/L or ppm v/v"),
        Refusal::Ppb => ("a thousandth of mg/kg, of mg/L, of ppm v/v", "0.001 mg/kg or 0.001 mg/L for one"),
        Refusal::Tonne => ("a tonne, a ton, a teaspoon, a tablespoon", "tonne, ton, tsp or tbsp"),
        Refusal::M => ("a thousand, a metre, a mile", "1000 ft² for a thousand square feet, m or mi"),
        Refusal::Megagram => ("mg, a million grams", "mg or tonne"),
        Refusal::A => ("acre, are", "acre"),
        Refusal::C => ("°C, a cup", "°C or cup"),
        Refusal::F => ("°F, a unit of another trade", "°F"),
        Refusal::ActiveIngredient => {
            return Kind::ActiveIngredientUnit { words: words.to_owned(), instead: of_ai(words) };
        }
        Refusal::PercentOf => {
            let substance = words.trim_start_matches('%').trim();
            return Kind::PercentOfSubstance { words: words.to_owned(), instead: format!("% w/w of {substance}") };
        }
        Refusal::Month | Refusal::Year => return Kind::MonthOrYear { words: words.to_owned() },
    };
    Kind::UnitTwoReadings { words: words.to_owned(), readings: readings.to_owned(), instead: instead.to_owned() }
}

fn of_ai(words: &str) -> String {
    let unit: Vec<&str> = words
        .split(' ')
        .filter(|word| !word.to_lowercase().starts_with("ai") && !word.to_lowercase().starts_with("a.i"))
        .collect();
    format!("{} of ai", unit.join(" "))
}
