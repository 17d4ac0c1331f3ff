//! Cases as they come out: the lines of a case with the troubles of its report put under them, and its `=>` lines.
//!
//! | line | what must come out |
//! | --- | --- |
//! | `=> tank = 3 ± 0.1 gal` | an entry or a result as it is printed |
//! | `=> beds.area, north walk = 108.0 ft²` | a cell of a table |
//! | `=> tank waiting on bed area` | one that waits, and on what; likewise a cell or a check |
//! | `=> tank in trouble` | one that the report leaves out |
//! | `=> ? pace = close` | the outcome of a check |
//! | `=> compared pace: …`, `=> advice pace: …` | what a check compared, and its advice |
//! | `=> remark tank: …` | remarks beside a value, cell, check, row or table: all of them |
//! | `=> section tank: …` | the section it stands in |
//! | `=> title: …`, `=> caution: …`, `=> note: …` | these lines: all of them |

use super::case::{Case, Line, characters};
use catchwork::report::Report;
use catchwork::report::data::{Cell, ReportTrouble, ShownPart};

/// A case's lines as they should be written, after its report.
pub fn written(case: &Case, report: &Report) -> String {
    let mut writer = Writer { report, text: String::new(), asked: Vec::new() };
    let mut number = 0;
    for line in case.lines() {
        match line {
            Line::Worksheet(line) => {
                number += 1;
                writer.line(line, number);
            }
            Line::Setting(setting) => writer.setting(setting),
            Line::Asked(asked) => writer.ask(asked),
            Line::Trouble(_) | Line::Instead => {}
        }
    }
    // A worksheet's last line may be empty, and a trouble may stand past it.
    writer.leftover(number);
    writer.asked.dedup();
    let asked: String = writer.asked.iter().map(|line| format!("=> {}\n", line.trim_end())).collect();
    writer.text.truncate(writer.text.trim_end().len());
    writer.text += "\n";
    writer.text + &asked
}

struct Writer<'a> {
    report: &'a Report,
    text: String,
    asked: Vec<String>,
}

impl Writer<'_> {
    fn line(&mut self, line: &str, number: usize) {
        self.text += &format!("{line}\n");
        for trouble in self.report.troubles.iter().filter(|trouble| trouble.file.is_none() && trouble.line == number) {
            self.text += &marked(line, "", trouble);
        }
    }

    /// What is set has its troubles under it; a case sets one thing at most that is in trouble.
    fn setting(&mut self, setting: &str) {
        self.text += &format!("<= {setting}\n");
        for trouble in self.report.troubles.iter().filter(|trouble| trouble.file.as_deref() == Some("--set")) {
            self.text += &marked(setting, "   ", trouble);
        }
    }

    fn leftover(&mut self, lines: usize) {
        for trouble in self.report.troubles.iter().filter(|trouble| trouble.file.is_none() && trouble.line > lines) {
            self.text += &format!("line {}: {}: {}\n", trouble.line, trouble.kind, trouble.says);
        }
    }

    /// Answers one `=>` line.
    fn ask(&mut self, asked: &str) {
        for (word, answers) in [
            ("title: ", self.report.title.iter().cloned().collect::<Vec<_>>()),
            ("caution: ", self.report.cautions.clone()),
            ("note: ", self.report.notes.iter().map(|note| note.text.clone()).collect()),
        ] {
            if asked.starts_with(word.trim_end()) {
                return self.answer_all(word, &answers);
            }
        }
        for word in ["remark ", "section ", "compared ", "advice "] {
            if let Some((name, _)) = asked.strip_prefix(word).and_then(|rest| rest.split_once(':')) {
                return self.answer_all(&format!("{word}{name}: "), &self.sayings(word.trim(), name.trim()));
            }
        }
        let name = name_asked(asked);
        let answer = match name.strip_prefix("? ") {
            Some(label) => self.check(label),
            None => self.cell(name).map(figures),
        };
        self.asked.push(format!("{name} {}", answer.unwrap_or_else(|| "in trouble".to_owned())));
    }

    fn answer_all(&mut self, before: &str, answers: &[String]) {
        let lines: Vec<String> = match answers.is_empty() {
            true => vec![format!("{before}none")],
            false => answers.iter().map(|answer| format!("{before}{answer}")).collect(),
        };
        // Asked by several lines, it is answered once.
        if !lines.iter().all(|line| self.asked.contains(line)) {
            self.asked.extend(lines);
        }
    }

    /// What is said about something: its remarks, its section, and of a check what it compared and advises.
    fn sayings(&self, word: &str, name: &str) -> Vec<String> {
        let check = self.report.checks.iter().find(|check| check.label == name);
        let value = self.report.values.iter().find(|value| value.name == name);
        let table = self.report.tables.iter().find(|table| table.name == name);
        match word {
            "compared" => check.map(|check| check.compared.clone()).into_iter().collect(),
            "advice" => check.and_then(|check| check.advice.clone()).into_iter().collect(),
            "section" => {
                let sections = [
                    check.map(|check| &check.section),
                    value.map(|value| &value.section),
                    table.map(|table| &table.section),
                ];
                sections.into_iter().flatten().flatten().cloned().collect()
            }
            _ => {
                let row = self.row(name).and_then(|row| row.remark.clone());
                let own = check.map(|check| &check.remarks).or(table.map(|table| &table.remarks));
                let remarks = own.or(self.cell(name).map(|cell| &cell.remarks)).cloned().unwrap_or_default();
                remarks.into_iter().chain(row).collect()
            }
        }
    }

    /// A value, or a cell as `table.column, row`.
    fn cell(&self, name: &str) -> Option<&Cell> {
        if let Some(value) = self.report.values.iter().find(|value| value.name == name) {
            return Some(&value.cell);
        }
        let (column, label) = name.split_once(", ")?;
        let (table, column) = column.split_once('.')?;
        let table = self.report.tables.iter().find(|own| own.name == table)?;
        let index = table.columns.iter().position(|own| own.name == column)?;
        table.rows.iter().find(|row| row.label == label)?.cells.get(index)
    }

    /// A row as `table, row`.
    fn row(&self, name: &str) -> Option<&catchwork::report::data::ReportRow> {
        let (table, label) = name.split_once(", ")?;
        let table = self.report.tables.iter().find(|own| own.name == table)?;
        table.rows.iter().find(|row| row.label == label)
    }

    fn check(&self, label: &str) -> Option<String> {
        let check = self.report.checks.iter().find(|check| check.label == label)?;
        let outcome = format!("{:?}", check.outcome).to_lowercase();
        Some(match check.waiting_on.is_empty() {
            true => format!("= {outcome}"),
            false => format!("{outcome} on {}", check.waiting_on.join(", ")),
        })
    }
}

