//! The report for a terminal or a plain text file: calm, within the width, legible without colour. It computes
//! nothing and adds no words of its own to what the report says.

mod tables;
#[cfg(test)]
mod tests;
mod values;

use anstyle::{AnsiColor, Style};

use super::data::{Outcome, Report, ReportCheck, TemplateUsed, WaitingBlank};
use super::figures::{counts, needs_advice, outcome_word, sections};
use super::layout::{self, Piece, Row};
use super::letters::{ascii, clean};

/// How a text is to look.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Look {
    /// The columns of the terminal.
    pub width: usize,
    /// Whether weight and colour may be used; they never carry what the words do not.
    pub colour: bool,
    /// ASCII alone.
    pub plain: bool,
}

/// The report as text, ending in a line's end.
pub fn text(report: &Report, look: &Look) -> String {
    let mut page = Page { text: String::new(), look: *look };
    page.head(report);
    page.cautions(report);
    page.set(report);
    page.values(&sections(report));
    page.checks(&report.checks);
    page.waiting(report);
    page.templates(report);
    page.counts(report);
    page.text
}

/// The spaces before everything that stands under a heading.
const INDENT: usize = 2;

const BOLD: Style = Style::new().bold();
const DIM: Style = Style::new().dimmed();
const WARNING: Style = AnsiColor::Yellow.on_default().bold();

const WAITING: Style = AnsiColor::Cyan.on_default();

fn outcome_style(outcome: Outcome) -> Style {
    match outcome {
        Outcome::Ok => AnsiColor::Green.on_default().bold(),
        Outcome::Close => AnsiColor::Yellow.on_default().bold(),
        Outcome::Waiting => WAITING,
        Outcome::No => AnsiColor::Red.on_default().bold(),
    }
}

/// The text so far.
struct Page {
    text: String,
    look: Look,
}

impl Page {
    /// Words as they may be printed.
    fn say(&self, words: &str) -> String {
        let words = clean(words);
        if self.look.plain { ascii(&words) } else { words }
    }

    fn piece(&self, words: &str, style: Style) -> Piece {
        Piece::new(self.say(words), style)
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn lines(&mut self, lines: Vec<String>) {
        lines.iter().for_each(|line| self.line(line));
    }

    fn paragraph(&mut self, words: &str, style: Style, indent: usize) {
        let piece = self.piece(words, style);
        self.lines(layout::paragraph(&piece, indent, self.look.width, self.look.colour));
    }

    /// A heading after an empty line, with a rule to the end of the width.
    fn heading(&mut self, words: &str) {
        let words = self.say(words);
        let rule = if self.look.plain { "-" } else { "─" };
        let rest = self.look.width.saturating_sub(textwrap::core::display_width(&words) + 1);
        let words = layout::painted(&words, BOLD, self.look.colour);
        let rule = layout::painted(&rule.repeat(rest), DIM, self.look.colour);
        self.line("");
        self.line(format!("{words} {rule}").trim_end());
    }

    fn room(&self) -> usize {
        self.look.width.saturating_sub(INDENT)
    }

    fn rows(&mut self, rows: &[Row]) {
        let widths = layout::widths(rows, self.room());
        rows.iter().for_each(|row| self.row(row, &widths));
    }

    fn row(&mut self, row: &Row, widths: &[usize]) {
        self.lines(layout::lines(row, widths, INDENT, self.look.colour));
    }

    fn head(&mut self, report: &Report) {
        if let Some(title) = &report.title {
            self.paragraph(title, BOLD, 0);
        }
        let file = format!("{}  {}", report.worksheet, report.fingerprint);
        self.paragraph(file.trim_end(), DIM, 0);
    }

    fn cautions(&mut self, report: &Report) {
        self.line("");
        for caution in &report.cautions {
            let row = Row::new([Piece::new("!", WARNING), self.piece(caution, WARNING)]);
            let widths = [1, self.look.width.saturating_sub(3).max(20)];
            self.lines(layout::lines(&row, &widths, 0, self.look.colour));
        }
        self.paragraph(&report.notice, Style::new(), 0);
    }

    fn set(&mut self, report: &Report) {
        let set = report.set.iter().map(|set| ("set for this run", set.as_str()));
        let today = report.today.iter().map(|today| ("today taken to be", today.as_str()));
        let rows: Vec<Row> =
            set.chain(today).map(|(what, words)| Row::new([Piece::new(what, DIM), self.piece(words, BOLD)])).collect();
        if !rows.is_empty() {
            self.line("");
            self.rows(&rows);
        }
    }

    fn checks(&mut self, checks: &[ReportCheck]) {
        if checks.is_empty() {
            return;
        }
        self.heading("Checks");
        let rows: Vec<Row> = checks.iter().map(|check| self.check(check)).collect();
        self.rows(&rows);
    }

    fn check(&self, check: &ReportCheck) -> Row {
        let outcome = Piece::new(outcome_word(check.outcome), outcome_style(check.outcome));
        let mut row =
            Row::new([outcome, self.piece(&check.label, Style::new()), self.piece(&check.compared, Style::new())]);
        if let Some(advice) = check.advice.as_ref().filter(|_| needs_advice(check.outcome)) {
            row.below.push(self.piece(advice, BOLD));
        }
        if !check.waiting_on.is_empty() {
            row.below.push(self.piece(&format!("waits on {}", check.waiting_on.join("; ")), DIM));
        }
        row.below.extend(check.remarks.iter().map(|remark| self.piece(remark, DIM)));
        row
    }

    fn waiting(&mut self, report: &Report) {
        if report.waiting.is_empty() {
            return;
        }
        self.heading("Still to be measured");
        let row = |page: &Self, blank: &WaitingBlank| {
            let unit = page.piece(blank.unit.as_deref().unwrap_or_default(), Style::new());
            let needed =
                if blank.needed_by.is_empty() { String::new() } else { format!("for {}", blank.needed_by.join(", ")) };
            Row::new([page.piece(&blank.name, BOLD), unit, page.piece(&needed, Style::new())])
        };
        let rows: Vec<Row> = report.waiting.iter().map(|blank| row(self, blank)).collect();
        self.rows(&rows);
    }

    fn templates(&mut self, report: &Report) {
        if report.templates.is_empty() {
            return;
        }
        self.heading("Templates");
        let row = |page: &Self, template: &TemplateUsed| {
            let pinned = if template.pinned { "pinned" } else { "not pinned" };
            let style = Style::new();
            Row::new([
                page.piece(&template.file, style),
                page.piece(&template.fingerprint, style),
                Piece::new(pinned, DIM),
            ])
        };
        let rows: Vec<Row> = report.templates.iter().map(|template| row(self, template)).collect();
        self.rows(&rows);
    }

    fn counts(&mut self, report: &Report) {
        self.line("");
        let style = if report.troubles.is_empty() { DIM } else { outcome_style(Outcome::No) };
        self.paragraph(&counts(report), style, 0);
    }
}
