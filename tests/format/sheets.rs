//! Every worksheet of the project and every case of the suite, laid out.

use crate::{check, laid_out};
use std::path::{Path, PathBuf};

#[path = "../suite/case.rs"]
#[allow(dead_code, reason = "only the worksheets of the cases are wanted here")]
mod case;

const PROJECT: &str = env!("CARGO_MANIFEST_DIR");

/// The worksheets that the project ships or tests with.
pub fn all() -> Vec<(PathBuf, String)> {
    let mut found = Vec::new();
    for folder in ["worksheets", "tests"] {
        for entry in walkdir::WalkDir::new(Path::new(PROJECT).join(folder)).sort_by_file_name() {
            let path = entry.unwrap().into_path();
            if path.is_file() && path.extension().is_some_and(|extension| extension == "worksheet") {
                let text = std::fs::read_to_string(&path).unwrap();
                found.push((path, text));
            }
        }
    }
    found
}

#[test]
fn every_sheet_says_the_same_when_laid_out() {
    let mut read = 0;
    for (path, text) in all() {
        read += usize::from(laid_out(&text).is_some());
        check(&text, &path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
    }
    // A layout that refused them all would pass as well.
    assert!(read > 100, "only {read} sheets could be laid out");
}

#[test]
fn every_shipped_sheet_is_laid_out_already() {
    for (path, text) in all().into_iter().filter(|(path, _)| path.starts_with(Path::new(PROJECT).join("worksheets"))) {
        assert_eq!(laid_out(&text).as_ref(), Some(&text), "{}", path.display());
    }
}

#[test]
fn every_case_of_the_suite_says_the_same_when_laid_out() {
    for file in case::files().unwrap() {
        for case in file.cases {
            let text = case.worksheet();
            check(&text, Path::new(PROJECT).join("case").as_path())
                .unwrap_or_else(|error| panic!("{} ({}): {error}", case.name, case.at));
        }
    }
}
