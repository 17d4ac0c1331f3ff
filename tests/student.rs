//! Student's quantile against two libraries that share nothing: scipy, and mpmath's integral of the density.

use catchwork::quantity::student::{Z_95, coverage_95, t_95, whole_freedom};

const SCIPY: &str = include_str!("reference/student/scipy.tsv");
const BEYOND: &str = include_str!("reference/student/beyond.tsv");

/// The rows of a kept table: degrees of freedom (infinite for the normal) and the quantile.
fn rows(kept: &str) -> Vec<(f64, f64)> {
    let read =
        |line: &str| line.split_once('\t').and_then(|(freedom, t)| Some((freedom.parse().ok()?, t.parse().ok()?)));
    kept.lines().filter_map(read).collect()
}

fn assert_close(found: f64, kept: f64, share: f64, freedom: f64) {
    assert!((found - kept).abs() <= share * kept, "{freedom} degrees of freedom: {found}, kept {kept}");
}

#[test]
fn agrees_with_scipy() {
    let rows = rows(SCIPY);
    assert_eq!(rows.len(), 1012);
    for (freedom, t) in rows {
        assert_close(coverage_95(freedom), t, 1e-12, freedom);
    }
}

#[test]
fn the_series_past_the_table_agrees_with_mpmath() {
    let rows = rows(BEYOND);
    assert_eq!(rows.len(), 10);
    for (freedom, t) in rows {
        assert_close(coverage_95(freedom), t, 2e-15, freedom);
    }
}

#[test]
fn the_table_and_the_series_meet() {
    let second_difference = t_95(1002) - 2.0 * t_95(1001) + t_95(1000);
    assert!(second_difference.abs() < 1e-8 && t_95(1001) < t_95(1000), "{second_difference}");
}

/// GUM table G.2 prints these for p = 95 % (from memory).
#[test]
fn agrees_with_the_gum() {
    let printed =
        [(1, 12.71), (2, 4.30), (3, 3.18), (4, 2.78), (5, 2.57), (10, 2.23), (18, 2.10), (50, 2.01), (100, 1.984)];
    for (freedom, t) in printed {
        let half_a_digit = if freedom == 100 { 0.0005 } else { 0.005 };
        assert!((t_95(freedom) - t).abs() <= half_a_digit, "{freedom}");
    }
    assert_eq!(t_95(0), t_95(1));
}

#[test]
fn freedom_is_cut_to_a_whole_number_of_one_at_least() {
    let cut = [(16.99, 16.0), (16.999_999_999_9, 16.0), (16.999_999_999_999_9, 17.0), (17.000_000_000_000_1, 17.0)];
    for (freedom, whole) in cut {
        assert_eq!(whole_freedom(freedom), whole, "{freedom}");
        assert_eq!(coverage_95(freedom), t_95(whole as u32), "{freedom}");
    }
    assert_eq!(whole_freedom(0.3), 1.0);
    assert_eq!(whole_freedom(f64::INFINITY), f64::INFINITY);
    assert_eq!(coverage_95(f64::INFINITY), Z_95);
    assert_eq!(coverage_95(f64::NAN), t_95(1));
    assert_eq!(coverage_95(1e300), Z_95);
}

/// More degrees of freedom never widen an interval, across the table's end either.
#[test]
fn the_factor_never_rises_with_freedom() {
    let mut last = f64::INFINITY;
    for freedom in 1..200_000 {
        let t = t_95(freedom);
        assert!(t < last && t > Z_95, "{freedom}");
        last = t;
    }
}
