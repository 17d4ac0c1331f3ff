//! Checks and ranges against what follows from the values and half-widths that the report prints: an outcome is worked
//! out again limit by limit, a range corner by corner.

use crate::tape::{Tape, tapes};
use crate::{config, worked};
use catchwork::report::Report;
use catchwork::report::data::Outcome;
use proptest::prelude::*;

/// A simple condition on `x` and `y`: how it is written, and at which limits it holds.
#[derive(Debug, Clone)]
struct Condition {
    text: String,
    limits: Vec<Limit>,
    /// Whether any of the limits is enough.
    any: bool,
}

/// A value less its limit, `x` times the first, `y` times the second and a constant in feet; and how it must stand to 0.
#[derive(Debug, Clone, Copy)]
struct Limit(Relation, [f64; 3]);

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
    let on = one + more;
    let (text, limits) = match tape.below(15) {
        0 => (format!("x less than {one} ft"), vec![(Less, [1.0, 0.0, -one])]),
        1 => (format!("x at most {} in", one * 12.0), vec![(AtMost, [1.0, 0.0, -one])]),
        2 => (format!("x > {one} ft"), vec![(More, [1.0, 0.0, -one])]),
        3 => (format!("{one} ft ≤ x"), vec![(AtMost, [-1.0, 0.0, one])]),
        4 => (format!("x within {one} to {on} ft"), vec![(AtLeast, [1.0, 0.0, -one]), (AtMost, [1.0, 0.0, -on])]),
        5 => (
            format!("x within {more} ft of {one} ft"),
            vec![(AtLeast, [1.0, 0.0, more - one]), (AtMost, [1.0, 0.0, -on])],
        ),
        6 => (
            format!("x within 25 % of {one} ft"),
            vec![(AtLeast, [1.0, 0.0, -0.75 * one]), (AtMost, [1.0, 0.0, -1.25 * one])],
        ),
        7 => (format!("not (x within {one} to {on} ft)"), vec![(Less, [1.0, 0.0, -one]), (More, [1.0, 0.0, -on])]),
        8 => (format!("not x at least {one} ft"), vec![(Less, [1.0, 0.0, -one])]),
        9 => ("x at most y".to_owned(), vec![(AtMost, [1.0, -1.0, 0.0])]),
        10 => ("x within 25 % of y".to_owned(), vec![(AtLeast, [1.0, -0.75, 0.0]), (AtMost, [1.0, -1.25, 0.0])]),
        11 => (format!("x within y to y + {more} ft"), vec![(AtLeast, [1.0, -1.0, 0.0]), (AtMost, [1.0, -1.0, -more])]),
        12 => ("x less than x + y".to_owned(), vec![(Less, [0.0, -1.0, 0.0])]),
        13 => (format!("2 * x more than y + {one} ft"), vec![(More, [2.0, -1.0, -one])]),
        _ => ("x within 25 % of x".to_owned(), vec![(AtLeast, [0.25, 0.0, 0.0]), (AtMost, [-0.25, 0.0, 0.0])]),
    };
    let any = text.starts_with("not (");
    Condition { text, limits: limits.into_iter().map(|(relation, terms)| Limit(relation, terms)).collect(), any }
}

impl Condition {
    /// The outcome for values and their half-widths, from the notation's words: the values decide between ok and no;
    /// close where the half-width of the difference, in which what both sides share cancels, is more than what is left.
    fn outcome(&self, (x, x_give): (f64, f64), (y, y_give): (f64, f64)) -> Outcome {
        let outcomes = self.limits.iter().map(|Limit(relation, [by_x, by_y, constant])| {
            let left = by_x * x + by_y * y + constant;
            let met = match relation {
                Less => left < 0.0,
                AtMost => left <= 0.0,
                More => left > 0.0,
                AtLeast => left >= 0.0,
            };
            let (one, other) = (by_x * x_give, by_y * y_give);
            match met {
                false => Outcome::No,
                true if (one * one + other * other).sqrt() > left.abs() => Outcome::Close,
                true => Outcome::Ok,
            }
        });
        if self.any { outcomes.min() } else { outcomes.max() }.unwrap_or(Outcome::No)
    }
}

/// An entry in feet, and its value with its half-width.
fn entry(tape: &mut Tape, name: &str) -> (String, (f64, f64)) {
    let (value, give) = (number(tape), tape.below(24) as f64 / 8.0);
    let given = if give > 0.0 { format!(" ± {give} ft") } else { String::new() };
    (format!("{name} : {value} ft{given}\n"), (value, give))
}

proptest! {
    #![proptest_config(config(300))]

    /// All numbers are quarters and all half-widths eighths, which binary arithmetic holds exactly.
    #[test]
    fn an_outcome_follows_from_value_and_half_width(mut tape in tapes(40)) {
        let ((x_line, x), (y_line, y)) = (entry(&mut tape, "x"), entry(&mut tape, "y"));
        let (one, other) = (condition(&mut tape), condition(&mut tape));
        let text = format!(
            "{x_line}{y_line}? one : {0}\n? other : {1}\n? both : {0} and {1}\n? either : {0} or ({1})\n",
            one.text, other.text
        );
        let report = worked(&text);
        prop_assert!(report.troubles.is_empty(), "{text}\n{:?}", report.troubles);
        let outcomes = [one.outcome(x, y), other.outcome(x, y)];
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
