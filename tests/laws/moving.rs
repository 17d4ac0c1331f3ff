//! Doubt is what moving each source a little does: every function, over entries and cells that carry a `±` each, against
//! central differences of the same worksheet without doubt (GUM 5.1.3, note 2), and Welch and Satterthwaite's formula.

use crate::tape::{Tape, tapes};
use crate::{config, worked};
use catchwork::report::Report;
use proptest::prelude::*;

/// A source: its value and its standard uncertainty as a share of it, and its degrees of freedom, 0 for infinite.
#[derive(Debug, Clone, Copy)]
struct Source {
    value: f64,
    share: f64,
    freedom: u32,
}

/// A worksheet whose every measured value is a source, written as `{0}`, `{1}` …; each near the number beside it.
const SHEET: &str = "
a : {0} ft
b : {1} ft
c : {2} ft
d : {3} ft
e : {4} ft
wide : {5} in
turned : {6} deg
ratio : {7}
spacing : {8} yd
low rate : {9} fl oz
high rate : {10} fl oz
at : {11} psi

| cells | width : ft | pressure : psi | flow : gal/min | east : ft | north : ft |
| one   | {12} | {16} | {20} | {24} | {28} |
| two   | {13} | {17} | {21} | {25} | {29} |
| three | {14} | {18} | {22} | {26} | {30} |
| four  | {15} | {19} | {23} | {27} | {31} |

| pans   | caught : g |
| first  | {32} |
| second | {33} |
| third  | {34} |
| fourth | {35} |
| fifth  | {36} |

";

/// The middling size of each source.
const SIZES: [f64; 37] = [
    9.0, 10.0, 11.0, 8.0, 12.0, 40.0, 35.0, 0.4, 2.5, 3.0, 5.0, 33.0, // entries
    4.0, 6.0, 5.0, 3.0, // widths
    10.0, 25.0, 40.0, 60.0, // pressures
    0.2, 0.3, 0.4, 0.5, // flows
    -20.0, 25.0, 30.0, -28.0, // east
    -15.0, -20.0, 24.0, 30.0, // north
    4.0, 9.0, 12.0, 10.0, 5.0, // pans
];

const FORMULAS: [&str; 37] = [
    "a + b - 2 * c [ft]",
    "a * b / (c + wide) [in]",
    "a - a + b [m]",
    "(a / b) ^ 3 [%]",
    "(a / b) ^ ratio [%]",
    "ratio ^ (a / b)",
    "sqrt(a * b) [ft]",
    "abs(a - 3 * b) [ft]",
    "sin(turned)",
    "cos(turned)",
    "tan(turned)",
    "atan(ratio) [deg]",
    "exp(ratio)",
    "ln(a / wide)",
    "min(a, b + a, c + b) [ft]",
    "max(a, b, c / 3) [ft]",
    "average(a, b, c, a) [ft]",
    "sum(a, b, 3 * a) [ft]",
    "circle(a) [ft²]",
    "circle around(a) [ft²]",
    "ellipse(a, wide) [ft²]",
    "triangle(a, b, c) [ft²]",
    "triangle(a, a, b) [ft²]",
    "trapezoid(a, b, c) [ft²]",
    "quadrilateral(a, b, c, d, e) [ft²]",
    "offsets(cells.width, wide) [ft²]",
    "polygon(cells.east, cells.north) [ft²]",
    "interpolate(at, cells.pressure, cells.flow) [gal/min]",
    "pick(cells.flow, \"two\") * 2 [L/min]",
    "sum(cells.width) / count(cells.width) - average(cells.width where flow more than 0 gal/min) + a [ft]",
    "max(cells.width) - min(cells.width) [ft]",
    "swath cv(pans.caught, 2 ft, 6 ft, \"round and round\")",
    "swath cv(pans.caught, 2 ft, 7 ft, \"back and forth\") [%]",
    "widest swath(pans.caught, spacing, 99 %, \"back and forth\") [ft]",
    "low((low rate to 2 * high rate) / ratio) [fl oz]",
    "middle(low rate to high rate + low rate) [mL]",
    "if a more than wide then a * ratio else b [ft]",
];

/// The results by name.
fn formulas() -> impl Iterator<Item = (String, &'static str)> {
    FORMULAS.iter().enumerate().map(|(number, formula)| (format!("result {number}"), *formula))
}

fn source(tape: &mut Tape, size: f64) -> Source {
    let value = size * (1.0 + (tape.below(201) as f64 - 100.0) / 1000.0);
    let share = if tape.chance(80) { tape.between(1, 20) as f64 / 1000.0 } else { 0.0 };
    let freedom = if tape.chance(40) { tape.between(1, 30) as u32 } else { 0 };
    Source { value, share, freedom }
}

