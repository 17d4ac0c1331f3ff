//! What a value needs: the values, columns and cells that its formula takes, and all that those need in turn, down to
//! what a person wrote down. It works nothing out.

use super::model::{Checked, Does, End, Expression, Origin, ShownIn, Written, WrittenDoubt, WrittenValue};
use std::collections::BTreeSet;

/// Something that a value may need.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub enum Need {
    /// An entry or a result, by its slot.
    Slot(usize),
    /// A whole column: table, column.
    Column(usize, usize),
    /// One cell: table, column, row.
    Cell(usize, usize, usize),
}

/// All that some things need, themselves among it.
pub fn all(checked: &Checked, starts: impl IntoIterator<Item = Need>) -> BTreeSet<Need> {
    let mut found = BTreeSet::new();
    let mut open: Vec<Need> = starts.into_iter().collect();
    while let Some(need) = open.pop() {
        if found.insert(need) {
            open.extend(of(checked, need));
        }
    }
    found
}

/// What one thing needs itself; a size of a crew measure that it is counted or shown in too.
pub fn of(checked: &Checked, need: Need) -> Vec<Need> {
    let mut found = Vec::new();
    match need {
        Need::Slot(slot) => {
            let Some(own) = checked.slots.get(slot) else { return found };
            match &own.origin {
                Origin::Worked(expression) => found.extend(of_formula(expression, &|_| None)),
                Origin::Entered(written) => found.extend(measures(checked, words_of(written))),
                Origin::Broken | Origin::Stuck(_) => {}
            }
            found.extend(shown(checked, &own.shown));
        }
        Need::Column(table, column) => {
            found.extend(of_column(checked, table, column, &|cell| Some(Need::Column(table, cell))));
            let rows = checked.tables.get(table).map(|table| table.rows.as_slice()).unwrap_or_default();
            let cells = rows.iter().filter_map(|row| row.cells.get(column)?.as_ref());
            found.extend(measures(checked, cells.flat_map(words_of).collect::<BTreeSet<u16>>()));
        }
        Need::Cell(table, column, row) => {
            found.extend(of_column(checked, table, column, &|cell| Some(Need::Cell(table, cell, row))));
            let line = checked.tables.get(table).and_then(|table| table.rows.get(row));
            let cell = line.and_then(|line| line.cells.get(column)?.as_ref());
            found.extend(measures(checked, cell.map(words_of).unwrap_or_default()));
        }
    }
    found
}

/// What the formula of a column, its device's `±` and its unit need; `cell` says what a cell of the same row is.
fn of_column(checked: &Checked, table: usize, column: usize, cell: &dyn Fn(usize) -> Option<Need>) -> Vec<Need> {
    let Some((_, own)) = checked.column(table, column) else { return Vec::new() };
    let mut found: Vec<Need> = own.formula.iter().flat_map(|formula| of_formula(formula, cell)).collect();
    found.extend(measures(checked, own.doubt.iter().flat_map(doubt_words)));
    found.extend(shown(checked, &own.shown));
    found
}

/// What a formula takes; `cell` says what a cell of the row is that it is worked for.
pub fn of_formula(formula: &Expression, cell: &dyn Fn(usize) -> Option<Need>) -> Vec<Need> {
    let mut found = Vec::new();
    collect(formula, cell, None, &mut found);
    found
}

/// What a choice of rows of a table takes: its columns on the left, and values of the worksheet on the right.
pub fn of_choice(choice: &Expression, table: usize, cell: &dyn Fn(usize) -> Option<Need>) -> Vec<Need> {
    let mut found = Vec::new();
    collect(choice, cell, Some(table), &mut found);
    found
}

/// In a choice of rows, cells are those of the table chosen from, whose whole columns decide.
fn collect(part: &Expression, cell: &dyn Fn(usize) -> Option<Need>, chosen_from: Option<usize>, found: &mut Vec<Need>) {
    match &part.does {
        Does::Slot(slot) => found.push(Need::Slot(*slot)),
        Does::Column(table, column) => found.push(Need::Column(*table, *column)),
        Does::Cell(column) => found.extend(match chosen_from {
            Some(table) => Some(Need::Column(table, *column)),
            None => cell(*column),
        }),
        Does::OuterCell(column) => found.extend(cell(*column)),
        Does::Call(_, arguments) => {
            for argument in arguments {
                collect(&argument.value, cell, chosen_from, found);
                let table = match argument.value.does {
                    Does::Column(table, _) => Some(table),
                    _ => chosen_from,
                };
                argument.choice.iter().for_each(|choice| collect(choice, cell, table, found));
            }
        }
        _ => part.each_part(&mut |inner| collect(inner, cell, chosen_from, found)),
    }
}

/// The sizes of the crew measures that a value is shown in.
fn shown(checked: &Checked, shown: &[ShownIn]) -> Vec<Need> {
    measures(checked, shown.iter().flat_map(|shown| shown.unit.crew_words()).map(|(word, _)| word))
}

fn measures(checked: &Checked, words: impl IntoIterator<Item = u16>) -> Vec<Need> {
    let slot = |word: u16| checked.crew_slots.get(usize::from(word)).copied().flatten();
    words.into_iter().filter_map(slot).map(Need::Slot).collect()
}

/// The crew measures that a written value is counted in.
fn words_of(written: &Written) -> Vec<u16> {
    let end = |end: &End| -> Vec<u16> {
        end.crew.iter().map(|(word, _)| *word).chain(end.doubt.iter().flat_map(doubt_words)).collect()
    };
    match &written.value {
        WrittenValue::Number(number) => end(number),
        WrittenValue::Range(low, high) => low.iter().chain(high).flat_map(end).collect(),
        WrittenValue::Readings(_, doubt, crew) => {
            crew.iter().map(|(word, _)| *word).chain(doubt.iter().flat_map(doubt_words)).collect()
        }
        _ => Vec::new(),
    }
}

fn doubt_words(doubt: &WrittenDoubt) -> Vec<u16> {
    doubt.crew.iter().map(|(word, _)| *word).collect()
}
