//! From a worked sheet to its report: every value in the unit it is shown in, every check with its figures put in.

use super::compared;
use super::data::{
    Cell, ChartPoint, ChartSeries, NOTICE, Note, Origin, Outcome, Report, ReportChart, ReportCheck, ReportColumn,
    ReportRow, ReportTable, ReportTrouble, ReportValue, ShownPart, TemplateUsed, ValueKind, WaitingBlank,
};
use super::remarks;
use super::shown::{Shower, labelled};
use super::waits;
use crate::checked::display;
use crate::checked::model::{self, Checked, Node};
use crate::checked::types::Type;
use crate::gathered::TemplateUse;
use crate::hands;
use crate::text::{Place, Source, single_spaced};
use crate::trouble::{Kind, Trouble, show};
use crate::units::{Base, CrewWord};
use crate::worked::conditions::{CheckOutcome, Judged};
use crate::worked::{Outcome as Found, Stop, Wait, Waits, Worked};
use smallvec::smallvec;
use std::collections::{BTreeMap, HashMap};

/// What a report is built from.
pub struct Sheet<'a> {
    /// The texts; the worksheet's own is the first.
    pub sources: &'a [Source],
    /// The checked sheet.
    pub checked: &'a Checked,
    /// The worked sheet.
    pub worked: &'a Worked,
    /// The day that `today` was taken to be.
    pub today: String,
    /// What was set for this run, as given.
    pub set: Vec<String>,
    /// The templates used.
    pub templates: Vec<TemplateUse>,
    /// Whether troubles are shown in colour.
    pub colour: bool,
}

/// The most troubles of one worksheet that are told; the rest are counted.
pub const MOST_TROUBLES: usize = 2000;

/// The most results that are named as waiting on one blank.
const MOST_NEEDED: usize = 100;

/// So many values, rows or checks are worth sharing out.
const MANY: usize = 100;

/// The section of lines that a worksheet adds to its template's without a section of their own.
const ADDED: &str = "Added in this worksheet";

/// Builds the report.
pub fn report(sheet: &Sheet<'_>) -> Report {
    let sections = sheet.checked.sections.iter().map(|(place, title)| ((place.source, place.start), title.as_str()));
    let builder = Builder { sheet, sections: sections.collect(), shower: Shower::new(sheet.checked, sheet.worked) };
    let source = sheet.sources.first();
    Report {
        program: format!("catchwork {}", env!("CARGO_PKG_VERSION")),
        schema: 1,
        worksheet: source.map(|source| source.name.clone()).unwrap_or_default(),
        fingerprint: source.map(Source::fingerprint).unwrap_or_default(),
        title: sheet.checked.title.clone(),
        cautions: sheet.checked.cautions.clone(),
        notice: NOTICE.to_owned(),
        set: sheet.set.clone(),
        today: sheet.checked.asks_today.then(|| sheet.today.clone()),
        templates: sheet.templates.iter().map(template).collect(),
        notes: builder.notes(),
        values: builder.values(),
        tables: builder.tables(),
        charts: builder.charts(),
        checks: builder.checks(),
        waiting: builder.waiting(),
        troubles: troubles(sheet),
    }
}

fn template(template: &TemplateUse) -> TemplateUsed {
    TemplateUsed { file: template.file.clone(), fingerprint: template.fingerprint.clone(), pinned: template.is_pinned }
}

/// The troubles of the checked and the worked sheet, in the order of their places.
fn troubles(sheet: &Sheet<'_>) -> Vec<ReportTrouble> {
    let mut found: Vec<&Trouble> = sheet.checked.troubles.iter().chain(&sheet.worked.troubles).collect();
    found.sort_by_key(|trouble| trouble.place);
    let more = found.len().saturating_sub(MOST_TROUBLES);
    let place = found.get(MOST_TROUBLES).map(|trouble| trouble.place);
    found.truncate(MOST_TROUBLES);
    let rest = place.map(|place| Trouble::new(place, Kind::MoreTroubles { count: more }));
    found.into_iter().chain(&rest).map(|trouble| trouble_of(trouble, sheet.sources, sheet.colour)).collect()
}

