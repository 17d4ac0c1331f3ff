//! The parts of formulas worked again, in a sheet that has been worked: what each part comes to, which rows a choice
//! keeps, which branch is taken, and what a check's limits leave. It is for telling how a value comes about, and
//! changes no value.

use super::conditions::{self, CheckOutcome, Truth};
use super::engine::{Engine, Worked};
use super::formulas;
use super::limits::{Compared, Limit, Limits};
use super::rows;
use super::waiting::Outcome;
use crate::checked::Checked;
use crate::checked::model::{Argument, Does, Expression};
use crate::quantity::{Measured, Moment};
use crate::syntax::tree::Relation;
use crate::text::Source;

/// A worked sheet whose parts can be asked for.
pub struct Again<'a> {
    engine: Engine<'a>,
}

/// A row that a formula is worked for: its table and its number.
pub type InRow = Option<(usize, usize)>;

/// One limit of a check, and how the value stands to it.
#[derive(Debug, Clone)]
pub struct FoundLimit<'e> {
    /// What is held against it.
    pub of: &'e Expression,
    /// How it is compared with the limit.
    pub relation: Relation,
    /// The limit.
    pub limit: Measured,
    /// How much is left: value − limit, turned so that above 0 it is met.
    pub left: Measured,
    /// The 95 % half-width of what is left; none where it is not known.
    pub half_width: Option<f64>,
    /// How this limit alone comes out.
    pub outcome: CheckOutcome,
}

impl<'a> Again<'a> {
    /// Takes a worked sheet. `today` is the day it was worked for.
    pub fn new(checked: &'a Checked, texts: &'a [Source], today: Moment, worked: Worked) -> Self {
        Self { engine: Engine::resumed(checked, texts, today, worked) }
    }

    /// The worked sheet.
    pub fn worked(&self) -> &Worked {
        &self.engine.worked
    }

    /// What a part comes to.
    pub fn part(&mut self, part: &Expression, row: InRow) -> Outcome {
        self.engine.row = row;
        formulas::work(&mut self.engine, part)
    }

    /// Whether a condition holds; none where it waits.
    pub fn holds(&mut self, condition: &Expression, row: InRow) -> Option<bool> {
        self.engine.row = row;
        match conditions::holds(&mut self.engine, condition).ok()? {
            Truth::Yes => Some(true),
            Truth::No => Some(false),
            Truth::InPart => None,
        }
    }

    /// The numbers of the rows or readings that a function takes; none where one of them waits.
    pub fn rows(&mut self, argument: &Argument, row: InRow) -> Option<Vec<usize>> {
        self.engine.row = row;
        let several = rows::several(&mut self.engine, argument).ok()?;
        Some(several.rows.numbers())
    }

    /// The limits that a check holds its values against, those of all its parts; of a choice those of the branch taken.
    pub fn limits<'e>(&mut self, condition: &'e Expression) -> Vec<FoundLimit<'e>> {
        self.engine.row = None;
        let mut limits = Vec::new();
        self.collect_limits(condition, false, &mut limits);
        limits
    }

    fn collect_limits<'e>(&mut self, condition: &'e Expression, turned: bool, found: &mut Vec<FoundLimit<'e>>) {
        match &condition.does {
            Does::Not(inner) => self.collect_limits(inner, !turned, found),
            Does::Both(left, right) | Does::Either(left, right) => {
                [left, right].into_iter().for_each(|part| self.collect_limits(part, turned, found));
            }
            Does::If(first, then, otherwise) => match conditions::holds(&mut self.engine, first) {
                Ok(Truth::Yes) => self.collect_limits(then, turned, found),
                Ok(Truth::No) => self.collect_limits(otherwise, turned, found),
                _ => {}
            },
            Does::Comparison(_, value, _)
            | Does::WithinRange(value, _)
            | Does::WithinDistance(value, _, _)
            | Does::WithinShare(value, _, _) => {
                let compared = Compared::of(&mut self.engine, condition);
                if let Ok(Limits::Numbers { limits, .. }) = compared.limits(&self.engine, condition, turned) {
                    found.extend(limits.iter().filter_map(|limit| self.found(limit, value)));
                }
            }
            _ => {}
        }
    }

    fn found<'e>(&self, limit: &Limit<'_>, of: &'e Expression) -> Option<FoundLimit<'e>> {
        let (relation, bound) = (limit.relation, limit.limit.as_deref()?);
        let difference = limit.value?.minus(bound);
        let left =
            if matches!(relation, Relation::Less | Relation::AtMost) { difference.negated() } else { difference };
        let (outcome, _) = limit.outcome(&self.engine);
        let summary = left.doubt.summary(&self.worked().sources);
        let half_width = summary.map(|summary| limit.as_written.unwrap_or(summary.half_width));
        Some(FoundLimit { of, relation, limit: bound.clone(), left, half_width, outcome })
    }
}
