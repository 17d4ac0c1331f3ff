//! `catchwork results`: works each worksheet and prints its results; troubles go to standard error.

use super::Status;
use super::args::{Form, Results};
use anyhow::{Context, Result, anyhow};
use catchwork::quantity::Moment;
use catchwork::report::data::Outcome;
use catchwork::report::{self, Report, text::Look};
use catchwork::trouble::Kind;
use catchwork::{Request, unread, work};
use std::io::{IsTerminal, Read, Write};
use std::path::{Path, PathBuf};

/// The most troubles of one worksheet that are shown; the rest are counted.
const MOST_TROUBLES: usize = 100;

/// Runs the command.
pub fn run(call: &Results) -> Result<Status> {
    let request = request(call)?;
    let mut status = Status::Worked;
    let mut reports = Vec::new();
    let mut printer = Printer::new(call);
    for path in worksheets(&call.paths)? {
        let report = report_of(&path, &request);
        status = status.max(status_of(&report, call));
        show_troubles(&report)?;
        match call.form {
            Form::Text | Form::Markdown | Form::Jsonl => printer.one(&report)?,
            Form::Csv | Form::Json | Form::Html => reports.push(report),
        }
    }
    printer.all(&reports)?;
    Ok(status)
}

fn request(call: &Results) -> Result<Request> {
    Ok(Request { set: call.set.clone(), today: today(call.today.as_deref())?, colour: colour(&std::io::stderr()) })
}

/// The day given, or the computer's.
pub fn today(given: Option<&str>) -> Result<Moment> {
    match given {
        Some(text) => match Moment::parse(text) {
            Ok(day) if !day.has_hour() => Ok(day),
            _ => Err(anyhow!("--today takes a date such as 2026-04-12, and `{text}` is none")),
        },
        None => Ok(Moment::Day(jiff::ZonedDateTime::now().date())),
    }
}

fn colour(stream: &impl IsTerminal) -> bool {
    stream.is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}

/// Files as given; a folder stands for all worksheets below it, hidden folders skipped, in name order.
pub fn worksheets(paths: &[PathBuf]) -> Result<Vec<PathBuf>> {
    let mut found = Vec::new();
    for path in paths {
        if !path.is_dir() {
            found.push(path.clone());
            continue;
        }
        let is_shown =
            |entry: &walkdir::DirEntry| entry.depth() == 0 || !entry.file_name().to_string_lossy().starts_with('.');
        for entry in walkdir::WalkDir::new(path).sort_by_file_name().into_iter().filter_entry(is_shown) {
            let entry = entry.with_context(|| format!("{} cannot be read", path.display()))?;
            if entry.file_type().is_file() && entry.path().extension().is_some_and(|extension| extension == "worksheet")
            {
                found.push(entry.into_path());
            }
        }
    }
    Ok(found)
}

fn report_of(path: &Path, request: &Request) -> Report {
    let name = if path.as_os_str() == "-" { "standard input".to_owned() } else { path.display().to_string() };
    match bytes_of(path) {
        Ok(bytes) => work(&name, bytes, request),
        Err(error) => unread(&name, Kind::CannotRead { file: name.clone(), why: error.to_string() }, request),
    }
}

/// The bytes of a worksheet, or of standard input; a little over the limit at the most, so that the limit can be told.
fn bytes_of(path: &Path) -> std::io::Result<Vec<u8>> {
    let most = u64::try_from(catchwork::text::source::MOST_BYTES).unwrap_or(u64::MAX) + 1;
    let mut bytes = Vec::new();
    if path.as_os_str() == "-" {
        std::io::stdin().lock().take(most).read_to_end(&mut bytes)?;
    } else {
        std::fs::File::open(path)?.take(most).read_to_end(&mut bytes)?;
    }
    Ok(bytes)
}

fn status_of(report: &Report, call: &Results) -> Status {
    let fails = |outcome: Outcome| outcome == Outcome::No || call.sure && outcome == Outcome::Close;
    let is_waiting = !report.waiting.is_empty() || report.checks.iter().any(|check| check.outcome == Outcome::Waiting);
    if !report.troubles.is_empty() {
        Status::Trouble
    } else if report.checks.iter().any(|check| fails(check.outcome)) || call.complete && is_waiting {
        Status::No
    } else {
        Status::Worked
    }
}

fn show_troubles(report: &Report) -> Result<()> {
    let mut stream = std::io::stderr().lock();
    for trouble in report.troubles.iter().take(MOST_TROUBLES) {
        writeln!(stream, "{}\n", trouble.display)?;
    }
    if let Some(more) = report.troubles.len().checked_sub(MOST_TROUBLES).filter(|more| *more > 0) {
        writeln!(stream, "{}: {more} more troubles", report.worksheet)?;
    }
    Ok(())
}

/// Prints reports in the form asked for.
struct Printer {
    form: Form,
    look: Look,
    is_first: bool,
}

impl Printer {
    fn new(call: &Results) -> Self {
        let stdout = std::io::stdout();
        let width = terminal_size::terminal_size().map_or(80, |(width, _)| usize::from(width.0));
        let look = Look { width: width.clamp(40, 120), colour: colour(&stdout), plain: call.plain };
        Self { form: call.form, look, is_first: true }
    }

    /// Prints a report by itself.
    fn one(&mut self, report: &Report) -> Result<()> {
        let printed = match self.form {
            Form::Jsonl => report::json::line(report)?,
            Form::Markdown => report::markdown::markdown(report),
            _ => report::text::text(report, &self.look),
        };
        let mut stream = std::io::stdout().lock();
        if !std::mem::take(&mut self.is_first) && self.form != Form::Jsonl {
            writeln!(stream)?;
        }
        writeln!(stream, "{}", printed.trim_end())?;
        Ok(())
    }

    /// Prints reports that stand in one document.
    fn all(&self, reports: &[Report]) -> Result<()> {
        let printed = match self.form {
            Form::Json => report::json::array(reports)?,
            Form::Csv => report::csv::csv(reports)?,
            Form::Html => report::html::html(reports)?,
            Form::Text | Form::Markdown | Form::Jsonl => return Ok(()),
        };
        writeln!(std::io::stdout().lock(), "{}", printed.trim_end())?;
        Ok(())
    }
}
