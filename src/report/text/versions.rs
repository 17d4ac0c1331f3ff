//! Two versions of a worksheet held against each other, as text: what was written down otherwise, what comes out
//! otherwise, and what is behind it.

use super::{Look, Page, outcome_tone};
use crate::report::Report;
use crate::report::data::{Outcome, TemplateUsed};
use crate::report::figures::{needs_advice, outcome_word};
use crate::report::layout::{Piece, Row, Tone};
use crate::report::versions::{CheckDifference, Comparison, Difference, Only};
use crate::report::why::figures::held;

/// Name, was, is, change.
const COLUMNS: usize = 4;

/// Words longer than this are not held together.
const LONGEST_HELD: usize = 20;

/// The comparison of an old and a new worksheet with their reports, cautions first, ending in a line's end.
pub fn text(old: &Report, new: &Report, found: &Comparison, look: &Look) -> String {
    let mut page = Page::empty(look);
    page.both(old, new);
    let gone = found.cautions_gone.iter().map(|caution| format!("{caution} (In the old worksheet only.)"));
    let cautions = new.cautions.iter().cloned().chain(gone).collect();
    page.cautions(&Report { cautions, notice: new.notice.clone(), ..Report::default() });
    page.set(&Report { today: new.today.clone().or_else(|| old.today.clone()), ..Report::default() });
    page.comparison(found);
    page.both_templates(old, new);
    page.line("");
    if !old.troubles.is_empty() || !new.troubles.is_empty() {
        let words = "Lines in trouble are not compared: what stands on them may be told as missing.";
        page.paragraph(words, Tone::Bad, 0);
    }
    let words = counts(found);
    page.paragraph(&words, Tone::Quiet, 0);
    page.text
}

