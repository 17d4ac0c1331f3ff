//! Remarks of the engine in words.

use crate::checked::model::{Remark, Rough};

/// A remark as it is printed beside a value of which the half-width and the standard uncertainty are given: on few
/// readings it tells the width that the `±` really has, since other sources may be surer.
pub fn beside(remark: &Remark, half_width: Option<f64>, uncertainty: Option<f64>) -> String {
    match (remark, half_width, uncertainty) {
        (Remark::FewReadings { of, count, .. }, Some(half_width), Some(uncertainty)) if uncertainty > 0.0 => {
            words(&Remark::FewReadings { of: of.clone(), count: *count, t: half_width / uncertainty })
        }
        _ => words(remark),
    }
}

/// A remark in words.
pub fn words(remark: &Remark) -> String {
    match remark {
        Remark::DoubtUnknown(name) => format!("its doubt is not known: {name} shows no scatter and has no ±"),
        Remark::RootUnknown(name) => format!("its doubt is not known: {name} is a root of 0"),
        Remark::CountsAsNothing => {
            "what is left is less than a millionth of a millionth of what it is worked from: it counts as 0".to_owned()
        }
        Remark::NoRows(name) => format!("{name} has no rows"),
        Remark::RepeatabilityMissing(name) => {
            format!("the ± is the device's alone: {name} shows no scatter, so that repeatability is not in it")
        }
        Remark::FewReadings { of, count, t } => {
            format!(
                "{of}: {count} readings only, so that the ± is {t:.1} standard uncertainties wide; a third would narrow it"
            )
        }
        Remark::UnpairedMeans(first, second) => {
            format!("{first} and {second}: taken in the same passes? Put them in one table")
        }
        Remark::RoundedDoubt(doubt) => format!("rounded, and exact from here: {doubt} was set aside"),
        Remark::RoughDoubt(Rough::RootAtNothing) => "a root or power at 0: its ± is rough".to_owned(),
        Remark::RoughDoubt(Rough::Divisor) => "a divisor has over 20 % doubt: the ± is rough".to_owned(),
        Remark::NoRowChosen(column, holds) => format!("the choice keeps no row; {column} holds {holds}"),
        Remark::OuterPan => "an outermost pan caught something: the throw reaches further than the pans".to_owned(),
        Remark::NarrowerFails(swath, variation) => {
            format!("a narrower swath, {swath}, does not meet the limit: its CV is {variation}")
        }
        Remark::NoStepInside(step) => format!("no whole {step} lies within"),
        Remark::RowsAlike(first, second, 0) => format!("{first} and {second} are alike: is one a copy?"),
        Remark::RowsAlike(first, second, more) => {
            format!("{first} and {second} are alike, and {more} more with them: are there copies among them?")
        }
        Remark::ColumnsNotDeclared(columns) => format!("the file has columns that the table does not take: {columns}"),
        Remark::NearTemplates(name) => format!("nothing uses this line; the template has one called `{name}`"),
        Remark::Departs(default) => format!("the template has {default}"),
        Remark::SetForRun(written) => format!("set for this run; the worksheet has {written}"),
        Remark::CheckedByValue(what) => format!("judged by the value: the doubt of {what} is not known"),
    }
}
