//! Rows of a table from a pattern that are alike in every cell: most likely a record that was copied and not changed.

use super::model::{Remark, Row, Written, WrittenValue};
use crate::quantity::{Moment, Value};
use std::collections::HashMap;

/// What a cell is compared by.
#[derive(PartialEq, Eq, Hash)]
enum Content {
    /// The bits of a number, and those of all that its doubt is made of.
    Number(u64, Vec<u64>, bool),
    Text(String),
    Date(Moment),
    YesNo(bool),
}

/// Rows alike: the first two of them, and how many more there are.
struct Group<'r> {
    first: &'r Row,
    second: Option<&'r Row>,
    more: usize,
}

/// A remark for all rows that are alike, in the order of the first of each.
pub fn remarks(rows: &[Row]) -> Vec<Remark> {
    let mut groups: Vec<Group<'_>> = Vec::new();
    let mut known: HashMap<Vec<Content>, usize> = HashMap::new();
    for row in rows {
        // What is not known yet is like nothing.
        let Some(cells) = row.cells.iter().map(content).collect::<Option<Vec<Content>>>() else { continue };
        let group = *known.entry(cells).or_insert(groups.len());
        match groups.get_mut(group) {
            Some(group) if group.second.is_some() => group.more += 1,
            Some(group) => group.second = Some(row),
            None => groups.push(Group { first: row, second: None, more: 0 }),
        }
    }
    let alike = groups.into_iter().filter_map(|group| {
        let labels = (group.first.label.clone(), group.second?.label.clone());
        Some(Remark::RowsAlike(labels.0, labels.1, group.more))
    });
    alike.collect()
}

fn content(cell: &Option<Written>) -> Option<Content> {
    let WrittenValue::Given(given) = &cell.as_ref()?.value else { return None };
    match given.value.as_ref().ok()? {
        Value::Number(number) => {
            let parts = number.doubt.parts().iter().map(|(_, part)| part.to_bits()).collect();
            // There is one 0, whichever sign it has.
            Some(Content::Number((number.value + 0.0).to_bits(), parts, number.doubt.is_unknown()))
        }
        Value::Text(text) => Some(Content::Text(text.to_lowercase())),
        Value::Date(date) => Some(Content::Date(*date)),
        Value::YesNo(is_yes) => Some(Content::YesNo(*is_yes)),
        Value::Range(_) => None,
    }
}
