//! Rows of data worked, as rows of CSV: the cells as they came, then a column for each result in each unit it is shown
//! in with one for its `±`, one for each check, and what there is to say about the row. A result shown to a step, in
//! measures or to the cent stands as it is shown, so that no rounding of a dose is undone; any other number has fifteen
//! digits. No text reaches a spreadsheet as a formula.

mod columns;

use super::build::Sheet;
use super::csv::safe;
use super::data::NOTICE;
use super::figures::{needs_advice, outcome_word};
use super::{build, digits, remarks, waits};
use crate::checked::Checked;
use crate::checked::model::{Node, Remark, ShownIn};
use crate::quantity::shown::{Form, Off};
use crate::quantity::{Measured, Range, Value};
use crate::text::{Place, Source};
use crate::trouble::Kind;
use crate::worked::conditions::CheckOutcome;
use crate::worked::showing::Sizes;
use crate::worked::{Stop, Wait, Waits, Worked};
pub use columns::Columns;
use columns::{Result, Shape};

/// What came of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct RowOutcome {
    /// Whether it is in trouble.
    pub trouble: bool,
    /// Whether a check says `no`.
    pub no: bool,
}

/// Puts worked rows into CSV.
pub struct Rows<'a> {
    checked: &'a Checked,
    texts: &'a [Source],
    columns: &'a Columns,
}

impl<'a> Rows<'a> {
    /// Of a template with these texts and columns.
    pub fn new(checked: &'a Checked, texts: &'a [Source], columns: &'a Columns) -> Self {
        Self { checked, texts, columns }
    }

    /// Puts what came of a row behind its cells. `troubles` are those of the cells.
    pub fn push(&self, worked: &Worked, troubles: &[String], out: &mut Vec<u8>) -> RowOutcome {
        let sizes = Sizes { checked: self.checked, slots: &worked.slots, sources: &worked.sources };
        let mut row = Row { sizes, worked, rows: self, out, said: Vec::new(), waits: None };
        self.columns.results.iter().for_each(|result| row.result(result));
        self.columns.checks.iter().for_each(|check| row.check(*check));
        row.finish(troubles)
    }

    /// A trouble met in working, with the name of its line.
    fn trouble(&self, place: Place, kind: &Kind) -> String {
        let holds = |own: Place| own.source == place.source && own.start <= place.start && place.end <= own.end;
        let slot = self.checked.slots.iter().find(|slot| holds(slot.place)).map(|slot| &slot.name);
        let check = self.checked.checks.iter().find(|check| holds(check.place)).map(|check| &check.label);
        let table = self.checked.tables.iter().find(|table| holds(table.place)).map(|table| &table.name);
        match slot.or(check).or(table) {
            Some(name) => said(name, kind),
            None => {
                let line = self.texts.get(usize::from(place.source)).map_or(1, |text| text.spot(place).line);
                said(&format!("line {line}"), kind)
            }
        }
    }
}

/// A trouble in one line: what it is about, what is wrong, and what to write instead.
pub fn said(about: &str, kind: &Kind) -> String {
    let instead = kind.instead().map(|instead| format!("; instead: {instead}")).unwrap_or_default();
    format!("{about}: {}{instead}", kind.says())
}

/// A row that is being written.
struct Row<'r, 'a> {
    sizes: Sizes<'r>,
    worked: &'r Worked,
    rows: &'r Rows<'a>,
    out: &'r mut Vec<u8>,
    /// What there is to say about its values.
    said: Vec<String>,
    waits: Option<Waits>,
}

