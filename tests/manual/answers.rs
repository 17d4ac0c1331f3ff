//! Examples as they come out: what the manual writes under an example, answered from its report.
//!
//! | line of `results` | what must come out |
//! | --- | --- |
//! | `tank = 3 ± 0.1 gal` | an entry or a result as it is printed; in two units `…; …` |
//! | `beds.area, north walk = 108.0 ft²` | a cell of a table |
//! | `mix needed waits on bed area` | one that waits, and on what; likewise a check |
//! | `? pace = close` | the outcome of a check |
//! | `… -- text` | after each of these: a remark; for a check also what it compared, or its advice |
//! | `! text` | a caution |

use super::page::{Expected, Form, cells};
use catchwork::report::Report;
use catchwork::report::data::{Cell, ReportCheck, ShownPart};
use catchwork::report::text::{Look, text};

/// What the manual should say.
pub fn written(expected: &Expected, report: &Report) -> Vec<String> {
    let lines = expected.lines.iter();
    match expected.form {
        Form::Results => lines.map(|line| result(line, report)).collect(),
        Form::Troubles => troubles(report),
        Form::Printed => printed(report),
        Form::Gets => lines.map(|line| gets(line, report)).collect(),
        Form::Refused => lines.map(|line| refused(line, report)).collect(),
    }
}

/// All troubles, each with what to write instead.
pub fn troubles(report: &Report) -> Vec<String> {
    let mut lines = Vec::new();
    for trouble in &report.troubles {
        lines.push(format!("trouble: {}", trouble.says));
        lines.extend(trouble.instead.as_ref().map(|instead| format!("instead: {instead}")));
    }
    lines
}

/// What the command prints: the troubles, or where there are none the report.
fn printed(report: &Report) -> Vec<String> {
    let page = match report.troubles.is_empty() {
        true => text(report, &Look { width: 80, colour: false, plain: false }),
        false => report.troubles.iter().map(|trouble| trouble.display.clone() + "\n").collect(),
    };
    page.trim_end().lines().map(|line| line.trim_end().to_owned()).collect()
}

/// Answers a line of a block of results.
fn result(line: &str, report: &Report) -> String {
    if let Some(caution) = line.strip_prefix("! ") {
        let found = report.cautions.iter().find(|own| *own == caution).or(report.cautions.first());
        return format!("! {}", found.map_or("", String::as_str));
    }
    let (asked, remark) = line.split_once(" -- ").map_or((line, None), |(asked, remark)| (asked, Some(remark)));
    let end = [" = ", " waits on ", " is in trouble"].iter().filter_map(|end| asked.find(end)).min();
    let name = asked.get(..end.unwrap_or(asked.len())).unwrap_or(asked).trim();
    let (answer, sayings) = match name.strip_prefix("? ") {
        Some(label) => check(report, label).map(|check| (outcome(check), sayings(check))),
        None => cell(report, name).map(|cell| (figures(cell), cell.remarks.clone())),
    }
    .unwrap_or_else(|| ("is in trouble".to_owned(), Vec::new()));
    match remark {
        None => format!("{name} {answer}"),
        Some(remark) if sayings.iter().any(|saying| saying == remark) => format!("{name} {answer} -- {remark}"),
        Some(_) => format!("{name} {answer} -- {}", sayings.join(" / ")),
    }
}

/// Answers a row of what one gets.
fn gets(line: &str, report: &Report) -> String {
    let mut cells = cells(line);
    let found = check(report, "example").map(outcome).or(cell(report, "example").map(figures));
    let found = found.unwrap_or_else(|| "is in trouble".to_owned());
    if let Some(get) = cells.get_mut(1) {
        *get = format!("`{}`", found.trim_start_matches("= "));
    }
    row(&cells)
}

/// Answers a row of what is refused.
fn refused(line: &str, report: &Report) -> String {
    let mut cells = cells(line);
    let says: Vec<String> = report.troubles.iter().map(|trouble| trouble.says.replace('|', "\\|")).collect();
    let instead: Vec<String> = report
        .troubles
        .iter()
        .filter_map(|trouble| trouble.instead.as_ref())
        .map(|text| text.replace('|', "\\|"))
        .collect();
    cells.truncate(1);
    cells.extend([says.join(" / "), instead.join(" / ")]);
    row(&cells)
}

fn row(cells: &[String]) -> String {
    format!("| {} |", cells.join(" | "))
}

fn check<'a>(report: &'a Report, label: &str) -> Option<&'a ReportCheck> {
    report.checks.iter().find(|check| check.label == label)
}

fn outcome(check: &ReportCheck) -> String {
    match check.waiting_on.is_empty() {
        true => format!("= {}", format!("{:?}", check.outcome).to_lowercase()),
        false => format!("waits on {}", check.waiting_on.join(", ")),
    }
}

fn sayings(check: &ReportCheck) -> Vec<String> {
    let mut sayings = vec![check.compared.clone()];
    sayings.extend(check.advice.clone());
    sayings.extend(check.remarks.clone());
    sayings
}

/// A value, or a cell as `table.column, row`.
fn cell<'a>(report: &'a Report, name: &str) -> Option<&'a Cell> {
    if let Some(value) = report.values.iter().find(|value| value.name == name) {
        return Some(&value.cell);
    }
    let (column, label) = name.split_once(", ")?;
    let (table, column) = column.split_once('.')?;
    let table = report.tables.iter().find(|own| own.name == table)?;
    let index = table.columns.iter().position(|own| own.name == column)?;
    table.rows.iter().find(|row| row.label == label)?.cells.get(index)
}

/// A value as it is printed, with its units; or what it waits on.
fn figures(cell: &Cell) -> String {
    if !cell.waiting_on.is_empty() {
        return format!("waits on {}", cell.waiting_on.join(", "));
    }
    let parts: Vec<String> = cell.parts.iter().map(part).collect();
    format!("= {}", parts.join("; "))
}

/// A figure as people say it: the unit right behind the number, and what else is said of it after that.
fn part(part: &ShownPart) -> String {
    let (value, aside) = match part.value.find(" (") {
        Some(at) => part.value.split_at(at),
        None => (part.value.as_str(), ""),
    };
    let unit = if part.unit.is_empty() { String::new() } else { format!(" {}", part.unit) };
    let doubt = part.give_or_take.as_str();
    // What follows the number of a ± stands behind its unit: `at most`, `(18 df)`.
    let (number, mark) = doubt.split_at(doubt.find(" at most").or(doubt.find(" (")).unwrap_or(doubt.len()));
    let figure = match number {
        "" => format!("{value}{unit}"),
        _ if number.contains(char::is_alphabetic) || number.contains('%') => format!("{value}{unit} ± {doubt}"),
        _ if mark.is_empty() => format!("{value} ± {number}{unit}"),
        _ => format!("{value}{unit} ± {number}{unit}{mark}"),
    };
    figure + aside
}
