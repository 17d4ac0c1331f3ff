//! What a value waits on, by name.

use crate::checked::Checked;
use crate::checked::model::Node;
use crate::worked::{Wait, Waits, Worked};
use std::collections::HashSet;

/// The names of all that is waited on, each once.
pub fn names(checked: &Checked, worked: &Worked, waits: &Waits) -> Vec<String> {
    let mut met = HashSet::new();
    let names = waits.iter().filter_map(|wait| name(checked, worked, wait));
    names.filter(|name| met.insert(name.clone())).collect()
}

fn name(checked: &Checked, worked: &Worked, wait: Wait) -> Option<String> {
    match wait {
        Wait::Blank(blank) => checked.blanks.get(blank).map(|blank| blank.name.clone()),
        Wait::Broken(node) => node_name(checked, node),
        Wait::Cell(table, row, column) => cell_name(checked, table, row, column),
        Wait::Elsewhere(number) => worked.elsewhere.get(number).cloned(),
        Wait::Rows(table) => checked.tables.get(table).map(|table| format!("rows of {}", table.name)),
        Wait::Unread => Some("a line in trouble".to_owned()),
    }
}

fn node_name(checked: &Checked, node: Node) -> Option<String> {
    match node {
        Node::Slot(slot) => checked.slots.get(slot).map(|slot| slot.name.clone()),
        Node::Column(table, column) => {
            let table = checked.tables.get(table)?;
            Some(format!("{}.{}", table.name, table.columns.get(column)?.name))
        }
    }
}

/// `beds.width, south`
pub fn cell_name(checked: &Checked, table: usize, row: usize, column: usize) -> Option<String> {
    let table = checked.tables.get(table)?;
    Some(format!("{}.{}, {}", table.name, table.columns.get(column)?.name, table.rows.get(row)?.label))
}
