//! The entries and results of every section, in columns that are the same for all sections.

use super::{INDENT, Page};
use crate::hands;
use crate::report::chart;
use crate::report::data::{Origin, ReportChart, ReportValue, ShownPart};
use crate::report::figures::{Figures, Section, of_value, origin};
use crate::report::layout::{self, Columns, Piece, Row, Tone};
use crate::report::spaces::{aligned, held_together};
use compact_str::{CompactString, format_compact};
use std::borrow::Cow;

/// Name, value, unit, `±`, from.
const COLUMNS: usize = 5;

/// The same, and what the value was before.
const COLUMNS_SINCE: usize = 6;

/// So many sections are worth sharing out.
const MANY_SECTIONS: usize = 8;

/// Figures longer than these are set like words, so that they do not take the room of all others.
const LONGEST_FIGURE: usize = 20;
const LONGEST_DOUBT: usize = 12;

impl Page<'_> {
    /// Every section: its notes, its values, its tables.
    pub(super) fn values(&mut self, sections: &[Section<'_>]) {
        let mut rows: Vec<Vec<Row>> = self.aligned_rows(sections);
        let head = self.head_row(&rows);
        let columns = Columns::of(&rows.iter().flatten().chain([&head]).collect::<Vec<_>>(), self.room());
        if let Some(first) = rows.iter_mut().find(|rows| !rows.is_empty()) {
            first.insert(0, head);
        }
        let sections: Vec<(&Section<'_>, Vec<Row>)> = sections.iter().zip(rows).collect();
        let set = |(section, rows): &(&Section<'_>, Vec<Row>)| self.apart(|page| page.section(section, rows, &columns));
        let set = hands::over(&sections, MANY_SECTIONS, set);
        set.iter().for_each(|section| self.text.push_str(section));
    }

    fn section(&mut self, section: &Section<'_>, rows: &[Row], columns: &Columns) {
        self.section_head(section);
        self.lines(columns.lines(rows, INDENT, self.look.colour));
        let mut apart = !rows.is_empty() || !section.notes.is_empty();
        for table in &section.tables {
            if std::mem::replace(&mut apart, true) {
                self.line("");
            }
            self.table(table);
        }
        for chart in &section.charts {
            if std::mem::replace(&mut apart, true) {
                self.line("");
            }
            self.chart(chart);
        }
    }

    fn columns(&self) -> usize {
        if self.shows_before { COLUMNS_SINCE } else { COLUMNS }
    }

    /// A drawing keeps its columns; only a head that is too long is wrapped.
    fn chart(&mut self, drawn: &ReportChart) {
        for (place, line) in chart::lines(drawn).iter().enumerate() {
            if place == 0 {
                self.paragraph(line, Tone::Strong, INDENT);
            } else {
                let line = Piece::new(held_together(&self.say(line)), Tone::Plain);
                self.lines(layout::paragraph(&line, INDENT, self.look.width, self.look.colour));
            }
        }
    }

    fn section_head(&mut self, section: &Section<'_>) {
        match section.heading {
            Some(heading) => self.heading(heading),
            None => self.line(""),
        }
        for note in &section.notes {
            self.paragraph(&note.text, Tone::Plain, INDENT);
        }
        if !section.notes.is_empty() && !section.values.is_empty() {
            self.line("");
        }
    }

    /// What stands over the columns, once.
    fn head_row(&self, rows: &[Vec<Row>]) -> Row {
        let has_doubt = rows.iter().flatten().any(|row| row.0.len() == self.columns());
        let doubt = if has_doubt { "± (95 %)" } else { "" };
        let before = self.shows_before.then_some("before");
        let heads = ["", "value", "unit", doubt, "from"].into_iter().chain(before);
        Row::new(heads.map(|head| self.piece(head, Tone::Quiet)))
    }

    /// The rows of each section, decimal marks in one line over all of them.
    fn aligned_rows(&self, sections: &[Section<'_>]) -> Vec<Vec<Row>> {
        let values: Vec<Vec<(&ReportValue, Figures)>> =
            sections.iter().map(|section| section.values.iter().map(|value| (*value, set(value))).collect()).collect();
        let parts =
            || values.iter().flatten().filter(|(_, figures)| !figures.words).flat_map(|(_, figures)| &figures.parts);
        let mut numbers = aligned(&self.said(parts().map(|part| &part.value))).into_iter();
        let mut doubts = aligned(&self.said(parts().map(|part| &part.give_or_take))).into_iter();
        let mut next = || (numbers.next().unwrap_or_default(), doubts.next().unwrap_or_default());
        values
            .iter()
            .map(|section| section.iter().flat_map(|(value, figures)| self.value(value, figures, &mut next)).collect())
            .collect()
    }

    fn said<'a>(&self, figures: impl Iterator<Item = &'a CompactString>) -> Vec<Cow<'a, str>> {
        figures.map(|figure| self.say(figure)).collect()
    }

    /// The rows of one value: one for each unit it is shown in, then its remarks.
    fn value(
        &self,
        value: &ReportValue,
        figures: &Figures,
        next: &mut impl FnMut() -> (CompactString, CompactString),
    ) -> Vec<Row> {
        let tone = match value.origin {
            _ if !value.cell.waiting_on.is_empty() => Tone::Waiting,
            Origin::Worked => Tone::Strong,
            _ => Tone::Plain,
        };
        let mut rows = Vec::with_capacity(figures.parts.len() + figures.remarks.len());
        for (place, part) in figures.parts.iter().enumerate() {
            let (name, from) = if place == 0 { (value.name.as_str(), origin(value)) } else { ("", "") };
            let (name, from) = (self.piece(name, tone), self.piece(from, Tone::Quiet));
            rows.push(if figures.words {
                self.words(name, part, from, tone)
            } else {
                self.figures(name, part, next(), from, tone)
            });
        }
        if let Some(before) = self.before.as_ref().filter(|_| self.shows_before) {
            let mut was = self.piece(&before.value(value).unwrap_or_default(), Tone::Warning);
            rows.iter_mut().for_each(|row| row.0.push((std::mem::take(&mut was), 1)));
        }
        let below = |remark: &String| Row::below(self.piece(remark, Tone::Quiet), self.columns());
        rows.extend(figures.remarks.iter().map(below));
        rows
    }

    /// A value in words, or in figures as long as words, reaches over the columns of unit and doubt.
    fn words(&self, name: Piece, part: &ShownPart, from: Piece, tone: Tone) -> Row {
        let doubt = if part.give_or_take.is_empty() { String::new() } else { format!("± {}", part.give_or_take) };
        let is_bare = part.unit.is_empty() && doubt.is_empty();
        let [value, doubt] = [&*part.value, &doubt].map(|figures| match self.say(figures) {
            words if is_bare => words.into(),
            figures => loosened(&figures),
        });
        let words = [value, unit_words(&self.say(&part.unit)), doubt].join(" ");
        Row(vec![(name, 1), (Piece::new(words.trim_end(), tone), 3), (from, 1)])
    }

    /// A number, its unit and its doubt; where there is none, the unit has that column too.
    fn figures(
        &self,
        name: Piece,
        part: &ShownPart,
        (number, doubt): (CompactString, CompactString),
        from: Piece,
        tone: Tone,
    ) -> Row {
        let number = Piece::new(held_together(&number), tone);
        let unit = Piece::new(unit_words(&self.say(&part.unit)), Tone::Plain);
        if doubt.trim().is_empty() {
            return Row(vec![(name, 1), (number, 1), (unit, 2), (from, 1)]);
        }
        let doubt = Piece::new(held_together(&format_compact!("{} {doubt}", self.say("±"))), Tone::Plain);
        Row::new([name, number, unit, doubt, from])
    }
}

/// The figures of a value, set like words where they are long.
fn set(value: &ReportValue) -> Figures {
    let mut figures = of_value(value);
    let is_long = |part: &ShownPart| {
        part.value.chars().count() > LONGEST_FIGURE || part.give_or_take.chars().count() > LONGEST_DOUBT
    };
    figures.words |= figures.parts.iter().any(is_long);
    figures
}

/// Figures held together, but for the places between two readings or two ends of a range.
fn loosened(figures: &str) -> CompactString {
    held_together(figures).replace("\u{a0}to\u{a0}", "\u{a0}to ").into()
}

/// A unit held together, but for what it is of, and before that and the next unit.
fn unit_words(unit: &str) -> CompactString {
    let mut words = CompactString::default();
    for (place, part) in unit.split(" per ").enumerate() {
        words.push_str(if place > 0 { " per\u{a0}" } else { "" });
        match part.split_once(" of ") {
            Some((unit, of)) => words += &format_compact!("{} of\u{a0}{of}", held_together(unit)),
            None => words += &held_together(part),
        }
    }
    words
}
