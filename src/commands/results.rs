//! `catchwork results`: works each worksheet and prints its results; troubles go to standard error.

use super::args::{Form, Results};
use super::paths::named;
use super::progress::Progress;
use super::reading::Reading;
use super::{Status, colour, complain};
use anyhow::Result;
use catchwork::quantity::Moment;
use catchwork::report::data::Outcome;
use catchwork::report::{self, Report, text::Look};
use catchwork::{Request, hands};
use std::io::{IsTerminal, Stdout, Write};
use std::path::{Path, PathBuf};

/// The most troubles of one worksheet that are shown; the rest are counted.
const MOST_TROUBLES: usize = 100;

/// So many worksheets are worth sharing out.
const MANY: usize = 4;

/// So many worksheets are worked before their results are printed.
const AT_ONCE: usize = 64;

/// The width of a page of text where there is no terminal to ask.
pub const WIDTH: usize = 80;

/// The widths of a page on a terminal: narrower it cannot be read, wider the eye loses the line.
pub const WIDTHS: (usize, usize) = (40, 120);

/// Runs the command.
pub fn run(call: &Results) -> Result<Status> {
    let reading = Reading::new(request(&call.run.set, call.run.today));
    let named = named(&call.paths)?;
    let mut status = if named.refused.is_empty() { Status::Worked } else { Status::Trouble };
    let mut printer = Printer::new(call);
    let progress = Progress::over(named.worksheets.len(), printer.streams());
    for paths in named.worksheets.chunks(AT_ONCE) {
        let page = |path: &PathBuf| printer.page(report(&reading, path, named.worksheets.len()));
        for (path, page) in paths.iter().zip(hands::over(paths, MANY, page)) {
            let page = page?;
            progress.next(path);
            status = status.max(status_of(&page.report, call));
            progress.aside(|| show_troubles(&page.report))?;
            printer.print(page)?;
        }
    }
    progress.done();
    printer.finish()?;
    named.refused.iter().for_each(|refused| complain(refused));
    Ok(status)
}

/// The report of one of so many worksheets.
fn report(reading: &Reading, path: &Path, of: usize) -> Report {
    let (report, settled) = reading.worked(path);
    if of == 1 {
        // The program is about to end, and its memory goes back at once. To let go of what was settled piece by piece
        // takes 0.8 ms of the 12 that 1000 lines take.
        std::mem::forget(settled);
    }
    report
}

/// A request with what is set for this run, and the day that `today` stands for.
pub fn request(set: &[String], today: Option<Moment>) -> Request {
    let today = today.unwrap_or_else(|| Moment::Day(jiff::ZonedDateTime::now().date()));
    Request { set: set.to_vec(), today, colour: colour(&std::io::stderr()) }
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

/// A report, and what is printed of it where it stands alone.
struct Page {
    report: Report,
    printed: Option<String>,
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

    /// A report with what is printed of it as it comes.
    fn page(&self, report: Report) -> Result<Page> {
        let printed = match self.form {
            Form::Jsonl => Some(report::json::line(&report)?),
            Form::Markdown => Some(report::markdown::markdown(&report)),
            Form::Text => Some(report::text::text(&report, &self.look)),
            Form::Json | Form::Csv | Form::Html => None,
        };
        Ok(Page { report, printed })
    }

    fn print(&mut self, page: Page) -> Result<()> {
        let Some(printed) = page.printed else {
            self.kept.push(page.report);
            return Ok(());
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

/// How a text is to look on standard output as it is now.
pub fn look(plain: bool) -> Look {
    let stdout = std::io::stdout();
    Look { width: width(&stdout), colour: colour(&stdout), plain }
}

/// The columns of the terminal that is printed to; what goes elsewhere is the same wherever it is printed from.
fn width(stdout: &Stdout) -> usize {
    let own = stdout.is_terminal().then(|| terminal_size::terminal_size_of(stdout)).flatten();
    own.map_or(WIDTH, |(width, _)| usize::from(width.0).clamp(WIDTHS.0, WIDTHS.1))
}

/// What stands between two reports.
fn apart(form: Form) -> &'static str {
    match form {
        Form::Text => "\n\n",
        Form::Markdown => "\n",
        _ => "",
    }
}