/// One trouble with its line, column and words.
pub fn trouble_of(trouble: &Trouble, sources: &[Source], colour: bool) -> ReportTrouble {
    let source = sources.get(usize::from(trouble.place.source));
    let spot = source.map(|source| source.spot(trouble.place));
    ReportTrouble {
        file: source.filter(|_| trouble.place.source > 0).map(|source| source.name.clone()),
        line: spot.map_or(1, |spot| spot.line),
        column: spot.map_or(1, |spot| spot.column),
        length: spot.map_or(1, |spot| spot.length),
        kind: trouble.kind.name().to_owned(),
        says: trouble.kind.says(),
        instead: trouble.kind.instead(),
        display: show::show(trouble, sources, colour),
    }
}

/// Whether a slot has no value since it is in trouble itself, which is reported as such.
fn is_own_trouble(index: usize, slot: &model::Slot, outcome: &Found) -> bool {
    match slot.origin {
        model::Origin::Broken => true,
        model::Origin::Stuck(_) => false,
        _ => waits_on_nothing_else(outcome, Wait::Broken(Node::Slot(index))),
    }
}

fn waits_on_nothing_else(outcome: &Found, than: Wait) -> bool {
    matches!(outcome, Err(Stop::Waits(waits)) if waits.iter().all(|wait| wait == than))
}

struct Builder<'a> {
    sheet: &'a Sheet<'a>,
    /// The titles of sections by where they stand.
    sections: BTreeMap<(u16, u32), &'a str>,
    shower: Shower<'a>,
}

