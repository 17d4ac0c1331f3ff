//! The worksheets that ship and the published examples, as texts to try laws on.

use std::fs;
use std::path::Path;

/// All of them with their paths, in name order.
pub fn sheets() -> Vec<(String, String)> {
    let mut sheets = Vec::new();
    for folder in ["worksheets", "tests/published"] {
        let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join(folder);
        for entry in walkdir::WalkDir::new(folder).sort_by_file_name() {
            let path = entry.unwrap_or_else(|error| panic!("{error}")).into_path();
            if path.extension().is_some_and(|extension| extension == "worksheet") {
                let text = fs::read_to_string(&path).unwrap_or_else(|error| panic!("{}: {error}", path.display()));
                sheets.push((path.display().to_string(), text));
            }
        }
    }
    assert!(sheets.len() > 100, "only {} worksheets", sheets.len());
    sheets
}
