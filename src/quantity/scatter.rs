//! The scatter of rows or repeats behind means (GUM 5.2.3, H.2): how far each row stands from each mean, kept once for
//! all values that are worked from those means. It knows no tables.

use smallvec::SmallVec;
use std::sync::Arc;

/// Means over the same rows. A value is sensitive to each of them, and the rows show how they go together.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Scatter(Vec<Mean>);

/// One mean, by its rows.
#[derive(Debug, Clone, PartialEq)]
struct Mean {
    /// What it is the mean of, for `why`.
    name: Arc<str>,
    /// How far each row stands from it, so scaled that their squares add up to the square of its standard uncertainty.
    rows: Arc<[f64]>,
    /// Its covariance with each mean before it, and with itself.
    covariances: SmallVec<[f64; 2]>,
}

/// Terms of a row that cancel to less than this share of them are one mean meeting itself.
const NOISE: f64 = 1e-13;

/// Below this share of what they would be if nothing cancelled, covariances have lost too many digits.
const CANCELLED: f64 = 1e-4;

impl Scatter {
    /// How many means there are.
    pub fn count(&self) -> usize {
        self.0.len()
    }

    /// Forgets all means but the first.
    pub fn truncate(&mut self, count: usize) {
        self.0.truncate(count);
    }

    /// The number of the mean of what is called `name`, with these rows, added where there is none yet.
    pub fn mean(&mut self, rows: &[f64], name: &Arc<str>) -> u32 {
        let known = self.0.iter().position(|mean| *mean.rows == *rows);
        let place = known.unwrap_or_else(|| {
            let others = self.0.iter().map(|mean| covariance(&mean.rows, rows));
            let covariances = others.chain([covariance(rows, rows)]).collect();
            self.0.push(Mean { name: name.clone(), rows: rows.into(), covariances });
            self.0.len() - 1
        });
        u32::try_from(place).unwrap_or(u32::MAX)
    }

    /// What a mean is the mean of.
    pub fn name(&self, mean: u32) -> &str {
        self.0.get(mean as usize).map_or("", |mean| &mean.name)
    }

    /// The standard uncertainty of a value by its sensitivities to the means: the root of the sum, over rows, of the
    /// square of what moves with that row (GUM 5.2.3).
    pub fn standard(&self, sensitivities: &[(u32, f64)]) -> f64 {
        if let [(mean, sensitivity)] = sensitivities {
            return sensitivity.abs() * self.covariance(*mean, *mean).sqrt();
        }
        let (mut variance, mut size) = (0.0, 0.0);
        for (one, first) in sensitivities {
            size += first.abs() * self.covariance(*one, *one).sqrt();
            for (other, second) in sensitivities {
                variance += first * second * self.covariance(*one, *other);
            }
        }
        if variance > CANCELLED * size * size { variance.sqrt() } else { self.row_by_row(sensitivities).sqrt() }
    }

    fn covariance(&self, one: u32, other: u32) -> f64 {
        let (later, earlier) = (one.max(other) as usize, one.min(other) as usize);
        self.0.get(later).and_then(|mean| mean.covariances.get(earlier)).copied().unwrap_or_default()
    }

    /// The variance where means all but cancel: what is left of each row, and no more than binary noise is nothing.
    fn row_by_row(&self, sensitivities: &[(u32, f64)]) -> f64 {
        let of = |(mean, sensitivity): &(u32, f64)| Some((&self.0.get(*mean as usize)?.rows, *sensitivity));
        let means: Vec<(&Arc<[f64]>, f64)> = sensitivities.iter().filter_map(of).collect();
        let count = means.iter().map(|(rows, _)| rows.len()).max().unwrap_or_default();
        let row = |row: usize| {
            let terms = means.iter().filter_map(|(rows, sensitivity)| Some(rows.get(row)? * sensitivity));
            let (sum, size) = terms.fold((0.0, 0.0), |(sum, size), term| (sum + term, size + term.abs()));
            if sum.abs() <= NOISE * size { 0.0 } else { sum * sum }
        };
        (0..count).map(row).sum()
    }
}

fn covariance(one: &[f64], other: &[f64]) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Two means, the second 0.3 times the first in every row, and a value that takes the one from 0.3 times the other:
    /// nothing is left of them but what binary numbers make of 0.3. All in units so large or so small that a share of
    /// the scatter is no matter of its size.
    #[test]
    fn means_that_cancel_leave_nothing_in_any_unit() {
        // 2 to the 66th power, by which no digit changes.
        let great = 73_786_976_294_838_206_464.0;
        for (rows, sensitivity) in [(1.0, 1.0), (great, great), (1.0 / great, 1.0 / great), (great, 1.0 / great)] {
            let first = [0.1, 0.7, -0.8].map(|row: f64| row * rows);
            let mut scatter = Scatter::default();
            let name = "passes".into();
            let means = [scatter.mean(&first, &name), scatter.mean(&first.map(|row| row * 0.3), &name)];
            let by = |one: f64, other: f64| [(means[0], one * sensitivity), (means[1], other * sensitivity)];
            assert_eq!(scatter.standard(&by(0.1 * 3.0, -1.0)), 0.0, "{rows}, {sensitivity}");
            // 0.1, 0.7 and -0.8 together are of the size √1.14; twice 0.3 of it is left where nothing cancels.
            let both = scatter.standard(&by(0.3, 1.0)) / (rows * sensitivity);
            assert!((both - 0.6 * 1.14f64.sqrt()).abs() < 1e-12, "{both}");
        }
    }
}
