//! How much a sheet may come to while it is worked: parts of doubts, blanks waited on, values gone through. A worksheet
//! of a few lines can ask for more than any computer has; then it is told so. It decides no value.

use super::engine::Engine;
use super::waiting::{Outcome, Stop, Wait, Waits};
use crate::checked::Checked;
use crate::checked::model::Node;
use crate::quantity::Value;
use crate::text::Place;
use crate::trouble::Kind;

/// The most parts that the doubts of all values have together: a total over 2000 rows in each of as many.
pub const MOST_PARTS: usize = 4_000_000;
/// The most things that all values wait on together.
pub const MOST_WAITS: usize = 250_000;
/// The most values that all formulas go through in lists and columns; or, of large tables, so many times all their rows.
pub const MOST_VALUES: usize = 20_000_000;
const MOST_TIMES: usize = 100;
/// A value with no more parts of doubt, or that waits on no more, is never refused for what others have.
const FEW: usize = 10;

/// What a sheet has come to so far.
#[derive(Debug, Default)]
pub struct Bounds {
    pub(super) parts: usize,
    waits: usize,
    values: usize,
    most_values: usize,
    /// The value that was one too many: what comes after it and is as large waits on it, so that it is told once.
    over: Option<Node>,
}

impl Bounds {
    pub(super) fn of(checked: &Checked) -> Self {
        let rows: usize = checked.tables.iter().map(|table| table.rows.len()).sum();
        Self { most_values: MOST_VALUES.max(rows.saturating_mul(MOST_TIMES)), ..Self::default() }
    }

    /// Before the next row of data, which is a sheet of its own beside so many parts that no row changes.
    pub(super) fn back_to(&mut self, parts: usize) {
        *self = Self { parts, most_values: self.most_values, ..Self::default() };
    }
}

impl Engine<'_> {
    /// The value of a result or the cell of a column, unless the sheet has come to too much with it.
    pub(super) fn bounded(&mut self, outcome: Outcome, node: Node, place: Place) -> Outcome {
        let (count, sum, most) = match &outcome {
            Ok(Value::Number(number)) if matches!(node, Node::Slot(_)) => {
                (number.doubt.parts().len(), &mut self.bounds.parts, MOST_PARTS)
            }
            Err(Stop::Waits(waits)) => (waits.count(), &mut self.bounds.waits, MOST_WAITS),
            _ => return outcome,
        };
        *sum += count;
        if *sum <= most || count <= FEW {
            return outcome;
        }
        if let Some(first) = self.bounds.over {
            return Err(Stop::wait(Wait::Broken(first)));
        }
        self.bounds.over = Some(node);
        let doubts = Kind::TooManyDoubtsInAll { most: MOST_PARTS };
        Err(Stop::trouble(place, if outcome.is_ok() { doubts } else { Kind::TooManyWaits { most: MOST_WAITS } }))
    }

    /// What a check waits on, or the first thing alone where all checks and values wait on too much.
    pub(super) fn bounded_waits(&mut self, waits: Waits) -> Waits {
        self.bounds.waits += waits.count();
        let is_over = self.bounds.waits > MOST_WAITS && waits.count() > FEW;
        let first = waits.iter().next().filter(|_| is_over);
        first.map_or(waits, Waits::on)
    }

    /// Counts values that a formula goes through.
    ///
    /// # Errors
    /// Where they are too many for one sheet.
    pub(super) fn go_through(&mut self, count: usize, place: Place) -> Result<(), Stop> {
        self.bounds.values += count;
        let most = self.bounds.most_values;
        if self.bounds.values > most { Err(Stop::trouble(place, Kind::TooManyValues { most })) } else { Ok(()) }
    }
}
