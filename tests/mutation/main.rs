//! Weaves mutants into a copy of the program, all of them behind one switch, so that they are tried without building
//! the program anew for each: `weave LIST LEFT_OUT TREE`. `LIST` is what `cargo mutants --list --json` prints, and a
//! mutant is called by its place in it; `LEFT_OUT` holds the numbers of those that do not compile, one a line; `TREE`
//! is the copy, whose files must read as they did when the list was made. Prints the number of each mutant that it has
//! no form for, with the reason.

mod found;
mod mutants;
mod woven;

use anyhow::{Context, Result};
use mutants::Mutant;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};

fn main() -> Result<()> {
    let arguments: Vec<PathBuf> = std::env::args_os().skip(1).map(PathBuf::from).collect();
    let [list, left_out, tree] = arguments.as_slice() else { anyhow::bail!("weave LIST LEFT_OUT TREE") };
    let mutants = mutants::read(list)?;
    let left_out = numbers(left_out)?;
    let mut files: BTreeMap<&str, Vec<&Mutant>> = BTreeMap::new();
    for mutant in mutants.iter().filter(|mutant| !left_out.contains(&mutant.number)) {
        files.entry(&mutant.file).or_default().push(mutant);
    }
    for (file, mutants) in files {
        weave(&tree.join(file), &mutants).with_context(|| file.to_owned())?;
    }
    Ok(())
}

/// Writes a file anew with its mutants.
fn weave(path: &Path, mutants: &[&Mutant]) -> Result<()> {
    let text = std::fs::read_to_string(path)?;
    let found = found::find(&text, mutants)?;
    for (number, why) in &found.formless {
        println!("{number}\t{why}");
    }
    std::fs::write(path, woven::woven(&text, found.rewrites))?;
    Ok(())
}

fn numbers(path: &Path) -> Result<BTreeSet<usize>> {
    let text = std::fs::read_to_string(path).with_context(|| path.display().to_string())?;
    text.lines().map(|line| line.parse().with_context(|| line.to_owned())).collect()
}
