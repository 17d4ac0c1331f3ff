//! The report as CSV for a spreadsheet: one row for everything that the report says, cautions first. No text of a
//! worksheet reaches a spreadsheet as a formula. It knows no layout.

use super::data::{Cell, Origin, Report, ReportCheck, ReportTable, ReportValue, ShownPart};
use super::digits;
use super::figures::{needs_advice, origin, origin_word, outcome_word};
use super::letters::clean;
use super::shown::part_words;

/// The columns, in order.
const HEADS: [&str; 21] = [
    "kind",
    "worksheet",
    "section",
    "name",
    "line",
    "origin",
    "outcome",
    "value",
    "low",
    "high",
    "readings",
    "text",
    "unit",
    "of",
    "per",
    "give or take",
    "standard uncertainty",
    "degrees of freedom",
    "shown",
    "waiting on",
    "remarks",
];

/// All reports under one head: the cautions of all, what was set, then each report's values, tables and checks.
pub fn csv(reports: &[Report]) -> anyhow::Result<String> {
    let mut writer = csv::Writer::from_writer(Vec::new());
    writer.write_record(HEADS)?;
    let rows = reports.iter().flat_map(before_values).chain(reports.iter().flat_map(values));
    for row in rows {
        writer.write_record(row.cells())?;
    }
    Ok(String::from_utf8(writer.into_inner()?)?)
}

/// One row; what is not said is left empty.
#[derive(Default)]
struct Row<'a> {
    kind: &'static str,
    worksheet: &'a str,
    section: &'a str,
    name: String,
    line: Option<usize>,
    origin: String,
    outcome: &'static str,
    cell: Option<&'a Cell>,
    text: String,
    unit: &'a str,
    of: &'a str,
    per: &'a str,
    shown: String,
    waiting_on: &'a [String],
    remarks: Vec<String>,
}

impl Row<'_> {
    fn cells(&self) -> [String; 21] {
        let number = |number: fn(&Cell) -> Option<f64>| self.cell.and_then(number).map_or_else(String::new, written);
        [
            self.kind.to_owned(),
            safe(self.worksheet),
            safe(self.section),
            safe(&self.name),
            self.line.map_or_else(String::new, |line| line.to_string()),
            safe(&self.origin),
            self.outcome.to_owned(),
            number(|cell| cell.value),
            number(|cell| cell.low),
            number(|cell| cell.high),
            safe(&readings(self.cell)),
            safe(&self.text),
            safe(self.unit),
            safe(self.of),
            safe(self.per),
            number(|cell| cell.give_or_take),
            number(|cell| cell.standard_uncertainty),
            number(|cell| cell.degrees_of_freedom),
            safe(&self.shown),
            safe(&self.waiting_on.join("; ")),
            safe(&self.remarks.join("; ")),
        ]
    }
}

/// A number as spreadsheets read it.
fn written(number: f64) -> String {
    let mut digits = Vec::new();
    digits::push(&mut digits, number);
    String::from_utf8_lossy(&digits).into_owned()
}

fn readings(cell: Option<&Cell>) -> String {
    let readings = cell.and_then(|cell| cell.readings.as_ref()).into_iter().flatten();
    readings.map(|reading| reading.map_or_else(|| "____".to_owned(), written)).collect::<Vec<_>>().join("; ")
}

/// Text that no spreadsheet runs or turns into a date: what would begin a formula, numbers apart, and a bare fraction
/// get an apostrophe before them.
pub fn safe(text: &str) -> String {
    let text = clean(text);
    let is_number = is_made_of(&text, "-.e") && text.parse::<f64>().is_ok();
    let is_fraction = text.contains('/') && is_made_of(&text, "/");
    let starts = text.trim_start().starts_with(['=', '+', '-', '@', '＝', '＋', '－', '＠']);
    if is_fraction || (starts && !is_number) { format!("'{text}") } else { text }
}

fn is_made_of(text: &str, signs: &str) -> bool {
    text.chars().all(|letter| letter.is_ascii_digit() || signs.contains(letter))
}

