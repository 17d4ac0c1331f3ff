//! The templates: each blank, filled, in metric units, at its edges, and beside figures that were worked another way.
//!
//! A folder of `tests/methods` is a template; a worksheet in it is a case that fills it; `figures.tsv` beside them says
//! what every result, worked cell and check of every case comes to, worked by the Python programs of `tests/methods`.
//! Running these tests needs no Python. What doses may never look like is held by `methods/doses.rs`.

#[path = "methods/blank.rs"]
mod blank;
#[path = "methods/cases.rs"]
mod cases;
#[path = "methods/doses.rs"]
mod doses;

use anyhow::{Result, anyhow};
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::{Request, work};
use libtest_mimic::{Arguments, Trial};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::ExitCode;

const TEMPLATES: usize = 25;

fn main() -> Result<ExitCode> {
    let arguments = Arguments::from_args();
    let templates = templates()?;
    let mut trials = blank::trials(&templates);
    trials.extend(cases::trials(&templates)?);
    trials.extend(doses::trials());
    Ok(libtest_mimic::run(&arguments, trials).exit_code())
}

/// A path from the top of the repository.
fn root(path: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join(path)
}

/// The names of all templates, in order.
fn templates() -> Result<Vec<String>> {
    let mut names = named(&root("worksheets/methods"), "worksheet")?;
    names.sort();
    anyhow::ensure!(names.len() == TEMPLATES, "{} templates, where {TEMPLATES} were written", names.len());
    Ok(names)
}

/// The files of a folder that have this ending, by their names without it.
fn named(folder: &Path, ending: &str) -> Result<Vec<String>> {
    let mut names = Vec::new();
    for file in fs::read_dir(folder)? {
        let path = file?.path();
        if path.extension().is_some_and(|found| found == ending) {
            names.extend(path.file_stem().and_then(|stem| stem.to_str()).map(str::to_owned));
        }
    }
    names.sort();
    Ok(names)
}

/// A named test that fails with the whole chain of what went wrong.
fn trial(name: String, test: impl FnOnce() -> Result<()> + Send + 'static) -> Trial {
    Trial::test(name, move || test().map_err(|error| format!("{error:#}").into()))
}

/// A worksheet worked with some entries set.
fn worked(text: &str, set: Vec<String>) -> Result<Report> {
    let today = Moment::parse("2026-04-12").map_err(|error| anyhow!("{error:?}"))?;
    Ok(work("case.worksheet", text.as_bytes().to_vec(), &Request { set, today, colour: false }))
}

/// A report without troubles.
fn clean(report: &Report) -> Result<()> {
    let troubles: Vec<&str> = report.troubles.iter().map(|trouble| trouble.display.as_str()).collect();
    anyhow::ensure!(troubles.is_empty(), "troubles:\n{}", troubles.join("\n"));
    Ok(())
}
