//! Choices of rows: what stands after `where`. Left of each comparison a column of that table, right of it a value of
//! the worksheet.

use super::formulas::{Typing, unknown};
use super::model::{Does, Expression};
use super::scope::Scope;
use super::types::Type;
use crate::syntax::tree::{self, Formula, FormulaKind, Name};
use crate::trouble::Kind;

/// Settles the choice of rows of a table.
pub fn condition(typing: &mut Typing<'_>, table: usize, choice: &Formula) -> Expression {
    let place = choice.place;
    let two = |typing: &mut Typing<'_>, left: &Formula, right: &Formula| {
        let (left, right) = (condition(typing, table, left), condition(typing, table, right));
        let is_unknown = left.kind.is_unknown() || right.kind.is_unknown();
        (!is_unknown).then(|| (Box::new(left), Box::new(right)))
    };
    match &choice.kind {
        FormulaKind::Both(left, right) => match two(typing, left, right) {
            Some((left, right)) => Expression { place, kind: Type::YesNo, does: Does::Both(left, right) },
            None => unknown(place),
        },
        FormulaKind::Either(left, right) => match two(typing, left, right) {
            Some((left, right)) => Expression { place, kind: Type::YesNo, does: Does::Either(left, right) },
            None => unknown(place),
        },
        FormulaKind::Not(inner) => {
            let inner = condition(typing, table, inner);
            match inner.kind.is_unknown() {
                true => unknown(place),
                false => Expression { place, kind: Type::YesNo, does: Does::Not(Box::new(inner)) },
            }
        }
        FormulaKind::Comparison(_, left, _)
        | FormulaKind::WithinRange(left, _)
        | FormulaKind::WithinDistance(left, _, _) => comparison(typing, table, choice, left),
        FormulaKind::Name(name) => match column(typing, table, name) {
            Some(cell) if cell.kind == Type::YesNo => cell,
            _ => typing.refuse(place, Kind::ChoiceForm),
        },
        _ => typing.refuse(place, Kind::ChoiceForm),
    }
}

/// The cell of the row that is being looked at, for a column's name or `row`.
fn column(typing: &Typing<'_>, table: usize, name: &Name) -> Option<Expression> {
    let own = Scope { row: Some(table), choice: None, ..typing.scope };
    if let Some(cell) = own.cell(name) {
        return Some(cell);
    }
    let label_column = typing.scope.tables.get(table).is_some_and(|table| tree::key(&table.name) == name.key);
    (name.key == "row" || label_column).then(|| Expression {
        place: name.place,
        kind: Type::Text,
        does: Does::RowLabel,
    })
}

/// One comparison: its left side is the cell, its right side is worked outside the table.
fn comparison(typing: &mut Typing<'_>, table: usize, choice: &Formula, left: &Formula) -> Expression {
    let FormulaKind::Name(name) = &left.kind else { return typing.refuse(left.place, Kind::ChoiceLeftSide) };
    let Some(cell) = column(typing, table, name) else {
        let near = typing.scope.nearest_column(table, &name.key, true);
        let table = typing.scope.tables.get(table).map_or_else(String::new, |table| table.name.clone());
        return typing.refuse(name.place, Kind::MissingMember { table, column: name.written.clone(), near });
    };
    // The right side is a value of the worksheet, or a cell of the row that the formula is worked for; a column of the
    // table that is being chosen from is out of sight there.
    let outer = typing.scope.row;
    typing.scope.row = outer.filter(|outer| *outer != table);
    let outer_choice = typing.scope.choice.replace(table);
    let settled = typing.with_left(choice, cell);
    (typing.scope.row, typing.scope.choice) = (outer, outer_choice);
    settled
}
