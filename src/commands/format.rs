//! `catchwork format`: puts worksheets into their canonical layout; those with troubles are left alone.

use super::args::Format;
use super::paths::{is_standard_input, named};
use super::progress::Progress;
use super::reading::{Reading, bytes_of};
use super::results::show_troubles;
use super::writing::rewrite;
use super::{Status, colour, complain};
use anyhow::Result;
use catchwork::quantity::Moment;
use catchwork::report::letters::clean;
use catchwork::syntax::layout::layout;
use catchwork::text::Source;
use catchwork::trouble::Kind;
use catchwork::{Request, unread};
use std::io::Write;
use std::path::Path;

/// Runs the command.
pub fn run(call: &Format) -> Result<Status> {
    let named = named(&call.paths)?;
    let mut counts = Counts { refused: named.refused.len(), ..Counts::default() };
    let progress = Progress::over(named.worksheets.len(), false);
    for path in &named.worksheets {
        progress.next(path);
        match progress.aside(|| one(path, call.check))? {
            Outcome::Same => counts.same += 1,
            Outcome::Changed => counts.changed += 1,
            Outcome::LeftAlone => counts.left_alone += 1,
        }
    }
    progress.done();
    named.refused.iter().for_each(|refused| complain(refused));
    writeln!(std::io::stderr().lock(), "{}", counts.words(call.check))?;
    Ok(counts.status(call.check))
}

/// What became of a worksheet.
enum Outcome {
    Same,
    Changed,
    LeftAlone,
}

/// How many worksheets came out how.
#[derive(Default)]
struct Counts {
    same: usize,
    changed: usize,
    left_alone: usize,
    refused: usize,
}

impl Counts {
    /// `3 laid out, 20 as they were, 1 left alone`
    fn words(&self, only_checks: bool) -> String {
        let changed = if only_checks { "would be laid out" } else { "laid out" };
        let same = if only_checks { "as they should be" } else { "as they were" };
        let mut words = format!("{} {changed}, {} {same}", self.changed, self.same);
        if self.left_alone > 0 {
            words += &format!(", {} left alone", self.left_alone);
        }
        words
    }

    fn status(&self, only_checks: bool) -> Status {
        match self.left_alone + self.refused > 0 {
            true => Status::Trouble,
            false if only_checks && self.changed > 0 => Status::No,
            false => Status::Worked,
        }
    }
}

/// Lays out one worksheet, in its place; from standard input to standard output.
fn one(path: &Path, only_checks: bool) -> Result<Outcome> {
    let name = if is_standard_input(path) { "standard input".to_owned() } else { path.display().to_string() };
    let Some((bytes, text)) = laid_out(path, &name)? else { return Ok(Outcome::LeftAlone) };
    let is_same = bytes == text.as_bytes();
    if is_standard_input(path) {
        if !only_checks {
            std::io::stdout().lock().write_all(text.as_bytes())?;
        }
    } else if !is_same {
        if !only_checks && let Err(error) = rewrite(path, text.as_bytes(), &bytes) {
            complain(&format!("{name} is as it was, since it cannot be written: {error}"));
            return Ok(Outcome::LeftAlone);
        }
        writeln!(std::io::stdout().lock(), "{}", clean(&name))?;
    }
    Ok(if is_same { Outcome::Same } else { Outcome::Changed })
}

/// A worksheet's bytes and its text laid out; `None`, with the troubles told, where it has some.
fn laid_out(path: &Path, name: &str) -> Result<Option<(Vec<u8>, String)>> {
    let request = Request {
        set: Vec::new(),
        today: Moment::Day(jiff::ZonedDateTime::now().date()),
        colour: colour(&std::io::stderr()),
    };
    let bytes = match bytes_of(path) {
        Ok(bytes) => bytes,
        Err(error) => {
            let kind = Kind::CannotRead { file: name.to_owned(), why: error.to_string() };
            show_troubles(&unread(name, kind, &request))?;
            return Ok(None);
        }
    };
    let report = Reading::new(request).report_of(path, bytes.clone());
    if !report.troubles.is_empty() {
        show_troubles(&report)?;
        return Ok(None);
    }
    let text = Source::new(name, bytes.clone()).ok().and_then(|source| layout(&source));
    if text.is_none() {
        complain(&format!("{name} is as it was, since laid out it would not say the same, or be too long"));
    }
    Ok(text.map(|text| (bytes, text)))
}
