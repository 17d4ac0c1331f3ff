//! The field card: one page to carry, black on white, of what a crew has to know and to measure out on site. It needs
//! no network and no script.

use super::data::{
    Cell, Outcome, Report, ReportChart, ReportCheck, ReportRow, ReportTable, ReportValue, ShownPart, ValueKind,
};
use super::figures::{self, CellText, ColumnHead, with_doubt};
use super::spaces::{HELD, held_together};
use super::{html, svg};
use askama::Template;

/// The most lines that a page has room for in letters that can be read at arm's length.
const MOST_LINES: usize = 120;

/// The letters of a line of the smallest size.
const LETTERS: usize = 100;

/// The letters of a line where two of them stand side by side.
const HALF: usize = LETTERS / 2;

/// Why a card cannot be made.
#[derive(Debug)]
pub enum NoCard {
    /// The worksheet is in trouble, and so may be every figure.
    Trouble,
    /// A result that is measured out is a range: how much to take is not for the one who holds the spoon to decide.
    Range(String),
    /// It would take more than a page: so many times the lines that a page has.
    TooLong(usize),
    /// The page could not be put together.
    Page(askama::Error),
}

/// The card of a worksheet.
///
/// # Errors
/// Why there is none.
pub fn card(report: &Report) -> Result<String, NoCard> {
    if !report.troubles.is_empty() {
        return Err(NoCard::Trouble);
    }
    if let Some(name) = range_measured_out(report) {
        return Err(NoCard::Range(name));
    }
    let card = Card::new(report);
    if card.lines() > MOST_LINES {
        return Err(NoCard::TooLong(card.lines().div_ceil(MOST_LINES)));
    }
    card.render().map(|page| html::finished(&page)).map_err(NoCard::Page)
}

fn range_measured_out(report: &Report) -> Option<String> {
    let is_range = |cell: &Cell| cell.is_measured_out && (cell.low.is_some() || cell.high.is_some());
    let value = report.values.iter().find(|value| is_range(&value.cell)).map(|value| value.name.clone());
    let cells = report.tables.iter().flat_map(|table| {
        let cells = table.rows.iter().flat_map(|row| table.columns.iter().zip(&row.cells));
        cells.map(move |(column, cell)| (format!("{}.{}", table.name, column.name), cell))
    });
    value.or_else(|| cells.filter(|(_, cell)| is_range(cell)).map(|(name, _)| name).next())
}

#[derive(Template)]
#[template(path = "card.html", config = "src/report/askama.toml")]
struct Card<'a> {
    report: &'a Report,
    /// What to call where somebody is hurt.
    emergency: Vec<&'a ReportValue>,
    /// Who, what, where, when: every other entry in words, and every date.
    facts: Vec<&'a ReportValue>,
    /// Checks that say `no` or `close`.
    warnings: Vec<&'a ReportCheck>,
    /// The others, to be looked at on site.
    ticks: Vec<&'a ReportCheck>,
    /// What to measure out.
    amounts: Vec<&'a ReportValue>,
    /// Results that wait, by what they wait on.
    waiting: Vec<(String, String)>,
    /// Tables with what to measure out.
    tables: Vec<Amounts<'a>>,
    /// What else was worked out.
    others: Vec<&'a ReportValue>,
    blanks: Vec<figures::Blank<'a>>,
}

impl<'a> Card<'a> {
    fn new(report: &'a Report) -> Self {
        let is_warning = |check: &&ReportCheck| matches!(check.outcome, Outcome::No | Outcome::Close);
        let (mut warnings, ticks): (Vec<_>, Vec<_>) = report.checks.iter().partition(is_warning);
        warnings.sort_by_key(|check| check.outcome != Outcome::No);
        let values = || report.values.iter().filter(|value| is_known(value));
        let is_words = |value: &&ReportValue| matches!(value.kind, ValueKind::Text | ValueKind::Date);
        let (emergency, facts) = values().filter(is_words).partition(|value| is_emergency(value));
        let worked =
            report.values.iter().filter(|value| value.origin == super::data::Origin::Worked && !is_words(value));
        let (worked, waiting): (Vec<_>, Vec<_>) = worked.partition(|value| value.cell.waiting_on.is_empty());
        let (amounts, others) = worked.into_iter().partition(|value| value.cell.is_measured_out);
        let tables = report.tables.iter().map(Amounts::of).filter(|table| !table.heads.is_empty()).collect();
        let blanks = figures::blanks(report);
        Self { report, emergency, facts, warnings, ticks, amounts, waiting: by_wait(&waiting), tables, others, blanks }
    }

    fn title(&self) -> &str {
        self.report.title.as_deref().unwrap_or(&self.report.worksheet)
    }

    /// About how many lines of the smallest size the card takes on paper.
    fn lines(&self) -> usize {
        let of = |text: &str| text.chars().count().div_ceil(LETTERS).max(1);
        let all = |texts: &[String]| texts.iter().map(|text| of(text)).sum::<usize>();
        let prose = all(&self.report.cautions);
        let warnings: usize = self
            .warnings
            .iter()
            .map(|check| 2 + of(check.advice.as_deref().unwrap_or_default()) + all(&check.remarks))
            .sum();
        let below =
            |table: &Amounts<'_>| all(table.remarks) + table.rows.iter().map(|row| all(&row.remarks)).sum::<usize>();
        let tables: usize = self.tables.iter().map(|table| 3 + table.rows.len() * 3 / 2 + below(table)).sum();
        let charts = 18 * self.report.charts.len();
        let rows = 2 * self.amounts.len() + (self.facts.len() + self.others.len() + self.ticks.len()).div_ceil(2);
        8 + prose
            + warnings
            + tables
            + charts
            + rows
            + self.blanks.len()
            + self.emergency.len()
            + self.waiting.len()
            + self.half_remarks()
    }

