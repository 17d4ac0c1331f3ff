//! Substances: what a value is *of*. Labels beside the dimension, which multiply and cancel only with the same label.

use smallvec::SmallVec;
use std::sync::Arc;

/// What something is of: `concentrate`, `N`, `tank mix`. Compared without regard to case, shown as first written.
#[derive(Debug, Clone)]
pub struct Substance(Arc<Words>);

#[derive(Debug)]
struct Words {
    shown: Box<str>,
    folded: Box<str>,
}

impl Substance {
    /// Makes one from the words as written; runs of white space count as one space.
    pub fn new(written: &str) -> Self {
        let shown = written.split_whitespace().collect::<Vec<_>>().join(" ");
        let folded = shown.to_lowercase();
        Self(Arc::new(Words { shown: shown.into(), folded: folded.into() }))
    }
}

impl PartialEq for Substance {
    fn eq(&self, other: &Self) -> bool {
        self.0.folded == other.0.folded
    }
}

impl Eq for Substance {}

impl std::fmt::Display for Substance {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        formatter.write_str(&self.0.shown)
    }
}

/// The labels of a value: each substance with how often it stands above (positive) or below (negative) the line. `lb
/// of N per lb of product` has N once above and product once below.
#[derive(Debug, Clone, Default)]
pub struct Labels(SmallVec<[(Substance, i16); 2]>);

/// Equal whatever the order in which the labels came.
impl PartialEq for Labels {
    fn eq(&self, other: &Self) -> bool {
        self.0.len() == other.0.len() && self.0.iter().all(|label| other.0.contains(label))
    }
}

impl Eq for Labels {}

impl Labels {
    /// No label at all.
    pub fn none() -> Self {
        Self::default()
    }

    /// Labels above and below the line.
    pub fn new(above: Option<Substance>, below: Option<Substance>) -> Self {
        let mut labels = Self::none();
        above.into_iter().for_each(|substance| labels.add(&substance, 1));
        below.into_iter().for_each(|substance| labels.add(&substance, -1));
        labels
    }

    /// Whether there is none.
    pub fn is_empty(&self) -> bool {
        self.0.is_empty()
    }

    /// Adds one label `count` times (negative: below the line); what comes to nothing is gone.
    pub fn add(&mut self, substance: &Substance, count: i16) {
        match self.0.iter().position(|(own, _)| own == substance) {
            Some(index) => {
                self.0[index].1 = self.0[index].1.saturating_add(count);
                if self.0[index].1 == 0 {
                    self.0.remove(index);
                }
            }
            None if count != 0 => self.0.push((substance.clone(), count)),
            None => {}
        }
    }

    /// The labels of a product.
    pub fn times(&self, other: &Self) -> Self {
        let mut labels = self.clone();
        other.0.iter().for_each(|(substance, count)| labels.add(substance, *count));
        labels
    }

    /// The labels of a quotient.
    pub fn over(&self, other: &Self) -> Self {
        let mut labels = self.clone();
        other.0.iter().for_each(|(substance, count)| labels.add(substance, count.saturating_neg()));
        labels
    }

    /// The labels of a whole power.
    pub fn to_the(&self, power: i16) -> Self {
        Self(
            self.0
                .iter()
                .filter(|_| power != 0)
                .map(|(substance, count)| (substance.clone(), count.saturating_mul(power)))
                .collect(),
        )
    }

    /// Those above the line, each with how often.
    pub fn all_above(&self) -> impl Iterator<Item = (&Substance, i16)> {
        self.0.iter().filter(|(_, count)| *count > 0).map(|(substance, count)| (substance, *count))
    }

    /// Those below the line, each with how often (as a positive count).
    pub fn all_below(&self) -> impl Iterator<Item = (&Substance, i16)> {
        self.0.iter().filter(|(_, count)| *count < 0).map(|(substance, count)| (substance, count.saturating_neg()))
    }

    /// The label above the line, if it is the only one and stands once.
    pub fn only_above(&self) -> Option<&Substance> {
        let mut above = self.all_above();
        match (above.next(), above.next()) {
            (Some((substance, 1)), None) => Some(substance),
            _ => None,
        }
    }

    /// The label below the line, if it is the only one and stands once.
    pub fn only_below(&self) -> Option<&Substance> {
        let mut below = self.all_below();
        match (below.next(), below.next()) {
            (Some((substance, 1)), None) => Some(substance),
            _ => None,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn of(above: &str, below: &str) -> Labels {
        let substance = |words: &str| (!words.is_empty()).then(|| Substance::new(words));
        Labels::new(substance(above), substance(below))
    }

    #[test]
    fn only_the_same_substance_cancels() {
        assert_eq!(of("N", "product").times(&of("Product", "")), of("n", ""));
        assert!(of("N", "").over(&of("N", "")).is_empty());
        let both = of("N", "").times(&of("product", ""));
        assert_eq!(both.all_above().count(), 2);
        assert!(both.only_above().is_none());
        assert!(of("N", "").times(&of("N", "")).only_above().is_none(), "one twice is no single label");
    }

    #[test]
    fn the_order_of_labels_does_not_matter() {
        let (first, second) = (of("N", "").over(&of("mix", "")), of("", "mix").times(&of("N", "")));
        assert_eq!(first, second);
        assert_ne!(first, of("N", ""));
        assert_ne!(of("N", ""), of("", "N"));
    }

    #[test]
    fn words_are_shown_as_first_written() {
        assert_eq!(Substance::new("tank  Mix").to_string(), "tank Mix");
        assert_eq!(Substance::new("tank mix"), Substance::new("Tank Mix"));
    }
}
