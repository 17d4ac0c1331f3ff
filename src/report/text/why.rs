//! How a value comes about, as text: what it is, the steps down to what was written down, what its doubt comes from.

use super::{INDENT, Look, Page, outcome_tone};
use crate::report::Report;
use crate::report::data::{Outcome, ReportCheck};
use crate::report::figures::outcome_word;
use crate::report::layout::{Piece, Row, Tone};
use crate::report::spaces::held_together;
use crate::report::why::figures::held;
use crate::report::why::{DoubtSays, DoubtSource, DoubtWhy, EntryWhy, LimitWhy, SheetWhy, Step, WaitedOn, Why};
use compact_str::CompactString;

/// The columns of the steps: name, sign, what it is the same as, place.
const STEP_COLUMNS: usize = 4;

/// How what was asked about comes about, cautions first, ending in a line's end.
pub fn text(report: &Report, whys: &[Why], look: &Look) -> String {
    let mut page = Page::empty(look);
    page.head(report);
    page.cautions(report);
    page.set(report);
    whys.iter().for_each(|why| page.why(why));
    page.templates(report);
    page.text
}

impl Page<'_> {
    fn why(&mut self, why: &Why) {
        self.heading(&why.name);
        self.answer(why);
        let waiting: Vec<Row> = why.waiting.iter().map(|blank| self.waited_on(blank)).collect();
        self.headed("Waits on", &waiting);
        for sheet in &why.sheets {
            self.sheet(sheet);
        }
        let limits: Vec<Row> = why.limits.iter().map(|limit| self.limit(limit)).collect();
        self.headed("Limits", &limits);
        self.doubts(&why.doubts);
    }

    /// The value, or how the check comes out and what to do about it.
    fn answer(&mut self, why: &Why) {
        if let Some(check) = &why.check {
            // What it waits on and what is remarked stands below.
            self.rows(&self.check(&ReportCheck { waiting_on: Vec::new(), remarks: Vec::new(), ..check.clone() }));
        }
        let shown: Vec<Row> = why.shown.iter().map(|shown| Row::new([self.held(&held(shown), Tone::Strong)])).collect();
        self.rows(&shown);
        if why.shown.is_empty() && why.check.is_none() && !why.waiting.is_empty() {
            self.paragraph("waiting", Tone::Waiting, INDENT);
        }
        for remark in &why.remarks {
            self.paragraph(remark, Tone::Quiet, INDENT);
        }
    }

    /// Words of which some are held together already.
    pub(super) fn held(&self, words: &str, tone: Tone) -> Piece {
        let said: Vec<CompactString> = words.split(' ').map(|word| held_together(&self.say(word))).collect();
        Piece::new(said.join(" "), tone)
    }

    fn waited_on(&self, blank: &WaitedOn) -> Row {
        Row::new([
            self.piece(&blank.name, Tone::Waiting),
            self.piece(&blank.unit, Tone::Plain),
            self.piece(&blank.place, Tone::Quiet),
        ])
    }

    /// The steps and the entries of one worksheet, under headings of its own.
    fn sheet(&mut self, sheet: &SheetWhy) {
        let steps: Vec<Row> = sheet.steps.iter().flat_map(|step| self.step(step)).collect();
        let entries: Vec<Row> = sheet.entries.iter().flat_map(|entry| self.entry(entry)).collect();
        let heading = match &sheet.file {
            Some(file) => format!("In {file}"),
            None => "How it comes about".to_owned(),
        };
        let has_steps = !steps.is_empty();
        self.headed(&heading, &steps);
        if sheet.is_rounded {
            self.paragraph("Numbers are shown rounded and were worked with unrounded.", Tone::Quiet, INDENT);
        }
        match (&sheet.file, has_steps) {
            (Some(_), true) => {
                if !entries.is_empty() {
                    self.line("");
                    self.rows(&entries);
                }
            }
            (Some(_), false) => self.headed(&heading, &entries),
            (None, _) => self.headed("What was written down", &entries),
        }
    }

    fn step(&self, step: &Step) -> Vec<Row> {
        let mut rows = Vec::new();
        for (number, line) in step.equal.iter().enumerate() {
            let is_last = number + 1 == step.equal.len();
            let (name, place) = if number == 0 { (step.name.as_str(), step.place.as_str()) } else { ("", "") };
            let tone = if is_last && number > 0 { Tone::Strong } else { Tone::Plain };
            rows.push(Row::new([
                self.piece(name, Tone::Strong),
                Piece::new("=", Tone::Quiet),
                self.held(line, tone),
                self.piece(place, Tone::Quiet),
            ]));
        }
        let said = step.shown_as.iter().map(|shown| (format!("shown as {shown}"), Tone::Plain));
        let said = said.chain(step.remarks.iter().map(|remark| (remark.clone(), Tone::Quiet)));
        rows.extend(said.map(|(said, tone)| {
            let blank = || (Piece::default(), 1);
            Row(vec![blank(), blank(), (self.piece(&said, tone), STEP_COLUMNS - 2)])
        }));
        rows
    }

    fn entry(&self, entry: &EntryWhy) -> Vec<Row> {
        let is_long = entry.shown.chars().count() > LONGEST_HELD;
        let shown = if is_long { entry.shown.clone() } else { held(&entry.shown) };
        let row = Row::new([
            self.piece(&entry.name, Tone::Plain),
            self.held(&shown, Tone::Plain),
            self.piece(&entry.place, Tone::Quiet),
        ]);
        let remarks = entry.remarks.iter().map(|remark| Row::below(self.piece(remark, Tone::Quiet), 3));
        std::iter::once(row).chain(remarks).collect()
    }

    fn limit(&self, limit: &LimitWhy) -> Row {
        let word = outcome_word(limit.outcome);
        let word = if limit.outcome == Outcome::No { word.to_uppercase() } else { word.to_owned() };
        Row::new([
            Piece::new(word, outcome_tone(limit.outcome)),
            self.piece(&limit.limit, Tone::Plain),
            self.piece(&limit.left, Tone::Plain),
        ])
    }

    fn doubts(&mut self, doubts: &[DoubtWhy]) {
        if doubts.is_empty() {
            return;
        }
        self.heading("What its doubt comes from");
        for (number, doubt) in doubts.iter().enumerate() {
            if number > 0 {
                self.line("");
            }
            if let Some(of) = &doubt.of {
                self.paragraph(&format!("of {of}:"), Tone::Plain, INDENT);
            }
            match &doubt.says {
                DoubtSays::None(why) | DoubtSays::Unknown(why) => self.paragraph(why, Tone::Plain, INDENT),
                DoubtSays::Sources(sources) => {
                    let widest = sources.iter().map(|source| source.share().len()).max().unwrap_or_default();
                    let rows: Vec<Row> = sources.iter().flat_map(|source| self.source(source, widest)).collect();
                    self.rows(&rows);
                }
            }
        }
        if doubts.iter().any(|doubt| matches!(doubt.says, DoubtSays::Sources(_))) {
            self.paragraph("Shares are of the square of the ±: squares are what adds up.", Tone::Quiet, INDENT);
        }
    }

    fn source(&self, source: &DoubtSource, widest: usize) -> Vec<Row> {
        let share = format!("{:>widest$}", source.share());
        let row = Row::new([
            Piece::new(held_together(&share), Tone::Strong),
            self.piece(&source.name, Tone::Plain),
            self.piece(&source.detail, Tone::Plain),
            self.piece(&source.place, Tone::Quiet),
        ]);
        let remark = source.remark.iter().map(|remark| Row::below(self.piece(remark, Tone::Quiet), 4));
        std::iter::once(row).chain(remark).collect()
    }
}

/// An entry longer than this is set like words.
const LONGEST_HELD: usize = 30;
