//! Sheets that are whole copies of a template still are: every result, check, caution and note of the template stands in
//! them, and so does every line of the shipped form in the crew's own.

use super::sheets::{example, paths};
use std::fs;
use std::path::Path;

/// The names that a tank mix draws from its calibration, where the template has blanks.
const DRAWN: [&str; 5] =
    ["calibration date", "calibrated person", "calibrated sprayer", "calibrated tip", "spray volume"];

#[test]
fn copies_hold_every_line_of_their_template() {
    let methods = Path::new(env!("CARGO_MANIFEST_DIR")).join("worksheets/methods");
    let mut wrong = Vec::new();
    let mut copied = std::collections::BTreeSet::new();
    for path in paths("") {
        let copy = fs::read_to_string(example().join(&path)).unwrap();
        let said = copy.lines().find_map(|line| line.strip_prefix("-- The template "));
        let Some(name) = said.and_then(|said| said.split_once(',')).map(|(name, _)| name) else { continue };
        let template = fs::read_to_string(methods.join(format!("{name}.worksheet"))).unwrap();
        let own: Vec<String> = copy.lines().filter_map(fixed).collect();
        let missing = template.lines().filter_map(fixed).filter(|line| !own.contains(line));
        wrong.extend(missing.map(|line| format!("{path}: {line}")));
        copied.insert(name.to_owned());
    }
    assert!(wrong.is_empty(), "lines of the template are not in its copy:\n{}", wrong.join("\n"));
    assert!(copied.len() > 20, "copies of {copied:?} only");
}

#[test]
fn every_template_is_filled_at_least_once() {
    let sheets: Vec<String> = paths("").iter().map(|path| fs::read_to_string(example().join(path)).unwrap()).collect();
    let methods = Path::new(env!("CARGO_MANIFEST_DIR")).join("worksheets/methods");
    for file in fs::read_dir(methods).unwrap() {
        let name = file.unwrap().path().file_stem().unwrap().to_string_lossy().into_owned();
        let ways = [format!("-- The template {name},"), format!("from \"{name}\"")];
        let filled = sheets.iter().any(|sheet| ways.iter().any(|way| sheet.contains(way)));
        assert!(filled, "no sheet of the example fills {name}");
    }
}

/// A line of a template that a copy may not change, white space aside: all but the title, entries, and rows of tables,
/// whose heads may be given rows from a file or another mark of the cup.
fn fixed(line: &str) -> Option<String> {
    let plain = line.split_whitespace().collect::<Vec<_>>().join(" ");
    let is_prose = plain.starts_with(['!', '?', '~']) || plain.starts_with("--") || plain.starts_with("##");
    if is_prose {
        return Some(plain);
    }
    let (name, _) = plain.split_once(" = ")?;
    let is_result = !plain.starts_with('|') && !name.contains(':') && !DRAWN.contains(&name);
    is_result.then_some(plain)
}
