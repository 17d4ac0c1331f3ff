//! Two versions of a worksheet held against each other, as plain data: the values that differ, before and after, with
//! the change and what is behind it. [`compare::compare`] fills it from two worked sheets.

pub mod behind;
pub mod compare;
pub mod meant;
pub mod same;
pub mod side;

use super::data::Outcome;

/// What differs between an old and a new worksheet.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Comparison {
    /// Cautions of the old worksheet that the new one does not have.
    pub cautions_gone: Vec<String>,
    /// Which of the two could not be worked at all, so that there is nothing to compare.
    pub unworked: Vec<&'static str>,
    /// What was written down and differs.
    pub entries: Vec<Difference>,
    /// Results that differ.
    pub results: Vec<Difference>,
    /// Formulas that differ, whether their results do or not.
    pub formulas: Vec<Difference>,
    /// Checks that come out otherwise, or ask for something else.
    pub checks: Vec<CheckDifference>,
    /// What only the old one has.
    pub gone: Vec<Only>,
    /// What only the new one has.
    pub added: Vec<Only>,
    /// How much differs, what is not listed too.
    pub differing: Counts,
    /// How much is the same in both.
    pub same: Counts,
}

/// One thing that differs.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Difference {
    /// Its name; of a cell `beds.width, north walk`.
    pub name: String,
    /// What it was.
    pub was: String,
    /// What it is.
    pub is: String,
    /// The change: `+3.03 %`, held together by a no-break space; empty where none can be said.
    pub change: String,
    /// What else there is to say.
    pub remarks: Vec<String>,
    /// The entries and formulas behind it.
    pub behind: Vec<String>,
}

/// A check that differs.
#[derive(Debug, Clone, PartialEq)]
pub struct CheckDifference {
    /// Its label.
    pub label: String,
    /// How it came out, and what was compared.
    pub was: (Outcome, String),
    /// How it comes out, and what is compared.
    pub is: (Outcome, String),
    /// What to do, where it does not hold now.
    pub advice: Option<String>,
    /// The entries and formulas behind it.
    pub behind: Vec<String>,
}

/// Something that only one of the two has.
#[derive(Debug, Clone, PartialEq)]
pub struct Only {
    /// `result`, `entry`, `check`, `table`, `column`, `row`, `caution`
    pub what: &'static str,
    /// Its name.
    pub name: String,
    /// Its value, or how it comes out.
    pub shown: String,
}

/// How much of everything.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Counts {
    /// Entries, cells among them.
    pub entries: usize,
    /// Results, worked-out cells among them.
    pub results: usize,
    /// Checks.
    pub checks: usize,
}

impl Comparison {
    /// Whether nothing at all differs.
    pub fn is_same(&self) -> bool {
        let differs = self.entries.len() + self.results.len() + self.formulas.len() + self.checks.len();
        differs + self.gone.len() + self.added.len() + self.cautions_gone.len() + self.unworked.len() == 0
    }
}
