//! The report for a terminal or a plain text file: calm, within the width, legible without colour. It computes
//! nothing and adds no words of its own to what the report says.

mod before;
mod tables;
#[cfg(test)]
mod tests;
mod values;
pub mod versions;
pub mod why;

use crate::hands;
use before::Before;
use std::borrow::Cow;

use super::data::{Outcome, Report, ReportCheck, TemplateUsed};
use super::figures::{Blank, blanks, counts, needs_advice, others, outcome_word, sections, waits_on};
use super::layout::{self, Columns, Piece, Row, Tone};
use super::letters::{ascii, cleaned};

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
    page(report, None, look)
}

/// The same, with what each value and check was in an earlier report of the worksheet, where it is otherwise now.
pub fn text_since(report: &Report, before: &Report, look: &Look) -> String {
    page(report, Some(Before(before)), look)
}

/// The head of a report with its cautions, and its values and tables: for a part of one that is shown by itself.
pub fn part(report: &Report, look: &Look) -> String {
    let mut page = Page::empty(look);
    page.head(report);
    page.cautions(report);
    page.set(report);
    page.values(&sections(report));
    page.text
}

fn page(report: &Report, before: Option<Before<'_>>, look: &Look) -> String {
    let shows_before = before.as_ref().is_some_and(|before| before.has_other_values(report));
    let page = Page { before, shows_before, ..Page::empty(look) };
    let many = if report.values.len() + report.checks.len() < MANY_LINES { usize::MAX } else { 0 };
    hands::over(&PARTS, many, |part| page.apart(|page| part(page, report))).concat()
}

/// What stands on a page, one below the other.
const PARTS: [fn(&mut Page<'_>, &Report); 9] = [
    |page, report| page.head(report),
    |page, report| page.cautions(report),
    |page, report| page.set(report),
    |page, report| page.values(&sections(report)),
    |page, report| page.checks(&report.checks),
    |page, report| page.waiting(report),
    |page, report| page.others(report),
    |page, report| page.templates(report),
    |page, report| page.counts(report),
];

/// So many values and checks make a page whose parts are worth sharing out.
const MANY_LINES: usize = 100;

/// The spaces before everything that stands under a heading.
const INDENT: usize = 2;

fn outcome_tone(outcome: Outcome) -> Tone {
    match outcome {
        Outcome::Ok => Tone::Good,
        Outcome::Close => Tone::Warning,
        Outcome::Waiting => Tone::Waiting,
        Outcome::No => Tone::Bad,
    }
}

/// The text so far.
struct Page<'a> {
    text: String,
    look: Look,
    /// An earlier report, where what is otherwise now is to be told.
    before: Option<Before<'a>>,
    /// Whether values have a column for it.
    shows_before: bool,
}

