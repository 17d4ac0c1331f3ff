//! A tape of choices that a worksheet is made from: the same tape makes the same sheet, and a shorter tape with smaller
//! numbers a simpler one, so that proptest shrinks sheets by shrinking tapes.

use proptest::prelude::*;

/// Choices still to be taken. Past its end every choice is the first.
#[derive(Clone)]
pub struct Tape {
    choices: Vec<u16>,
    at: usize,
}

/// A tape says nothing to a reader; what was made from it stands in the message of the law.
impl std::fmt::Debug for Tape {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        write!(formatter, "a tape of {} choices", self.choices.len())
    }
}

/// Tapes of any length up to that.
pub fn tapes(most: usize) -> impl Strategy<Value = Tape> {
    prop::collection::vec(any::<u16>(), 0..most).prop_map(|choices| Tape { choices, at: 0 })
}

impl Tape {
    /// A number below `count`.
    pub fn below(&mut self, count: usize) -> usize {
        let choice = self.choices.get(self.at).copied().unwrap_or_default();
        self.at += 1;
        usize::from(choice) % count.max(1)
    }

    /// A number from `low` to `high`, both included.
    pub fn between(&mut self, low: usize, high: usize) -> usize {
        low + self.below(high - low + 1)
    }

    /// True in so many of a hundred, and never past the tape's end.
    pub fn chance(&mut self, percent: usize) -> bool {
        self.below(100) >= 100 - percent
    }

    /// One of several.
    pub fn pick<'a, T>(&mut self, several: &'a [T]) -> &'a T {
        &several[self.below(several.len())]
    }

    /// Several in another order.
    pub fn shuffled<T>(&mut self, mut several: Vec<T>) -> Vec<T> {
        for index in (1..several.len()).rev() {
            let other = self.below(index + 1);
            several.swap(index, index - other);
        }
        several
    }

    /// Whether anything is left on it.
    pub fn is_left(&self) -> bool {
        self.at < self.choices.len()
    }
}
