//! A whole sheet settled, stage by stage: measures of the crew, names, entries, tables, the order of formulas, the
//! formulas themselves, checks and charts.

mod crew;

use super::display;
use super::drawn::Given;
use super::fit;
use super::formulas::Typing;
use super::literals::Literals;
use super::model::{Chart, Check, Checked, Does, Expression, Function, Named, Names, Node, Origin, Remark, Slot};
use super::order::{self, Reference};
use super::scope::Scope;
use super::tables::{self, Tables};
use super::types::Type;
use super::units::Measures;
use crate::gathered::{Fill, Gathered, RowRun};
use crate::syntax::tree::{self, ColumnKind, FileName, Formula, Literal, Name, Promise, Statement, StatementKind};
use crate::text::{Place, Source};
use crate::trouble::{Kind, Trouble};
use std::cell::Cell;
use std::collections::{HashMap, HashSet};

/// Settles a sheet. `given` is what it draws on from other files; `settings` are entries set for this run, in place of
/// what the sheet says. Their texts stand among `sources`, behind those of the sheet itself.
pub fn settle(gathered: &Gathered, given: &Given, sources: &[Source], settings: &[(Name, Literal)]) -> Checked {
    let mut settler = Settler::new(gathered, given, sources);
    settler.prose();
    if gathered.is_stopped {
        // The template is not the one that was meant: nothing is worked.
        return settler.finish();
    }
    settler.drawn_sheets();
    settler.crew_measures();
    settler.names();
    settler.entries(settings);
    settler.tables();
    settler.formulas();
    settler.checks_and_charts();
    settler.near_misses();
    settler.finish()
}

struct Settler<'a> {
    gathered: &'a Gathered,
    given: &'a Given,
    sources: &'a [Source],
    measures: Measures,
    names: Names,
    /// Where each name was first defined.
    places: HashMap<String, Place>,
    unread: HashSet<String>,
    comparisons: Cell<usize>,
    runs: &'a [RowRun],
    /// The formula of each slot that is worked out.
    worked: Vec<(usize, &'a Formula, Option<&'a Promise>)>,
    checked: Checked,
}

/// What is worked out: a slot's formula or a column's.
#[derive(Clone, Copy)]
struct Job<'a> {
    node: Node,
    formula: &'a Formula,
    promise: Option<&'a Promise>,
}

impl<'a> Settler<'a> {
    fn new(gathered: &'a Gathered, given: &'a Given, sources: &'a [Source]) -> Self {
        let checked =
            Checked { troubles: gathered.troubles.clone(), ranks: gathered.ranks.clone(), ..Checked::default() };
        let unread = gathered.unread.iter().map(|name| name.key.clone()).chain(gathered.lost_tables.clone()).collect();
        let lost = gathered.unread.iter().filter_map(|name| name.key.strip_prefix("1 "));
        let measures = Measures { lost: lost.map(str::to_owned).collect(), ..Measures::default() };
        Self {
            gathered,
            given,
            sources,
            measures,
            names: Names::new(),
            places: HashMap::new(),
            unread,
            comparisons: Cell::new(0),
            runs: &gathered.runs,
            worked: Vec::new(),
            checked,
        }
    }

    fn refuse(&mut self, place: Place, kind: Kind) {
        self.checked.troubles.push(Trouble::new(place, kind));
    }

    fn prose(&mut self) {
        for statement in &self.gathered.statements {
            match &statement.kind {
                // The worksheet's own title stands before its template's.
                StatementKind::Title(text) if self.checked.title.is_none() || statement.place.source == 0 => {
                    self.checked.title = Some(text.clone());
                }
                StatementKind::Section(text) => self.checked.sections.push((statement.place, text.clone())),
                StatementKind::Note(text) if !text.is_empty() => {
                    self.checked.notes.push((statement.place, text.clone()));
                }
                StatementKind::Caution(text) if !self.checked.cautions.contains(text) => {
                    self.checked.cautions.push(text.clone());
                }
                _ => {}
            }
        }
    }

