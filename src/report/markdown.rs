//! The report as Markdown (CommonMark, with the pipe tables most readers of it know). It knows no terminal.

use super::chart;
use super::data::{Origin, Report, ReportChart, ReportCheck, ReportTable, ReportValue, ShownPart};
use super::figures::{
    Section, TableFigures, blanks, counts, needs_advice, of_table, of_value, origin, origin_word, others, outcome_word,
    sections, trouble_place, waits_on,
};
use super::letters::clean;

/// The report as Markdown, ending in a line's end.
pub fn markdown(report: &Report) -> String {
    let mut blocks = head(report);
    for section in sections(report) {
        blocks.extend(of_section(&section));
    }
    blocks.extend(checks(&report.checks));
    blocks.extend(waiting(report));
    blocks.extend(troubles(report));
    blocks.extend(other_worksheets(report));
    blocks.extend(templates(report));
    blocks.push(escaped(&counts(report)));
    blocks.join("\n\n") + "\n"
}

/// Title, file, cautions, what was set: all that stands before any figure.
fn head(report: &Report) -> Vec<String> {
    let mut blocks: Vec<String> = report.title.iter().map(|title| format!("# {}", escaped(title))).collect();
    blocks.push(paragraph(&format!("{} {}", report.worksheet, report.fingerprint)));
    blocks.extend(report.cautions.iter().map(|caution| format!("> **Caution:** {}", escaped(caution))));
    blocks.push(format!("> {}", escaped(&report.notice)));
    let set = report.set.iter().map(|set| format!("- set for this run: {}", escaped(set)));
    let today = report.today.iter().map(|today| format!("- today taken to be: {}", escaped(today)));
    let lines: Vec<String> = set.chain(today).collect();
    blocks.extend((!lines.is_empty()).then(|| lines.join("\n")));
    blocks
}

fn of_section(section: &Section<'_>) -> Vec<String> {
    let mut blocks: Vec<String> = section.heading.iter().map(|heading| format!("## {}", escaped(heading))).collect();
    blocks.extend(section.notes.iter().map(|note| paragraph(&note.text)));
    if !section.values.is_empty() {
        let rows = section.values.iter().flat_map(|value| value_rows(value)).collect();
        blocks.push(table(&["name", "value", "unit", "± (95 %)", "from", "remarks"], rows));
    }
    blocks.extend(section.tables.iter().flat_map(|table| worksheet_table(table)));
    blocks.extend(section.charts.iter().map(|chart| drawn(chart)));
    blocks
}

/// A block of code keeps the columns of a drawing; no mark of its own may stand in it.
fn drawn(chart: &ReportChart) -> String {
    let lines: Vec<String> = chart::lines(chart).iter().map(|line| clean(line).replace("```", "'''")).collect();
    format!("```text\n{}\n```", lines.join("\n"))
}

fn value_rows(value: &ReportValue) -> Vec<Vec<String>> {
    let figures = of_value(value);
    let first = |place: usize, words: String| if place == 0 { words } else { String::new() };
    let row = |(place, part): (usize, &ShownPart)| {
        let name = first(place, escaped(&value.name));
        let remarks = first(place, escaped(&figures.remarks.join("; ")));
        let from = first(place, origin(value).to_owned());
        let value = if value.origin == Origin::Worked { strong(&part.value) } else { escaped(&part.value) };
        vec![name, value, escaped(&part.unit), escaped(&part.give_or_take), from, remarks]
    };
    figures.parts.iter().enumerate().map(row).collect()
}

fn worksheet_table(table_of: &ReportTable) -> Vec<String> {
    let TableFigures { columns, rows } = of_table(table_of);
    let heads = columns.iter().map(|column| match (column.unit, column.origin) {
        ("", _) => column.name.to_owned(),
        (unit, Origin::Entered) => format!("{} ({unit})", column.name),
        (unit, origin) => format!("{} ({unit}, {})", column.name, origin_word(origin)),
    });
    let heads: Vec<String> = [table_of.name.clone()].into_iter().chain(heads).chain(["remarks".to_owned()]).collect();
    let heads: Vec<&str> = heads.iter().map(String::as_str).collect();
    let rows = rows.iter().map(|row| {
        let cells = row.cells.iter().map(|cell| escaped(&cell.text));
        [escaped(row.label)].into_iter().chain(cells).chain([escaped(&row.remarks.join("; "))]).collect()
    });
    let mut blocks = vec![table(&heads, rows.collect())];
    blocks.extend(table_of.remarks.iter().map(|remark| paragraph(remark)));
    blocks
}