/// What stands before any value: cautions, the notice, what was set, troubles.
fn before_values(report: &Report) -> Vec<Row<'_>> {
    let row = |kind, text: &str| Row { kind, worksheet: &report.worksheet, text: text.to_owned(), ..Row::default() };
    let mut rows: Vec<Row> = report.cautions.iter().map(|caution| row("caution", caution)).collect();
    rows.push(row("notice", &report.notice));
    rows.extend(report.set.iter().map(|set| row("set", set)));
    rows.extend(report.today.iter().map(|today| row("today", today)));
    rows.extend(report.templates.iter().map(|template| {
        let pinned = if template.pinned { "pinned" } else { "not pinned" };
        Row { name: template.file.clone(), ..row("template", &format!("{} {pinned}", template.fingerprint)) }
    }));
    rows.extend(report.troubles.iter().map(|trouble| Row {
        name: trouble.kind.clone(),
        line: Some(trouble.line),
        origin: trouble.file.clone().unwrap_or_default(),
        remarks: trouble.instead.iter().map(|instead| format!("instead: {instead}")).collect(),
        ..row("trouble", &trouble.says)
    }));
    rows
}

/// Everything else: notes, values, tables, checks, blanks.
fn values(report: &Report) -> Vec<Row<'_>> {
    let worksheet = report.worksheet.as_str();
    let mut rows: Vec<Row> = Vec::new();
    rows.extend(report.notes.iter().map(|note| Row {
        kind: "note",
        section: note.section.as_deref().unwrap_or_default(),
        line: Some(note.line),
        text: note.text.clone(),
        ..Row::default()
    }));
    rows.extend(report.values.iter().map(value));
    rows.extend(report.tables.iter().flat_map(table));
    rows.extend(report.checks.iter().map(check));
    rows.extend(report.waiting.iter().map(|blank| Row {
        kind: "blank",
        name: blank.name.clone(),
        line: Some(blank.line),
        unit: blank.unit.as_deref().unwrap_or_default(),
        text: blank.needed_by.iter().map(|name| format!("for {name}")).collect::<Vec<_>>().join("; "),
        ..Row::default()
    }));
    rows.iter_mut().for_each(|row| row.worksheet = worksheet);
    rows
}

fn value(value: &ReportValue) -> Row<'_> {
    Row {
        kind: if value.origin == Origin::Worked { "result" } else { "entry" },
        section: value.section.as_deref().unwrap_or_default(),
        name: value.name.clone(),
        line: Some(value.line),
        origin: value.from.clone().unwrap_or_else(|| origin(value).to_owned()),
        unit: value.unit.as_deref().unwrap_or_default(),
        of: value.of.as_deref().unwrap_or_default(),
        per: value.per.as_deref().unwrap_or_default(),
        ..of_cell(&value.cell)
    }
}

fn of_cell(cell: &Cell) -> Row<'_> {
    Row {
        kind: "cell",
        cell: Some(cell),
        text: cell.text.clone().unwrap_or_default(),
        shown: shown(cell),
        waiting_on: &cell.waiting_on,
        remarks: cell.remarks.clone(),
        ..Row::default()
    }
}

/// The figures as printed, with their units: a bare `3/4` would be a date to a spreadsheet. A part without a unit says
/// it in its figures.
fn shown(cell: &Cell) -> String {
    if !cell.waiting_on.is_empty() || cell.parts.is_empty() {
        return cell.shown.to_string();
    }
    let with_unit = |part: &ShownPart| match part.value.starts_with("less than ") {
        true => part_words(&ShownPart { unit: "".into(), ..part.clone() }),
        false => part_words(part),
    };
    cell.parts.iter().map(with_unit).collect::<Vec<_>>().join("; ")
}

/// A row for each cell, named as the notation names it, and one for each line that has a remark.
fn table(table: &ReportTable) -> Vec<Row<'_>> {
    let section = table.section.as_deref().unwrap_or_default();
    let about =
        |kind, name: String, remarks| Row { kind, section, name, remarks, line: Some(table.line), ..Row::default() };
    let mut rows = Vec::new();
    rows.extend((!table.remarks.is_empty()).then(|| about("table", table.name.clone(), table.remarks.clone())));
    for row in &table.rows {
        rows.extend(row.cells.iter().zip(&table.columns).map(|(cell, column)| Row {
            section,
            name: format!("{}.{}, {}", table.name, column.name, row.label),
            line: Some(table.line),
            origin: origin_word(column.origin).to_owned(),
            unit: column.unit.as_deref().unwrap_or_default(),
            of: column.of.as_deref().unwrap_or_default(),
            per: column.per.as_deref().unwrap_or_default(),
            ..of_cell(cell)
        }));
        rows.extend(
            row.remark
                .iter()
                .map(|remark| about("row", format!("{}, {}", table.name, row.label), vec![remark.clone()])),
        );
    }
    rows
}

