//! What every sheet of the example comes to, kept in one file for each of its folders.

use super::sheets::{book, example, paths, worked};
use catchwork::report::Report;
use catchwork::report::data::{Cell, Origin};
use std::collections::BTreeMap;
use std::fs;
use std::path::Path;

#[test]
fn every_sheet_comes_to_what_is_kept() {
    let (folder, mut kept) = (example(), BTreeMap::<String, String>::new());
    let book = book(&folder);
    for path in paths("") {
        let report = worked(&book, &folder, &path);
        let name = path.split_once('/').map_or("top", |(name, _)| name).to_owned();
        *kept.entry(name).or_default() += &written(&report, &path);
    }
    let expected = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/example");
    for (name, found) in kept {
        let file = expected.join(format!("{name}.txt"));
        if std::env::var_os("UPDATE").is_some() {
            fs::write(&file, &found).unwrap();
        }
        let before = fs::read_to_string(&file).unwrap_or_default();
        let other = found.lines().zip(before.lines()).position(|(one, other)| one != other);
        let line = other.unwrap_or_else(|| found.lines().count().min(before.lines().count()));
        assert!(found == before, "{} differs from line {} on", file.display(), line + 1);
    }
}

/// Results, worked cells and checks of a sheet, a line each.
fn written(report: &Report, path: &str) -> String {
    let mut lines = vec![format!("== {path}")];
    lines.extend(report.troubles.iter().map(|trouble| format!("trouble: {}", trouble.says)));
    let results = report.values.iter().filter(|value| value.origin == Origin::Worked);
    lines.extend(results.map(|value| format!("{} = {}", value.name, shown(&value.cell))));
    for table in &report.tables {
        let cells = table.rows.iter().flat_map(|row| {
            let both = table.columns.iter().zip(&row.cells).filter(|(column, _)| column.origin == Origin::Worked);
            both.map(|(column, cell)| format!("{}.{}, {} = {}", table.name, column.name, row.label, shown(cell)))
        });
        lines.extend(cells);
    }
    let checks = report.checks.iter();
    lines.extend(checks.map(|check| format!("? {} = {:?}: {}", check.label, check.outcome, check.compared)));
    lines.join("\n") + "\n\n"
}

fn shown(cell: &Cell) -> String {
    if !cell.waiting_on.is_empty() {
        return "waiting".to_owned();
    }
    let parts = cell.parts.iter().map(|part| {
        let give = if part.give_or_take.is_empty() { String::new() } else { format!(" ± {}", part.give_or_take) };
        format!("{}{give} {}", part.value, part.unit).trim().to_owned()
    });
    let parts: Vec<String> = parts.collect();
    if parts.is_empty() { cell.shown.to_string() } else { parts.join("; ") }
}
