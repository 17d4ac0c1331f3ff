//! What a function is given may be turned about: sides of a bed from either end, corners from any of them on, pans from
//! the other side, values in any order. Value and doubt stay the same.

use crate::tape::{Tape, tapes};
use crate::{config, worked};
use catchwork::report::Report;
use proptest::prelude::*;

/// One of a corner's two coordinates.
type Coordinate = fn(&(String, String)) -> &String;

/// Lengths of about the same size, each with a `±` of its own; whole ones among them, so that some are alike.
fn lengths(tape: &mut Tape, count: usize) -> Vec<String> {
    let one = |tape: &mut Tape| {
        let quarters = tape.between(32, 44);
        let give = tape.between(1, 9) as f64 / 10.0;
        match tape.below(3) {
            0 => format!("{} ft ± {give} ft", quarters as f64 / 4.0),
            1 => format!("{} in ± {give} ft", quarters * 3),
            _ => format!("{} m ± {give} ft", quarters as f64 * 0.0762),
        }
    };
    (0..count).map(|_| one(tape)).collect()
}

/// The value and standard uncertainty of a result, or why there is none.
fn figures(report: &Report, name: &str) -> Result<(f64, f64), String> {
    let value = report.values.iter().find(|value| value.name == name);
    let figures = value.and_then(|value| value.cell.value.zip(value.cell.standard_uncertainty));
    figures
        .ok_or_else(|| format!("{name}: {:?}", report.troubles.iter().map(|trouble| &trouble.says).collect::<Vec<_>>()))
}

/// All formulas come to the same, or all are refused.
fn all_same(entries: &str, formulas: &[String]) -> Result<(), TestCaseError> {
    let results = formulas.iter().enumerate().map(|(number, formula)| format!("result {number} = {formula}\n"));
    let text = format!("{entries}{}", results.collect::<String>());
    let report = worked(&text);
    let first = figures(&report, "result 0");
    for number in 1..formulas.len() {
        let found = figures(&report, &format!("result {number}"));
        let near = |one: f64, other: f64| (one - other).abs() <= 1e-9 * one.abs().max(1e-3);
        let is_same = match (&first, &found) {
            (Ok(one), Ok(other)) => near(one.0, other.0) && near(one.1, other.1),
            (one, other) => one.is_err() && other.is_err(),
        };
        prop_assert!(is_same, "{text}{first:?}, and result {number}: {found:?}");
    }
    Ok(())
}

fn entries(lengths: &[String]) -> String {
    lengths.iter().zip('a'..).map(|(length, name)| format!("{name} : {length}\n")).collect()
}

fn texts(formulas: &[&str]) -> Vec<String> {
    formulas.iter().map(ToString::to_string).collect()
}