fn checks(checks: &[ReportCheck]) -> Vec<String> {
    let rows = checks.iter().map(|check| {
        let advice = check.advice.iter().filter(|_| needs_advice(check.outcome)).cloned();
        let waits = (!check.waiting_on.is_empty()).then(|| waits_on(&check.waiting_on));
        let words: Vec<String> = advice.chain(waits).chain(check.remarks.iter().cloned()).collect();
        let outcome = strong(outcome_word(check.outcome));
        vec![outcome, escaped(&check.label), escaped(&check.compared), escaped(&words.join(" "))]
    });
    headed("Checks", &["outcome", "check", "compared", "what to do"], rows.collect())
}

fn waiting(report: &Report) -> Vec<String> {
    let rows = blanks(report)
        .into_iter()
        .map(|blank| vec![escaped(blank.name), escaped(blank.unit), escaped(&blank.details())]);
    headed("Still to be measured", &["name", "unit", ""], rows.collect())
}

fn troubles(report: &Report) -> Vec<String> {
    let rows = report.troubles.iter().map(|trouble| {
        let place = trouble_place(trouble);
        vec![escaped(&place), escaped(&trouble.says), escaped(trouble.instead.as_deref().unwrap_or_default())]
    });
    headed("Troubles", &["where", "what is wrong", "what to write instead"], rows.collect())
}

fn other_worksheets(report: &Report) -> Vec<String> {
    let rows = others(report).into_iter().map(|(name, file)| vec![escaped(name), escaped(file)]);
    headed("Other worksheets", &["name", "file"], rows.collect())
}

fn templates(report: &Report) -> Vec<String> {
    let rows = report.templates.iter().map(|template| {
        let pinned = if template.pinned { "pinned" } else { "not pinned" };
        vec![escaped(&template.file), escaped(&template.fingerprint), pinned.to_owned()]
    });
    headed("Templates", &["file", "fingerprint", ""], rows.collect())
}

/// A table under a heading of its own, or nothing where it would have no rows.
fn headed(heading: &str, heads: &[&str], rows: Vec<Vec<String>>) -> Vec<String> {
    if rows.is_empty() { Vec::new() } else { vec![format!("## {heading}"), table(heads, rows)] }
}

/// A pipe table of cells that are escaped already; columns that no row fills are left out.
fn table(heads: &[&str], rows: Vec<Vec<String>>) -> String {
    let filled = |column: &usize| rows.iter().any(|row| row.get(*column).is_some_and(|cell| !cell.is_empty()));
    let columns: Vec<usize> = (0..heads.len()).filter(|column| *column == 0 || filled(column)).collect();
    let line = |cells: Vec<String>| format!("| {} |", cells.join(" | "));
    let of = |row: &[String]| columns.iter().map(|column| row.get(*column).cloned().unwrap_or_default()).collect();
    let heads: Vec<String> = heads.iter().map(|head| escaped(head)).collect();
    let lines = [line(of(&heads)), line(vec!["---".to_owned(); columns.len()])];
    lines.into_iter().chain(rows.iter().map(|row| line(of(row)))).collect::<Vec<_>>().join("\n")
}

fn strong(words: &str) -> String {
    if words.is_empty() { String::new() } else { format!("**{}**", escaped(words)) }
}

/// Words as a paragraph of their own, which must not begin like a list, a heading or a quotation.
fn paragraph(words: &str) -> String {
    let words = escaped(words);
    let digits = words.len() - words.trim_start_matches(|letter: char| letter.is_ascii_digit()).len();
    let (number, rest) = words.split_at(digits);
    if rest.starts_with(['-', '+', '=']) || (digits > 0 && rest.starts_with(['.', ')'])) {
        return format!("{number}\\{rest}");
    }
    words
}