    /// The lines of remarks that stand side by side.
    fn half_remarks(&self) -> usize {
        let values = [&self.emergency, &self.facts, &self.amounts, &self.others];
        let values = values.into_iter().flatten().flat_map(|value| &value.cell.remarks);
        let ticks = self.ticks.iter().flat_map(|check| &check.remarks);
        let blanks = self.blanks.iter().flat_map(|blank| self.about(blank));
        let lines = |remark: &String| remark.chars().count().div_ceil(HALF);
        values.chain(ticks).chain(blanks).map(lines).sum::<usize>().div_ceil(2)
    }

    /// What is remarked on the line of an entry that is still blank.
    fn about(&self, blank: &figures::Blank<'_>) -> &[String] {
        let entry = self.report.values.iter().find(|value| value.name == blank.name);
        entry.map(|entry| entry.cell.remarks.as_slice()).unwrap_or_default()
    }

    /// How large letters may be, so that all of it stands on one page.
    fn size(&self) -> &'static str {
        match self.lines() {
            ..=48 => "large",
            49..=66 => "middle",
            67..=90 => "small",
            _ => "smallest",
        }
    }

    fn amount(&self, part: &ShownPart) -> String {
        held_by_measure(&part.value)
    }

    fn with_doubt(&self, part: &ShownPart) -> String {
        held_together(&with_doubt(part)).into()
    }

    fn waits_on(&self, names: &[String]) -> String {
        figures::waits_on(names)
    }

    fn outcome(&self, check: &ReportCheck) -> &'static str {
        figures::outcome_word(check.outcome)
    }

    fn drawn(&self, chart: &ReportChart) -> String {
        svg::svg(chart)
    }

    fn in_words(&self, chart: &ReportChart) -> String {
        svg::in_words(chart)
    }
}

/// Of a table, what is measured out for each row.
struct Amounts<'a> {
    name: &'a str,
    /// Names and units of the columns.
    heads: Vec<(&'a str, &'a str)>,
    rows: Vec<AmountRow<'a>>,
    /// What is said about the table.
    remarks: &'a [String],
}

/// A row of it.
struct AmountRow<'a> {
    label: &'a str,
    cells: Vec<String>,
    /// What is said about these cells, then about the row.
    remarks: Vec<String>,
}

impl<'a> Amounts<'a> {
    fn of(table: &'a ReportTable) -> Self {
        let is_measured_out = |head: &ColumnHead<'_>| {
            let place = table.columns.iter().position(|column| column.name == head.name);
            table
                .rows
                .iter()
                .any(|row| place.and_then(|place| row.cells.get(place)).is_some_and(|cell| cell.is_measured_out))
        };
        let figures = figures::of_table(table);
        let keeps: Vec<bool> = figures.columns.iter().map(is_measured_out).collect();
        let kept = || keeps.iter().copied();
        let heads = figures.columns.iter().zip(kept()).filter(|(_, keeps)| *keeps);
        let heads = heads.map(|(head, _)| (head.name, head.unit)).collect();
        let cells = |cells: &[CellText]| {
            let kept = cells.iter().zip(kept()).filter(|(_, keeps)| *keeps);
            kept.map(|(cell, _)| held_together(&cell.text).into()).collect()
        };
        let places: Vec<usize> =
            figures.columns.iter().zip(kept()).filter(|(_, keeps)| *keeps).map(|(head, _)| head.column()).collect();
        let remarks = |row: &ReportRow| {
            let cells = row.cells.iter().enumerate().filter(|(place, _)| places.contains(place));
            cells.flat_map(|(_, cell)| &cell.remarks).chain(&row.remark).cloned().collect()
        };
        let rows = figures.rows.iter().zip(&table.rows);
        let rows =
            rows.map(|(row, own)| AmountRow { label: row.label, cells: cells(&row.cells), remarks: remarks(own) });
        let rows = rows.collect();
        Self { name: &table.name, heads, rows, remarks: &table.remarks }
    }
}

/// An amount that is broken only between two measures.
fn held_by_measure(amount: &str) -> String {
    let mut held = String::with_capacity(amount.len());
    for word in amount.split(' ') {
        let begins_a_measure = word.starts_with(|first: char| first.is_ascii_digit() || first == '(');
        let ends_a_measure = held.ends_with(char::is_alphabetic);
        if !held.is_empty() {
            held.push(if begins_a_measure && ends_a_measure { ' ' } else { HELD });
        }
        held.push_str(word);
    }
    held
}

/// The names of what waits on the same, together, with what that is.
fn by_wait(values: &[&ReportValue]) -> Vec<(String, String)> {
    let mut by_wait: Vec<(String, String)> = Vec::new();
    for value in values {
        let waits = figures::waits_on(&value.cell.waiting_on);
        match by_wait.iter_mut().find(|(_, other)| *other == waits) {
            Some((names, _)) => *names = format!("{names}, {}", value.name),
            None => by_wait.push((value.name.clone(), waits)),
        }
    }
    by_wait
}

fn is_known(value: &ReportValue) -> bool {
    value.cell.waiting_on.is_empty() && value.cell.text.is_some()
}

fn is_emergency(value: &ReportValue) -> bool {
    value.name.to_lowercase().contains("emergency")
}
