//! Units that may stand at a place: those that fit what is wanted there, or all where anything is.

use super::context::{Context, Wanted, Where};
use super::{Offer, Sort};
use crate::book::Settled;
use crate::checked::model::{Does, ShownIn};
use crate::checked::types::{NumberType, Type};
use crate::checked::units::Position;
use crate::editing::sheet::Sheet;
use crate::report::letters::clean;
use crate::syntax::parse::{parse, parse_unit};
use crate::syntax::tree;
use crate::text::{Place, Source, cut};
use crate::units::describe::describe;
use crate::units::vocabulary::{self, EntryKind};
use crate::units::{CrewWord, Dimension, Factor, Unit, Word};
use std::collections::BTreeSet;

/// The name that what is being written is worked under.
const ASKED: &str = "asked for here";

/// The units that may stand there: those that the worksheet uses already first.
pub(super) fn offers(sheet: &Sheet, context: &Context) -> Vec<Offer> {
    let Where::Unit { wanted, before } = &context.is else { return Vec::new() };
    let number = wanted_number(sheet, context, wanted);
    let whole = number.as_ref().map(|number| number.dimension.clone());
    let dimension = if before.is_empty() { whole } else { whole.and_then(|whole| remaining(sheet, before, &whole)) };
    let mut found = Found { place: context.word, dimension, seen: BTreeSet::new(), offers: Vec::new() };
    let crew = &sheet.settled.checked.crew;
    if before.is_empty() {
        // The unit it would be shown in anyhow, and those that stand in the worksheet.
        let own = number.iter().map(|number| &number.unit);
        let units = own.chain(used(sheet).map(|shown| &shown.unit)).filter(|unit| !unit.is_plain());
        units.for_each(|unit| found.add(&unit.symbol(crew), &unit.dimension(crew), crew));
    }
    for own in crew {
        found.add(&own.word, &own.dimension, crew);
    }
    for entry in vocabulary::entries().iter().filter(|entry| entry.kind != EntryKind::Points) {
        found.add(entry.symbol, &entry.dimension(), crew);
    }
    for composite in vocabulary::composites().iter().filter(|own| before.is_empty() || own.parts.len() == 1) {
        let factor =
            |(index, twelfths): &(u16, i16)| Factor { word: Word::Known(*index), twelfths: *twelfths, lead: 1.0 };
        let unit = Unit { factors: composite.parts.iter().map(factor).collect() };
        found.add(&unit.symbol(&[]), &unit.dimension(&[]), crew);
    }
    found.offers
}

/// What has been found, each unit once.
struct Found {
    place: Place,
    dimension: Option<Dimension>,
    seen: BTreeSet<String>,
    offers: Vec<Offer>,
}

impl Found {
    /// Adds a unit if it fits.
    fn add(&mut self, symbol: &str, dimension: &Dimension, crew: &[CrewWord]) {
        let fits = self.dimension.as_ref().is_none_or(|wanted| wanted == dimension);
        if fits && self.seen.insert(symbol.to_owned()) {
            let detail = clean(&describe(dimension, crew));
            let (place, label, text) = (self.place, clean(symbol), symbol.to_owned());
            self.offers.push(Offer { sort: Sort::Unit, label, place, text, detail });
        }
    }
}

/// The units that values and columns of the worksheet are shown in.
fn used(sheet: &Sheet) -> impl Iterator<Item = &ShownIn> {
    let checked = &sheet.settled.checked;
    let columns = checked.tables.iter().flat_map(|table| &table.columns);
    checked.slots.iter().flat_map(|slot| &slot.shown).chain(columns.flat_map(|column| &column.shown))
}

/// The dimension that is still to come behind a part of a unit that ends in its joint.
fn remaining(sheet: &Sheet, before: &str, whole: &Dimension) -> Option<Dimension> {
    let is_below = before.ends_with('/') || before.trim_end().ends_with("per");
    let part = before.trim_end().trim_end_matches(['/', '·', '*']).trim_end_matches("per").trim().to_owned();
    let unit = parse_unit(&Source::of_text("", part), 0).ok()?;
    let part = sheet.settled.checked.measures().settle(&unit, Position::Value, &|_| false).ok()?.kind.dimension;
    Some(if is_below { part.over(whole) } else { whole.over(&part) })
}

/// The number that the unit is to be one of; none where anything will do, or where that cannot be told.
fn wanted_number(sheet: &Sheet, context: &Context, wanted: &Wanted) -> Option<NumberType> {
    let source = &sheet.source;
    match wanted {
        Wanted::Anything => None,
        Wanted::ShownBy(end) => {
            let line = source.slice(Place { end: *end, ..context.statement });
            compared(sheet, context, line.split_once('=')?.1.trim())
        }
        // Without the line the template's own says what belongs there.
        Wanted::OfEntry(name) => named(sheet, context, "", name),
        Wanted::OfColumn(column) => {
            let key = context.table.as_deref()?;
            let table = sheet.settled.checked.tables.iter().find(|table| tree::has_key(&table.name, key))?;
            table.columns.get(*column)?.kind.number().cloned()
        }
        Wanted::Like(text) => {
            compared(sheet, context, text).or_else(|| named(sheet, context, &format!("{ASKED} : {text}"), ASKED))
        }
    }
}

/// What a formula comes to, whatever it could be shown in: a check shows nothing.
fn compared(sheet: &Sheet, context: &Context, formula: &str) -> Option<NumberType> {
    let settled = with_line(sheet, context, &format!("? {ASKED} : ({formula}) is ({formula})"));
    let checks = settled.checked.checks.iter().rev();
    let condition = checks.filter(|check| check.label == ASKED).find_map(|check| check.condition.as_ref())?;
    match &condition.does {
        Does::Comparison(_, left, _) => left.kind.number().cloned(),
        _ => None,
    }
}

/// What a name comes to in the worksheet with another line in the place of the one that is being written.
fn named(sheet: &Sheet, context: &Context, line: &str, name: &str) -> Option<NumberType> {
    let settled = with_line(sheet, context, line);
    let slot = settled.checked.slots.iter().find(|slot| tree::key(&slot.name) == *name)?;
    match &slot.kind {
        Type::Several(each) => each.number().cloned(),
        kind => kind.number().cloned(),
    }
}

/// The worksheet with another line in the place of the one that is being written.
fn with_line(sheet: &Sheet, context: &Context, line: &str) -> Settled {
    let range = context.statement.range();
    let text = &sheet.source.text;
    let (before, after) = (cut::until(text, range.start), cut::since(text, range.end));
    let source = Source::of_text(&sheet.source.name, format!("{before}{line}{after}"));
    let parsed = parse(&source, 0);
    sheet.book.settle_read(source, parsed, sheet.within())
}