/// What stands before ` = …`, ` waiting on …` or ` in trouble`; all of it where that is still to be written.
fn name_asked(asked: &str) -> &str {
    let ends = [" =", " waiting", " in trouble", " close on", " ok on", " no on"];
    let end = ends.iter().filter_map(|end| asked.find(end)).min().unwrap_or(asked.len());
    asked.get(..end).unwrap_or(asked).trim()
}

/// A value as it is printed, with its units; or what it waits on.
fn figures(cell: &Cell) -> String {
    if !cell.waiting_on.is_empty() {
        return format!("waiting on {}", cell.waiting_on.join(", "));
    }
    let parts: Vec<String> = cell.parts.iter().map(part).collect();
    format!("= {}", parts.join("; "))
}

fn part(part: &ShownPart) -> String {
    let mut words = part.value.to_string();
    if !part.give_or_take.is_empty() {
        words += &format!(" ± {}", part.give_or_take);
    }
    if !part.unit.is_empty() {
        words += &format!(" {}", part.unit);
    }
    words
}

/// A trouble under its line: the spot marked, what it says, and what to write instead.
fn marked(line: &str, margin: &str, trouble: &ReportTrouble) -> String {
    let widths: Vec<usize> = characters(line).iter().map(|(_, width)| *width).collect();
    let width = |from: usize, until: usize| (from..until).map(|index| widths.get(index).copied().unwrap_or(1)).sum();
    let start: usize = width(0, trouble.column - 1);
    let length: usize = width(trouble.column - 1, trouble.column - 1 + trouble.length);
    let indent = margin.to_owned() + &" ".repeat(start);
    let mut text = format!("{indent}{} {}: {}\n", "^".repeat(length), trouble.kind, trouble.says);
    if let Some(instead) = &trouble.instead {
        text += &format!("{indent}instead: {instead}\n");
    }
    if let Some(line) = beside(&trouble.display) {
        text += &format!("{indent}beside: line {line}\n");
    }
    text
}

/// The line of the second place that a trouble shows, such as the first definition of a name.
fn beside(display: &str) -> Option<&str> {
    let (before, _) = display.split_once("here first")?;
    let numbered = before.lines().rev().nth(1)?;
    numbered.split_once(" | ").map(|(number, _)| number.trim())
}
