//! The checks and charts of a sheet settled, and what no formula may do with choices of rows.

use super::super::charts;
use super::super::formulas::Typing;
use super::super::model::{Chart, Check, Does, Expression, Function};
use super::Settler;
use crate::syntax::tree::{self, Statement, StatementKind};
use crate::text::Place;
use crate::trouble::Kind;

impl Settler<'_> {
    pub(super) fn checks_and_charts(&mut self) {
        let gathered = self.gathered;
        for statement in &gathered.statements {
            match &statement.kind {
                StatementKind::Check(check) => self.check(statement, check),
                StatementKind::Chart(chart) => self.chart(statement, chart),
                _ => {}
            }
        }
    }

    pub(super) fn check(&mut self, statement: &Statement, check: &tree::Check) {
        let mut typing = Typing::new(self.scope(None));
        let condition = typing.condition(&check.condition);
        check_choices(&mut typing, &condition);
        let (troubles, asks_today) = (typing.troubles, typing.asks_today);
        let is_sound = troubles.is_empty() && !condition.kind.is_unknown();
        self.checked.asks_today |= asks_today;
        self.checked.troubles.extend(troubles);
        self.checked.checks.push(Check {
            label: check.label.clone(),
            place: statement.place,
            condition: is_sound.then_some(condition),
            advice: check.advice.clone(),
            remark: statement.remark.clone(),
        });
    }

    pub(super) fn chart(&mut self, statement: &Statement, chart: &tree::Chart) {
        let mut typing = Typing::new(self.scope(None));
        let ys: Vec<Expression> = chart.ys.iter().map(|formula| typing.formula(formula)).collect();
        let xs = typing.formula(&chart.xs);
        charts::check(&mut typing, &ys, &xs);
        let troubles = typing.troubles;
        let is_sound = troubles.is_empty() && ys.iter().chain([&xs]).all(|part| !part.kind.is_unknown());
        self.checked.troubles.extend(troubles);
        if is_sound {
            self.checked.charts.push(Chart { title: chart.title.clone(), place: statement.place, ys, xs });
        }
    }
}

/// Means over different choices of rows of one table in one formula are refused.
pub(super) fn check_choices(typing: &mut Typing<'_>, expression: &Expression) {
    let mut means = Vec::new();
    collect_means(expression, &mut means);
    for (index, (table, choice, place)) in means.iter().enumerate() {
        let text = |choice: &Option<Place>| choice.map(|place| typing.scope.text(place).to_lowercase());
        let differs = means.iter().take(index).any(|(other, own, _)| other == table && text(own) != text(choice));
        if differs {
            let table = typing.scope.tables.get(*table).map_or_else(String::new, |table| table.name.clone());
            typing.refuse(*place, Kind::TwoChoices { table });
            return;
        }
    }
}

fn collect_means(expression: &Expression, means: &mut Vec<(usize, Option<Place>, Place)>) {
    if let Does::Call(Function::Mean, arguments) = &expression.does
        && let [argument] = arguments.as_slice()
        && let Does::Column(table, _) = argument.value.does
    {
        means.push((table, argument.choice.as_ref().map(|choice| choice.place), expression.place));
    }
    expression.each_part(&mut |part| collect_means(part, means));
}
