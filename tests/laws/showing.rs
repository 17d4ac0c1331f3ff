//! What is shown keeps to what it says: a step, an inward range, digits enough; and what is printed reads back.

use crate::figures::{self, Shown};
use crate::sheets::Draft;
use crate::tape::{Tape, tapes};
use crate::{config, worked};
use catchwork::report::data::{ReportValue, ValueKind};
use proptest::prelude::*;

/// A display: what stands in brackets, and its step in the first unit (0 without one).
struct Display {
    brackets: &'static str,
    step: f64,
    way: Way,
    /// The measures, each with its share of the first.
    sizes: &'static [(&'static str, f64)],
}

impl Display {
    /// The size of a measure in the first one, which is meant where none is named.
    fn size(&self, unit: &str) -> f64 {
        let first = self.sizes.first().filter(|_| unit.is_empty());
        first.or_else(|| self.sizes.iter().find(|(own, _)| *own == unit)).map_or(f64::NAN, |(_, size)| *size)
    }
}

#[derive(Clone, Copy, PartialEq, Debug)]
enum Way {
    Nearest,
    Up,
    Down,
}

const fn display(brackets: &'static str, step: f64, way: Way) -> Display {
    Display { brackets, step, way, sizes: &[("", 1.0)] }
}

const SPOONS: &[(&str, f64)] = &[("tbsp", 1.0), ("tsp", 1.0 / 3.0)];
const JUGS: &[(&str, f64)] = &[("gal", 1.0), ("qt", 0.25), ("fl oz", 1.0 / 128.0)];

const DISPLAYS: [Display; 14] = [
    display("gal", 0.0, Way::Nearest),
    display("mL", 0.0, Way::Nearest),
    display("0.1 gal", 0.1, Way::Nearest),
    display("0.01 L, up", 0.01, Way::Up),
    display("5 mL, down", 5.0, Way::Down),
    display("1/4 fl oz", 0.25, Way::Nearest),
    display("1/8 pt, up", 0.125, Way::Up),
    display("0.25 tsp, down", 0.25, Way::Down),
    Display { brackets: "tbsp + 1/2 tsp", step: 1.0 / 6.0, way: Way::Nearest, sizes: SPOONS },
    Display { brackets: "tbsp + 0.25 tsp, up", step: 1.0 / 12.0, way: Way::Up, sizes: SPOONS },
    Display { brackets: "tbsp + tsp", step: 0.0, way: Way::Nearest, sizes: SPOONS },
    Display { brackets: "gal + qt + 1 fl oz", step: 1.0 / 128.0, way: Way::Nearest, sizes: JUGS },
    Display { brackets: "gal + qt + 1/4 fl oz, down", step: 1.0 / 512.0, way: Way::Down, sizes: JUGS },
    Display { brackets: "gal + 0.5 fl oz, up", step: 1.0 / 256.0, way: Way::Up, sizes: JUGS },
];

/// A volume of any size, whole steps and ties among them, with or without a `±`.
fn volume(tape: &mut Tape) -> String {
    let number = match tape.below(4) {
        0 => format!("{}", tape.between(1, 400)),
        1 => format!("{}", tape.between(1, 800) as f64 / 8.0),
        2 => format!("{}e{}", tape.between(1, 9999), tape.between(0, 9) as i32 - 6),
        _ => format!("{}", tape.between(1, 999) as f64 / 1000.0),
    };
    let unit = *tape.pick(&["fl oz", "gal", "tsp", "tbsp", "mL", "L", "qt"]);
    let sign = if tape.chance(10) { "-" } else { "" };
    let give = if tape.chance(30) { format!(" ± {} %", tape.between(1, 50)) } else { String::new() };
    format!("{sign}{number} {unit}{give}")
}

/// Within rounding: binary arithmetic has its say in the last digits.
fn at_most(one: f64, other: f64, size: f64) -> bool {
    one <= other + 1e-11 * size.abs()
}

