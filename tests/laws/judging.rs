//! Checks and ranges against what follows from the values and half-widths that the report prints: an outcome is worked
//! out again limit by limit, a range corner by corner.

use crate::tape::{Tape, tapes};
use crate::{config, worked};
use catchwork::report::Report;
use catchwork::report::data::Outcome;
use proptest::prelude::*;

/// A simple condition on `x`: how it is written, and at which limits it holds.
#[derive(Debug, Clone)]
struct Condition {
    text: String,
    limits: Vec<(Relation, f64)>,
    /// Whether any of the limits is enough.
    any: bool,
}

#[derive(Debug, Clone, Copy, PartialEq)]
enum Relation {
    Less,
    AtMost,
    More,
    AtLeast,
}

use Relation::{AtLeast, AtMost, Less, More};

fn number(tape: &mut Tape) -> f64 {
    tape.between(1, 80) as f64 / 4.0
}

fn condition(tape: &mut Tape) -> Condition {
    let (one, more) = (number(tape), number(tape));
    let all = |text: String, limits: &[(Relation, f64)]| Condition { text, limits: limits.to_vec(), any: false };
    match tape.below(9) {
        0 => all(format!("x less than {one} ft"), &[(Less, one)]),
        1 => all(format!("x at most {} in", one * 12.0), &[(AtMost, one)]),
        2 => all(format!("x > {one} ft"), &[(More, one)]),
        3 => all(format!("{one} ft ≤ x"), &[(AtLeast, one)]),
        4 => all(format!("x within {one} to {} ft", one + more), &[(AtLeast, one), (AtMost, one + more)]),
        5 => all(format!("x within {more} ft of {one} ft"), &[(AtLeast, one - more), (AtMost, one + more)]),
        6 => all(format!("x within 25 % of {one} ft"), &[(AtLeast, 0.75 * one), (AtMost, 1.25 * one)]),
        7 => Condition {
            text: format!("not (x within {one} to {} ft)", one + more),
            limits: vec![(Less, one), (More, one + more)],
            any: true,
        },
        _ => all(format!("not x at least {one} ft"), &[(Less, one)]),
    }
}

impl Condition {
    /// The outcome for a value and its half-width, from the notation's words: the value decides between ok and no;
    /// close where the half-width is more than the distance left.
    fn outcome(&self, value: f64, half_width: f64) -> Outcome {
        let outcomes = self.limits.iter().map(|(relation, limit)| {
            let met = match relation {
                Less => value < *limit,
                AtMost => value <= *limit,
                More => value > *limit,
                AtLeast => value >= *limit,
            };
            match met {
                false => Outcome::No,
                true if half_width > (value - limit).abs() => Outcome::Close,
                true => Outcome::Ok,
            }
        });
        if self.any { outcomes.min() } else { outcomes.max() }.unwrap_or(Outcome::No)
    }
}

proptest! {
    #![proptest_config(config(300))]

    /// All numbers are quarters and all half-widths eighths, which binary arithmetic holds exactly.
    #[test]
    fn an_outcome_follows_from_value_and_half_width(mut tape in tapes(40)) {
        let (value, half_width) = (number(&mut tape), tape.below(24) as f64 / 8.0);
        let (one, other) = (condition(&mut tape), condition(&mut tape));
        let text = format!(
            "x : {value} ft ± {half_width} ft\n? one : {0}\n? other : {1}\n? both : {0} and {1}\n? either : {0} or ({1})\n",
            one.text, other.text
        );
        let text = if half_width == 0.0 { text.replace(" ± 0 ft", "") } else { text };
        let report = worked(&text);
        prop_assert!(report.troubles.is_empty(), "{text}\n{:?}", report.troubles);
        let outcomes = [one.outcome(value, half_width), other.outcome(value, half_width)];
        let expected = [outcomes[0], outcomes[1], outcomes[0].max(outcomes[1]), outcomes[0].min(outcomes[1])];
        let found: Vec<Outcome> = report.checks.iter().map(|check| check.outcome).collect();
        prop_assert_eq!(found, expected.to_vec(), "{}", text);
    }

    #[test]
    fn a_range_goes_from_its_smallest_corner_to_its_largest(mut tape in tapes(40)) {
        let signed = |tape: &mut Tape| if tape.chance(30) { -number(tape) } else { number(tape) };
        let (a, b, c) = (signed(&mut tape), signed(&mut tape), signed(&mut tape));
        let (to, on) = (a + number(&mut tape), b + number(&mut tape));
        let operator = *tape.pick(&["+", "-", "*", "/"]);
        let mut text = format!("r : {a} to {to} ft\ns : {b} to {on} ft\nx : {c} ft\n");
        let formulas = [("r", "s"), ("r", "x"), ("x", "r"), ("(2 * r)", "(s - x)")];
        let mut corners = 0;
        for (left, right) in formulas {
            text += &format!("range {corners} = {left} {operator} {right}\n");
            for (one, other) in [("low", "low"), ("low", "high"), ("high", "low"), ("high", "high")] {
                let end = |end: &str, side: &str| if side == "x" { side.to_owned() } else { format!("{end}({side})") };
                text += &format!("corner {corners} = {} {operator} {}\n", end(one, left), end(other, right));
                corners += 1;
            }
        }
        let report = worked(&text);
        for (place, (_, right)) in formulas.iter().enumerate() {
            let corners: Vec<Option<f64>> = (0..4).map(|corner| number_of(&report, 4 * place + corner)).collect();
            let divisor = [("r", (a, to)), ("s", (b, on)), ("x", (c, c)), ("(s - x)", (b - c, on - c))];
            let holds_nothing = divisor.iter().any(|(name, (low, high))| name == right && *low <= 0.0 && *high >= 0.0);
            let range = report.values.iter().find(|value| value.name == format!("range {}", 4 * place));
            prop_assert_eq!(range.is_none(), operator == "/" && holds_nothing, "{}\n{:?}", text, report.troubles);
            let Some(range) = range else { continue };
            let ends = |pick: fn(f64, f64) -> f64| corners.iter().flatten().copied().reduce(pick);
            let (low, high) = (range.cell.low.zip(ends(f64::min)), range.cell.high.zip(ends(f64::max)));
            let near = |(found, kept): (f64, f64)| (found - kept).abs() <= 1e-12 * kept.abs().max(1.0);
            prop_assert!(low.is_some_and(near) && high.is_some_and(near), "{text}\n{low:?} {high:?}");
        }
    }
}

fn number_of(report: &Report, corner: usize) -> Option<f64> {
    report.values.iter().find(|value| value.name == format!("corner {corner}"))?.cell.value
}
