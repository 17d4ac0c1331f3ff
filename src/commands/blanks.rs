//! `catchwork blanks`: what is still to be measured, in the order of the sheet, each with its kind and unit and what
//! waits on it.

use super::args::Blanks;
use super::reading::Reading;
use super::results::show_troubles;
use super::{Status, colour};
use anyhow::Result;
use catchwork::Request;
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::report::letters::clean;
use std::io::Write;

/// Runs the command.
pub fn run(call: &Blanks) -> Result<Status> {
    let today = Moment::Day(jiff::ZonedDateTime::now().date());
    let request = Request { set: Vec::new(), today, colour: colour(&std::io::stderr()) };
    let report = Reading::new(request).report(&call.file);
    show_troubles(&report)?;
    writeln!(std::io::stdout().lock(), "{}", clean_lines(&told(&report)))?;
    Ok(if report.troubles.is_empty() { Status::Worked } else { Status::Trouble })
}

/// Each line without what could steer a terminal.
fn clean_lines(text: &str) -> String {
    text.lines().map(clean).collect::<Vec<_>>().join("\n")
}

fn told(report: &Report) -> String {
    let mut lines: Vec<String> = report.title.clone().into_iter().collect();
    lines.extend(report.cautions.iter().map(|caution| format!("! {caution}")));
    lines.push(report.notice.clone());
    lines.push(String::new());
    if report.waiting.is_empty() {
        lines.push("Nothing is blank.".to_owned());
    }
    for (index, blank) in report.waiting.iter().enumerate() {
        let kind = if blank.head.is_empty() { "a number".to_owned() } else { blank.head.clone() };
        lines.push(format!("{}. {}, line {}: {kind}", index + 1, blank.name, blank.line));
        if !blank.needed_by.is_empty() {
            lines.push(format!("   for {}", blank.needed_by.join(", ")));
        }
    }
    lines.join("\n")
}