proptest! {
    #![proptest_config(config(300))]

    #[test]
    fn what_is_shown_lies_within_its_step(mut tape in tapes(60)) {
        let entry = volume(&mut tape);
        let mut text = format!("x : {entry}\nzero = x - x [0.1 gal]\n");
        for (number, display) in DISPLAYS.iter().enumerate() {
            text += &format!("shown {number} = x [{}]\n", display.brackets);
        }
        let report = worked(&text);
        prop_assert!(report.troubles.is_empty(), "{text}{:?}", report.troubles);
        for (value, display) in report.values[2..].iter().zip(&DISPLAYS) {
            let wrong = wrong(value, display);
            prop_assert!(wrong.is_none(), "{entry} in [{}]: {} ({})", display.brackets, value.cell.shown, wrong.unwrap_or_default());
        }
        prop_assert_eq!(&report.values[1].cell.shown, "0.0");
    }

    #[test]
    fn a_range_is_shown_inside_its_limits(mut tape in tapes(60)) {
        let (low, more) = (tape.between(1, 4000) as f64 / 100.0, tape.between(1, 400) as f64 / 100.0);
        let unit = *tape.pick(&["fl oz", "gal", "tsp", "mL"]);
        let mut text = format!("x : {low} to {} {unit}\n", low + more);
        for (number, display) in DISPLAYS.iter().filter(|display| display.way == Way::Nearest).enumerate() {
            text += &format!("shown {number} = x [{}]\n", display.brackets);
        }
        let report = worked(&text);
        prop_assert!(report.troubles.is_empty(), "{text}{:?}", report.troubles);
        let displays = DISPLAYS.iter().filter(|display| display.way == Way::Nearest);
        for (value, display) in report.values[1..].iter().zip(displays) {
            let wrong = wrong_range(value, display);
            prop_assert!(wrong.is_none(), "{text}\n[{}]: {} ({})", display.brackets, value.cell.shown, wrong.unwrap_or_default());
        }
    }

    #[test]
    fn a_range_in_doubt_reads_back_as_it_is_printed(mut tape in tapes(60)) {
        let (low, more) = (tape.between(1, 4000) as f64 / 100.0, tape.between(1, 400) as f64 / 100.0);
        let mut give = |most: f64| match tape.below(3) {
            0 => String::new(),
            _ => format!(" ± {}", most * tape.between(1, 40) as f64 / 100.0),
        };
        let limits = [format!("{low}{} to {}{} gal", give(low), low + more, give(low)), format!("up to {low}{} gal", give(low))];
        for (limits, ends) in limits.iter().zip([["low", "high"].as_slice(), &["high"]]) {
            let asked: String = ends.iter().map(|end| format!("{end} end = {end}(y)\n")).collect();
            let first = worked(&format!("x : {limits}\ny = x * 1.37\n{asked}"));
            let printed = first.values.iter().find(|value| value.name == "y").map(|value| value.cell.shown.to_string());
            let again = worked(&format!("y : {} gal\n{asked}", printed.unwrap_or_default()));
            prop_assert!(again.troubles.is_empty(), "{limits}: {:?}", again.troubles);
            for (was, is) in first.values.iter().rev().zip(again.values.iter().rev()).take(ends.len()) {
                let wrong = wrong_end(was, is);
                prop_assert!(wrong.is_none(), "{limits}: {}", wrong.unwrap_or_default());
            }
        }
    }

    #[test]
    fn what_json_prints_reads_back(mut tape in tapes(300)) {
        let text = Draft::made(&mut tape).text();
        let report = worked(&text);
        let printed = catchwork::report::json::line(&report).map_err(|error| TestCaseError::fail(error.to_string()))?;
        let json: serde_json::Value = serde_json::from_str(&printed).map_err(|error| TestCaseError::fail(error.to_string()))?;
        for (value, printed) in report.values.iter().zip(json["values"].as_array().into_iter().flatten()) {
            let wrong = wrong_json(value, printed);
            prop_assert!(wrong.is_none(), "{text}\n{}: {}", value.name, wrong.unwrap_or_default());
        }
    }
}

/// What is wrong with an end of a range that was printed and read again: it lies within the last digit printed, and its
/// half-width has two digits.
fn wrong_end(was: &ReportValue, is: &ReportValue) -> Option<String> {
    let (value, again) = (was.cell.value?, is.cell.value?);
    let (give, give_again) = (was.cell.give_or_take?, is.cell.give_or_take?);
    let last = if give > 0.0 { 0.1 * give } else { 1e-3 * value };
    let keeps = (value - again).abs() <= last * (1.0 + 1e-9) && (give - give_again).abs() <= 0.051 * give;
    (!keeps).then(|| format!("{value} ± {give} was read again as {again} ± {give_again}"))
}