impl Row<'_, '_> {
    fn result(&mut self, result: &Result) {
        let checked = self.rows.checked;
        let Some(slot) = checked.slots.get(result.slot) else { return };
        let outcome = self.worked.slots.get(result.slot);
        match (outcome, &result.shape) {
            (Some(Ok(Value::Number(number))), Shape::Number { doubt }) => {
                slot.shown.iter().for_each(|shown| self.number(&slot.name, number, shown, *doubt));
            }
            (Some(Ok(Value::Range(range))), Shape::Range { low, high, doubt }) => {
                slot.shown.iter().for_each(|shown| self.range(&slot.name, range, shown, (*low, *high), *doubt));
            }
            (Some(Ok(Value::Text(text))), Shape::Words) => push_text(self.out, text),
            (Some(Ok(Value::Date(date))), Shape::Words) => push_text(self.out, &date.to_string()),
            (Some(Ok(Value::YesNo(yes))), Shape::Words) => push_plain(self.out, if *yes { "yes" } else { "no" }),
            (outcome, _) => {
                (0..result.width).for_each(|_| self.out.push(b','));
                // What is in trouble itself waits on nothing.
                let own = Waits::on(Wait::Broken(Node::Slot(result.slot)));
                if let Some(Err(Stop::Waits(waits))) = outcome
                    && *waits != own
                {
                    self.wait(waits);
                }
            }
        }
        let noticed = self.worked.slot_remarks.get(result.slot).map(Vec::as_slice).unwrap_or_default();
        for remark in slot.remarks.iter().chain(noticed) {
            let number = outcome.and_then(|outcome| outcome.as_ref().ok()?.number());
            let summary = number.and_then(|number| self.sizes.summary(number));
            let (half_width, standard) = summary.map(|summary| (summary.half_width, summary.standard)).unzip();
            self.say(&slot.name, &remarks::beside(remark, half_width, standard));
        }
    }

    fn wait(&mut self, own: &Waits) {
        self.waits = Some(self.waits.take().map_or_else(|| own.clone(), |waits| waits.and(own)));
    }

    fn say(&mut self, name: &str, words: &str) {
        let said = format!("{name}: {words}");
        if !self.said.contains(&said) {
            self.said.push(said);
        }
    }

    fn number(&mut self, name: &str, number: &Measured, shown: &ShownIn, doubt: bool) {
        let Some((value, half_width)) = self.sizes.figures(number, shown) else { return };
        if matches!(shown.form, Form::Digits) {
            push_number(self.out, value);
            self.half_width(half_width, doubt);
            return;
        }
        let Some(figures) = self.sizes.show_number(number, shown) else { return };
        match &figures.off {
            Some(Off::TooLarge) => {
                let (least, why) = figures.text.split_once(": ").unwrap_or((&figures.text, ""));
                push_text(self.out, least);
                self.say(name, why);
            }
            Some(Off::By(off)) => {
                push_number(self.out, figures.number);
                self.say(name, off);
            }
            None => push_number(self.out, figures.number),
        }
        self.half_width(half_width, doubt);
        if matches!(shown.form, Form::Measures { .. }) {
            push_text(self.out, &figures.text);
        }
    }

    fn half_width(&mut self, half_width: Option<f64>, doubt: bool) {
        match half_width {
            _ if !doubt => {}
            Some(half_width) => push_number(self.out, half_width),
            None => self.out.push(b','),
        }
    }

    fn range(&mut self, name: &str, range: &Range, shown: &ShownIn, (low, high): (bool, bool), doubt: bool) {
        let figures = self.sizes.show_range(range, shown).unwrap_or_default();
        for (is_there, end, rounded) in [(low, &range.low, figures.low), (high, &range.high, figures.high)] {
            if !is_there {
                continue;
            }
            let own = end.as_ref().and_then(|end| self.sizes.in_shown(end, shown));
            let exact = own.as_ref().map(Measured::told);
            match if matches!(shown.form, Form::Digits) { exact } else { rounded } {
                Some(number) => push_number(self.out, number),
                None => push_plain(self.out, ""),
            }
            let summary = own.as_ref().and_then(|own| self.sizes.summary(own));
            self.half_width(summary.map(|summary| summary.half_width), doubt);
        }
        if matches!(shown.form, Form::Measures { .. }) {
            push_text(self.out, &figures.text);
        }
        figures.remark.iter().for_each(|remark| self.say(name, remark));
    }

    fn check(&mut self, index: usize) {
        let checked = self.rows.checked;
        let (Some(check), Some(judged)) = (checked.checks.get(index), self.worked.checks.get(index)) else { return };
        if judged.trouble.is_some() {
            return push_plain(self.out, "");
        }
        let outcome = build::outcome(judged.outcome);
        push_plain(self.out, outcome_word(outcome));
        if let Some(waits) = &judged.waits {
            self.wait(waits);
        }
        for what in &judged.by_value {
            self.say(&check.label, &remarks::words(&Remark::CheckedByValue(what.clone())));
        }
        if let Some(advice) = check.advice.as_ref().filter(|_| needs_advice(outcome)) {
            self.say(&check.label, advice);
        }
    }