proptest! {
    #![proptest_config(config(50))]

    #[test]
    fn the_order_of_values_changes_nothing(mut tape in tapes(40)) {
        let entries = entries(&lengths(&mut tape, 3));
        for function in ["max", "min", "sum", "average", "mean"] {
            let orders = ["a, b, c", "a, c, b", "b, a, c", "b, c, a", "c, a, b", "c, b, a"];
            all_same(&entries, &orders.map(|order| format!("{function}({order}) [ft]")))?;
        }
    }

    #[test]
    fn a_bed_may_be_measured_from_any_side(mut tape in tapes(60)) {
        let entries = entries(&lengths(&mut tape, 5));
        let orders = ["a, b, c", "b, a, c", "b, c, a", "c, a, b", "c, b, a", "a, c, b"];
        all_same(&entries, &orders.map(|order| format!("triangle({order}) [ft²]")))?;
        let orders = ["a, b, c, d, e", "b, a, d, c, e", "c, d, a, b, e", "d, c, b, a, e"];
        all_same(&entries, &orders.map(|order| format!("quadrilateral({order}) [ft²]")))?;
        all_same(&entries, &texts(&["trapezoid(a, b, c) [ft²]", "trapezoid(b, a, c) [ft²]"]))?;
        all_same(&entries, &texts(&["ellipse(a, b) [ft²]", "ellipse(b, a) [ft²]"]))?;
        all_same(&entries, &texts(&["circle(2 * a) [ft²]", "ellipse(2 * a, 2 * a) [ft²]", "pi * a ^ 2 [ft²]"]))?;
    }

    #[test]
    fn corners_may_be_taken_from_any_on_and_either_way(mut tape in tapes(60)) {
        let count = tape.between(3, 7);
        let place = |tape: &mut Tape| format!("{} ± 0.{}", tape.between(0, 60), tape.between(1, 9));
        let corners: Vec<(String, String)> = (0..count).map(|_| (place(&mut tape), place(&mut tape))).collect();
        let mut shapes = vec![corners.clone()];
        let mut turned = corners.clone();
        turned.rotate_left(tape.below(count));
        shapes.push(turned.clone());
        turned.reverse();
        shapes.push(turned);
        let mut sheet = String::new();
        for (number, shape) in shapes.iter().enumerate() {
            sheet += &format!("\n| shape {number} | east : ft | north : ft |\n");
            for (row, (east, north)) in shape.iter().enumerate() {
                sheet += &format!("| {row} | {east} | {north} |\n");
            }
            sheet += "\n";
        }
        let areas: Vec<String> = (0..3).map(|shape| format!("polygon(shape {shape}.east, shape {shape}.north) [ft²]")).collect();
        all_same(&sheet, &areas)?;
        // A survey that closes on its first corner says nothing more.
        let list = |pick: fn(&(String, String)) -> &String, closed: bool| {
            let bare = |corner| pick(corner).split(' ').next().unwrap_or_default().to_owned();
            let first = corners.iter().take(usize::from(closed));
            corners.iter().chain(first).map(bare).collect::<Vec<_>>().join(", ")
        };
        let (east, north): (Coordinate, Coordinate) = (|c| &c.0, |c| &c.1);
        let lists = format!(
            "x : {} ft\ny : {} ft\nclosed x : {} ft\nclosed y : {} ft\n",
            list(east, false), list(north, false), list(east, true), list(north, true)
        );
        all_same(&lists, &texts(&["polygon(x, y) [ft²]", "polygon(closed x, closed y) [ft²]"]))?;
    }

    #[test]
    fn rows_may_be_read_from_the_other_end(mut tape in tapes(60)) {
        let count = 2 * tape.between(2, 6) + 1;
        let mut along = 0.0;
        let rows: Vec<String> = (0..count)
            .map(|_| {
                along += tape.between(1, 40) as f64 / 4.0;
                format!("{along} | {} ± 0.{}", tape.between(1, 60), tape.between(1, 9))
            })
            .collect();
        let mut sheet = String::new();
        for (name, rows) in [("there", rows.clone()), ("back", rows.into_iter().rev().collect())] {
            sheet += &format!("\n| {name} | along : ft | caught : g |\n");
            rows.iter().enumerate().for_each(|(label, row)| sheet += &format!("| {label} | {row} |\n"));
            sheet += "\n";
        }
        sheet += &format!("at : {} ft ± 0.1 ft\n", tape.between(1, 40));
        let both = |formula: &str| ["there", "back"].map(|name| formula.replace('T', name)).to_vec();
        all_same(&sheet, &both("interpolate(at, T.along, T.caught) [g]"))?;
        all_same(&sheet, &both("swath cv(T.caught, 2 ft, 5 ft, \"back and forth\")"))?;
        all_same(&sheet, &both("swath cv(T.caught, 2 ft, 6 ft, \"round and round\")"))?;
        all_same(&sheet, &both("widest swath(T.caught, 2 ft, 30 %, \"back and forth\") [ft]"))?;
        all_same(&sheet, &both("offsets(T.along, 3 ft) [ft²]"))?;
        for function in ["mean", "median", "average", "sum", "min", "max", "sd", "cv", "spread"] {
            all_same(&sheet, &both(&format!("{function}(T.caught)")))?;
        }
    }

    #[test]
    fn rounding_goes_the_way_it_says_and_stays(mut tape in tapes(20)) {
        let (value, step) = (tape.between(1, 4000) as f64 / 16.0, tape.between(1, 40) as f64 / 10.0);
        let entries = format!("x : {value} ft\nstep : {step} m\n");
        all_same(&entries, &texts(&["round(x, step) [ft]", "round(round(x, step), step) [ft]"]))?;
        all_same(&entries, &texts(&["round up(x, step) [ft]", "round up(round up(x, step), step) [ft]", "0 ft - round down(0 ft - x, step) [ft]"]))?;
        let text = format!(
            "{entries}? up : round up(x, step) - x within 0 ft to step\n? down : x - round down(x, step) within 0 ft to step\n\
             ? near : abs(x - round(x, step)) at most step / 2\n"
        );
        let report = worked(&text);
        prop_assert!(report.checks.len() == 3, "{:?}", report.troubles);
        for check in &report.checks {
            prop_assert_eq!(check.outcome, catchwork::report::data::Outcome::Ok, "{}{}", text, check.compared);
        }
    }
}
