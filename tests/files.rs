//! Worksheets that draw on other files: each folder under `tests/files` is a crew folder with a `sheet.worksheet` and,
//! beside it in `expected.txt`, what must come of it: troubles with their whole text, values, rows, checks, templates.
//! `UPDATE=1 cargo test --test files` writes what comes of it now.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

use catchwork::Request;
use catchwork::book::Book;
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::report::data::{Cell, Origin};
use catchwork::text::crew_folder::OnDisk;
use libtest_mimic::{Arguments, Failed, Trial};
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn main() -> std::process::ExitCode {
    let arguments = Arguments::from_args();
    let mut folders: Vec<PathBuf> =
        std::fs::read_dir("tests/files").unwrap().map(|entry| entry.unwrap().path()).collect();
    folders.sort();
    let trials = folders.into_iter().filter(|folder| folder.is_dir()).map(|folder| {
        let name = folder.file_name().unwrap().to_string_lossy().replace('-', " ");
        Trial::test(name, move || holds(&folder))
    });
    let blanks = Trial::test("a blank in a cell of a file stands where the file is named", blanks_of_a_file);
    libtest_mimic::run(&arguments, trials.chain([blanks]).collect()).exit_code()
}

fn blanks_of_a_file() -> Result<(), Failed> {
    let report = worked(Path::new("tests/files/csv-blank-in-its-unit"));
    let found: Vec<(&str, usize)> = report.waiting.iter().map(|blank| (blank.name.as_str(), blank.line)).collect();
    assert_eq!(found, [("other", 2), ("beds.length, south", 4), ("beds.width, east", 4)]);
    Ok(())
}

fn holds(folder: &Path) -> Result<(), Failed> {
    let (found, kept) = (written(&worked(folder)), folder.join("expected.txt"));
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(&kept, &found)?;
    }
    let expected = std::fs::read_to_string(&kept).unwrap_or_default();
    match found == expected {
        true => Ok(()),
        false => Err(format!("{} has\n{expected}\nand what comes of it is\n{found}", kept.display()).into()),
    }
}

fn worked(folder: &Path) -> Report {
    let sheet = folder.join("sheet.worksheet");
    let sheet = if sheet.exists() { sheet } else { folder.join("jobs/sheet.worksheet") };
    let (crew_folder, within) = OnDisk::of(&sheet).unwrap();
    let today = Moment::parse("2026-04-12").unwrap();
    let book = Book::new(Arc::new(crew_folder), Request { set: Vec::new(), today, colour: false });
    book.report(&within, &within, std::fs::read(&sheet).unwrap())
}

/// A report in lines that a person can read.
fn written(report: &Report) -> String {
    let mut lines = Vec::new();
    for trouble in &report.troubles {
        let file = trouble.file.clone().unwrap_or_else(|| "sheet".to_owned());
        lines.push(format!(
            "{file}, line {}, column {}, length {}: {}",
            trouble.line, trouble.column, trouble.length, trouble.kind
        ));
        lines.push(format!("  {}", trouble.says));
        lines.extend(trouble.instead.iter().map(|instead| format!("  instead: {instead}")));
    }
    lines.extend(report.today.iter().map(|today| format!("today taken to be {today}")));
    lines.extend(report.cautions.iter().map(|caution| format!("! {caution}")));
    for value in &report.values {
        let origin = match value.origin {
            Origin::Entered => "entered".to_owned(),
            Origin::Worked => "worked".to_owned(),
            Origin::Template => "template".to_owned(),
            Origin::Other => format!("from {}", value.from.clone().unwrap_or_default()),
        };
        lines.push(format!("{} = {} ({origin})", value.name, shown(&value.cell)));
        lines.extend(value.cell.remarks.iter().map(|remark| format!("  -- {remark}")));
    }
    for table in &report.tables {
        lines.push(format!(
            "| {} | {} |",
            table.name,
            table.columns.iter().map(|column| column.name.clone()).collect::<Vec<_>>().join(" | ")
        ));
        for row in &table.rows {
            lines.push(format!("| {} | {} |", row.label, row.cells.iter().map(shown).collect::<Vec<_>>().join(" | ")));
        }
        lines.extend(table.remarks.iter().map(|remark| format!("  -- {remark}")));
    }
    lines.extend(
        report.checks.iter().map(|check| format!("? {} = {:?}: {}", check.label, check.outcome, check.compared)),
    );
    lines.extend(
        report
            .templates
            .iter()
            .map(|used| format!("from {} {}{}", used.file, used.fingerprint, if used.pinned { " pinned" } else { "" })),
    );
    lines.join("\n") + "\n"
}

fn shown(cell: &Cell) -> String {
    if !cell.waiting_on.is_empty() {
        return format!("waiting on {}", cell.waiting_on.join("; "));
    }
    let unit = cell.parts.first().map(|part| part.unit.clone()).unwrap_or_default();
    format!("{} {unit}", cell.shown).trim().to_owned()
}
