//! What a doubt comes from, in words: its sources with their shares, or why there is none or none can be said.

use super::places::{Give, Others, Places};
use super::{DoubtSays, DoubtSource};
use crate::checked::model::Remark;
use crate::quantity::shares::{Share, in_percent, only_mean, shares};
use crate::quantity::student::coverage_95;
use crate::quantity::{Doubt, Source, SourceKind};
use crate::report::remarks;
use crate::worked::Worked;

/// So many sources are named; smaller ones beyond them are taken together.
const MOST_SOURCES: usize = 12;

/// Tells what doubts of one worksheet come from.
pub struct Teller<'t, 'a> {
    /// The worked sheet.
    pub worked: &'t Worked,
    /// Where its things stand.
    pub places: &'t Places<'a>,
    /// A half-width, in the unit that the doubt is in, as it is printed: `± 0.0028 gal/min`.
    pub shown: &'t dyn Fn(f64) -> String,
}

impl Teller<'_, '_> {
    /// What is to be said of a doubt.
    pub fn says(&self, doubt: &Doubt, others: &mut dyn Others) -> DoubtSays {
        if let Some(source) = doubt.unknown_source() {
            return DoubtSays::Unknown(self.unknown(source));
        }
        let shares = shares(doubt, &self.worked.sources);
        if shares.is_empty() {
            let why =
                if doubt.is_none() { "no doubt: it counts as exact" } else { "no doubt: what it depends on cancels" };
            return DoubtSays::None(why.to_owned());
        }
        let (named, rest) = shares.split_at(if shares.len() > MOST_SOURCES + 1 { MOST_SOURCES } else { shares.len() });
        let rest_part: f64 = rest.iter().map(|share| share.part).sum();
        let rest_parts = (!rest.is_empty()).then_some(rest_part);
        let parts: Vec<f64> = named.iter().map(|share| share.part).chain(rest_parts).collect();
        let percents = in_percent(&parts, 100);
        let told =
            named.iter().zip(&percents).filter_map(|(share, percent)| self.source(share, *percent, doubt, others));
        let mut sources: Vec<DoubtSource> = told.collect();
        sources.extend(rest_parts.zip(percents.last()).map(|(part, percent)| DoubtSource {
            part,
            percent: *percent,
            name: format!("{} others together", rest.len()),
            ..DoubtSource::default()
        }));
        DoubtSays::Sources(sources)
    }

    /// Why a doubt cannot be said: the engine has noted it at a value that comes to it.
    fn unknown(&self, source: u32) -> String {
        let name = self.worked.sources.get(source).map(|source| source.name.clone()).unwrap_or_default();
        let root = Remark::RootUnknown(name.to_string());
        let is_root = self.worked.slot_remarks.iter().flatten().any(|remark| *remark == root)
            || self
                .all_cells()
                .filter_map(|cell| self.worked.cell_remarks.get(&cell))
                .flatten()
                .any(|own| *own == root);
        remarks::words(&if is_root { root } else { Remark::DoubtUnknown(name.to_string()) })
    }

    fn all_cells(&self) -> impl Iterator<Item = (usize, usize, usize)> + '_ {
        let tables = self.worked.columns.iter().enumerate();
        tables.flat_map(|(table, columns)| {
            let rows = columns.first().map_or(0, Vec::len);
            (0..columns.len()).flat_map(move |column| (0..rows).map(move |row| (table, column, row)))
        })
    }

    fn source(&self, share: &Share, percent: i64, doubt: &Doubt, others: &mut dyn Others) -> Option<DoubtSource> {
        let source = self.worked.sources.get(share.source)?;
        let found = DoubtSource { part: share.part, percent, name: source.name.to_string(), ..DoubtSource::default() };
        let file = source.origin.as_ref().map(|(path, _)| path.to_string());
        if source.kind == SourceKind::Scatter {
            let only = only_mean(doubt, &self.worked.sources, share.source).map(str::to_owned);
            let names: Vec<String> = share.means.iter().map(|(name, _)| name.clone()).chain(only).collect();
            let is_group = !share.means.is_empty();
            return Some(DoubtSource {
                name: format!("scatter of {}", listed(&names)),
                detail: format!("{} {}", readings(source), if is_group { "rows" } else { "readings" }),
                remark: is_group.then(|| self.together(share, source.freedom)),
                place: file.unwrap_or_default(),
                ..found
            });
        }
        let give = match &file {
            Some(path) => others.give(path, &source.name),
            None => self.places.give(&source.name),
        };
        let Give { written, place } = give.unwrap_or_default();
        let place = if place.is_empty() { file.unwrap_or_default() } else { place };
        Some(DoubtSource { detail: written, place, ..found })
    }

    /// What each of several means would make of the doubt by itself, and what is left since they go together row by row.
    fn together(&self, share: &Share, freedom: f64) -> String {
        let half_width = |standard: f64| (self.shown)(coverage_95(freedom) * standard);
        let each = share.means.iter().map(|(name, alone)| format!("{name} {}", half_width(*alone)));
        let apart = share.means.iter().fold(0.0, |whole, (_, alone)| libm::hypot(whole, *alone));
        let goes =
            if share.standard < apart { "each other's scatter cancels in part" } else { "their scatter adds up" };
        let (each, left) = (listed(&each.collect::<Vec<_>>()), half_width(share.standard));
        format!("taken row by row, where {goes}: by themselves {each}, together {left}")
    }
}

/// How many readings a scatter is that of: one more than its degrees of freedom.
fn readings(source: &Source) -> String {
    format!("{:.0}", source.freedom + 1.0)
}

/// `passes.walk and passes.catch`
fn listed(names: &[String]) -> String {
    match names.split_last() {
        Some((last, others)) if !others.is_empty() => format!("{} and {last}", others.join(", ")),
        _ => names.concat(),
    }
}