impl Builder<'_> {
    fn checked(&self) -> &Checked {
        self.sheet.checked
    }

    fn crew(&self) -> &[CrewWord] {
        &self.checked().crew
    }

    /// Where a line stands among those of all texts: a template's come first.
    fn rank(&self, place: Place) -> (usize, u32) {
        (self.checked().ranks.get(usize::from(place.source)).copied().unwrap_or_default(), place.start)
    }

    fn line(&self, place: Place) -> usize {
        self.sheet.sources.get(usize::from(place.source)).map_or(1, |source| source.spot(place).line)
    }

    /// The text at a place, single-spaced.
    fn text(&self, place: Place) -> String {
        let text = self.sheet.sources.get(usize::from(place.source)).map_or("", |source| source.slice(place));
        single_spaced(text)
    }

    fn section(&self, place: Place) -> Option<String> {
        let key = (place.source, place.start);
        let before = self.sections.range(..=key).next_back().filter(|((source, _), _)| *source == place.source);
        let is_added = place.source == 0 && self.checked().ranks.len() > 1;
        before.map(|(_, title)| (*title).to_owned()).or_else(|| is_added.then(|| ADDED.to_owned()))
    }

    fn notes(&self) -> Vec<Note> {
        let note = |(place, text): &(Place, String)| Note {
            section: self.section(*place),
            line: self.line(*place),
            text: text.clone(),
        };
        self.checked().notes.iter().map(note).collect()
    }

    fn values(&self) -> Vec<ReportValue> {
        let slots = self.checked().slots.iter().zip(&self.sheet.worked.slots).enumerate();
        let mut told: Vec<(usize, &model::Slot, &Found)> = slots
            .filter(|(index, (slot, outcome))| !is_own_trouble(*index, slot, outcome))
            .map(|(index, (slot, outcome))| (index, slot, outcome))
            .collect();
        told.sort_by_key(|(_, slot, _)| self.rank(slot.place));
        hands::over(&told, MANY, |(index, slot, outcome)| self.value(*index, slot, outcome))
    }

    fn value(&self, index: usize, slot: &model::Slot, outcome: &Found) -> ReportValue {
        let mut cell = match &slot.origin {
            model::Origin::Stuck(names) => Cell { waiting_on: names.clone(), ..Cell::default() },
            model::Origin::Entered(written) => {
                self.shower.entered(written, outcome, self.sheet.worked.lists.get(&index), &slot.kind, &slot.shown)
            }
            _ => self.shower.worked(outcome, &slot.kind, &slot.shown),
        };
        self.complete(&mut cell, outcome, &slot.kind, &slot.shown);
        cell.remarks.extend(slot.remarks.iter().map(remarks::words));
        let noticed = self.sheet.worked.slot_remarks.get(index).map(Vec::as_slice).unwrap_or_default();
        let noticed: Vec<String> = noticed
            .iter()
            .map(|remark| remarks::beside(remark, cell.give_or_take, cell.standard_uncertainty))
            .collect();
        cell.remarks.extend(noticed);
        cell.remarks.extend(slot.remark.clone());
        each_once(&mut cell.remarks);
        let first = slot.shown.first();
        let unit = first.map(|shown| shown.unit.symbol(self.crew())).filter(|unit| !unit.is_empty());
        ReportValue {
            name: slot.name.clone(),
            section: self.section(slot.place),
            line: self.line(self.value_place(slot)),
            origin: origin(slot),
            kind: kind_of(&slot.kind),
            unit,
            of: first.and_then(|shown| shown.of.as_ref()).map(ToString::to_string),
            per: first.and_then(|shown| shown.per.as_ref()).map(ToString::to_string),
            cell,
            from: slot.from.clone(),
        }
    }

    /// Where a value stands: in the line that fills a template's entry; what is set for this run has no line.
    fn value_place(&self, slot: &model::Slot) -> Place {
        match &slot.origin {
            model::Origin::Entered(written) if usize::from(written.place.source) < self.checked().ranks.len() => {
                written.place
            }
            _ => slot.place,
        }
    }

    /// What a waiting value waits on, and the unit in which it will be shown.
    fn complete(&self, cell: &mut Cell, outcome: &Found, _kind: &Type, shown: &[model::ShownIn]) {
        if let Err(Stop::Waits(waits)) = outcome
            && cell.waiting_on.is_empty()
        {
            cell.waiting_on = self.wait_names(waits);
        }
        if cell.parts.is_empty() {
            cell.parts = shown
                .iter()
                .map(|shown| ShownPart { unit: self.shower.unit(shown).into(), ..ShownPart::default() })
                .collect();
        }
    }

    fn wait_names(&self, waits: &Waits) -> Vec<String> {
        waits::names(self.checked(), self.sheet.worked, waits)
    }

    fn tables(&self) -> Vec<ReportTable> {
        let mut tables: Vec<(usize, &model::Table)> = self.checked().tables.iter().enumerate().collect();
        tables.sort_by_key(|(_, table)| self.rank(table.place));
        tables
            .into_iter()
            .map(|(index, table)| ReportTable {
                name: table.name.clone(),
                section: self.section(table.place),
                line: self.line(table.place),
                columns: table.columns.iter().map(|column| self.column(column)).collect(),
                rows: self.rows(index, table),
                remarks: table.remarks.iter().map(remarks::words).chain(table.remark.clone()).collect(),
            })
            .collect()
    }

    fn column(&self, column: &model::Column) -> ReportColumn {
        let first = column.shown.first();
        let mut head = first.map(|shown| self.shower.unit(shown)).unwrap_or_default();
        if let Some(model::ShownIn { form, symbols, .. }) = first
            && crate::worked::showing::is_measures(form)
        {
            head = symbols.join(" + ");
        }
        ReportColumn {
            name: column.name.clone(),
            unit: first.map(|shown| shown.unit.symbol(self.crew())).filter(|unit| !unit.is_empty()),
            of: first.and_then(|shown| shown.of.as_ref()).map(ToString::to_string),
            per: first.and_then(|shown| shown.per.as_ref()).map(ToString::to_string),
            origin: if column.formula.is_some() || column.is_broken { Origin::Worked } else { Origin::Entered },
            head,
        }
    }

    fn rows(&self, table: usize, own: &model::Table) -> Vec<ReportRow> {
        let rows: Vec<(usize, &model::Row)> = own.rows.iter().enumerate().collect();
        hands::over(&rows, MANY, |(row, line)| self.row(table, own, *row, line))
    }

    fn row(&self, table: usize, own: &model::Table, row: usize, line: &model::Row) -> ReportRow {
        let cells =
            own.columns.iter().enumerate().map(|(column, kind)| self.cell(table, row, column, kind, line)).collect();
        ReportRow { label: line.label.clone(), cells, remark: line.remark.clone() }
    }

    fn cell(&self, table: usize, row: usize, column: usize, kind: &model::Column, line: &model::Row) -> Cell {
        let outcome =
            self.sheet.worked.columns.get(table).and_then(|table| table.get(column)).and_then(|cells| cells.get(row));
        let Some(outcome) = outcome else { return Cell::default() };
        let written = line.cells.get(column).and_then(Option::as_ref);
        let mut cell = match written {
            Some(written) => self.shower.entered(written, outcome, None, &kind.kind, &kind.shown),
            None => self.shower.worked(outcome, &kind.kind, &kind.shown),
        };
        self.complete(&mut cell, outcome, &kind.kind, &kind.shown);
        // A cell that could not be read is no blank that somebody has still to fill in.
        if waits_on_nothing_else(outcome, Wait::Cell(table, row, column)) {
            let unit = cell.parts.first().map(|part| part.unit.clone()).unwrap_or_default();
            cell.parts = smallvec![ShownPart { value: "waiting".into(), unit, ..ShownPart::default() }];
        }
        let noticed = self.sheet.worked.cell_remarks.get(&(table, column, row)).map(Vec::as_slice).unwrap_or_default();
        let noticed: Vec<String> = noticed
            .iter()
            .map(|remark| remarks::beside(remark, cell.give_or_take, cell.standard_uncertainty))
            .collect();
        cell.remarks.extend(noticed);
        each_once(&mut cell.remarks);
        cell
    }

    fn charts(&self) -> Vec<ReportChart> {
        let values = self.sheet.worked.charts.iter();
        self.checked().charts.iter().zip(values).map(|(chart, values)| self.chart(chart, values)).collect()
    }

    fn chart(&self, chart: &model::Chart, values: &[Vec<Found>]) -> ReportChart {
        let (along, upwards) = values.split_first().map(|(xs, ys)| (xs.as_slice(), ys)).unwrap_or_default();
        let measures = self.shower.measures();
        let shown = |kind: &Type| display::in_own_unit(kind, &measures);
        let unit = |kind: &Type| shown(kind).first().map(|shown| self.shower.unit(shown)).unwrap_or_default();
        // One unit for all that is drawn upwards: the first one's.
        let y_kind = chart.ys.first().map_or(Type::Unknown, |first| first.kind.each().clone());
        let cell = |outcome: &Found, kind: &Type| self.shower.worked(outcome, kind, &shown(kind));
        let point = |x: &Found, y: &Found| {
            let (x, y) = (cell(x, chart.xs.kind.each()), cell(y, &y_kind));
            let words = |cell: &Cell| cell.parts.first().map(|part| part.value.to_string()).unwrap_or_default();
            ChartPoint {
                x: x.value,
                y: y.value,
                y_shown: words(&y),
                half_width: y.give_or_take.filter(|half| *half > 0.0),
            }
        };
        let series = chart.ys.iter().zip(upwards).map(|(expression, ys)| ChartSeries {
            name: self.text(expression.place),
            points: along.iter().zip(ys).map(|(x, y)| point(x, y)).collect(),
        });
        ReportChart {
            title: chart.title.clone(),
            section: self.section(chart.place),
            line: self.line(chart.place),
            x_name: self.text(chart.xs.place),
            x_unit: unit(chart.xs.kind.each()),
            y_unit: unit(&y_kind),
            series: series.collect(),
        }
    }

    fn checks(&self) -> Vec<ReportCheck> {
        let checks: Vec<_> = self.checked().checks.iter().zip(&self.sheet.worked.checks).collect();
        hands::over(&checks, MANY, |(check, judged)| self.check(check, judged)).into_iter().flatten().collect()
    }

    /// A check; none where it is in trouble itself.
    fn check(&self, check: &model::Check, judged: &Judged) -> Option<ReportCheck> {
        if judged.trouble.is_some() {
            return None;
        }
        let text = |place: Place| self.text(place);
        let compared =
            check.condition.as_ref().map(|condition| compared::words(condition, judged, &self.shower, &text));
        let mut noticed: Vec<String> =
            judged.by_value.iter().map(|what| remarks::words(&model::Remark::CheckedByValue(what.clone()))).collect();
        noticed.dedup();
        noticed.extend(check.remark.clone());
        Some(ReportCheck {
            label: check.label.clone(),
            section: self.section(check.place),
            line: self.line(check.place),
            outcome: outcome(judged.outcome),
            compared: compared.unwrap_or_default(),
            advice: check.advice.clone(),
            waiting_on: judged.waits.as_ref().map(|waits| self.wait_names(waits)).unwrap_or_default(),
            remarks: noticed,
        })
    }

    fn waiting(&self) -> Vec<WaitingBlank> {
        let mut needed = self.needed();
        let mut blanks: Vec<WaitingBlank> = self
            .checked()
            .blanks
            .iter()
            .enumerate()
            .map(|(index, blank)| WaitingBlank {
                name: blank.name.clone(),
                line: self.line(blank.place),
                unit: blank.unit.clone(),
                head: blank
                    .unit
                    .as_deref()
                    .map(|unit| labelled(unit, blank.labels.only_above(), blank.labels.only_below()))
                    .unwrap_or_default(),
                needed_by: needed.remove(&index).unwrap_or_default(),
            })
            .collect();
        blanks.sort_by_key(|blank| blank.line);
        // A range with two blank ends is one thing to find out.
        blanks.dedup_by(|later, first| (later.line, &later.name) == (first.line, &first.name));
        blanks
    }

    /// The results and checks that wait on each blank, by the blank's number.
    fn needed(&self) -> HashMap<usize, Vec<String>> {
        let slots = self.checked().slots.iter().zip(&self.sheet.worked.slots);
        let slots = slots.filter_map(|(slot, outcome)| match (outcome, &slot.origin) {
            (Err(Stop::Waits(waits)), model::Origin::Worked(_)) => Some((&slot.name, waits)),
            _ => None,
        });
        let checks = self.checked().checks.iter().zip(&self.sheet.worked.checks);
        let checks = checks.filter_map(|(check, judged)| Some((&check.label, judged.waits.as_ref()?)));
        let mut needed: HashMap<usize, Vec<String>> = HashMap::new();
        for (name, waits) in slots.chain(checks) {
            for wait in waits.iter() {
                let Wait::Blank(blank) = wait else { continue };
                let own = needed.entry(blank).or_default();
                // A blank that half the sheet waits on says so by its first names.
                if own.len() < MOST_NEEDED && !own.contains(name) {
                    own.push(name.clone());
                }
            }
        }
        needed
    }
}

