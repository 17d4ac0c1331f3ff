//! A report in each of its forms: JSON keeps to its schema, text holds no character that a terminal obeys, CSV no cell
//! that a spreadsheet runs, every form its cautions; and what is shown of an entry, written down again, is that entry.

use super::{report, whole};
use anyhow::{Context, Result, ensure};
use catchwork::report::data::{Origin, ReportValue, ValueKind};
use catchwork::report::letters::is_obeyed;
use catchwork::report::text::Look;
use catchwork::report::{self as forms, Report};
use jsonschema::Validator;
use serde_json::Value;
use std::sync::LazyLock;

static SCHEMA: LazyLock<Validator> = LazyLock::new(|| {
    let schema = serde_json::from_str(include_str!("../schema/report.schema.json")).expect("the schema is JSON");
    jsonschema::validator_for(&schema).expect("the schema is one")
});

/// Whether all that holds of the report of a text.
pub fn holds(bytes: &[u8]) -> Result<()> {
    let report = report(bytes);
    whole(&report, bytes)?;
    json(&report)?;
    for (width, plain) in [(80, false), (40, true)] {
        text(&report, &Look { width, colour: false, plain })?;
    }
    report.troubles.iter().try_for_each(|trouble| letters("a trouble", &trouble.display))?;
    letters("Markdown", &forms::markdown::markdown(&report))?;
    csv(&report)?;
    let page = forms::html::html(std::slice::from_ref(&report))?;
    ensure!(page.contains("replace a licensed applicator"), "a page without its notice");
    if let Ok(card) = forms::card::card(&report) {
        ensure!(card.contains("replace a licensed applicator"), "a card without its notice");
    }
    let is_plain = report.troubles.is_empty() && !has_measure(bytes);
    if is_plain { report.values.iter().try_for_each(rereads) } else { Ok(()) }
}

/// Whether a line makes a unit of the crew's own, which no other worksheet knows.
fn has_measure(bytes: &[u8]) -> bool {
    String::from_utf8_lossy(bytes).lines().any(|line| line.trim_start().starts_with("1 "))
}

fn json(report: &Report) -> Result<()> {
    let said: Value = serde_json::from_str(&forms::json::line(report)?)?;
    if let Err(error) = SCHEMA.validate(&said) {
        return Err(anyhow::anyhow!("{}: {error}", error.instance_path()));
    }
    let cautions: Vec<&str> = said["cautions"].as_array().into_iter().flatten().filter_map(Value::as_str).collect();
    ensure!(cautions == report.cautions, "cautions are lost");
    ensure!(said["notice"].as_str() == Some(report.notice.as_str()), "the notice is lost");
    for (value, said) in report.values.iter().zip(said["values"].as_array().into_iter().flatten()) {
        let number = said["value"].as_f64();
        ensure!(is_same(number, value.cell.value), "{number:?} is read again of {:?}", value.cell.value);
    }
    Ok(())
}

fn is_same(found: Option<f64>, expected: Option<f64>) -> bool {
    match (found, expected) {
        (Some(found), Some(expected)) => (found - expected).abs() <= 1e-14 * expected.abs() || found == expected,
        (found, expected) => found == expected,
    }
}

/// Words without the spaces and line ends that a layout puts between them.
fn run_together(text: &str) -> String {
    text.chars().filter(|letter| !letter.is_whitespace()).collect()
}

fn text(report: &Report, look: &Look) -> Result<()> {
    let page = forms::text::text(report, look);
    letters("text", &page)?;
    ensure!(!look.plain || page.is_ascii(), "plain text that is not ASCII");
    let together = run_together(&page);
    for caution in report.cautions.iter().chain([&report.notice]) {
        let shown = forms::letters::clean(caution);
        let shown = if look.plain { forms::letters::ascii(&shown) } else { shown };
        ensure!(together.contains(&run_together(&shown)), "a caution is lost: {caution}\n{page}");
    }
    Ok(())
}

fn letters(form: &str, page: &str) -> Result<()> {
    let obeyed = page.chars().find(|letter| is_obeyed(*letter) && *letter != '\n');
    ensure!(obeyed.is_none(), "{form} holds {obeyed:?}");
    Ok(())
}

fn csv(report: &Report) -> Result<()> {
    let page = forms::csv::csv(std::slice::from_ref(report))?;
    letters("CSV", &page)?;
    let mut cautions = 0;
    for record in csv::Reader::from_reader(page.as_bytes()).records() {
        let record = record.context("it is no CSV")?;
        cautions += usize::from(record.get(0) == Some("caution"));
        for cell in &record {
            let is_run = cell.trim_start().starts_with(['=', '+', '-', '@']) && cell.parse::<f64>().is_err();
            ensure!(!is_run, "a spreadsheet runs {cell:?}");
        }
    }
    ensure!(cautions == report.cautions.len(), "{cautions} cautions in CSV");
    Ok(())
}

/// What is shown of an entry can be written down again, and is then the same.
fn rereads(value: &ReportValue) -> Result<()> {
    let is_amount =
        matches!(value.kind, ValueKind::Number | ValueKind::Quantity | ValueKind::Range | ValueKind::Readings);
    if value.origin != Origin::Entered || !is_amount || !value.cell.waiting_on.is_empty() {
        return Ok(());
    }
    let [part] = value.cell.parts.as_slice() else { return Ok(()) };
    // What has a unit below the line alone has no word for it that could follow a number.
    // Ends that each have a doubt of their own stand before the unit, where none could be written.
    if part.unit.starts_with("1/") || part.value.contains('±') {
        return Ok(());
    }
    let line = format!("x : {}\n", forms::shown::part_words(part));
    let again = report(line.as_bytes());
    let said = again.troubles.first().map(|trouble| trouble.says.as_str());
    ensure!(said.is_none(), "what is shown cannot be written: {line}{said:?}");
    let found = again.values.first().context("nothing is read again")?;
    for (found, before) in figures(found).into_iter().zip(figures(value)) {
        let is_near = match (found, before) {
            (Some(found), Some(before)) => (found - before).abs() <= 1e-12 * before.abs().max(f64::MIN_POSITIVE),
            (found, before) => found == before,
        };
        ensure!(is_near, "{line} is read again as {found:?}, and was {before:?}");
    }
    Ok(())
}

fn figures(value: &ReportValue) -> Vec<Option<f64>> {
    let cell = &value.cell;
    let readings = cell.readings.iter().flatten().copied();
    [cell.value, cell.low, cell.high, cell.give_or_take].into_iter().chain(readings).collect()
}
