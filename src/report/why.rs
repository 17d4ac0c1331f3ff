//! How a value comes about, as plain data: its formula with the numbers put in, step by step down to what was written
//! down and the line of each, and what its doubt comes from. [`explain::Explainer`] fills it from a worked sheet.

pub mod doubts;
pub mod explain;
pub mod figures;
pub mod places;
pub mod reach;
pub mod steps;
pub mod targets;

use super::data::ReportCheck;

/// What was asked for.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Why {
    /// The name of the value, or the label of the check.
    pub name: String,
    /// The value in each unit that it is shown in, `±` and all; nothing where it waits, or of a check.
    pub shown: Vec<String>,
    /// The check as the report has it, where one was asked for.
    pub check: Option<ReportCheck>,
    /// How the value stands to each limit of a check.
    pub limits: Vec<LimitWhy>,
    /// What the engine and the writer have to say about a check; of a value its step or entry says it.
    pub remarks: Vec<String>,
    /// The blanks that it waits on.
    pub waiting: Vec<WaitedOn>,
    /// What it is worked from: first in the worksheet itself, then in the others that it draws on.
    pub sheets: Vec<SheetWhy>,
    /// What its doubt comes from; of a range one for each end, of a check one for each limit.
    pub doubts: Vec<DoubtWhy>,
}

/// One limit of a check.
#[derive(Debug, Clone, PartialEq)]
pub struct LimitWhy {
    /// `ok`, `close` or `no`, of this limit alone.
    pub outcome: super::data::Outcome,
    /// `at most 3 mph`
    pub limit: String,
    /// `1.019 ± 0.069 mph left`, or `0.2 mph past it`
    pub left: String,
}

/// A blank that is waited on.
#[derive(Debug, Clone, PartialEq)]
pub struct WaitedOn {
    /// Its name.
    pub name: String,
    /// Its unit or kind.
    pub unit: String,
    /// Where it stands.
    pub place: String,
}

/// What a value is worked from, within one worksheet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct SheetWhy {
    /// The worksheet's path in the crew folder; none for the one that was asked about.
    pub file: Option<String>,
    /// Results and worked-out cells, each before what it needs.
    pub steps: Vec<Step>,
    /// What was written down, in the order of the lines.
    pub entries: Vec<EntryWhy>,
    /// Whether numbers were put in that are shown rounded.
    pub is_rounded: bool,
}

/// How one result or cell is worked out.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Step {
    /// Its name; of a cell `beds.area, north walk`.
    pub name: String,
    /// The formula as one would write it, the numbers put in, the calls worked, the value: each is the same as the one
    /// before. Words that belong together are joined by no-break spaces.
    pub equal: Vec<String>,
    /// What it is shown as, where that is not quite the value.
    pub shown_as: Vec<String>,
    /// What it waits on, or how many rows are left out, or the engine's remarks.
    pub remarks: Vec<String>,
    /// Where its formula stands; empty where the step above says it.
    pub place: String,
}

/// Something that was written down.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct EntryWhy {
    /// Its name; of a cell `passes.walk, first`.
    pub name: String,
    /// As written, with its unit.
    pub shown: String,
    /// What is said about it.
    pub remarks: Vec<String>,
    /// Where it stands.
    pub place: String,
}

/// What a doubt comes from.
#[derive(Debug, Clone, PartialEq)]
pub struct DoubtWhy {
    /// What it is the doubt of, where there are several: `lower end`, `at most 3 mph`.
    pub of: Option<String>,
    /// What there is to say.
    pub says: DoubtSays,
}

/// What there is to say of a doubt.
#[derive(Debug, Clone, PartialEq)]
pub enum DoubtSays {
    /// There is none, and why.
    None(String),
    /// It cannot be said, and why.
    Unknown(String),
    /// Its sources, largest first.
    Sources(Vec<DoubtSource>),
}

impl DoubtSays {
    /// Whether the same is printed of both.
    pub fn is_alike(&self, other: &Self) -> bool {
        let printed = |source: &DoubtSource| DoubtSource { part: 0.0, ..source.clone() };
        match (self, other) {
            (Self::Sources(one), Self::Sources(other)) => one.iter().map(printed).eq(other.iter().map(printed)),
            (one, other) => one == other,
        }
    }
}

/// One source of a doubt.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct DoubtSource {
    /// Its part of the square of the doubt, from 0 to 1.
    pub part: f64,
    /// The same in whole percent; all of a value add up to 100. 0 stands for what is under 1.
    pub percent: i64,
    /// `spray width`, `scatter of passes.walk`
    pub name: String,
    /// `± 1/2 in`, `4 readings`
    pub detail: String,
    /// What of it would be said about its parts, where it is of several readings taken together.
    pub remark: Option<String>,
    /// Where it stands.
    pub place: String,
}

impl DoubtSource {
    /// Its share in words: `70 %`, `under 1 %`.
    pub fn share(&self) -> String {
        if self.percent == 0 { "under 1 %".to_owned() } else { format!("{} %", self.percent) }
    }
}
