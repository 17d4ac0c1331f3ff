//! `catchwork results`: works each worksheet and prints its results; troubles go to standard error.

use super::args::{Form, Results};
use super::paths::named;
use super::progress::Progress;
use super::reading::Reading;
use super::run::{look, request};
use super::{Status, complain};
use anyhow::Result;
use catchwork::report::data::Outcome;
use catchwork::report::{self, Report, text::Look};
use std::io::Write;

/// The most troubles of one worksheet that are shown; the rest are counted.
const MOST_TROUBLES: usize = 100;

/// Runs the command.
pub fn run(call: &Results) -> Result<Status> {
    let mut reading = Reading::new(request(&call.run));
    let named = named(&call.paths)?;
    let mut status = if named.refused.is_empty() { Status::Worked } else { Status::Trouble };
    let mut printer = Printer::new(call);
    let progress = Progress::over(named.worksheets.len(), printer.streams());
    for path in &named.worksheets {
        progress.next(path);
        let report = reading.report(path);
        status = status.max(status_of(&report, call));
        progress.aside(|| show_troubles(&report))?;
        printer.print(report)?;
    }
    progress.done();
    printer.finish()?;
    named.refused.iter().for_each(|refused| complain(refused));
    Ok(status)
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

/// Shows the troubles of a worksheet, the first hundred of them.
pub fn show_troubles(report: &Report) -> Result<()> {
    let mut stream = std::io::stderr().lock();
    for trouble in report.troubles.iter().take(MOST_TROUBLES) {
        writeln!(stream, "{}\n", trouble.display)?;
    }
    if let Some(more) = report.troubles.len().checked_sub(MOST_TROUBLES).filter(|more| *more > 0) {
        writeln!(stream, "{}: {more} more troubles", report.worksheet)?;
    }
    Ok(())
}

/// Prints reports in the form asked for: those that stand alone as they come, the others together at the end.
struct Printer {
    form: Form,
    look: Look,
    is_first: bool,
    kept: Vec<Report>,
}

impl Printer {
    fn new(call: &Results) -> Self {
        Self { form: call.form, look: look(call.plain), is_first: true, kept: Vec::new() }
    }

    /// Whether each report is printed as it comes.
    fn streams(&self) -> bool {
        matches!(self.form, Form::Text | Form::Markdown | Form::Jsonl)
    }

    fn print(&mut self, report: Report) -> Result<()> {
        let printed = match self.form {
            Form::Jsonl => report::json::line(&report)?,
            Form::Markdown => report::markdown::markdown(&report),
            Form::Text => report::text::text(&report, &self.look),
            Form::Json | Form::Csv | Form::Html => {
                self.kept.push(report);
                return Ok(());
            }
        };
        let mut stream = std::io::stdout().lock();
        if !std::mem::take(&mut self.is_first) {
            stream.write_all(apart(self.form).as_bytes())?;
        }
        writeln!(stream, "{}", printed.trim_end())?;
        Ok(())
    }

    fn finish(&self) -> Result<()> {
        let printed = match self.form {
            Form::Json => report::json::array(&self.kept)?,
            Form::Csv => report::csv::csv(&self.kept)?,
            Form::Html => report::html::html(&self.kept)?,
            Form::Text | Form::Markdown | Form::Jsonl => return Ok(()),
        };
        writeln!(std::io::stdout().lock(), "{}", printed.trim_end())?;
        Ok(())
    }
}

/// What stands between two reports.
fn apart(form: Form) -> &'static str {
    match form {
        Form::Text => "\n\n",
        Form::Markdown => "\n",
        _ => "",
    }
}
