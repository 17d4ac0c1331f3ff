//! What fuzzing begins with: the worksheets of this repository and of the suite's cases, each statement by itself and
//! whole short ones; and the texts kept under `seeds/`.

use crate::targets::{DATA, MESSAGES, Target};
use anyhow::{Context, Result};
use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

/// The longest text that is worth changing: what is new in a longer one is mostly not read.
const LONGEST: usize = 2048;

/// The repository.
fn root() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR"));
    let is_fuzzer = own.ends_with("tests/fuzz");
    if is_fuzzer { own.join("../..") } else { own.to_path_buf() }
}

/// The texts of all files below a folder of the repository that end so, in the order of their paths.
fn texts(folder: &str, ending: &str) -> Result<Vec<String>> {
    let mut folders = vec![root().join(folder)];
    let mut paths = BTreeSet::new();
    while let Some(folder) = folders.pop() {
        for entry in fs::read_dir(&folder).with_context(|| folder.display().to_string())? {
            let path = entry?.path();
            if path.is_dir() {
                folders.push(path);
            } else if path.extension().is_some_and(|found| found == ending) {
                paths.insert(path);
            }
        }
    }
    paths.iter().map(|path| Ok(String::from_utf8_lossy(&fs::read(path)?).into_owned())).collect()
}

/// The worksheets of the suite's cases, with whatever stands under their lines taken out.
fn cases() -> Result<Vec<String>> {
    let is_worksheet = |line: &&str| {
        let above = line.trim_start();
        !["^", "=> ", "<= ", "instead: ", "beside: "].iter().any(|sign| above.starts_with(sign))
    };
    let sheet = |case: &str| case.lines().skip(1).filter(is_worksheet).map(|line| line.to_owned() + "\n").collect();
    let files = texts("tests/suite", "cases")?;
    Ok(files.iter().flat_map(|file| file.split("\n=== ").skip(1).map(sheet)).collect())
}

/// Worksheets short enough, and longer ones cut in parts.
pub fn sheets() -> Result<Vec<String>> {
    let mut sheets = cases()?;
    for folder in ["worksheets", "tests/files", "tests/reports", "tests/published", "tests/format", "tests/each"] {
        sheets.extend(texts(folder, "worksheet")?);
    }
    let mut parts = BTreeSet::new();
    for sheet in sheets {
        let lines: Vec<&str> = sheet.lines().collect();
        parts.extend(lines.chunks(24).map(|lines| lines.join("\n") + "\n").filter(|part| part.len() <= LONGEST));
    }
    Ok(parts.into_iter().collect())
}

/// Every line of a worksheet that there is.
pub fn lines() -> Result<Vec<String>> {
    let lines: BTreeSet<String> =
        sheets()?.iter().flat_map(|sheet| sheet.lines()).filter(|line| !line.is_empty()).map(str::to_owned).collect();
    Ok(lines.into_iter().collect())
}

/// Worksheets over data: a table drawn from it, and a template worked for each row of it.
fn over_data() -> Result<Vec<String>> {
    let mut both = Vec::new();
    for data in texts("tests", "csv")?.iter().filter(|data| data.len() <= LONGEST / 2) {
        let headers = data.lines().next().unwrap_or_default();
        let columns: String = headers.split(',').skip(1).map(|header| format!(" {} |", column(header))).collect();
        both.push(format!("| beds from \"beds.csv\" |{columns}\n{DATA}{data}"));
        let entries: String = headers.split(',').map(|header| format!("{}\n", column(header))).collect();
        both.push(format!("{entries}{DATA}{data}"));
    }
    Ok(both)
}

/// What is typed into each worksheet to begin with.
const TYPED: &str = "hover 30\nchange 9 12 \ncomplete 20\nchange 40 40 3 gal\\nflow : 2\nrename 25 other name\n\
                     change 60 90 x = 1\nsave\ndefine 50\nrefer 45\nchange 9 9 abc\n";

/// Worksheets, and what is typed into them.
fn typed() -> Result<Vec<String>> {
    Ok(sheets()?.into_iter().map(|sheet| format!("{sheet}{MESSAGES}{TYPED}")).collect())
}

/// An entered column, or an entry with a blank, for a header such as `length (ft)`.
fn column(header: &str) -> String {
    match header.trim_matches(['"', ')']).split_once(" (") {
        Some((name, unit)) => format!("{name} : ____ {unit}"),
        None => format!("{header} : text"),
    }
}

/// The texts that a target begins with.
pub fn beginnings(target: &Target) -> Result<Vec<Vec<u8>>> {
    let mut texts = kept(target)?;
    let fresh = match target.name {
        "csv" => over_data()?,
        "editor" => typed()?,
        _ => sheets()?,
    };
    texts.extend(fresh.into_iter().map(String::into_bytes));
    Ok(texts)
}

/// The texts kept for a target: what fuzzing came to by itself, and what it found.
pub fn kept(target: &Target) -> Result<Vec<Vec<u8>>> {
    let folder = root().join("tests/fuzz/seeds").join(target.name);
    let Ok(entries) = fs::read_dir(&folder) else { return Ok(Vec::new()) };
    let mut paths = entries.map(|entry| Ok(entry?.path())).collect::<Result<Vec<_>>>()?;
    paths.sort();
    paths.iter().map(|path| fs::read(path).with_context(|| path.display().to_string())).collect()
}

/// Writes the texts that a target begins with into a folder, a file each.
#[allow(dead_code, reason = "the tests that share this file keep them in the memory")]
pub fn write_out(target: &Target, folder: &Path) -> Result<()> {
    fs::create_dir_all(folder)?;
    for (number, text) in beginnings(target)?.iter().enumerate() {
        fs::write(folder.join(format!("begin-{number:05}")), text)?;
    }
    Ok(())
}
