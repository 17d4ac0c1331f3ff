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

#[cfg(test)]
mod tests {
    use super::*;

    /// `0 to 2` times `1 to 3`, say, has its lower end twice, and `-1 to 0` times the same its upper one.
    #[test]
    fn of_corners_that_are_alike_the_first_is_the_end() {
        let corner = |value: f64, size: f64| Measured { size, ..Measured::exact(value) };
        let ends = |corners: [(f64, f64); 4]| {
            let range = Range::spanning(corners.map(|(value, size)| corner(value, size)));
            range.and_then(|range| Some((range.low?.size, range.high?.size)))
        };
        assert_eq!(ends([(0.0, 1.0), (0.0, 2.0), (2.0, 3.0), (6.0, 4.0)]), Some((1.0, 4.0)));
        assert_eq!(ends([(-1.0, 1.0), (-3.0, 2.0), (0.0, 3.0), (0.0, 4.0)]), Some((2.0, 3.0)));
    }
}
