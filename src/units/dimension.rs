//! Dimensions: what kind of thing a quantity measures, as powers of a few bases.

use smallvec::SmallVec;

/// One independent kind of thing. Money and angle are bases of their own, and so is every counter: `plant`, `tank`,
/// or one the crew makes with `1 basket`.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Base {
    /// ft, m
    Length,
    /// lb, kg (`oz` is weight)
    Mass,
    /// s, min
    Time,
    /// °F, °C
    Temperature,
    /// deg, rad
    Angle,
    /// $, £ or €: one currency a worksheet
    Money,
    /// A counter: those of the vocabulary first, in the order of its file, then the crew's own.
    Counter(u16),
}

/// Powers are kept in twelfths, so that square, cube and fourth roots of whole powers are exact.
pub const WHOLE: i16 = 12;

/// A product of powers of [`Base`]s, sorted by base, no power zero. The plain number has none.
#[derive(Debug, Default, PartialEq, Eq, Hash)]
pub struct Dimension(SmallVec<[(Base, i16); 4]>);

/// In one piece, as of units.
impl Clone for Dimension {
    fn clone(&self) -> Self {
        Self(SmallVec::from_slice(&self.0))
    }
}

impl Dimension {
    /// The dimension of a plain number.
    pub fn plain() -> Self {
        Self::default()
    }

    /// A base to a power in twelfths: `of(Base::Length, 2 * WHOLE)` is an area.
    pub fn of(base: Base, twelfths: i16) -> Self {
        let mut powers = SmallVec::new();
        if twelfths != 0 {
            powers.push((base, twelfths));
        }
        Self(powers)
    }

    /// From bases and their powers in twelfths, which must be in order, none twice and none zero.
    pub(super) fn from_powers(powers: &[(Base, i16)]) -> Self {
        Self(SmallVec::from_slice(powers))
    }

    /// Whether this is a plain number's.
    pub fn is_plain(&self) -> bool {
        self.0.is_empty()
    }

    /// The bases and their powers in twelfths, in order.
    pub fn powers(&self) -> &[(Base, i16)] {
        &self.0
    }

    /// The power of one base in twelfths, 0 where it does not occur.
    pub fn power_of(&self, base: Base) -> i16 {
        self.0.iter().find(|(own, _)| *own == base).map_or(0, |(_, power)| *power)
    }

    /// The dimension of a product.
    pub fn times(&self, other: &Self) -> Self {
        self.merged(other, 1)
    }

    /// The dimension of a quotient.
    pub fn over(&self, other: &Self) -> Self {
        self.merged(other, -1)
    }

    /// The dimension of a power `twelfths / 12`, or `None` where it is no multiple of a twelfth or out of range.
    pub fn to_the(&self, twelfths: i16) -> Option<Self> {
        let mut powers = SmallVec::new();
        for &(base, power) in &self.0 {
            match to_the(power, twelfths)? {
                0 => {}
                power => powers.push((base, power)),
            }
        }
        Some(Self(powers))
    }

    fn merged(&self, other: &Self, sign: i16) -> Self {
        let mut powers = self.0.clone();
        for &(base, power) in &other.0 {
            let power = power.saturating_mul(sign);
            match powers.binary_search_by_key(&base, |(own, _)| *own) {
                Ok(index) => {
                    powers[index].1 = powers[index].1.saturating_add(power);
                    if powers[index].1 == 0 {
                        powers.remove(index);
                    }
                }
                Err(index) => powers.insert(index, (base, power)),
            }
        }
        Self(powers)
    }
}

/// A power in twelfths to a power in twelfths, or `None` where it is no multiple of a twelfth or out of range.
pub(super) fn to_the(power: i16, twelfths: i16) -> Option<i16> {
    let scaled = i32::from(power) * i32::from(twelfths);
    if scaled % i32::from(WHOLE) == 0 { i16::try_from(scaled / i32::from(WHOLE)).ok() } else { None }
}

#[cfg(test)]
mod tests {
    use super::*;

    const AREA: i16 = 2 * WHOLE;

    #[test]
    fn products_merge_and_cancel() {
        let flow = Dimension::of(Base::Length, 3 * WHOLE).over(&Dimension::of(Base::Time, WHOLE));
        assert_eq!(flow.powers(), [(Base::Length, 36), (Base::Time, -12)]);
        assert_eq!(flow.times(&Dimension::of(Base::Time, WHOLE)), Dimension::of(Base::Length, 36));
        assert!(flow.over(&flow).is_plain());
        let early = Dimension::of(Base::Money, WHOLE).times(&Dimension::of(Base::Mass, WHOLE));
        assert_eq!(early.powers(), [(Base::Mass, 12), (Base::Money, 12)], "in the order of the bases");
    }

    #[test]
    fn roots_are_exact_or_refused() {
        let area = Dimension::of(Base::Length, AREA);
        assert_eq!(area.to_the(6), Some(Dimension::of(Base::Length, WHOLE)));
        assert_eq!(Dimension::of(Base::Length, 1).to_the(6), None);
        assert_eq!(area.to_the(i16::MAX), None);
        assert_eq!(area.to_the(0), Some(Dimension::plain()));
    }
}