    /// What there is to say about the row, and the end of it.
    fn finish(mut self, troubles: &[String]) -> RowOutcome {
        let checked = self.rows.checked;
        let mut cells: Vec<_> = self.worked.cell_remarks.iter().collect();
        cells.sort_by_key(|(place, _)| **place);
        for ((table, column, row), noticed) in cells {
            let name = waits::cell_name(checked, *table, *row, *column).unwrap_or_default();
            noticed.iter().for_each(|remark| self.say(&name, &remarks::words(remark)));
        }
        let waiting = self.waits.take().map(|waits| waits::names(checked, self.worked, &waits)).unwrap_or_default();
        let own = self.worked.troubles.iter().map(|trouble| self.rows.trouble(trouble.place, &trouble.kind));
        let troubles: Vec<String> = troubles.iter().cloned().chain(own).collect();
        for words in [&waiting, &self.said, &troubles] {
            match words.as_slice() {
                [] => self.out.push(b','),
                words => push_text(self.out, &words.join("; ")),
            }
        }
        self.out.extend_from_slice(&self.rows.columns.tail);
        let no = self.worked.checks.iter().any(|check| check.outcome == CheckOutcome::No && check.trouble.is_none());
        RowOutcome { trouble: !troubles.is_empty(), no }
    }
}

/// The letters, digits, points and spaces that make no formula and need no quotes; most cells are nothing else.
const PLAIN: [bool; 256] = {
    let mut plain = [false; 256];
    let mut byte = 0;
    while byte < 128 {
        plain[byte as usize] = byte == b' ' || byte == b'.' || byte.is_ascii_alphanumeric();
        byte += 1;
    }
    plain
};

/// Puts the cells of a line of the data behind `out` as they came, where nothing in them needs any care; whether it does.
pub fn push_line(out: &mut Vec<u8>, line: &[u8]) -> bool {
    let is_plain = line.iter().all(|byte| *byte == b',' || PLAIN.get(usize::from(*byte)) == Some(&true));
    if is_plain {
        out.extend_from_slice(line);
        out.push(b',');
    }
    is_plain
}

/// Puts a cell of the data behind those before it, as it came.
pub fn push_cell(out: &mut Vec<u8>, cell: &[u8]) {
    let digits = cell.strip_prefix(b"-").filter(|digits| !digits.is_empty());
    let is_number = digits.is_some_and(|digits| digits.iter().all(|byte| matches!(byte, b'0'..=b'9' | b'.')));
    if cell.iter().all(|byte| PLAIN.get(usize::from(*byte)) == Some(&true)) || is_number {
        out.extend_from_slice(cell);
        out.push(b',');
    } else {
        push_text(out, &String::from_utf8_lossy(cell));
    }
}

/// Puts a cell of text behind those before it, such that no spreadsheet runs it.
fn push_text(out: &mut Vec<u8>, text: &str) {
    push_plain(out, &safe(text));
}

/// A number as spreadsheets read it.
fn push_number(out: &mut Vec<u8>, number: f64) {
    digits::push(out, number);
    out.push(b',');
}

/// A cell as it is, in quotes where it needs them.
fn push_plain(out: &mut Vec<u8>, text: &str) {
    if text.contains(['"', ',', '\n', '\r']) {
        let quoted = text.replace('"', "\"\"");
        [b"\"", quoted.as_bytes(), b"\""].iter().for_each(|part| out.extend_from_slice(part));
    } else {
        out.extend_from_slice(text.as_bytes());
    }
    out.push(b',');
}

/// What stands on every row: the worksheet with its templates, the day, and the cautions.
fn tail(sheet: &Sheet<'_>) -> Vec<(&'static str, String)> {
    let own = sheet.sources.first();
    let named = own.map(|own| format!("{} {}", own.name, own.fingerprint()));
    let templates = sheet.templates.iter().map(|used| format!("{} {}", used.file, used.fingerprint));
    let worksheet = named.into_iter().chain(templates).collect::<Vec<_>>().join("; ");
    let cautions = sheet.checked.cautions.iter().map(String::as_str).chain([NOTICE]);
    let mut tail = vec![("worksheet", worksheet)];
    tail.extend(sheet.checked.asks_today.then(|| ("today", sheet.today.clone())));
    tail.push(("cautions", cautions.collect::<Vec<_>>().join(" ")));
    tail
}
