//! What a name stands for that one asks about: an entry, a result, a cell, a check; or the nearest.

use super::explain::Target;
use crate::checked::Checked;
use crate::checked::model::{Origin, Table};
use crate::checked::needs::Need;
use crate::checked::scope::nearest;
use crate::syntax::tree;
use crate::text::single_spaced;
use crate::trouble::Kind;

/// Everything that goes by a name: a value, and checks so labelled.
///
/// # Errors
/// Where nothing does, or it is no single value.
pub fn targets(checked: &Checked, asked: &str) -> Result<Vec<Target>, Kind> {
    let asked = single_spaced(asked);
    let key = tree::key(&asked);
    let slot = checked.slots.iter().position(|slot| tree::has_key(&slot.name, &key));
    let checks = checked.checks.iter().enumerate().filter(|(_, check)| tree::has_key(&check.label, &key));
    let checks = checks.map(|(number, _)| Target::Check(number));
    let found: Vec<Target> = slot.map(|slot| Target::Value(Need::Slot(slot))).into_iter().chain(checks).collect();
    let is_empty = checked.slots.is_empty() && checked.tables.is_empty() && checked.checks.is_empty();
    if is_empty && !checked.troubles.is_empty() {
        return Err(Kind::NothingWorked);
    }
    match slot.and_then(|slot| checked.slots.get(slot)) {
        Some(own) if matches!(own.origin, Origin::Broken) => Err(Kind::InTroubleItself { name: own.name.clone() }),
        _ if !found.is_empty() => Ok(found),
        _ => cell(checked, &asked).map(|cell| vec![Target::Value(cell)]),
    }
}

/// `beds.area, north walk`
fn cell(checked: &Checked, asked: &str) -> Result<Need, Kind> {
    let (column, label) = asked.split_once(", ").map_or((asked, None), |(column, label)| (column, Some(label)));
    let (table, column) = column.split_once('.').map_or((column, None), |(table, column)| (table, Some(column)));
    let number = checked.tables.iter().position(|own| tree::key(&own.name) == tree::key(table));
    let (Some(number), Some(own)) = (number, number.and_then(|number| checked.tables.get(number))) else {
        return Err(nothing_called(checked, asked));
    };
    let Some(column) = column else {
        let cell = own.columns.last().map(|column| cell_of(own, &column.name)).unwrap_or_default();
        return Err(Kind::WholeAsked { name: own.name.clone(), what: "table".to_owned(), cell });
    };
    let place = own.columns.iter().position(|own| tree::key(&own.name) == tree::key(column));
    let Some((place, kind)) = place.and_then(|place| Some((place, own.columns.get(place)?))) else {
        let near = nearest(&tree::key(column), own.columns.iter().map(|column| column.name.as_str()));
        let row = label.map(|label| format!(", {label}")).unwrap_or_default();
        let near = near.map(|near| format!("`{}.{near}{row}`", own.name)).unwrap_or_default();
        return Err(Kind::NothingCalled { name: asked.to_owned(), near });
    };
    let Some(label) = label else {
        let (name, cell) = (format!("{}.{}", own.name, kind.name), cell_of(own, &kind.name));
        return Err(Kind::WholeAsked { name, what: "column".to_owned(), cell });
    };
    match own.rows.iter().position(|row| tree::key(&row.label) == tree::key(label)) {
        Some(_) if kind.is_broken => Err(Kind::InTroubleItself { name: format!("{}.{}", own.name, kind.name) }),
        Some(row) => Ok(Need::Cell(number, place, row)),
        None => {
            let near = nearest(&tree::key(label), own.rows.iter().map(|row| row.label.as_str()));
            let near = near.map(|near| format!("`{}.{}, {near}`", own.name, kind.name));
            let labels = own.rows.iter().map(|row| row.label.as_str()).collect::<Vec<_>>().join(", ");
            Err(match near {
                Some(near) => Kind::NothingCalled { name: asked.to_owned(), near },
                None => Kind::NoSuchRow { label: format!("`{label}`"), labels },
            })
        }
    }
}

/// The first cell of a column, as one asks for it.
fn cell_of(table: &Table, column: &str) -> String {
    let label = table.rows.first().map_or("…", |row| &row.label);
    format!("{}.{column}, {label}", table.name)
}

fn nothing_called(checked: &Checked, asked: &str) -> Kind {
    let slots = checked.slots.iter().map(|slot| slot.name.as_str());
    let checks = checked.checks.iter().map(|check| check.label.as_str());
    let tables = checked.tables.iter().map(|table| table.name.as_str());
    let names: Vec<&str> = slots.chain(checks).chain(tables).collect();
    let key = tree::key(asked);
    let near: Vec<&str> = nearest(&key, names.iter().copied()).into_iter().collect();
    let holding = names.iter().copied().filter(|name| !key.is_empty() && tree::key(name).contains(&key));
    let results = checked.slots.iter().filter(|slot| matches!(slot.origin, Origin::Worked(_)));
    let offered = [near, holding.collect(), results.map(|slot| slot.name.as_str()).collect()];
    let offered = offered.into_iter().find(|names| !names.is_empty()).unwrap_or_default();
    let offered: Vec<String> = offered.iter().take(MOST_OFFERED).map(|name| format!("`{name}`")).collect();
    Kind::NothingCalled { name: asked.to_owned(), near: offered.join(", ") }
}

/// So many names are offered in the place of one that there is not: the nearest, or else those that hold its words, or
/// else the first results.
const MOST_OFFERED: usize = 5;
