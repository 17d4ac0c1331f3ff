//! Ranges: limits as labels give them, combined as intervals. Not a doubt.

use super::measured::Measured;

/// A range; an end that is missing has no limit on that side.
#[derive(Debug, Clone, PartialEq)]
pub struct Range {
    /// The lower end; none for `up to 4 pt`.
    pub low: Option<Measured>,
    /// The upper end; none for `at least 2 gal`.
    pub high: Option<Measured>,
}

impl Range {
    /// Both ends given.
    pub fn closed(low: Measured, high: Measured) -> Self {
        Self { low: Some(low), high: Some(high) }
    }

    /// Both ends, where there are both.
    pub fn ends(&self) -> Option<(&Measured, &Measured)> {
        Some((self.low.as_ref()?, self.high.as_ref()?))
    }

    /// Each end by a rule that keeps their order.
    pub fn mapped(&self, rule: impl Fn(&Measured) -> Measured) -> Self {
        Self { low: self.low.as_ref().map(&rule), high: self.high.as_ref().map(&rule) }
    }

    /// The ends changed over, as after a multiplication by a negative number.
    pub fn turned(self) -> Self {
        Self { low: self.high, high: self.low }
    }

    /// The smallest range that holds all of the values given: the ends of an interval product or quotient.
    pub fn spanning(corners: impl IntoIterator<Item = Measured>) -> Option<Self> {
        let mut corners = corners.into_iter();
        let first = corners.next()?;
        let (mut low, mut high) = (first.clone(), first);
        for corner in corners {
            if corner.value < low.value {
                low = corner;
            } else if corner.value > high.value {
                high = corner;
            }
        }
        Some(Self::closed(low, high))
    }
}