fn check(check: &ReportCheck) -> Row<'_> {
    let advice = check.advice.iter().filter(|_| needs_advice(check.outcome));
    Row {
        kind: "check",
        section: check.section.as_deref().unwrap_or_default(),
        name: check.label.clone(),
        line: Some(check.line),
        outcome: outcome_word(check.outcome),
        shown: check.compared.clone(),
        waiting_on: &check.waiting_on,
        remarks: advice.chain(&check.remarks).cloned().collect(),
        ..Row::default()
    }
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::report::sample;
    use insta::assert_snapshot;

    #[test]
    fn the_sample_whole() {
        assert_snapshot!(csv(&[sample::report()]).unwrap(), @r#"
        kind,worksheet,section,name,line,origin,outcome,value,low,high,readings,text,unit,of,per,give or take,standard uncertainty,degrees of freedom,shown,waiting on,remarks
        caution,jobs/2026/north-walk.worksheet,,,,,,,,,,Water only for this test; wear the gloves and eye protection the label names all the same.,,,,,,,,,
        notice,jobs/2026/north-walk.worksheet,,,,,,,,,,The product label and local rules decide; this program does not replace a licensed applicator's judgement.,,,,,,,,,
        set,jobs/2026/north-walk.worksheet,,,,,,,,,,strip length : 60 ft,,,,,,,,,
        today,jobs/2026/north-walk.worksheet,,,,,,,,,,2026-04-12,,,,,,,,,
        template,jobs/2026/north-walk.worksheet,,../methods/sprayer-strip.worksheet,,,,,,,,77c01b2e pinned,,,,,,,,,
        note,jobs/2026/north-walk.worksheet,What was measured,,5,,,,,,,"Walk the strip at the pace of the job, pump as you would on it, and catch what one tip sprays.",,,,,,,,,
        entry,jobs/2026/north-walk.worksheet,What was measured,sprayer,6,template,,,,,,green tank,,,,,,,green tank,,
        entry,jobs/2026/north-walk.worksheet,What was measured,strip length,7,entered,,60.0,,,,,ft,,,0.0,0.0,,60 ft,,
        entry,jobs/2026/north-walk.worksheet,What was measured,spray width,8,entered,,28.0,,,,,in,,,1.0,0.510213456924654,,28 ± 1 in,,
        entry,jobs/2026/north-walk.worksheet,What was measured,rated flow,9,entered,,0.2,,,,,gal/min,,,0.0,0.0,,0.20 gal/min,,
        entry,jobs/2026/north-walk.worksheet,What was measured,equipment.tank,10,../equipment.worksheet,,3.0,,,,,gal,,,0.0,0.0,,3 gal,,
        entry,jobs/2026/north-walk.worksheet,What was measured,label rate,11,entered,,,1.0,1.5,,,fl oz/1000 ft²,concentrate,,,,,1 to 1 1/2 fl oz of concentrate per 1000 ft²,,
        entry,jobs/2026/north-walk.worksheet,What was measured,rate used,12,entered,,1.25,,,,,fl oz/1000 ft²,concentrate,,0.0,0.0,,1 1/4 fl oz of concentrate per 1000 ft²,,
        entry,jobs/2026/north-walk.worksheet,What was measured,bed area,13,blank,,,,,,,ft²,,,,,,,bed area,
        result,jobs/2026/north-walk.worksheet,What it comes to,strip area,19,worked,,140.0,,,,,ft²,,,5.0,2.55106728462327,,140.0 ± 5.0 ft²,,
        result,jobs/2026/north-walk.worksheet,What it comes to,flow,20,worked,,0.20881,,,,,gal/min,,,0.0064,0.00326536612431779,,0.2088 ± 0.0064 gal/min,,
        result,jobs/2026/north-walk.worksheet,What it comes to,spray volume,22,worked,,0.5301339,,,,,gal/1000 ft²,,,0.0283,0.0144390408309677,14.4522,0.530 ± 0.028 gal/1000 ft²; 2.16 ± 0.12 L/100 m²,,under three readings 95 % takes a wide ±
        result,jobs/2026/north-walk.worksheet,What it comes to,mix needed,23,worked,,,,,,,gal,,,,,,,bed area,
        result,jobs/2026/north-walk.worksheet,What it comes to,tank dose,24,worked,,14.15,,,,,tbsp,,,0.77,0.392864361831984,,14 tbsp 1/2 tsp ± 2.3 tsp of concentrate,,
        result,jobs/2026/north-walk.worksheet,What it comes to,spreader sticker,25,worked,,0.05,,,,,tsp,,,0.0,0.0,,less than 1/4 tsp: too small for this measure,,
        result,jobs/2026/north-walk.worksheet,What it comes to,change in cost,26,worked,,-112.5,,,,,$,,,0.0,0.0,,'-112.50 $,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.walk, first",15,entered,,21.4,,,,,s,,,0.0,0.0,,21.4 s,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.catch, first",15,entered,,9.5,,,,,fl oz,,,0.125,0.0637766821155817,,9.5 ± 1/8 fl oz,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.flow, first",15,worked,,0.20809,,,,,gal/min,,,0.0027,0.00137757633369657,,0.2081 ± 0.0027 gal/min,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.walk, second",15,entered,,20.9,,,,,s,,,0.0,0.0,,20.9 s,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.catch, second",15,entered,,9.5,,,,,fl oz,,,0.125,0.0637766821155817,,9 1/4 ± 1/8 fl oz,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.flow, second",15,worked,,0.20746,,,,,gal/min,,,0.0027,0.00137757633369657,,0.2075 ± 0.0027 gal/min,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.walk, third",15,entered,,21.8,,,,,s,,,0.0,0.0,,21.8 s,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.catch, third",15,entered,,9.5,,,,,fl oz,,,0.125,0.0637766821155817,,9 3/4 ± 1/8 fl oz,,
        cell,jobs/2026/north-walk.worksheet,What was measured,"passes.flow, third",15,worked,,0.20965,,,,,gal/min,,,0.0027,0.00137757633369657,,0.2097 ± 0.0027 gal/min,,
        row,jobs/2026/north-walk.worksheet,What was measured,"passes, third",15,,,,,,,,,,,,,,,,"same person, same tip"
        check,jobs/2026/north-walk.worksheet,What it comes to,label,28,,ok,,,,,,,,,,,,1 1/4 within 1 to 1 1/2 fl oz of concentrate per 1000 ft²,,
        check,jobs/2026/north-walk.worksheet,What it comes to,tip wear,29,,close,,,,,,,,,,,,0.2088 ± 0.0064 gal/min within 10 % of 0.20 gal/min,,Clean the tip; replace it if the flow stays off.
        check,jobs/2026/north-walk.worksheet,What it comes to,pace,30,,no,,,,,,,,,,,,0.9 mph within 1 to 3 mph,,
        blank,jobs/2026/north-walk.worksheet,,bed area,13,,,,,,,for mix needed,ft²,,,,,,,,
        "#);
    }

    #[test]
    fn cautions_of_all_worksheets_come_first() {
        let csv = csv(&[sample::report(), sample::unreadable(), sample::report()]).unwrap();
        let kinds: Vec<&str> = csv.lines().map(|line| line.split(',').next().unwrap_or_default()).collect();
        assert_eq!(kinds.iter().filter(|kind| **kind == "notice").count(), 3);
        let first_value = kinds.iter().position(|kind| *kind == "entry").unwrap();
        assert!(kinds.iter().rposition(|kind| *kind == "caution").unwrap() < first_value);
        assert!(kinds.iter().rposition(|kind| *kind == "notice").unwrap() < first_value);
    }

    #[test]
    fn no_spreadsheet_runs_what_a_worksheet_says() {
        for text in ["3/4", "=1+1", "+1 555", "-1 1/2 oz", "@sum(a1)", "\t=1", " =1", "\r@x", "＝1", "-inf", "--"] {
            assert!(safe(text).starts_with('\''), "{text}");
        }
        for text in ["-112.50", "-1.5e-7", "1 to 2", "a = b", ""] {
            assert_eq!(safe(text), text);
        }
        let mut report = sample::report();
        report.values[0].name = "=cmd|' /C x'!a0".to_owned();
        report.values[0].cell.text = Some("=hyperlink(\"x\",\"y\")".to_owned());
        report.values[1].cell.value = Some(-60.0);
        let csv = csv(&[report]).unwrap();
        assert!(csv.contains(",'=cmd|' /C x'!a0,") && csv.contains("\"'=hyperlink(\"\"x\"\",\"\"y\"\")\""));
        assert!(csv.contains(",-60.0,"), "a negative number stays one");
    }
}
