//! Charts settled: readings or columns of one length, several drawn upwards only in one dimension.

use super::formulas::Typing;
use super::model::{Does, Expression, Origin, WrittenValue};
use super::types::Type;
use crate::trouble::Kind;

/// Notes what is wrong with a chart.
pub fn check(typing: &mut Typing<'_>, ys: &[Expression], xs: &Expression) {
    let Some(first) = ys.first() else { return };
    for part in ys.iter().chain([xs]) {
        match &part.kind {
            Type::Several(each) if matches!(each.as_ref(), Type::Number(number) if !number.is_range()) => {}
            kind if kind.is_unknown() => return,
            other => {
                let found = typing.describe(other);
                typing.refuse(part.place, Kind::SeveralWanted { found });
                return;
            }
        }
        let (one, other) = (count(typing, first), count(typing, part));
        if one != other {
            let name = |part: &Expression| typing.scope.text(part.place);
            let kind = Kind::ChartLengths { first: name(first), count: one, second: name(part), other };
            typing.refuse(part.place, kind);
            return;
        }
    }
    let dimension = |part: &Expression| part.kind.each().number().map(|number| number.dimension.clone());
    if let Some(other) = ys.iter().find(|part| dimension(part) != dimension(first)) {
        let named =
            |part: &Expression| format!("{} is {}", typing.scope.text(part.place), typing.describe(part.kind.each()));
        let kind =
            Kind::UnitMismatch { left: named(first), right: named(other), instead: "a chart for each".to_owned() };
        typing.refuse(other.place, kind);
    }
}

fn count(typing: &Typing<'_>, part: &Expression) -> usize {
    match part.does {
        Does::Column(table, _) => typing.scope.tables.get(table).map_or(0, |table| table.rows.len()),
        Does::Slot(slot) => match typing.scope.slots.get(slot).map(|slot| &slot.origin) {
            Some(Origin::Entered(written)) => match &written.value {
                WrittenValue::Readings(numbers, _, _) => numbers.len(),
                _ => 1,
            },
            _ => 1,
        },
        _ => 1,
    }
}