/// Leaves out what has been said already.
fn each_once(remarks: &mut Vec<String>) {
    let mut said = std::collections::HashSet::new();
    remarks.retain(|remark| said.insert(remark.clone()));
}

/// Where a slot's value comes from.
fn origin(slot: &model::Slot) -> Origin {
    match slot.origin {
        model::Origin::Entered(_) if slot.from.is_some() => Origin::Other,
        model::Origin::Entered(_) if slot.is_default => Origin::Template,
        model::Origin::Entered(_) => Origin::Entered,
        _ => Origin::Worked,
    }
}

/// How a check came out, in the report's words.
pub fn outcome(found: CheckOutcome) -> Outcome {
    match found {
        CheckOutcome::Ok => Outcome::Ok,
        CheckOutcome::Close => Outcome::Close,
        CheckOutcome::Waiting => Outcome::Waiting,
        CheckOutcome::No => Outcome::No,
    }
}

/// What kind of value a type is, in the report's words.
pub fn kind_of(kind: &Type) -> ValueKind {
    match kind {
        Type::Number(number) if number.is_range() => ValueKind::Range,
        Type::Number(number) if number.dimension.power_of(Base::Money) != 0 => ValueKind::Money,
        Type::Number(number) if number.unit.is_plain() => ValueKind::Number,
        Type::Number(_) | Type::Unknown => ValueKind::Quantity,
        Type::Text => ValueKind::Text,
        Type::Date { .. } => ValueKind::Date,
        Type::YesNo => ValueKind::YesNo,
        Type::Several(_) => ValueKind::Readings,
    }
}
