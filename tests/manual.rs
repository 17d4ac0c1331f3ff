//! The manual: every example of `grammar/manual.md` comes out as the manual says, one named test an example.
//! It asks the library as an outsider would. `UPDATE=1 cargo test --test manual` writes the manual's figures and
//! troubles as they come out; its prose it leaves alone.
//!
//! How the manual marks what is to be worked is described at `manual/page.rs`, and what it can ask at
//! `manual/answers.rs`.

#[path = "manual/answers.rs"]
mod answers;
#[path = "manual/page.rs"]
mod page;

use anyhow::{Context, Result, ensure};
use catchwork::Request;
use catchwork::book::Book;
use catchwork::checked::model::FUNCTIONS;
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::text::crew_folder::OnDisk;
use libtest_mimic::{Arguments, Trial};
use page::{Example, Form, Page};
use std::fs;
use std::process::ExitCode;
use std::sync::Arc;

const MANUAL: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/grammar/manual.md");
/// The day on which every example is worked.
const TODAY: &str = "2026-04-12";

fn main() -> Result<ExitCode> {
    let arguments = Arguments::from_args();
    let mut page = read()?;
    if std::env::var_os("UPDATE").is_some() {
        update(&page)?;
        page = read()?;
    }
    let page = Arc::new(page);
    let mut trials = vec![
        trial("every function has an example", {
            let page = Arc::clone(&page);
            move || every_function_has_an_example(&page)
        }),
        trial("the label comes first", {
            let page = Arc::clone(&page);
            move || the_label_comes_first(&page)
        }),
    ];
    for number in 0..page.examples.len() {
        let page = Arc::clone(&page);
        trials.push(trial(&page.examples[number].name.clone(), move || hold(&page.examples[number])));
    }
    Ok(libtest_mimic::run(&arguments, trials).exit_code())
}

/// A named test that fails with the whole chain of what went wrong.
fn trial(name: &str, test: impl FnOnce() -> Result<()> + Send + 'static) -> Trial {
    Trial::test(name, move || test().map_err(|error| format!("{error:#}").into()))
}

fn read() -> Result<Page> {
    page::read(&fs::read_to_string(MANUAL).context(MANUAL)?)
}

/// An example comes out as it is written; one marked `later` does not yet, and the program says so itself.
fn hold(example: &Example) -> Result<()> {
    ensure!(!example.expected.is_empty(), "nothing says what comes out");
    let report = worked(example)?;
    if example.is_later {
        let is_not_yet = report.troubles.iter().any(|trouble| trouble.kind == "not-yet");
        ensure!(is_not_yet, "take `later` away: the program takes this");
        return Ok(());
    }
    let wrong = departures(example, &report);
    ensure!(wrong.is_empty(), "\n{}\n", wrong.join("\n"));
    Ok(())
}

/// Where an example comes out otherwise than the manual says. Troubles that it does not speak of are among them.
fn departures(example: &Example, report: &Report) -> Vec<String> {
    let mut wrong = Vec::new();
    for expected in &example.expected {
        let found = answers::written(expected, report);
        if found != expected.lines {
            wrong.push(format!("this is written\n{}\nthis comes out\n{}", expected.lines.join("\n"), found.join("\n")));
        }
        if expected.form == Form::Refused && report.troubles.is_empty() {
            wrong.push("this is not refused".to_owned());
        }
    }
    if !example.expected.iter().any(|expected| expected.form.is_of_troubles()) {
        wrong.extend(answers::troubles(report));
    }
    wrong
}

/// The report of an example, worked in a folder that holds the files of its section.
fn worked(example: &Example) -> Result<Report> {
    let folder = tempfile::tempdir()?;
    fs::write(folder.path().join("crew-folder.txt"), "")?;
    for (name, text) in &example.files {
        let path = folder.path().join(name);
        fs::create_dir_all(path.parent().context("a file without a folder")?)?;
        fs::write(&path, text).with_context(|| path.display().to_string())?;
    }
    let today = Moment::parse(TODAY).ok().context("the day of the manual is no date")?;
    let request = Request { set: Vec::new(), today, colour: false };
    let path = folder.path().join(&example.path);
    fs::create_dir_all(path.parent().context("a file without a folder")?)?;
    let (crew_folder, within) = OnDisk::of(&path)?;
    let book = Book::new(Arc::new(crew_folder), request);
    let mut report = book.report(&path.display().to_string(), &within, example.sheet.clone().into_bytes());
    // The manual shows files as they are called from the crew folder, wherever that lies.
    let above = format!("{}/", folder.path().display());
    report.worksheet = example.path.clone();
    for trouble in &mut report.troubles {
        trouble.display = trouble.display.replace(&above, "");
    }
    Ok(report)
}

/// Writes the manual with what its examples come to.
fn update(page: &Page) -> Result<()> {
    let mut lines = page.lines.clone();
    for example in page.examples.iter().rev().filter(|example| !example.is_later) {
        let report = worked(example)?;
        for expected in example.expected.iter().rev() {
            let span = expected.first..expected.first + expected.lines.len();
            lines.splice(span, answers::written(expected, &report));
        }
    }
    fs::write(MANUAL, lines.join("\n") + "\n").context(MANUAL)
}

/// Each function of the program is called in some example.
fn every_function_has_an_example(page: &Page) -> Result<()> {
    let names: Vec<&str> = FUNCTIONS.iter().map(|(_, name, _)| *name).collect();
    let is_called = |name: &str| page.examples.iter().any(|example| calls(&example.sheet, name, &names));
    let missing: Vec<&str> = names.iter().copied().filter(|name| !is_called(name)).collect();
    ensure!(missing.is_empty(), "no example of {}", missing.join(", "));
    Ok(())
}

/// Whether a text calls this function and none whose name only ends like it (`swath cv` is no `cv`, `atan` no `tan`).
fn calls(text: &str, function: &str, all: &[&str]) -> bool {
    text.match_indices(&format!("{function}(")).any(|(start, _)| {
        let until = text.get(..start + function.len()).unwrap_or_default();
        !all.iter().any(|other| other.len() > function.len() && until.ends_with(other))
    })
}

/// That the label is the law stands above every example.
fn the_label_comes_first(page: &Page) -> Result<()> {
    let label = page.lines.iter().position(|line| line.contains("label") && line.contains("law"));
    let example = page.lines.iter().position(|line| line.starts_with("```"));
    ensure!(label.is_some() && label < example, "the manual does not begin with the label");
    Ok(())
}
