//! What a doubt comes from, in words: its sources with their shares, or why there is none or none can be said.

use super::places::{Others, Places};
use super::{DoubtSays, DoubtSource};
use crate::checked::model::Remark;
use crate::quantity::shares::{Share, in_percent, only_mean, shares};
use crate::quantity::student::coverage_95;
use crate::quantity::{Doubt, Source, SourceKind};
use crate::report::remarks;
use crate::worked::Worked;

/// So many sources are named; smaller ones beyond them are taken together.
const MOST_SOURCES: usize = 12;

/// A half-width, in the unit that the doubt is in, as it is printed: `± 0.0028 gal/min`.
pub type Shown<'s> = &'s dyn Fn(f64) -> String;

/// What is to be said of a doubt.
pub fn says(
    doubt: &Doubt,
    worked: &Worked,
    places: &Places<'_>,
    give: Shown<'_>,
    others: &mut dyn Others,
) -> DoubtSays {
    if let Some(source) = doubt.unknown_source() {
        return DoubtSays::Unknown(unknown(worked, source));
    }
    let shares = shares(doubt, &worked.sources);
    if shares.is_empty() {
        let why = if doubt.is_none() { "no doubt: it counts as exact" } else { "no doubt: what it depends on cancels" };
        return DoubtSays::None(why.to_owned());
    }
    let (named, rest) = shares.split_at(if shares.len() > MOST_SOURCES + 1 { MOST_SOURCES } else { shares.len() });
    let rest_part: f64 = rest.iter().map(|share| share.part).sum();
    let parts: Vec<f64> = named.iter().map(|share| share.part).chain((!rest.is_empty()).then_some(rest_part)).collect();
    let percents = in_percent(&parts, 100);
    let mut sources: Vec<DoubtSource> = named
        .iter()
        .zip(&percents)
        .filter_map(|(share, percent)| Some(source(share, *percent, (doubt, worked, places, give), others)?))
        .collect();
    if let (false, Some(percent)) = (rest.is_empty(), percents.last()) {
        sources.push(DoubtSource {
            part: rest_part,
            percent: *percent,
            name: format!("{} others together", rest.len()),
            detail: String::new(),
            remark: None,
            place: String::new(),
        });
    }
    DoubtSays::Sources(sources)
}

/// Why a doubt cannot be said: the engine has noted it at a value that comes to it.
fn unknown(worked: &Worked, source: u32) -> String {
    let name = worked.sources.get(source).map(|source| source.name.clone()).unwrap_or_default();
    let root = Remark::RootUnknown(name.clone());
    let is_root = worked.slot_remarks.iter().flatten().any(|remark| *remark == root)
        || worked.columns.iter().enumerate().any(|(table, columns)| {
            let rows = columns.first().map_or(0, Vec::len);
            let cells = (0..columns.len()).flat_map(|column| (0..rows).map(move |row| (table, column, row)));
            cells.filter_map(|cell| worked.cell_remarks.get(&cell)).flatten().any(|remark| *remark == root)
        });
    remarks::words(&if is_root { root } else { Remark::DoubtUnknown(name) })
}

fn source(
    share: &Share,
    percent: i64,
    (doubt, worked, places, shown): (&Doubt, &Worked, &Places<'_>, Shown<'_>),
    others: &mut dyn Others,
) -> Option<DoubtSource> {
    let source = worked.sources.get(share.source)?;
    let mut found = DoubtSource {
        part: share.part,
        percent,
        name: source.name.clone(),
        detail: String::new(),
        remark: None,
        place: String::new(),
    };
    let file = source.origin.as_ref().map(|(path, _)| path);
    if source.kind == SourceKind::Scatter {
        let names: Vec<String> = match share.means.as_slice() {
            [] => only_mean(doubt, &worked.sources, share.source).map(str::to_owned).into_iter().collect(),
            means => means.iter().map(|(name, _)| name.clone()).collect(),
        };
        found.name = format!("scatter of {}", listed(&names));
        found.detail = format!("{} {}", readings(source), if share.means.is_empty() { "readings" } else { "rows" });
        found.remark = (!share.means.is_empty()).then(|| together(share, source.freedom, shown));
        found.place = file.map(ToString::to_string).unwrap_or_default();
        return Some(found);
    }
    let give = match file {
        Some(path) => others.give(path, &source.name),
        None => places.give(&source.name),
    };
    let give = give.unwrap_or_default();
    (found.detail, found.place) = (give.written, give.place);
    if let Some(path) = file.filter(|_| found.place.is_empty()) {
        found.place = path.to_string();
    }
    Some(found)
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

/// What each of several means would make of the doubt by itself, and what is left since they go together row by row.
fn together(share: &Share, freedom: f64, shown: Shown<'_>) -> String {
    let half_width = |standard: f64| shown(coverage_95(freedom) * standard);
    let each = share.means.iter().map(|(name, alone)| format!("{name} {}", half_width(*alone)));
    let apart = share.means.iter().fold(0.0, |whole, (_, alone)| libm::hypot(whole, *alone));
    let goes = if share.standard < apart { "each other's scatter cancels in part" } else { "their scatter adds up" };
    let left = half_width(share.standard);
    format!("taken row by row, where {goes}: by themselves {}, together {left}", listed(&each.collect::<Vec<_>>()))
}
