//! Troubles made from the errors of dates and texts, which know no words.

use super::Kind;
use crate::quantity::date::DateError;
use crate::text::crew_folder::{FolderError, MOST_FILES};
use crate::text::revision::RevisionError;
use crate::text::source::{MOST_BYTES, MOST_LINES, Unreadable};
use crate::units::vocabulary::Refusal;

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// The trouble of a text that is no date of the notation.
pub fn bad_date(error: &DateError) -> Kind {
    let form = || "2026-04-12, or 2026-04-12 14:30 with the hour".to_owned();
    let exact = |fixed: &str| format!("`{fixed}`");
    let (says, instead) = match error {
        DateError::NotADate => ("this is no date".to_owned(), form()),
        DateError::NotAnHour => ("a date stands here, and behind it what is no time of day".to_owned(), form()),
        DateError::NoYear => ("a date has its year, and this has none".to_owned(), form()),
        DateError::ShortYear => ("the year of a date has four digits and stands first".to_owned(), form()),
        DateError::NoSuchYear => ("the years are 1 to 9999".to_owned(), form()),
        DateError::NoSuchMonth { month } => (format!("there is no month {month}"), form()),
        DateError::NoSuchDay { day, month, year, days } => {
            (format!("{} {year} has {days} days, and this says {day}", name_of(*month)), String::new())
        }
        DateError::NoSuchHour { hour } => (format!("the hours are 00 to 23, and this says {hour}"), String::new()),
        DateError::NoSuchMinute { minute } => {
            (format!("the minutes are 00 to 59, and this says {minute}"), String::new())
        }
        DateError::NotPadded { fixed } => ("month, day and hour have two digits each".to_owned(), exact(fixed)),
        DateError::OtherOrder { readings } => match readings.as_slice() {
            [first, second] => (
                format!("a date is written year, month, day, and this has more than one reading: {first}, or {second}"),
                format!("`{first}`, or `{second}`"),
            ),
            several => ("a date is written year, month, day".to_owned(), exact(&several.join(", "))),
        },
        DateError::OtherClock { fixed } => {
            ("the hour stands after a space, on the clock of 24 hours".to_owned(), exact(fixed))
        }
        DateError::Seconds { fixed } => ("a time of day has no seconds".to_owned(), exact(fixed)),
        DateError::Zone { fixed } => {
            ("an hour is the wall clock's where the job is, without a zone".to_owned(), exact(fixed))
        }
    };
    Kind::BadDate { says, instead }
}

fn name_of(month: u32) -> &'static str {
    usize::try_from(month).ok().and_then(|month| MONTHS.get(month.checked_sub(1)?)).copied().unwrap_or("the month")
}

/// The trouble of bytes that are no worksheet.
pub fn unreadable(unreadable: Unreadable) -> Kind {
    match unreadable {
        Unreadable::NotUtf8 { byte, line } => Kind::NotUtf8 { byte, line },
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

/// The trouble of a revision of a file that cannot be had.
pub fn no_revision(file: &str, revision: &str, error: &RevisionError) -> Kind {
    let (file, revision) = (file.to_owned(), revision.to_owned());
    match error {
        RevisionError::NoGit(why) => Kind::GitMissing { why: why.clone() },
        RevisionError::NoRepository => Kind::NoRepository { file },
        RevisionError::NoRevision => Kind::NoRevision { file, revision },
        RevisionError::NotInRevision => Kind::NotInRevision { file, revision },
        RevisionError::Failed(why) => Kind::GitFailed { file, why: why.clone() },
    }
}

/// The trouble of a word that the trade writes for a unit and that has several readings.
pub fn refused_unit(refusal: Refusal, words: &str) -> Kind {
    let (readings, instead) = match refusal {
        Refusal::Ppm => ("mg/kg, mg/L, ppm v/v", "`mg/kg`, `mg/L` or `ppm v/v`"),
        Refusal::Ppb => ("a thousandth of mg/kg, of mg/L, of ppm v/v", "0.001 mg/kg or 0.001 mg/L for one"),
        Refusal::Tonne => ("a tonne, a ton, a teaspoon, a tablespoon", "`tonne`, `ton`, `tsp` or `tbsp`"),
        Refusal::M => ("a thousand, a metre, a mile", "1000 ft² for a thousand square feet, `m` or `mi`"),
        Refusal::Megagram => ("mg, a million grams", "`mg` or `tonne`"),
        Refusal::A => ("acre, are", "`acre`"),
        Refusal::C => ("°C, a cup", "`°C` or `cup`"),
        Refusal::F => ("°F, a unit of another trade", "`°F`"),
        Refusal::ActiveIngredient => {
            return Kind::ActiveIngredientUnit { words: words.to_owned(), instead: of_ai(words) };
        }
        Refusal::PercentOf => {
            let substance = words.trim_start_matches('%').trim();
            return Kind::PercentOfSubstance { words: words.to_owned(), substance: substance.to_owned() };
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