impl Page<'_> {
    /// A page with nothing on it yet.
    fn empty(look: &Look) -> Self {
        Self { text: String::new(), look: *look, before: None, shows_before: false }
    }

    /// What is set on a page of the same look with nothing on it yet.
    fn apart(&self, set: impl FnOnce(&mut Self)) -> String {
        let mut part = Self { text: String::new(), ..*self };
        set(&mut part);
        part.text
    }

    /// Words as they may be printed.
    fn say<'w>(&self, words: &'w str) -> Cow<'w, str> {
        let words = cleaned(words);
        if self.look.plain { ascii(&words).into() } else { words }
    }

    fn piece(&self, words: &str, tone: Tone) -> Piece {
        Piece::new(self.say(words), tone)
    }

    fn line(&mut self, line: &str) {
        self.text.push_str(line);
        self.text.push('\n');
    }

    fn lines(&mut self, lines: Vec<String>) {
        lines.iter().for_each(|line| self.line(line));
    }

    fn paragraph(&mut self, words: &str, tone: Tone, indent: usize) {
        let piece = self.piece(words, tone);
        self.lines(layout::paragraph(&piece, indent, self.look.width, self.look.colour));
    }

    /// A heading after an empty line, with a rule to the end of the width.
    fn heading(&mut self, words: &str) {
        let words = self.piece(words, Tone::Strong);
        let rest = self.look.width.saturating_sub(words.width() + layout::GAP);
        let stroke = if self.look.plain { "-" } else { "─" };
        let rule = Piece::new(stroke.repeat(rest), Tone::Quiet);
        self.line("");
        self.rows_at(0, &[Row::new([words, rule])]);
    }

    fn room(&self) -> usize {
        self.look.width.saturating_sub(INDENT)
    }

    fn rows(&mut self, rows: &[Row]) {
        self.rows_at(INDENT, rows);
    }

    fn rows_at(&mut self, indent: usize, rows: &[Row]) {
        let columns = Columns::of(&rows.iter().collect::<Vec<_>>(), self.look.width.saturating_sub(indent));
        self.lines(columns.lines(rows, indent, self.look.colour));
    }

    fn head(&mut self, report: &Report) {
        if let Some(title) = &report.title {
            self.paragraph(title, Tone::Strong, 0);
        }
        let file = format!("{}  {}", report.worksheet, report.fingerprint);
        self.paragraph(file.trim_end(), Tone::Quiet, 0);
    }

    fn cautions(&mut self, report: &Report) {
        self.line("");
        let caution = |words: &String| Row::new(["!", words].map(|words| self.piece(words, Tone::Warning)));
        let cautions: Vec<Row> = report.cautions.iter().map(caution).collect();
        self.rows_at(0, &cautions);
        self.paragraph(&report.notice, Tone::Plain, 0);
    }

    fn set(&mut self, report: &Report) {
        let set = report.set.iter().map(|set| ("set for this run", set));
        let today = report.today.iter().map(|today| ("today taken to be", today));
        let row =
            |(what, words): (&str, &String)| Row::new([Piece::new(what, Tone::Quiet), self.piece(words, Tone::Strong)]);
        let rows: Vec<Row> = set.chain(today).map(row).collect();
        if !rows.is_empty() {
            self.line("");
            self.rows(&rows);
        }
    }

    /// A table under a heading of its own, or nothing where it would have no rows.
    fn headed(&mut self, heading: &str, rows: &[Row]) {
        if !rows.is_empty() {
            self.heading(heading);
            self.rows(rows);
        }
    }

    fn checks(&mut self, checks: &[ReportCheck]) {
        let rows: Vec<Row> = checks.iter().flat_map(|check| self.check(check)).collect();
        self.headed("Checks", &rows);
    }

    /// A check, and below it what to do about it. One that says `no` stands out without colour too.
    fn check(&self, check: &ReportCheck) -> Vec<Row> {
        let word = outcome_word(check.outcome);
        let word = if check.outcome == Outcome::No { word.to_uppercase() } else { word.to_owned() };
        let tone = if check.outcome == Outcome::No { Tone::Bad } else { Tone::Plain };
        let label = self.piece(&check.label, tone);
        let row =
            Row::new([Piece::new(word, outcome_tone(check.outcome)), label, self.piece(&check.compared, Tone::Plain)]);
        let advice = check.advice.iter().filter(|_| needs_advice(check.outcome));
        let advice = advice.map(|advice| self.piece(&format!("→ {advice}"), Tone::Strong));
        let waits = (!check.waiting_on.is_empty()).then(|| self.piece(&waits_on(&check.waiting_on), Tone::Quiet));
        let was = self.before.as_ref().and_then(|before| before.check(check));
        let remarks = was.iter().chain(&check.remarks).map(|remark| self.piece(remark, Tone::Quiet));
        let below = advice.chain(waits).chain(remarks).map(|said| Row::below(said, 3));
        std::iter::once(row).chain(below).collect()
    }

    fn waiting(&mut self, report: &Report) {
        let row = |blank: &Blank| {
            let name = self.piece(blank.name, Tone::Strong);
            Row::new([name, self.piece(blank.unit, Tone::Plain), self.piece(&blank.details(), Tone::Plain)])
        };
        let rows: Vec<Row> = blanks(report).iter().map(row).collect();
        self.headed("Still to be measured", &rows);
    }

    fn others(&mut self, report: &Report) {
        let row =
            |(name, file): &(&str, &str)| Row::new([self.piece(name, Tone::Strong), self.piece(file, Tone::Plain)]);
        let rows: Vec<Row> = others(report).iter().map(row).collect();
        self.headed("Other worksheets", &rows);
    }

    fn templates(&mut self, report: &Report) {
        let row = |template: &TemplateUsed| {
            let pinned = if template.pinned { "pinned" } else { "not pinned" };
            let [file, fingerprint] =
                [&template.file, &template.fingerprint].map(|words| self.piece(words, Tone::Plain));
            Row::new([file, fingerprint, Piece::new(pinned, Tone::Quiet)])
        };
        let rows: Vec<Row> = report.templates.iter().map(row).collect();
        self.headed("Templates", &rows);
    }

    fn counts(&mut self, report: &Report) {
        self.line("");
        let fails = !report.troubles.is_empty() || report.checks.iter().any(|check| check.outcome == Outcome::No);
        self.paragraph(&counts(report), if fails { Tone::Bad } else { Tone::Quiet }, 0);
    }
}
