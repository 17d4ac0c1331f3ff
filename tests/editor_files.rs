//! The files that teach editors the notation, `grammar/editors/`, held against the engine's own reading: on every
//! worksheet of the project the same roles stand at the same places.

#![allow(clippy::unwrap_used, clippy::panic, reason = "a test fails by panicking")]

#[path = "editor_files/roles.rs"]
mod roles;
#[path = "editor_files/textmate.rs"]
mod textmate;
#[path = "editor_files/vim.rs"]
mod vim;

use catchwork::text::Source;
use roles::{EXACT, NAME, NUMBER, PROSE, REMARK, STRING};
use std::path::{Path, PathBuf};

const PROJECT: &str = env!("CARGO_MANIFEST_DIR");

/// A file for editors.
fn file(name: &str) -> PathBuf {
    Path::new(PROJECT).join("grammar/editors").join(name)
}

/// Every worksheet that the engine can read.
fn sheets() -> Vec<Source> {
    let mut sheets = Vec::new();
    for folder in ["worksheets", "tests"] {
        for entry in walkdir::WalkDir::new(Path::new(PROJECT).join(folder)).sort_by_file_name() {
            let path = entry.unwrap().into_path();
            if path.is_file() && path.extension().is_some_and(|extension| extension == "worksheet") {
                sheets.push(Source::new(&path.display().to_string(), std::fs::read(&path).unwrap()).ok());
            }
        }
    }
    let readable = sheets.into_iter().flatten();
    readable.filter(|source| catchwork::syntax::parse(source, 0).troubles.is_empty()).collect()
}

/// Holds the roles that an editor's file finds against those of the engine, byte for byte.
fn hold(source: &Source, found: &[u16]) {
    let wanted = roles::of(source);
    for (index, character) in source.text.char_indices().filter(|(_, character)| !character.is_whitespace()) {
        let (wanted, found) = (wanted[index], found[index]);
        let is_number = found & NUMBER != 0;
        let is_right = wanted & EXACT == found & EXACT
            && (is_number || wanted & NUMBER == 0)
            // The numbers of a unit, `per 1000 ft²`, are numbers too; those of names and words are not.
            && !(is_number && wanted & (NAME | PROSE | REMARK | STRING) != 0);
        if !is_right {
            let before = &source.text[..index];
            let line = before.matches('\n').count() + 1;
            let column = before.rsplit('\n').next().unwrap_or("").chars().count() + 1;
            let (wanted, found) = (roles::words(wanted), roles::words(found));
            panic!("{}:{line}:{column}: `{character}` is {wanted}, and was taken for {found}", source.name);
        }
    }
}

#[test]
fn there_are_sheets_to_try() {
    let sheets = sheets();
    assert!(sheets.len() > 100, "only {} sheets", sheets.len());
    let all = sheets.iter().flat_map(roles::of).fold(0, |all, roles| all | roles);
    assert_eq!(all & EXACT, EXACT, "no sheet holds {}", roles::words(EXACT & !all));
}