/// What is wrong with a shown number; nothing where it is within its step.
fn wrong(value: &ReportValue, display: &Display) -> Option<String> {
    let Some(exact) = value.cell.value else { return Some("no value".to_owned()) };
    let Some(shown) = figures::read(&value.cell.shown) else {
        let least = if display.way == Way::Nearest { display.step / 2.0 } else { display.step };
        // Up rounds to 0 only what lies below it, down what lies above.
        let to_nothing = display.way != if exact > 0.0 { Way::Up } else { Way::Down };
        let is_small = exact != 0.0 && exact.abs() < least && to_nothing;
        return (!is_small).then(|| format!("{exact} is not less than the step"));
    };
    let whole = shown.whole(|unit| display.size(unit));
    let last = display.sizes.last().map_or(1.0, |(_, size)| *size);
    let step = if display.step > 0.0 { display.step } else { last * last_place(&shown) };
    let over = whole - exact;
    let keeps = match display.way {
        Way::Nearest => at_most(over.abs(), step / 2.0, exact),
        Way::Up => at_most(0.0, over, exact) && over < step,
        Way::Down => at_most(over, 0.0, exact) && -over < step,
    };
    if !keeps {
        return Some(format!("{exact} is {over} away, the step is {step}"));
    }
    if whole == 0.0 && exact != 0.0 {
        return Some(format!("{exact} is shown as nothing"));
    }
    wrong_remark(&shown, (whole.abs() - exact.abs()) / exact.abs(), display)
        .or_else(|| wrong_digits(&shown, exact, last, display))
}

/// The place that figures without a step are rounded to: the second digit of the half-width, which may stand left of
/// the point, else the last one shown.
fn last_place(shown: &Shown) -> f64 {
    match shown.give_or_take {
        Some(half_width) if half_width >= 100.0 => libm::pow(10.0, libm::log10(half_width).floor() - 1.0),
        _ => libm::pow(10.0, f64::from(-shown.decimals)),
    }
}

/// It says by how much its amount is off where that is over 1 %, in whole percent.
fn wrong_remark(shown: &Shown, off: f64, display: &Display) -> Option<String> {
    let percent = 100.0 * off;
    let expected = display.step > 0.0 && percent.abs() > 1.0 + 1e-9;
    match shown.off {
        Some(said) if (said - percent).abs() <= 0.5 + 1e-9 && percent.abs() > 1.0 - 1e-9 => None,
        None if !expected => None,
        said => Some(format!("it is {percent} % over, and {said:?} is said")),
    }
}

/// Without a step: two digits of the half-width, else four of the value.
fn wrong_digits(shown: &Shown, exact: f64, last: f64, display: &Display) -> Option<String> {
    let is_whole = shown.amounts.last().is_some_and(|(_, unit)| display.size(unit) != last);
    let scaled = match shown.give_or_take {
        _ if display.step > 0.0 || is_whole => return None,
        Some(half_width) => half_width * libm::pow(10.0, f64::from(shown.decimals)),
        None => (exact / last).abs() * libm::pow(10.0, f64::from(shown.decimals)),
    };
    let (least, most) = if shown.give_or_take.is_some() { (9.4, 100.0) } else { (999.4, 10_000.0) };
    let is_enough = scaled >= least && (scaled < most || shown.decimals <= 0);
    (!is_enough).then(|| format!("{scaled} in digits"))
}

fn wrong_range(value: &ReportValue, display: &Display) -> Option<String> {
    let (Some(low), Some(high)) = (value.cell.low, value.cell.high) else { return Some("no ends".to_owned()) };
    let (low_text, high_text) = value.cell.shown.split_once(" to ")?;
    let (Some(shown_low), Some(shown_high)) = (figures::read(low_text), figures::read(high_text)) else {
        return Some("not readable".to_owned());
    };
    let (shown_low, shown_high) =
        (shown_low.whole(|unit| display.size(unit)), shown_high.whole(|unit| display.size(unit)));
    let inside = at_most(low, shown_low, low) && at_most(shown_high, high, high) && shown_low <= shown_high;
    if !inside {
        return Some(format!("not inside {low} to {high}"));
    }
    let none_lies = value.cell.remarks.iter().any(|remark| remark.contains("lies within"));
    let near = none_lies || display.step == 0.0 || (shown_low - low < display.step && high - shown_high < display.step);
    (!near).then(|| format!("a step is left out of {low} to {high}"))
}

/// A printed number is the value to fifteen digits, and as an entry it comes to itself.
fn wrong_json(value: &ReportValue, printed: &serde_json::Value) -> Option<String> {
    let Some(exact) = value.cell.value else { return (!printed["value"].is_null()).then(|| "a value".to_owned()) };
    let number = printed["value"].as_f64()?;
    if (number - exact).abs() > 5.000_001e-15 * exact.abs() {
        return Some(format!("{exact} is printed as {number}"));
    }
    let unit = value.unit.clone().unwrap_or_default();
    // The crew's own measure is no unit outside of its worksheet.
    if !matches!(value.kind, ValueKind::Number | ValueKind::Quantity) || unit == "scoop" {
        return None;
    }
    let entry = format!("x : {} {unit}", printed["value"]);
    let report = worked(entry.trim_end());
    let again = report.values.first().and_then(|value| serde_json::to_value(value).ok());
    let again = again.map(|value| value["value"].to_string());
    (again != Some(printed["value"].to_string())).then(|| format!("{entry} became {again:?}"))
}
