//! The worksheets that are timed: those of `tests/bench`, and what is made of them. It times nothing.

use anyhow::{Context, Result};
use std::fmt::Write;
use std::path::{Path, PathBuf};

/// So many copies of the 26-line sheet make 1000 lines.
pub const COPIES: usize = 38;

/// The names of the 26-line sheet, which each copy of it has its own of.
const NAMES: [&str; 13] = [
    "strip length",
    "spray width",
    "rated flow",
    "tank",
    "label rate",
    "rate used",
    "bed area",
    "passes",
    "strip area",
    "walking speed",
    "spray volume",
    "mix needed",
    "tank dose",
];

/// A sheet's text.
pub fn read(folder: &str, name: &str) -> Result<String> {
    let path = Path::new(folder).join(format!("{name}.worksheet"));
    std::fs::read_to_string(&path).with_context(|| path.display().to_string())
}

/// The 26-line sheet so many times over, under names of each copy's own; the first line's title is left out.
pub fn copied(text: &str, copies: usize) -> String {
    let body: String = text.lines().skip(1).map(|line| line.to_owned() + "\n").collect();
    // `flow` is a column too, and `tank` a part of `tank dose`: names are marked first, then numbered.
    let marked = NAMES.iter().fold(body, |body, name| body.replace(name, &format!("{name} @")));
    let marked = marked.replace("tank @ dose", "tank dose").replace("\nflow ", "\nflow @ ");
    let marked = marked.replace(": flow within", ": flow @ within");
    (0..copies).fold(String::new(), |mut whole, copy| {
        let _ = write!(whole, "{}", marked.replace('@', &copy.to_string()));
        whole
    })
}

/// The same text with a mistake in every result, and so in what rests on it.
pub fn spoiled(text: &str) -> String {
    text.replace(']', "").replace(" = ", " = 2 ")
}

/// A folder of 10 000 worksheets of 2 KB each, made where there is none yet.
///
/// # Errors
/// Where it cannot be written.
pub fn folder(scratch: &Path, text: &str) -> Result<PathBuf> {
    let folder = scratch.join("floor-sheets");
    let note = "-- Measured on a dry, level stretch of pavement, by the same person and at the same pumping.\n";
    let sheet = text.to_owned() + &note.repeat(2048_usize.saturating_sub(text.len()).div_ceil(note.len()));
    for number in 0..10_000 {
        let below = folder.join(format!("{:03}", number / 100));
        std::fs::create_dir_all(&below)?;
        std::fs::write(below.join(format!("{number:05}.worksheet")), &sheet)?;
    }
    Ok(folder)
}