    fn add_slot(&mut self, slot: Slot) -> usize {
        self.checked.slots.push(slot);
        self.checked.slots.len() - 1
    }

    fn line(&self, place: Place) -> usize {
        self.sources.get(usize::from(place.source)).map_or(0, |source| source.spot(place).line)
    }

    /// Gives each entry, result and table its name.
    fn names(&mut self) {
        let gathered = self.gathered;
        for statement in &gathered.statements {
            match &statement.kind {
                StatementKind::Entry(name, _) => {
                    self.define_slot(statement, name);
                }
                StatementKind::Result(name, formula, promise) => {
                    if let Some(slot) = self.define_slot(statement, name) {
                        self.worked.push((slot, formula, promise.as_ref()));
                    }
                }
                _ => {}
            }
        }
        let heads: Vec<Name> = self.runs.iter().map(|run| run.head.name.clone()).collect();
        for (table, name) in heads.iter().enumerate() {
            self.define(name, Named::Table(table));
        }
    }

    fn define_slot(&mut self, statement: &Statement, name: &Name) -> Option<usize> {
        let slot = self.checked.slots.len();
        self.define(name, Named::Slot(slot)).then(|| {
            self.add_slot(Slot {
                name: name.written.clone(),
                place: statement.place,
                remark: statement.remark.clone(),
                kind: Type::Unknown,
                origin: Origin::Broken,
                shown: Vec::new(),
                remarks: Vec::new(),
                is_crew_measure: false,
                is_default: false,
                from: None,
            })
        })
    }

    fn define(&mut self, name: &Name, named: Named) -> bool {
        if matches!(name.key.as_str(), "pi" | "today" | "yes" | "no") {
            self.refuse(name.place, Kind::NameTaken { name: name.written.clone() });
            return false;
        }
        if let Some(first) = self.places.get(&name.key).copied() {
            let line = self.line(first);
            self.checked
                .troubles
                .push(Trouble::new(name.place, Kind::DefinedTwice { name: name.written.clone(), line }).beside(first));
            self.unread.insert(name.key.clone());
            return false;
        }
        self.places.insert(name.key.clone(), name.place);
        self.names.insert(name.key.clone(), named);
        true
    }

    /// Settles what stands on the right of each colon, and what is set for this run.
    fn entries(&mut self, settings: &[(Name, Literal)]) {
        let gathered = self.gathered;
        let mut done = HashSet::new();
        for statement in &gathered.statements {
            let StatementKind::Entry(name, literal) = &statement.kind else { continue };
            let Some(Named::Slot(slot)) = self.names.get(&name.key).copied() else { continue };
            if !done.insert(slot) || self.places.get(&name.key) != Some(&name.place) {
                continue;
            }
            self.entry(slot, name, literal, settings);
            self.checked.order.push(Node::Slot(slot));
        }
        for (name, _) in settings {
            let is_entry = matches!(self.names.get(&name.key), Some(Named::Slot(slot)) if done.contains(slot));
            if is_entry {
                continue;
            }
            if self.names.contains_key(&name.key) {
                self.refuse(name.place, Kind::SetOfNoEntry { name: name.written.clone() });
                continue;
            }
            let entries = done.iter().filter_map(|slot| self.checked.slots.get(*slot)).map(|slot| slot.name.as_str());
            let mut entries: Vec<&str> = entries.collect();
            entries.sort_unstable();
            let near = super::scope::nearest(&name.key, entries.into_iter()).unwrap_or_default().to_owned();
            self.refuse(name.place, Kind::NoSuchEntry { name: name.written.clone(), near });
        }
    }

