//! The text of a worksheet with answers in it: in the places of what stood there, or in lines and tables of their own.
//! It knows not whether they belong there.

use super::edits::{Edit, applied};
use super::questions::{Part, Question, Spot};
use crate::book::Settled;
use crate::text::Place;
use std::collections::{HashMap, HashSet};

/// The worksheet's own text, answered. Nothing of it changes but what is answered.
pub(super) fn filled(settled: &Settled, questions: &[Question], answers: &[Option<String>]) -> String {
    let answered = || questions.iter().zip(answers).filter_map(|(question, answer)| Some((question, answer.as_ref()?)));
    let edits = answered().filter_map(|(question, answer)| match question.spot {
        Spot::Here(place) => Some(Edit { place, text: answer.clone() }),
        Spot::Added => None,
    });
    let own = settled.gathered.sources.first().map_or("", |source| &*source.text);
    let text = applied(own, edits.collect());
    let added = Adder { settled, answered: answered().filter(|(question, _)| question.spot == Spot::Added).collect() };
    let added = added.blocks();
    if added.is_empty() {
        return text;
    }
    let whole = format!("{}\n\n{}\n", text.trim_end(), added.join("\n\n"));
    if own.contains("\r\n") { whole.replace("\r\n", "\n").replace('\n', "\r\n") } else { whole }
}

struct Adder<'a> {
    settled: &'a Settled,
    answered: Vec<(&'a Question, &'a String)>,
}

impl Adder<'_> {
    /// Entries that follow each other, and tables, in the order of the sheet.
    fn blocks(&self) -> Vec<String> {
        let mut blocks: Vec<String> = Vec::new();
        let mut is_open = false;
        let mut done = HashSet::new();
        for (question, answer) in &self.answered {
            let (block, goes_on) = match question.part {
                Part::Cell(table, ..) if done.insert(table) => (self.table(table), false),
                Part::Cell(..) => continue,
                _ => (question.line(answer), true),
            };
            match blocks.last_mut().filter(|_| is_open && goes_on) {
                Some(last) => *last += &format!("\n{block}"),
                None => blocks.push(block),
            }
            is_open = goes_on;
        }
        blocks
    }

    fn text(&self, place: Place) -> &str {
        self.settled.sources.get(usize::from(place.source)).map_or("", |source| source.slice(place))
    }

    /// All rows of a table under its name alone, since they take the place of the template's.
    fn table(&self, table: usize) -> String {
        let Some(run) = self.settled.gathered.runs.get(table) else { return String::new() };
        let answers: HashMap<(usize, usize), &String> = self
            .answered
            .iter()
            .filter_map(|(question, answer)| match question.part {
                Part::Cell(own, row, column) if own == table => Some(((row, column), *answer)),
                _ => None,
            })
            .collect();
        let mut lines = vec![format!("| {} |", run.head.name.written)];
        for (index, row) in run.rows.iter().enumerate() {
            let cell = |(number, place): (usize, &Place)| {
                let answer = number.checked_sub(1).and_then(|column| answers.get(&(index, column)));
                answer.map_or_else(|| self.text(*place).to_owned(), |answer| (*answer).clone())
            };
            let cells: Vec<String> = row.cells.iter().enumerate().map(cell).collect();
            let remark = row.remark.as_ref().map(|remark| format!(" -- {remark}")).unwrap_or_default();
            lines.push(format!("| {} |{remark}", cells.join(" | ")));
        }
        lines.join("\n")
    }
}
