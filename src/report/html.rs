//! The report as one HTML page that needs nothing beside it: no network, no script. It knows no terminal; what the
//! page looks like stands in its template.

use askama::Template;

use super::data::{Origin, Report, ReportChart, ReportCheck, ReportTable, ReportTrouble, ReportValue, ShownPart};
use super::figures::{self, Figures, Section, TableFigures};
use super::letters::clean;
use super::spaces::{HELD, aligned, held_together};
use super::svg;

/// All reports on one page.
pub fn html(reports: &[Report]) -> askama::Result<String> {
    let page = Page { sheets: reports.iter().map(Sheet::new).collect() }.render()?;
    Ok(finished(&page))
}

/// A page without empty lines, each line finished.
pub(super) fn finished(page: &str) -> String {
    page.lines().filter(|line| !line.trim().is_empty()).map(finished_line).collect()
}

/// A line with spaces of another kind made visible. Words of a worksheet come escaped; what a browser would obey
/// otherwise is replaced here for all of them.
fn finished_line(line: &str) -> String {
    let line = line.split(HELD).map(clean).collect::<Vec<_>>().join("&nbsp;");
    line.replace(AS_A_DIGIT, "&numsp;") + "\n"
}

/// The space that is as wide as a digit.
const AS_A_DIGIT: &str = "\u{2007}";

#[derive(Template)]
#[template(path = "page.html", config = "src/report/askama.toml")]
struct Page<'a> {
    sheets: Vec<Sheet<'a>>,
}

impl Page<'_> {
    fn title(&self) -> &str {
        match self.sheets.as_slice() {
            [only] => only.title(),
            _ => "Worksheets",
        }
    }
}

/// One report, with what the template asks of it.
struct Sheet<'a> {
    report: &'a Report,
    sections: Vec<Part<'a>>,
    blanks: Vec<figures::Blank<'a>>,
}

/// A section with its figures set.
struct Part<'a> {
    section: Section<'a>,
    rows: Vec<ValueRow<'a>>,
}

/// A line of a section's table: a value in one of the units it is shown in.
struct ValueRow<'a> {
    /// The value, where this is its first line.
    value: Option<&'a ReportValue>,
    worked: bool,
    words: bool,
    /// Spaces that put the decimal mark in its place.
    pad: String,
    number: String,
    unit: String,
    give_or_take: String,
    remarks: Vec<String>,
}

impl<'a> Sheet<'a> {
    fn new(report: &'a Report) -> Self {
        let part = |section: Section<'a>| {
            let rows = section.values.iter().flat_map(|value| value_rows(value)).collect();
            Part { section, rows: in_line(rows) }
        };
        let sections = figures::sections(report).into_iter().map(part).collect();
        Self { report, sections, blanks: figures::blanks(report) }
    }

    fn title(&self) -> &str {
        self.report.title.as_deref().unwrap_or(&self.report.worksheet)
    }

    fn counts(&self) -> String {
        figures::counts(self.report)
    }

    fn origin(&self, value: &ReportValue) -> &'static str {
        figures::origin(value)
    }

    fn others(&self) -> Vec<(&'a str, &'a str)> {
        figures::others(self.report)
    }

    fn table(&self, table: &'a ReportTable) -> TableFigures<'a> {
        figures::of_table(table)
    }

    fn drawn(&self, chart: &ReportChart) -> String {
        svg::svg(chart)
    }

    fn in_words(&self, chart: &ReportChart) -> String {
        svg::in_words(chart)
    }

    fn held(&self, figures: &str) -> String {
        held_together(figures).into()
    }

    fn is_worked(&self, origin: &Origin) -> bool {
        *origin == Origin::Worked
    }

    fn outcome(&self, check: &ReportCheck) -> &'static str {
        figures::outcome_word(check.outcome)
    }

    fn waits_on(&self, check: &ReportCheck) -> String {
        figures::waits_on(&check.waiting_on)
    }

    fn advice(&self, check: &'a ReportCheck) -> Option<&'a str> {
        check.advice.as_deref().filter(|_| figures::needs_advice(check.outcome))
    }

    fn place(&self, trouble: &ReportTrouble) -> String {
        figures::trouble_place(trouble)
    }
}

