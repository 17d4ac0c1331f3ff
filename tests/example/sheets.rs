//! The sheets of the example, worked through the library, and what is read off their reports.

use catchwork::Request;
use catchwork::book::Book;
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::report::data::{Cell, ReportTable};
use catchwork::text::crew_folder::OnDisk;
use std::fs;
use std::path::{Path, PathBuf};
use std::sync::Arc;
use walkdir::WalkDir;

/// The folder of the example.
pub fn example() -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("worksheets/example")
}

/// A book over a crew folder like the example.
pub fn book(folder: &Path) -> Book {
    let (crew_folder, _) = OnDisk::of(&folder.join("crew.worksheet")).unwrap();
    let today = Moment::parse("2026-10-05").unwrap();
    Book::new(Arc::new(crew_folder), Request { set: Vec::new(), today, colour: false })
}

/// A sheet's report, by its path in the crew folder.
pub fn worked(book: &Book, folder: &Path, path: &str) -> Report {
    book.report(path, path, fs::read(folder.join(path)).unwrap())
}

/// The worksheets of a folder of the example and those below, in name order, by their paths in the crew folder.
pub fn paths(below: &str) -> Vec<String> {
    let folder = example();
    let files =
        WalkDir::new(folder.join(below)).sort_by_file_name().into_iter().map(|entry| entry.unwrap().into_path());
    let sheets = files.filter(|path| path.extension().is_some_and(|ending| ending == "worksheet"));
    sheets.map(|path| path.strip_prefix(&folder).unwrap().to_string_lossy().replace('\\', "/")).collect()
}

/// The job records of the season, those that were replaced aside.
pub fn records() -> Vec<String> {
    paths("jobs/2026").into_iter().filter(|path| !path.contains("first-written")).collect()
}

/// The value of that name.
pub fn cell<'a>(report: &'a Report, name: &str) -> &'a Cell {
    let value = report.values.iter().find(|value| value.name == name);
    &value.unwrap_or_else(|| panic!("{} has no {name}", report.worksheet)).cell
}

/// Its number in the unit shown; none where it waits.
pub fn number(report: &Report, name: &str) -> Option<f64> {
    cell(report, name).value
}

/// Its text, date, or yes or no; none where it waits.
pub fn text(report: &Report, name: &str) -> Option<String> {
    cell(report, name).text.clone()
}

/// The table of that name.
pub fn table<'a>(report: &'a Report, name: &str) -> &'a ReportTable {
    let table = report.tables.iter().find(|table| table.name == name);
    table.unwrap_or_else(|| panic!("{} has no table {name}", report.worksheet))
}

/// The cells of a column, with their row labels.
pub fn column<'a>(report: &'a Report, name: &str, column: &str) -> Vec<(&'a str, &'a Cell)> {
    let table = table(report, name);
    let place = table.columns.iter().position(|found| found.name == column).unwrap();
    table.rows.iter().map(|row| (row.label.as_str(), &row.cells[place])).collect()
}
