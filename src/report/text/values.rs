//! The entries and results of every section, in columns that are the same for all sections.

use anstyle::Style;

use super::{BOLD, DIM, INDENT, Page, WAITING};
use crate::report::data::{Origin, ReportValue, ShownPart};
use crate::report::figures::{Figures, Section, of_value, origin};
use crate::report::layout::{self, Piece, Row, aligned, held_together};

impl Page {
    /// Every section: its notes, its values, its tables.
    pub(super) fn values(&mut self, sections: &[Section<'_>]) {
        let rows: Vec<Vec<Row>> = self.aligned_rows(sections);
        let head = self.head_row(&rows);
        let all: Vec<Row> = rows.iter().flatten().chain([&head]).cloned().collect();
        let widths = layout::widths(&all, self.room());
        let mut head = Some(head);
        for (section, rows) in sections.iter().zip(&rows) {
            self.section_head(section);
            if let Some(head) = head.take_if(|_| !rows.is_empty()) {
                self.row(&head, &widths);
            }
            rows.iter().for_each(|row| self.row(row, &widths));
            let mut apart = !rows.is_empty() || !section.notes.is_empty();
            for table in &section.tables {
                if std::mem::replace(&mut apart, true) {
                    self.line("");
                }
                self.table(table);
            }
        }
    }

    fn section_head(&mut self, section: &Section<'_>) {
        match section.heading {
            Some(heading) => self.heading(heading),
            None => self.line(""),
        }
        for note in &section.notes {
            self.paragraph(&note.text, Style::new(), INDENT);
        }
        if !section.notes.is_empty() && !section.values.is_empty() {
            self.line("");
        }
    }

    /// What stands over the columns, once.
    fn head_row(&self, rows: &[Vec<Row>]) -> Row {
        let has_doubt = rows.iter().flatten().any(|row| row.cells.len() == 5);
        let doubt = if has_doubt { "± (95 %)" } else { "" };
        Row::new(["", "value", "unit", doubt, "from"].map(|head| self.piece(head, DIM)))
    }

    /// The rows of each section, decimal marks in one line over all of them.
    fn aligned_rows(&self, sections: &[Section<'_>]) -> Vec<Vec<Row>> {
        let values: Vec<Vec<(&ReportValue, Figures)>> = sections
            .iter()
            .map(|section| section.values.iter().map(|value| (*value, of_value(value))).collect())
            .collect();
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

    fn said<'a>(&self, figures: impl Iterator<Item = &'a String>) -> Vec<String> {
        figures.map(|figure| self.say(figure)).collect()
    }

    /// The rows of one value: one for each unit it is shown in, remarks below the last.
    fn value(&self, value: &ReportValue, figures: &Figures, next: &mut impl FnMut() -> (String, String)) -> Vec<Row> {
        let style = match value.origin {
            _ if !value.cell.waiting_on.is_empty() => WAITING,
            Origin::Worked => BOLD,
            _ => Style::new(),
        };
        let mut rows = Vec::with_capacity(figures.parts.len());
        for (place, part) in figures.parts.iter().enumerate() {
            let (name, from) = if place == 0 { (value.name.as_str(), origin(value)) } else { ("", String::new()) };
            let (name, from) = (self.piece(name, style), self.piece(&from, DIM));
            rows.push(if figures.words {
                self.words(name, part, from, style)
            } else {
                self.figures(name, part, next(), from, style)
            });
        }
        if let Some(last) = rows.last_mut() {
            last.below = figures.remarks.iter().map(|remark| self.piece(remark, DIM)).collect();
        }
        rows
    }

    /// A value in words reaches over the columns of unit and doubt.
    fn words(&self, name: Piece, part: &ShownPart, from: Piece, style: Style) -> Row {
        let words = format!("{} {}", part.value, part.unit);
        Row { cells: vec![(name, 1), (self.piece(words.trim_end(), style), 3), (from, 1)], below: Vec::new() }
    }

    /// A number, its unit and its doubt; where there is none, the unit has that column too.
    fn figures(
        &self,
        name: Piece,
        part: &ShownPart,
        (number, doubt): (String, String),
        from: Piece,
        style: Style,
    ) -> Row {
        let number = Piece::new(held_together(&number), style);
        let unit = Piece::new(unit_chunks(&self.say(&part.unit)), Style::new());
        if doubt.trim().is_empty() {
            return Row { cells: vec![(name, 1), (number, 1), (unit, 2), (from, 1)], below: Vec::new() };
        }
        let doubt = Piece::new(held_together(&format!("{} {doubt}", self.say("±"))), Style::new());
        Row::new([name, number, unit, doubt, from])
    }
}

/// A unit that may be broken only before `of` and `per`.
fn unit_chunks(unit: &str) -> String {
    held_together(unit).replace("\u{a0}of\u{a0}", " of\u{a0}").replace("\u{a0}per\u{a0}", " per\u{a0}")
}