    fn entry(&mut self, slot: usize, name: &Name, literal: &Literal, settings: &[(Name, Literal)]) {
        let gathered = self.gathered;
        let fills: Vec<&Fill> = gathered.fills.iter().filter(|fill| fill.name.key == name.key).collect();
        let setting = settings.iter().rev().find(|(set, _)| set.key == name.key);
        let last = setting.map(|(_, set)| set).or(fills.last().map(|fill| &fill.literal));
        let mut remarks = Vec::new();
        let settled = match last {
            None => self.literal(literal, &name.written),
            Some(last) => {
                // What the template has is a blank or a default: it says the kind, and is not a value itself.
                if !fills.is_empty() && !literal.has_blank() {
                    remarks.push(Remark::Departs(self.scope(None).text(literal.place)));
                }
                if setting.is_some() {
                    let before = fills.last().map_or(literal, |fill| &fill.literal);
                    remarks.push(Remark::SetForRun(self.scope(None).text(before.place)));
                }
                self.filled(literal, last, &name.written)
            }
        };
        let (written, kind) = match settled {
            Ok(settled) => settled,
            Err(trouble) => return self.lost_entry(slot, trouble),
        };
        let shown = display::in_own_unit(&kind, &self.measures);
        let remark = fills.last().and_then(|fill| fill.remark.clone());
        if let Some(own) = self.checked.slots.get_mut(slot) {
            own.is_default = own.place.source > 0 && last.is_none();
            own.remarks.extend(remarks);
            own.remark = remark.or(own.remark.take());
            own.shown = shown;
            own.kind = kind;
            own.origin = Origin::Entered(written);
        }
    }

    /// Settles the value that stands in the place of another, whose kind it must have; blanks in that one are none.
    fn filled(
        &mut self,
        blank: &Literal,
        value: &Literal,
        name: &str,
    ) -> Result<(super::model::Written, Type), Trouble> {
        let count = self.checked.blanks.len();
        let (_, wanted) = self.literal(blank, name)?;
        self.checked.blanks.truncate(count);
        let (written, kind) = self.literal(value, name)?;
        let fitted = fit::fit(&kind, &wanted, &self.measures).map_err(|kind| Trouble::new(value.place, kind))?;
        Ok((written, fitted))
    }

    fn literal(&mut self, literal: &Literal, name: &str) -> Result<(super::model::Written, Type), Trouble> {
        let mut literals =
            Literals { measures: &self.measures, sources: self.sources, blanks: &mut self.checked.blanks };
        literals.settle(literal, name, None)
    }

    /// An entry in trouble, or one that waits on a crew measure in trouble.
    fn lost_entry(&mut self, slot: usize, trouble: Trouble) {
        let measure = self.measures.lost_word(&trouble.kind);
        if let (Some(measure), Some(own)) = (measure, self.checked.slots.get_mut(slot)) {
            own.origin = Origin::Stuck(vec![measure]);
        }
        self.checked.troubles.push(trouble);
    }

    fn tables(&mut self) {
        for (number, run) in self.runs.iter().enumerate() {
            let mut tables = Tables {
                measures: &self.measures,
                sources: self.sources,
                blanks: &mut self.checked.blanks,
                troubles: &mut self.checked.troubles,
            };
            let table = tables.settle(run, self.given.rows.get(&number));
            for (index, column) in run.head.columns.iter().take(tables::MOST_COLUMNS).enumerate() {
                if !matches!(column.kind, ColumnKind::Worked(..)) {
                    self.checked.order.push(Node::Column(number, index));
                }
            }
            self.checked.tables.push(table);
        }
    }

