//! One number with its doubt and its size, and the arithmetic on it.

use super::doubt::Doubt;

/// Two values that differ by no more than this share of the larger size are the same value.
pub const SAMENESS: f64 = 1e-12;

/// What a few steps of binary arithmetic leave of 0, as a share of its size.
const ROUNDING: f64 = 4.0 * f64::EPSILON;

/// A number in SI units (or a plain one), how sure it is, and the size of the largest term it was added up from,
/// which says how far binary arithmetic may have moved it.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Measured {
    /// The number.
    pub value: f64,
    /// The size of the largest term that it was added up from, scaled by later `*` and `/`.
    pub size: f64,
    /// How sure it is.
    pub doubt: Doubt,
}

impl Measured {
    /// A number without doubt.
    pub fn exact(value: f64) -> Self {
        Self { value, size: value.abs(), doubt: Doubt::none() }
    }

    /// A number with the doubt given.
    pub fn new(value: f64, doubt: Doubt) -> Self {
        Self { value, size: value.abs(), doubt }
    }

    /// `self + other`
    pub fn plus(&self, other: &Self) -> Self {
        self.with(|own| own.add(other))
    }

    /// `self - other`
    pub fn minus(&self, other: &Self) -> Self {
        self.with(|own| own.subtract(other))
    }

    /// `self * other`
    pub fn times(&self, other: &Self) -> Self {
        self.with(|own| own.multiply(other))
    }

    /// `self / other`; the caller has refused a divisor of 0.
    pub fn over(&self, other: &Self) -> Self {
        self.with(|own| own.divide(other))
    }

    fn with(&self, change: impl FnOnce(&mut Self)) -> Self {
        let mut own = self.clone();
        change(&mut own);
        own
    }

    /// Adds another.
    pub fn add(&mut self, other: &Self) {
        self.sum(other, 1.0);
    }

    /// Takes another away.
    pub fn subtract(&mut self, other: &Self) {
        self.sum(other, -1.0);
    }

    fn sum(&mut self, other: &Self, sign: f64) {
        self.value += sign * other.value;
        self.size = self.size.max(other.size).max(self.value.abs());
        self.doubt.combine(1.0, &other.doubt, sign);
    }

    /// Multiplies by another.
    pub fn multiply(&mut self, other: &Self) {
        self.doubt.combine(other.value, &other.doubt, self.value);
        let is_something = self.value != 0.0 && other.value != 0.0;
        self.size = (self.size * other.value.abs()).max(self.value.abs() * other.size);
        self.value *= other.value;
        self.lose(is_something);
    }

    /// Divides by another; the caller has refused a divisor of 0.
    pub fn divide(&mut self, other: &Self) {
        let value = self.value / other.value;
        self.doubt.combine(1.0 / other.value, &other.doubt, -value / other.value);
        let is_something = self.value != 0.0;
        self.size = (self.size / other.value.abs()).max(value.abs() * other.size / other.value.abs());
        self.value = value;
        self.lose(is_something);
    }

    /// `-self`
    pub fn negated(&self) -> Self {
        self.scaled(-1.0)
    }

    /// `self` times an exact number.
    pub fn scaled(&self, factor: f64) -> Self {
        let (value, size) = (self.value * factor, self.size * factor.abs());
        let mut scaled = Self { value, size, doubt: self.doubt.scaled(factor) };
        scaled.lose(self.value != 0.0 && factor != 0.0);
        scaled
    }

    /// A function of one value: what it comes to, and its derivative there.
    pub fn mapped(&self, value: f64, derivative: f64) -> Self {
        let size = value.abs().max(self.size * derivative.abs());
        Self { value, size, doubt: self.doubt.scaled(derivative) }
    }

    /// The same value without doubt.
    pub fn without_doubt(&self) -> Self {
        Self { value: self.value, size: self.size, doubt: Doubt::none() }
    }

    /// What has become smaller than numbers are kept, without being nothing: it is no number to go by.
    pub fn too_small() -> Self {
        Self { value: f64::NAN, size: 0.0, doubt: Doubt::none() }
    }

    /// Whether it is that. What is no number for another reason was beyond all numbers, and so is its size.
    pub fn is_too_small(&self) -> bool {
        self.value.is_nan() && self.size == 0.0
    }

    /// What is something, and has a size below the least number that keeps all its digits, is lost.
    fn lose(&mut self, is_something: bool) {
        if is_something && self.size < f64::MIN_POSITIVE {
            *self = Self::too_small();
        }
    }

    /// Whether two values are the same to twelve digits of the larger size.
    pub fn is_same(&self, other: &Self) -> bool {
        (self.value - other.value).abs() <= SAMENESS * self.size.max(other.size)
    }

    /// Whether it is the same as 0, for its size.
    pub fn is_nothing(&self) -> bool {
        self.value.abs() <= SAMENESS * self.size
    }

    /// The number that is told of it: 0 of what is nothing for its size.
    pub fn told(&self) -> f64 {
        if self.is_nothing() { 0.0 } else { self.value }
    }

    /// Whether it counts as 0 and may be more than what binary arithmetic leaves of 0.
    pub fn is_lost(&self) -> bool {
        self.is_nothing() && self.value.abs() > ROUNDING * self.size
    }

    /// Smaller, the same, or larger than the other.
    pub fn compare(&self, other: &Self) -> std::cmp::Ordering {
        if self.is_same(other) { std::cmp::Ordering::Equal } else { self.value.total_cmp(&other.value) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_keeps_all_its_digits_is_not_too_small() {
        let least = Measured::exact(f64::MIN_POSITIVE);
        assert_eq!(least.scaled(1.0).value, f64::MIN_POSITIVE);
        assert!(least.scaled(0.5).is_too_small());
        assert!(!least.scaled(0.0).is_too_small());
    }
}