/// The worksheet with these values; with their `±` where that is asked for.
fn sheet(sources: &[Source], values: &[f64], with_doubt: bool) -> String {
    let mut text = SHEET.to_owned();
    for (number, (source, value)) in sources.iter().zip(values).enumerate().rev() {
        let half_width = source.share * source.value.abs() * catchwork::quantity::student::coverage_95(freedom(source));
        let freedom = if source.freedom > 0 { format!(" ({} df)", source.freedom) } else { String::new() };
        let given = if with_doubt && source.share > 0.0 { format!(" ± {half_width}{freedom}") } else { String::new() };
        text = with(&text, number, *value, &given);
    }
    formulas().for_each(|(name, formula)| text += &format!("{name} = {formula}\n"));
    text
}

/// Puts a value with its unit and its `±` where the sheet has its number.
fn with(text: &str, number: usize, value: f64, given: &str) -> String {
    let (before, after) = text.split_once(&format!("{{{number}}}")).unwrap_or_else(|| panic!("no place {number}"));
    match after.split_once('\n') {
        // Of an entry the unit stands before the `±`; of a cell the column has it.
        Some((unit, rest)) if !unit.contains('|') => format!("{before}{value}{unit}{given}\n{rest}"),
        _ => format!("{before}{value}{given}{after}"),
    }
}

fn freedom(source: &Source) -> f64 {
    if source.freedom > 0 { f64::from(source.freedom) } else { f64::INFINITY }
}

fn values_of(report: &Report) -> Vec<f64> {
    formulas()
        .map(|(name, _)| {
            let value = report.values.iter().find(|value| value.name == name);
            value.and_then(|value| value.cell.value).unwrap_or_else(|| panic!("{name}: {:?}", report.troubles))
        })
        .collect()
}

/// For each source, by how much it moves each result: sensitivity times standard uncertainty.
fn moved(sources: &[Source]) -> Vec<Vec<f64>> {
    let values: Vec<f64> = sources.iter().map(|source| source.value).collect();
    let moved = |place: usize, step: f64| {
        let mut values = values.clone();
        values[place] += step;
        values_of(&worked(&sheet(sources, &values, false)))
    };
    let one = |(place, source): (usize, &Source)| {
        let step = 1e-5 * source.value.abs();
        let (up, down) = (moved(place, step), moved(place, -step));
        let scale = source.share * source.value.abs() / (2.0 * step);
        up.iter().zip(&down).map(|(up, down)| (up - down) * scale).collect()
    };
    sources.iter().enumerate().filter(|(_, source)| source.share > 0.0).map(one).collect()
}

proptest! {
    #![proptest_config(config(3))]

    #[test]
    fn doubt_is_what_moving_each_source_does(mut tape in tapes(150)) {
        let sources: Vec<Source> = SIZES.iter().map(|size| source(&mut tape, *size)).collect();
        let values: Vec<f64> = sources.iter().map(|source| source.value).collect();
        let text = sheet(&sources, &values, true);
        let report = worked(&text);
        prop_assert!(report.troubles.is_empty(), "{text}\n{:?}", report.troubles);
        let moved = moved(&sources);
        let freedoms: Vec<f64> = sources.iter().filter(|source| source.share > 0.0).map(freedom).collect();
        for (place, (name, formula)) in formulas().enumerate() {
            let parts: Vec<f64> = moved.iter().map(|parts| parts[place]).collect();
            let wrong = wrong(&report, &name, &parts, &freedoms);
            prop_assert!(wrong.is_none(), "{formula}: {}\n{text}", wrong.unwrap_or_default());
        }
    }
}

fn wrong(report: &Report, name: &str, parts: &[f64], freedoms: &[f64]) -> Option<String> {
    let cell = &report.values.iter().find(|value| value.name == name)?.cell;
    let (value, found) = (cell.value.unwrap_or_default(), cell.standard_uncertainty.unwrap_or(f64::NAN));
    let variance: f64 = parts.iter().map(|part| part * part).sum();
    let expected = variance.sqrt();
    // What is left of differences of values of that size is noise.
    if (found - expected).abs() > 1e-5 * expected + 1e-10 * value.abs() {
        return Some(format!("standard uncertainty {found}, and {expected} by moving"));
    }
    let welch: f64 = parts.iter().zip(freedoms).map(|(part, freedom)| part * part * part * part / freedom).sum();
    let expected = variance * variance / welch;
    let found = cell.degrees_of_freedom.unwrap_or(f64::INFINITY);
    // Where hardly anything is left of the doubt its freedom is noise too.
    let agrees =
        found == expected || (found - expected).abs() <= 1e-3 * expected || variance.sqrt() < 1e-8 * value.abs();
    (!agrees).then(|| format!("{found} degrees of freedom, and {expected} by moving"))
}