    /// Gives each value that is drawn from another worksheet a slot called `name.value`.
    fn drawn_sheets(&mut self) {
        let gathered = self.gathered;
        let mut lines: HashMap<&str, (&Name, &FileName, Place)> = HashMap::new();
        for statement in &gathered.statements {
            let StatementKind::Draw(name, file) = &statement.kind else { continue };
            if !self.define(name, Named::Sheet) {
                continue;
            }
            match self.given.sheets.get(&name.key) {
                Some(Ok(drawn)) if drawn.troubles > 0 => {
                    let kind = Kind::TroubleElsewhere { file: file.path.clone(), count: drawn.troubles };
                    self.lose_sheet(name, file.place, kind);
                }
                Some(Ok(_)) => {
                    lines.insert(&name.key, (name, file, statement.place));
                }
                Some(Err(kind)) => self.lose_sheet(name, file.place, kind.clone()),
                None => self.lose_sheet(name, file.place, Kind::FileMissing { file: file.path.clone() }),
            }
        }
        for (sheet, member) in self.members() {
            let Some((name, file, place)) = lines.get(sheet.as_str()) else { continue };
            self.drawn_value(name, file, &member, *place);
        }
    }

    fn lose_sheet(&mut self, name: &Name, place: Place, kind: Kind) {
        self.names.remove(&name.key);
        self.unread.insert(name.key.clone());
        self.refuse(place, kind);
    }