impl Part<'_> {
    fn has_doubt(&self) -> bool {
        self.rows.iter().any(|row| !row.give_or_take.is_empty())
    }
}

fn value_rows(value: &ReportValue) -> Vec<ValueRow<'_>> {
    let Figures { parts, words, remarks } = figures::of_value(value);
    let last = parts.len().saturating_sub(1);
    let row = |(place, part): (usize, ShownPart)| ValueRow {
        value: (place == 0).then_some(value),
        worked: value.origin == Origin::Worked,
        words,
        pad: String::new(),
        number: if words { part.value.into() } else { held_together(&part.value).into() },
        unit: part.unit.into(),
        give_or_take: held_together(&part.give_or_take).into(),
        remarks: if place == last { remarks.clone() } else { Vec::new() },
    };
    parts.into_iter().enumerate().map(row).collect()
}

/// The numbers with their decimal marks in one line, by spaces as wide as a digit.
fn in_line(mut rows: Vec<ValueRow<'_>>) -> Vec<ValueRow<'_>> {
    let numbers: Vec<String> = rows.iter().filter(|row| !row.words).map(|row| row.number.clone()).collect();
    for (row, number) in rows.iter_mut().filter(|row| !row.words).zip(aligned(&numbers)) {
        row.pad = AS_A_DIGIT.repeat(number.len() - number.trim_start().len());
    }
    rows
}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;
    use crate::report::sample;
    use insta::assert_snapshot;

    fn body(reports: &[Report]) -> String {
        html(reports).unwrap().split_once("<main>\n").unwrap().1.to_owned()
    }

    #[test]
    fn the_sample_whole() {
        assert_snapshot!(body(&[sample::report()]), @r#"
        <article>
        <header>
        <h1>Backpack sprayer, strip method</h1>
        <p class="soft">jobs/2026/north-walk.worksheet 8f2a91c4</p>
        </header>
        <section class="cautions">
        <ul>
        <li><span class="outcome close">Caution:</span> Water only for this test; wear the gloves and eye protection the label names all the same.</li>
        </ul>
        <p>The product label and local rules decide; this program does not replace a licensed applicator&#39;s judgement.</p>
        </section>
        <dl>
        <dt>set for this run</dt><dd>strip length : 60 ft</dd>
        <dt>today taken to be</dt><dd>2026-04-12</dd>
        </dl>
        <section>
        <h2>What was measured</h2>
        <p>Walk the strip at the pace of the job, pump as you would on it, and catch what one tip sprays.</p>
        <table class="values">
        <thead><tr><th></th><th>value</th><th>unit</th><th>± (95 %)</th><th>from</th></tr></thead>
        <tbody>
        <tr>
        <th scope="row">sprayer</th>
        <td><span class="pad"></span>green tank</td>
        <td></td>
        <td></td>
        <td class="soft from">template</td>
        </tr>
        <tr>
        <th scope="row">strip length</th>
        <td><span class="pad"></span>60</td>
        <td>ft</td>
        <td></td>
        <td class="soft from">entered</td>
        </tr>
        <tr>
        <th scope="row">spray width</th>
        <td><span class="pad"></span>28</td>
        <td>in</td>
        <td>±&nbsp;1</td>
        <td class="soft from">entered</td>
        </tr>
        <tr>
        <th scope="row">rated flow</th>
        <td><span class="pad">&numsp;</span>0.20</td>
        <td>gal/min</td>
        <td></td>
        <td class="soft from">entered</td>
        </tr>
        <tr>
        <th scope="row">equipment.tank</th>
        <td><span class="pad">&numsp;</span>3</td>
        <td>gal</td>
        <td></td>
        <td class="soft from">other</td>
        </tr>
        <tr>
        <th scope="row">label rate</th>
        <td><span class="pad">&numsp;</span>1&nbsp;to&nbsp;1&nbsp;1/2</td>
        <td>fl oz of concentrate per 1000 ft²</td>
        <td></td>
        <td class="soft from">entered</td>
        </tr>
        <tr>
        <th scope="row">rate used</th>
        <td><span class="pad">&numsp;</span>1&nbsp;1/4</td>
        <td>fl oz of concentrate per 1000 ft²</td>
        <td></td>
        <td class="soft from">entered</td>
        </tr>
        <tr>
        <th scope="row">bed area</th>
        <td><span class="pad"></span>____</td>
        <td>ft²</td>
        <td></td>
        <td class="soft from">blank</td>
        </tr>
        </tbody>
        </table>
        <div class="wide" role="region" tabindex="0" aria-label="passes">
        <table>
        <thead><tr><th class="name">passes</th>
        <th><span class="name">walk</span><span class="remark">s</span></th>
        <th><span class="name">catch</span><span class="remark">fl oz</span></th>
        <th><span class="name">flow</span><span class="remark">gal/min, worked</span></th>
        <th></th></tr></thead>
        <tbody>
        <tr><th scope="row">first</th>
        <td>21.4</td>
        <td>9.5&nbsp;±&nbsp;1/8</td>
        <td>0.2081&nbsp;±&nbsp;0.0027</td>
        <td></td></tr>
        <tr><th scope="row">second</th>
        <td>20.9</td>
        <td>9&nbsp;1/4&nbsp;±&nbsp;1/8</td>
        <td>0.2075&nbsp;±&nbsp;0.0027</td>
        <td></td></tr>
        <tr><th scope="row">third</th>
        <td>21.8</td>
        <td>9&nbsp;3/4&nbsp;±&nbsp;1/8</td>
        <td>0.2097&nbsp;±&nbsp;0.0027</td>
        <td><span class="remark">same person, same tip</span></td></tr>
        </tbody>
        </table>
        </div>
        </section>
        <section>
        <h2>What it comes to</h2>
        <table class="values">
        <thead><tr><th></th><th>value</th><th>unit</th><th>± (95 %)</th><th>from</th></tr></thead>
        <tbody>
        <tr>
        <th scope="row">strip area</th>
        <td class="worked"><span class="pad">&numsp;</span>140.0</td>
        <td>ft²</td>
        <td>±&nbsp;5.0</td>
        <td class="soft from">worked</td>
        </tr>
        <tr>
        <th scope="row">flow</th>
        <td class="worked"><span class="pad">&numsp;&numsp;&numsp;</span>0.2088</td>
        <td>gal/min</td>
        <td>±&nbsp;0.0064</td>
        <td class="soft from">worked</td>
        </tr>
        <tr>
        <th scope="row">spray volume</th>
        <td class="worked"><span class="pad">&numsp;&numsp;&numsp;</span>0.530</td>
        <td>gal/1000 ft²</td>
        <td>±&nbsp;0.028</td>
        <td class="soft from">worked</td>
        </tr>
        <tr class="more">
        <th scope="row"></th>
        <td class="worked"><span class="pad">&numsp;&numsp;&numsp;</span>2.16</td>
        <td>L/100 m²</td>
        <td>±&nbsp;0.12</td>
        <td class="soft from"></td>
        </tr>
        <tr class="more"><td></td><td colspan="4" class="remarks"><span class="remark">under three readings 95 % takes a wide ±</span></td></tr>
        <tr>
        <th scope="row">mix needed</th>
        <td class="worked"><span class="pad"></span>waiting</td>
        <td>gal</td>
        <td></td>
        <td class="soft from">worked</td>
        </tr>
        <tr class="more"><td></td><td colspan="4" class="remarks"><span class="remark">waits on bed area</span></td></tr>
        <tr>
        <th scope="row">tank dose</th>
        <td class="worked"><span class="pad">&numsp;&numsp;</span>14&nbsp;tbsp&nbsp;1/2&nbsp;tsp</td>
        <td>of concentrate</td>
        <td>±&nbsp;2.3&nbsp;tsp</td>
        <td class="soft from">worked</td>
        </tr>
        <tr>
        <th scope="row">spreader sticker</th>
        <td class="worked"><span class="pad"></span>less than 1/4 tsp</td>
        <td></td>
        <td></td>
        <td class="soft from">worked</td>
        </tr>
        <tr class="more"><td></td><td colspan="4" class="remarks"><span class="remark">too small for this measure</span></td></tr>
        <tr>
        <th scope="row">change in cost</th>
        <td class="worked"><span class="pad"></span>-112.50</td>
        <td>$</td>
        <td></td>
        <td class="soft from">worked</td>
        </tr>
        </tbody>
        </table>
        </section>
        <section>
        <h2>Checks</h2>
        <table class="checks values">
        <thead><tr><th>outcome</th><th>check</th><th>what was compared</th></tr></thead>
        <tbody>
        <tr>
        <td class="outcome ok">ok</td>
        <td>label</td>
        <td class="compared">1 1/4 within 1 to 1 1/2 fl oz of concentrate per 1000 ft²
        </td>
        </tr>
        <tr>
        <td class="outcome close">close</td>
        <td>tip wear</td>
        <td class="compared">0.2088 ± 0.0064 gal/min within 10 % of 0.20 gal/min
        <span class="advice">Clean the tip; replace it if the flow stays off.</span>
        </td>
        </tr>
        <tr>
        <td class="outcome no">no</td>
        <td>pace</td>
        <td class="compared">0.9 mph within 1 to 3 mph
        </td>
        </tr>
        </tbody>
        </table>
        </section>
        <section>
        <h2>Still to be measured</h2>
        <ul>
        <li>bed area (ft²), for mix needed</li>
        </ul>
        </section>
        <section>
        <h2>Other worksheets</h2>
        <ul>
        <li>equipment: ../equipment.worksheet</li>
        </ul>
        </section>
        <section>
        <h2>Templates</h2>
        <ul>
        <li>../methods/sprayer-strip.worksheet 77c01b2e, pinned</li>
        </ul>
        </section>
        <p class="soft">5 entered, 1 from the template, 1 from elsewhere, 6 worked, 1 waiting; checks: 1 no, 1 close, 1 ok; 1 blank</p>
        </article>
        </main>
        </body>
        </html>
        "#);
    }

    #[test]
    fn cautions_stand_before_any_figure() {
        let body = body(&[sample::report()]);
        let caution = body.find("Water only for this test").unwrap();
        let notice = body.find("The product label and local rules").unwrap();
        assert!(caution < notice && notice < body.find("<table").unwrap());
        assert!(body.find("strip length : 60 ft").unwrap() < body.find("<table").unwrap());
    }

    #[test]
    fn the_page_needs_nothing_beside_it() {
        let page = html(&[sample::report(), sample::unreadable()]).unwrap();
        for outside in ["http:", "https:", "src=", "href=", "url(", "@import", "<script", "<link"] {
            assert!(!page.contains(outside), "{outside}");
        }
    }

    #[test]
    fn no_words_are_taken_for_markup() {
        let mut report = sample::report();
        let hostile = "<b onload=\"x\">&'\u{202e}\u{7}".to_owned();
        report.title = Some(hostile.clone());
        report.cautions = vec![hostile.clone()];
        report.values.iter_mut().for_each(|value| value.name = hostile.clone());
        report.tables.iter_mut().for_each(|table| table.name = hostile.clone());
        report.checks.iter_mut().for_each(|check| check.advice = Some(hostile.clone()));
        let page = html(&[report]).unwrap();
        assert!(!page.contains("<b ") && !page.contains('\u{202e}') && !page.contains('\u{7}'));
        assert!(page.contains("&#60;b onload=&#34;x&#34;&#62;&#38;&#39;"));
    }

    #[test]
    fn every_tag_that_opens_closes() {
        let body = body(&[sample::report(), sample::unreadable()]);
        for tag in [
            "article", "header", "section", "h1", "h2", "table", "thead", "tbody", "tr", "th", "td", "p", "ul", "li",
            "dl", "dt", "dd", "div", "span",
        ] {
            let opened = body.matches(&format!("<{tag}>")).count() + body.matches(&format!("<{tag} ")).count();
            assert_eq!(opened, body.matches(&format!("</{tag}>")).count(), "{tag}");
        }
    }
}