/// Words in which nothing is taken for markup.
fn escaped(words: &str) -> String {
    let mut escaped = String::with_capacity(words.len());
    for letter in clean(words).trim().chars() {
        if matches!(letter, '\\' | '`' | '*' | '_' | '[' | ']' | '<' | '>' | '|' | '~' | '#' | '&' | '!' | '$') {
            escaped.push('\\');
        }
        escaped.push(letter);
    }
    escaped
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::report::sample;
    use insta::assert_snapshot;

    #[test]
    fn the_sample_whole() {
        assert_snapshot!(markdown(&sample::report()), @r"
        # Backpack sprayer, strip method

        jobs/2026/north-walk.worksheet 8f2a91c4

        > **Caution:** Water only for this test; wear the gloves and eye protection the label names all the same.

        > The product label and local rules decide; this program does not replace a licensed applicator's judgement.

        - set for this run: strip length : 60 ft
        - today taken to be: 2026-04-12

        ## What was measured

        Walk the strip at the pace of the job, pump as you would on it, and catch what one tip sprays.

        | name | value | unit | ± (95 %) | from |
        | --- | --- | --- | --- | --- |
        | sprayer | green tank |  |  | template |
        | strip length | 60 | ft |  | entered |
        | spray width | 28 | in | 1 | entered |
        | rated flow | 0.20 | gal/min |  | entered |
        | equipment.tank | 3 | gal |  | other |
        | label rate | 1 to 1 1/2 | fl oz of concentrate per 1000 ft² |  | entered |
        | rate used | 1 1/4 | fl oz of concentrate per 1000 ft² |  | entered |
        | bed area | \_\_\_\_ | ft² |  | blank |

        | passes | walk (s) | catch (fl oz) | flow (gal/min, worked) | remarks |
        | --- | --- | --- | --- | --- |
        | first | 21.4 | 9.5 ± 1/8 | 0.2081 ± 0.0027 |  |
        | second | 20.9 | 9 1/4 ± 1/8 | 0.2075 ± 0.0027 |  |
        | third | 21.8 | 9 3/4 ± 1/8 | 0.2097 ± 0.0027 | same person, same tip |

        ## What it comes to

        | name | value | unit | ± (95 %) | from | remarks |
        | --- | --- | --- | --- | --- | --- |
        | strip area | **140.0** | ft² | 5.0 | worked |  |
        | flow | **0.2088** | gal/min | 0.0064 | worked |  |
        | spray volume | **0.530** | gal/1000 ft² | 0.028 | worked | under three readings 95 % takes a wide ± |
        |  | **2.16** | L/100 m² | 0.12 |  |  |
        | mix needed | **waiting** | gal |  | worked | waits on bed area |
        | tank dose | **14 tbsp 1/2 tsp** | of concentrate | 2.3 tsp | worked |  |
        | spreader sticker | **less than 1/4 tsp** |  |  | worked | too small for this measure |
        | change in cost | **-112.50** | \$ |  | worked |  |

        ## Checks

        | outcome | check | compared | what to do |
        | --- | --- | --- | --- |
        | **ok** | label | 1 1/4 within 1 to 1 1/2 fl oz of concentrate per 1000 ft² |  |
        | **close** | tip wear | 0.2088 ± 0.0064 gal/min within 10 % of 0.20 gal/min | Clean the tip; replace it if the flow stays off. |
        | **no** | pace | 0.9 mph within 1 to 3 mph |  |

        ## Still to be measured

        | name | unit |  |
        | --- | --- | --- |
        | bed area | ft² | for mix needed |

        ## Other worksheets

        | name | file |
        | --- | --- |
        | equipment | ../equipment.worksheet |

        ## Templates

        | file | fingerprint |  |
        | --- | --- | --- |
        | ../methods/sprayer-strip.worksheet | 77c01b2e | pinned |

        5 entered, 1 from the template, 1 from elsewhere, 6 worked, 1 waiting; checks: 1 no, 1 close, 1 ok; 1 blank
        ");
    }

    #[test]
    fn a_file_that_cannot_be_read() {
        assert_snapshot!(markdown(&sample::unreadable()), @r"
        jobs/none.worksheet

        > The product label and local rules decide; this program does not replace a licensed applicator's judgement.

        ## Troubles

        | where | what is wrong |
        | --- | --- |
        | line 1 | jobs/none.worksheet cannot be read: no such file |

        1 trouble
        ");
    }

    #[test]
    fn no_words_are_taken_for_markup() {
        assert_snapshot!(escaped("*a* _b_ `c` <d> [e](f) | g ~h~ #i $j$ &k; l\\"), @r"\*a\* \_b\_ \`c\` \<d\> \[e\](f) \| g \~h\~ \#i \$j\$ \&k; l\\");
        assert_snapshot!(paragraph("- no list"), @r"\- no list");
        assert_snapshot!(paragraph("12. of May"), @r"12\. of May");
        assert_snapshot!(paragraph("2 of 3"), @"2 of 3");
    }
}