    /// Everything that a formula of the sheet refers to, in order.
    fn references(&self) -> Vec<Reference<'_>> {
        let formulas = self.gathered.statements.iter().flat_map(|statement| match &statement.kind {
            StatementKind::Result(_, formula, _) => vec![formula],
            StatementKind::Check(check) => vec![&check.condition],
            StatementKind::Chart(chart) => chart.ys.iter().chain([&chart.xs]).collect(),
            _ => Vec::new(),
        });
        let columns = self.runs.iter().flat_map(|run| &run.head.columns).filter_map(|column| match &column.kind {
            ColumnKind::Worked(formula, _) => Some(formula),
            _ => None,
        });
        let mut references = Vec::new();
        formulas.chain(columns).for_each(|formula| order::references(formula, &mut references));
        references
    }

    /// Every `sheet.value` that a formula names, once.
    fn members(&self) -> Vec<(String, String)> {
        let mut seen = HashSet::new();
        let member = |reference| match reference {
            Reference::Member(sheet, member) => Some((sheet.key.clone(), member.key.clone())),
            Reference::Name(_) | Reference::Chosen(..) => None,
        };
        self.references().into_iter().filter_map(member).filter(|found| seen.insert(found.clone())).collect()
    }

    /// A line that a worksheet adds to its template's, that nothing uses and that is called nearly like one of those,
    /// may be meant for that one.
    fn near_misses(&mut self) {
        let entry = |statement: &'a Statement| match &statement.kind {
            StatementKind::Entry(name, _) => Some(name),
            _ => None,
        };
        let (own, inherited): (Vec<&Name>, Vec<&Name>) =
            self.gathered.statements.iter().filter_map(entry).partition(|name| name.place.source == 0);
        if inherited.is_empty() || own.is_empty() {
            return;
        }
        let name = |reference| match reference {
            Reference::Name(name) => Some(name.key.clone()),
            Reference::Member(..) | Reference::Chosen(..) => None,
        };
        let used: HashSet<String> = self.references().into_iter().filter_map(name).collect();
        for name in own.into_iter().filter(|name| !used.contains(&name.key)) {
            let near = super::scope::nearest(&name.key, inherited.iter().map(|name| name.written.as_str()));
            let (Some(near), Some(Named::Slot(slot))) = (near, self.names.get(&name.key)) else { continue };
            if let Some(slot) = self.checked.slots.get_mut(*slot) {
                slot.remarks.push(Remark::NearTemplates(near.to_owned()));
            }
        }
    }

    fn drawn_value(&mut self, sheet: &Name, file: &FileName, member: &str, place: Place) {
        let Some(Ok(drawn)) = self.given.sheets.get(&sheet.key) else { return };
        let Some(value) = drawn.values.get(member) else { return };
        let given = super::model::Written {
            place,
            value: super::model::WrittenValue::Given(value.given.clone()),
            text: String::new(),
            doubt_text: String::new(),
            says_unit: false,
        };
        let slot = self.add_slot(Slot {
            name: format!("{}.{}", sheet.written, value.name),
            place,
            remark: None,
            kind: value.kind.clone(),
            origin: Origin::Entered(given),
            shown: value.shown.clone(),
            remarks: Vec::new(),
            is_crew_measure: false,
            is_default: false,
            from: Some(file.path.clone()),
        });
        self.names.insert(format!("{}.{member}", sheet.key), Named::Slot(slot));
        self.checked.order.push(Node::Slot(slot));
    }

    fn scope(&self, row: Option<usize>) -> Scope<'_> {
        Scope {
            names: &self.names,
            slots: &self.checked.slots,
            tables: &self.checked.tables,
            measures: &self.measures,
            crew_slots: &self.checked.crew_slots,
            unread: &self.unread,
            comparisons: &self.comparisons,
            sources: self.sources,
            row,
            choice: None,
        }
    }

    /// Settles all formulas, each after those it needs.
    fn formulas(&mut self) {
        let runs = self.runs;
        let mut jobs: Vec<Job<'_>> = Vec::new();
        for (slot, formula, promise) in &self.worked {
            jobs.push(Job { node: Node::Slot(*slot), formula, promise: *promise });
        }
        for (table, run) in runs.iter().enumerate() {
            for (index, column) in run.head.columns.iter().take(tables::MOST_COLUMNS).enumerate() {
                if let ColumnKind::Worked(formula, promise) = &column.kind {
                    jobs.push(Job { node: Node::Column(table, index), formula, promise: promise.as_ref() });
                }
            }
        }
        let sorted = order::sort(&self.needs(&jobs));
        let mut in_circle = HashSet::new();
        for circle in &sorted.circles {
            self.circle(circle, &jobs, &mut in_circle);
        }
        for index in sorted.order {
            let Some(job) = jobs.get(index) else { continue };
            if in_circle.contains(&index) {
                continue;
            }
            self.formula(*job);
            self.checked.order.push(job.node);
        }
    }

    /// For each formula, the other formulas that it needs.
    fn needs(&self, jobs: &[Job<'_>]) -> Vec<Vec<usize>> {
        let by_node: HashMap<Node, usize> = jobs.iter().enumerate().map(|(index, job)| (job.node, index)).collect();
        jobs.iter()
            .map(|job| {
                let row = match job.node {
                    Node::Column(table, _) => Some(table),
                    Node::Slot(_) => None,
                };
                let mut found = Vec::new();
                order::references(job.formula, &mut found);
                let mut words = Vec::new();
                order::unit_words(job.formula, &mut words);
                let named = found.iter().filter_map(|reference| self.node(reference, row));
                let from_words = words.iter().filter_map(|key| self.node_of(key, row));
                let mut needs: Vec<usize> =
                    named.chain(from_words).filter_map(|node| by_node.get(&node).copied()).collect();
                needs.sort_unstable();
                needs.dedup();
                needs
            })
            .collect()
    }

    fn node(&self, reference: &Reference<'_>, row: Option<usize>) -> Option<Node> {
        match reference {
            Reference::Name(name) => self.node_of(&name.key, row),
            Reference::Member(table, member) | Reference::Chosen(table, member) => self.column_of_name(table, member),
        }
    }

    fn node_of(&self, key: &str, row: Option<usize>) -> Option<Node> {
        if let Some(node) = row.and_then(|table| self.column_of(table, key)) {
            return Some(node);
        }
        match self.names.get(key) {
            Some(Named::Slot(slot)) => Some(Node::Slot(*slot)),
            _ => None,
        }
    }

    fn column_of(&self, table: usize, key: &str) -> Option<Node> {
        let columns = &self.checked.tables.get(table)?.columns;
        columns.iter().position(|column| tree::key(&column.name) == key).map(|column| Node::Column(table, column))
    }

    fn circle(&mut self, circle: &[usize], jobs: &[Job<'_>], in_circle: &mut HashSet<usize>) {
        in_circle.extend(circle.iter().copied());
        let names: Vec<String> =
            circle.iter().filter_map(|index| jobs.get(*index)).map(|job| self.node_name(job.node)).collect();
        let Some((first, job)) = names.first().zip(circle.first().and_then(|index| jobs.get(*index))) else { return };
        let chain = format!("{} needs {first}", names.join(" needs "));
        self.refuse(job.formula.place, Kind::Circle { chain });
    }

    fn node_name(&self, node: Node) -> String {
        match node {
            Node::Slot(slot) => self.checked.slots.get(slot).map_or_else(String::new, |slot| slot.name.clone()),
            Node::Column(table, column) => {
                let table = self.checked.tables.get(table);
                let column = table.and_then(|table| table.columns.get(column));
                table.zip(column).map_or_else(String::new, |(table, column)| format!("{}.{}", table.name, column.name))
            }
        }
    }

    fn formula(&mut self, job: Job<'_>) {
        let row = match job.node {
            Node::Column(table, _) => Some(table),
            Node::Slot(_) => None,
        };
        let mut typing = Typing::new(self.scope(row));
        let expression = typing.formula(job.formula);
        if let Type::Several(_) = expression.kind {
            typing.refuse_several(&expression);
        }
        check_choices(&mut typing, &expression);
        let settled = display::settle(&expression.kind, job.promise, job.formula.place, &self.measures);
        let (mut troubles, remarks, asks_today) = (typing.troubles, paired(typing.remarks), typing.asks_today);
        let (kind, shown) = match settled {
            Ok(settled) => settled,
            Err(trouble) => {
                troubles.push(trouble);
                (Type::Unknown, Vec::new())
            }
        };
        let is_sound = troubles.is_empty() && !expression.kind.is_unknown();
        let lost: Vec<String> = troubles.iter().filter_map(|trouble| self.measures.lost_word(&trouble.kind)).collect();
        let is_stuck = lost.len() == troubles.len();
        let stuck = is_stuck.then(|| [self.stuck_on(job.formula, row), lost].concat());
        let (kind, shown) = if kind.is_unknown() || !is_sound { self.promised(job.promise) } else { (kind, shown) };
        self.checked.asks_today |= asks_today;
        self.checked.troubles.extend(troubles);
        match job.node {
            Node::Slot(slot) => {
                if let Some(own) = self.checked.slots.get_mut(slot) {
                    (own.kind, own.shown) = (kind, shown);
                    own.remarks.extend(remarks);
                    own.origin = match stuck {
                        _ if is_sound => Origin::Worked(expression),
                        Some(names) => Origin::Stuck(names),
                        None => Origin::Broken,
                    };
                }
            }
            Node::Column(table, column) => {
                if let Some(own) = self.checked.tables.get_mut(table).and_then(|table| table.columns.get_mut(column)) {
                    (own.kind, own.shown) = (kind, shown);
                    own.is_broken = !is_sound;
                    own.formula = is_sound.then_some(expression);
                }
            }
        }
    }

    /// What a formula needs that is in trouble.
    fn stuck_on(&self, formula: &Formula, row: Option<usize>) -> Vec<String> {
        let mut found = Vec::new();
        order::references(formula, &mut found);
        let mut names: Vec<String> = Vec::new();
        for reference in found {
            let (name, node) = match reference {
                Reference::Name(name) => (name.written.clone(), self.node_of(&name.key, row)),
                Reference::Member(table, member) => {
                    (format!("{}.{}", table.written, member.written), self.column_of_name(table, member))
                }
                // What is no column is the label of the row, which is never in trouble.
                Reference::Chosen(table, column) => match self.column_of_name(table, column) {
                    Some(node) => (format!("{}.{}", table.written, column.written), Some(node)),
                    None => continue,
                },
            };
            let is_broken = match node {
                Some(Node::Slot(slot)) => self.checked.slots.get(slot).is_none_or(|slot| slot.kind.is_unknown()),
                Some(Node::Column(table, column)) => self
                    .checked
                    .tables
                    .get(table)
                    .and_then(|table| table.columns.get(column))
                    .is_none_or(|column| column.kind.is_unknown()),
                None => true,
            };
            if is_broken && !names.contains(&name) {
                names.push(name);
            }
        }
        names
    }

    fn column_of_name(&self, table: &Name, member: &Name) -> Option<Node> {
        match self.names.get(&table.key) {
            Some(Named::Table(table)) => self.column_of(*table, &member.key),
            Some(Named::Sheet) => self.node_of(&format!("{}.{}", table.key, member.key), None),
            _ => None,
        }
    }

    /// The type that the brackets alone tell, where the formula could not be settled: what depends on it is still
    /// checked.
    fn promised(&self, promise: Option<&Promise>) -> (Type, Vec<super::model::ShownIn>) {
        let unit = promise.and_then(|promise| promise.displays.first()).and_then(|display| display.measures.first());
        let Some(unit) = unit.and_then(|measure| measure.unit.as_ref()) else { return (Type::Unknown, Vec::new()) };
        match self.measures.settle(unit, super::units::Position::Value, &|_| false) {
            Ok(settled) => {
                let kind = Type::Number(super::types::NumberType { is_named: true, ..settled.kind });
                let shown = display::in_own_unit(&kind, &self.measures);
                (kind, shown)
            }
            Err(_) => (Type::Unknown, Vec::new()),
        }
    }

    fn checks_and_charts(&mut self) {
        let gathered = self.gathered;
        for statement in &gathered.statements {
            match &statement.kind {
                StatementKind::Check(check) => self.check(statement, check),
                StatementKind::Chart(chart) => self.chart(statement, chart),
                _ => {}
            }
        }
    }

    fn check(&mut self, statement: &Statement, check: &tree::Check) {
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

    fn chart(&mut self, statement: &Statement, chart: &tree::Chart) {
        let mut typing = Typing::new(self.scope(None));
        let ys: Vec<Expression> = chart.ys.iter().map(|formula| typing.formula(formula)).collect();
        let xs = typing.formula(&chart.xs);
        super::charts::check(&mut typing, &ys, &xs);
        let troubles = typing.troubles;
        let is_sound = troubles.is_empty() && ys.iter().chain([&xs]).all(|part| !part.kind.is_unknown());
        self.checked.troubles.extend(troubles);
        if is_sound {
            self.checked.charts.push(Chart { title: chart.title.clone(), place: statement.place, ys, xs });
        }
    }

    fn finish(mut self) -> Checked {
        // A measure in trouble is reported once, at its own line.
        self.checked.troubles.retain(|trouble| self.measures.lost_word(&trouble.kind).is_none());
        self.checked.crew = self.measures.crew;
        self.checked.crew_labels = self.measures.crew_labels;
        self.checked.currency = self.measures.currency.get();
        self.checked.troubles.sort_by_key(|trouble| trouble.place);
        self.checked.troubles.dedup();
        self.checked
    }
}

/// Two bare means of lists of equal count in one formula draw one remark.
fn paired(remarks: Vec<Remark>) -> Vec<Remark> {
    let mut kept = Vec::new();
    let mut bare: Vec<(String, String)> = Vec::new();
    for remark in remarks {
        match remark {
            Remark::UnpairedMeans(name, count) => {
                if let Some((other, _)) = bare.iter().find(|(other, own)| *own == count && *other != name) {
                    kept.push(Remark::UnpairedMeans(other.clone(), name.clone()));
                }
                bare.push((name, count));
            }
            other => kept.push(other),
        }
    }
    kept
}

/// Means over different choices of rows of one table in one formula are refused.
fn check_choices(typing: &mut Typing<'_>, expression: &Expression) {
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