impl Page<'_> {
    /// The two worksheets, with their titles where these differ.
    fn both(&mut self, old: &Report, new: &Report) {
        let title = |report: &Report| report.title.clone().unwrap_or_default();
        let is_one_title = title(old) == title(new);
        if is_one_title && !title(new).is_empty() {
            self.paragraph(&title(new), Tone::Strong, 0);
        }
        let row = |name: &str, report: &Report| {
            let title = if is_one_title { String::new() } else { title(report) };
            let pieces = [&report.worksheet, &report.fingerprint, &title].map(|words| self.piece(words, Tone::Quiet));
            let [file, fingerprint, title] = pieces;
            Row::new([Piece::new(name, Tone::Plain), file, fingerprint, title])
        };
        let rows = [row("old", old), row("new", new)];
        self.rows_at(0, &rows);
    }

    fn comparison(&mut self, found: &Comparison) {
        for unworked in &found.unworked {
            self.line("");
            let words = format!("Nothing is compared: {unworked} could not be worked at all.");
            self.paragraph(&words, Tone::Bad, 0);
        }
        if found.is_same() {
            self.line("");
            self.paragraph("Nothing differs.", Tone::Good, 0);
        }
        self.differences("Entries that differ", &found.entries, Tone::Plain);
        self.differences("Results that differ", &found.results, Tone::Strong);
        self.differences("Formulas that differ", &found.formulas, Tone::Plain);
        let checks: Vec<Row> = found.checks.iter().flat_map(|check| self.check_difference(check)).collect();
        self.headed("Checks that differ", &checks);
        self.only("Only in the old one", &found.gone);
        self.only("Only in the new one", &found.added);
    }

    fn differences(&mut self, heading: &str, differences: &[Difference], tone: Tone) {
        if differences.is_empty() {
            return;
        }
        let has_change = differences.iter().any(|difference| !difference.change.is_empty());
        let heads = ["", "was", "is", if has_change { "change" } else { "" }];
        let head = Row::new(heads.map(|head| Piece::new(head, Tone::Quiet)));
        let rows = differences.iter().flat_map(|difference| self.difference(difference, tone));
        let rows: Vec<Row> = std::iter::once(head).chain(rows).collect();
        self.headed(heading, &rows);
    }

    fn difference(&self, difference: &Difference, tone: Tone) -> Vec<Row> {
        let row = Row::new([
            self.piece(&difference.name, tone),
            self.figures_or_words(&difference.was, Tone::Quiet),
            self.figures_or_words(&difference.is, tone),
            self.held(&difference.change, Tone::Plain),
        ]);
        let remarks = difference.remarks.iter().map(|remark| Row::below(self.piece(remark, Tone::Quiet), COLUMNS));
        let behind = self.behind(&difference.behind, COLUMNS);
        std::iter::once(row).chain(remarks).chain(behind).collect()
    }

    fn figures_or_words(&self, words: &str, tone: Tone) -> Piece {
        if words.chars().count() > LONGEST_HELD { self.piece(words, tone) } else { self.held(&held(words), tone) }
    }

    /// What is behind a difference.
    fn behind(&self, behind: &[String], columns: usize) -> Option<Row> {
        let words = format!("by {}", behind.join("; "));
        (!behind.is_empty()).then(|| Row::below(self.piece(&words, Tone::Plain), columns))
    }

    fn check_difference(&self, check: &CheckDifference) -> Vec<Row> {
        let row = |label: &str, when: &str, (outcome, compared): &(Outcome, String)| {
            let word = outcome_word(*outcome);
            let word = if *outcome == Outcome::No { word.to_uppercase() } else { word.to_owned() };
            let word = Piece::new(word, outcome_tone(*outcome));
            Row::new([
                self.piece(label, Tone::Strong),
                Piece::new(when, Tone::Quiet),
                word,
                self.piece(compared, Tone::Plain),
            ])
        };
        let advice = check.advice.iter().filter(|_| needs_advice(check.is.0));
        let advice = advice.map(|advice| Row::below(self.piece(&format!("→ {advice}"), Tone::Strong), COLUMNS));
        let rows = [row(&check.label, "was", &check.was), row("", "is", &check.is)];
        rows.into_iter().chain(advice).chain(self.behind(&check.behind, COLUMNS)).collect()
    }

    fn only(&mut self, heading: &str, only: &[Only]) {
        let row = |only: &Only| {
            Row::new([
                Piece::new(only.what, Tone::Quiet),
                self.piece(&only.name, Tone::Strong),
                self.figures_or_words(&only.shown, Tone::Plain),
            ])
        };
        let rows: Vec<Row> = only.iter().map(row).collect();
        self.headed(heading, &rows);
    }

    /// The templates of both, each once.
    fn both_templates(&mut self, old: &Report, new: &Report) {
        let row = |when: &str, template: &TemplateUsed| {
            let pinned = if template.pinned { "pinned" } else { "not pinned" };
            let [file, fingerprint] =
                [&template.file, &template.fingerprint].map(|words| self.piece(words, Tone::Plain));
            Row::new([Piece::new(when, Tone::Quiet), file, fingerprint, Piece::new(pinned, Tone::Quiet)])
        };
        let mut rows = Vec::new();
        for template in &new.templates {
            rows.push(row(if old.templates.contains(template) { "both" } else { "new" }, template));
        }
        let gone = old.templates.iter().filter(|template| !new.templates.contains(template));
        rows.extend(gone.map(|template| row("old", template)));
        self.headed("Templates", &rows);
    }
}

/// `2 entries, 3 results and 1 check differ; 12 entries, 4 results and 5 checks are the same`
fn counts(found: &Comparison) -> String {
    let differs = [
        counted(found.differing.entries, "entry", "entries"),
        counted(found.differing.results, "result", "results"),
        counted(found.formulas.len(), "formula", "formulas"),
        counted(found.checks.len(), "check", "checks"),
    ];
    let same = found.same;
    let same = [
        counted(same.entries, "entry", "entries"),
        counted(same.results, "result", "results"),
        counted(same.checks, "check", "checks"),
    ];
    let only = found.gone.len() + found.added.len();
    let parts = [
        listed(&differs, "differ"),
        (only > 0).then(|| format!("{} in one of the two", counted(only, "thing", "things").unwrap_or_default())),
        listed(&same, "the same"),
    ];
    let parts: Vec<String> = parts.into_iter().flatten().collect();
    if parts.is_empty() { "nothing to compare".to_owned() } else { parts.join("; ") }
}

fn counted(count: usize, one: &str, several: &str) -> Option<String> {
    match count {
        0 => None,
        1 => Some(format!("1 {one}")),
        _ => Some(format!("{count} {several}")),
    }
}

fn listed(parts: &[Option<String>], what: &str) -> Option<String> {
    let parts: Vec<&str> = parts.iter().flatten().map(String::as_str).collect();
    (!parts.is_empty()).then(|| format!("{what}: {}", parts.join(", ")))
}
