//! Where the names of a text stand: where each is given, and where formulas, units and tables use it.

use super::meanings::{Meaning, Meanings};
use crate::gathered::rows;
use crate::syntax::Parsed;
use crate::syntax::tree::{
    Amount, Column, ColumnKind, Display, Doubt, FileName, Formula, FormulaKind, Head, Item, Joint, Literal,
    LiteralKind, Name, Promise, StatementKind, Unit,
};
use crate::text::{Place, Source};
use crate::units::vocabulary::{self, Lookup};

/// A name where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Use {
    /// Where.
    pub place: Place,
    /// What it stands for.
    pub means: Meaning,
    /// Whether it is given here, and not used.
    pub is_given: bool,
}

/// A file that is named, where it stands.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct FileUse {
    /// Where, in the quotes.
    pub place: Place,
    /// The path as written.
    pub path: String,
}

/// Where the names of a text stand, in the order of their places, and the files that it names.
#[derive(Debug, Default)]
pub struct Uses {
    /// Names.
    pub names: Vec<Use>,
    /// Files.
    pub files: Vec<FileUse>,
}

impl Uses {
    /// Those of a worksheet's own text, read as `parsed`.
    pub fn of(source: &Source, parsed: &Parsed, meanings: &Meanings) -> Self {
        let mut finder = Finder { meanings, uses: Self::default() };
        for statement in &parsed.statements {
            finder.statement(&statement.kind);
        }
        let tables = meanings.all().filter_map(|(meaning, given)| match meaning {
            Meaning::Table(_) => Some(given.name.key.clone()),
            _ => None,
        });
        let tables: Vec<String> = tables.collect();
        let own = rows::rows(parsed, source, &tables, &mut Vec::new());
        own.runs.iter().for_each(|run| finder.head(&run.head));
        own.loose.iter().for_each(|loose| finder.add(&loose.name, Some(Meaning::Table(loose.name.key.clone())), true));
        finder.uses.names.sort_by_key(|name| name.place);
        finder.uses
    }

    /// The name at a byte, or right before it.
    pub fn name_at(&self, at: u32) -> Option<&Use> {
        let holds = |name: &&Use| name.place.start <= at && at <= name.place.end;
        self.names.iter().filter(holds).max_by_key(|name| name.place.start)
    }

    /// The file named at a byte.
    pub fn file_at(&self, at: u32) -> Option<&FileUse> {
        self.files.iter().find(|file| file.place.start <= at && at <= file.place.end)
    }
}

struct Finder<'a> {
    meanings: &'a Meanings,
    uses: Uses,
}

impl Finder<'_> {
    fn add(&mut self, name: &Name, means: Option<Meaning>, is_given: bool) {
        self.uses.names.extend(means.map(|means| Use { place: name.place, means, is_given }));
    }

    fn file(&mut self, file: &FileName) {
        self.uses.files.push(FileUse { place: file.place, path: file.path.clone() });
    }

    fn statement(&mut self, kind: &StatementKind) {
        match kind {
            StatementKind::Entry(name, literal) => {
                self.add(name, Some(Meaning::Value(name.key.clone())), true);
                self.literal(literal);
            }
            StatementKind::Result(name, formula, promise) => {
                self.add(name, Some(Meaning::Value(name.key.clone())), true);
                self.formula(formula, None);
                self.promise(promise.as_ref());
            }
            StatementKind::Draw(name, file) => {
                self.add(name, Some(Meaning::Sheet(name.key.clone())), true);
                self.file(file);
            }
            StatementKind::Fills(file) => self.file(file),
            StatementKind::Check(check) => self.formula(&check.condition, None),
            StatementKind::Chart(chart) => {
                chart.ys.iter().chain([&chart.xs]).for_each(|formula| self.formula(formula, None));
            }
            StatementKind::Crew(name, size) => {
                self.add(name, Some(Meaning::Measure(name.key.clone())), true);
                size.iter().for_each(|item| self.item(item));
            }
            _ => {}
        }
    }

    fn head(&mut self, head: &Head) {
        self.add(&head.name, Some(Meaning::Table(head.name.key.clone())), true);
        head.rows_from.iter().for_each(|from| self.file(&from.file));
        head.columns.iter().for_each(|column| self.column(&head.name.key, column));
    }

    fn column(&mut self, table: &str, column: &Column) {
        self.add(&column.name, Some(Meaning::Column(table.to_owned(), column.name.key.clone())), true);
        match &column.kind {
            ColumnKind::Entered(unit, doubt) => {
                unit.iter().for_each(|unit| self.unit(unit, None, false));
                self.doubt(doubt.as_ref());
            }
            ColumnKind::Other(_) => {}
            ColumnKind::Worked(formula, promise) => {
                self.formula(formula, Some(table));
                self.promise(promise.as_ref());
            }
        }
    }

    /// A formula; `row` is the table whose cells come before other names.
    fn formula(&mut self, formula: &Formula, row: Option<&str>) {
        match &formula.kind {
            FormulaKind::Amount(amount) => self.amount(amount, row, true),
            FormulaKind::Name(name) => self.add(name, self.meanings.name(&name.key, row), false),
            FormulaKind::Member(of, member) => {
                self.add(of, self.meanings.name(&of.key, None), false);
                self.add(member, self.meanings.member(&of.key, &member.key), false);
            }
            FormulaKind::Call(_, arguments) => {
                for argument in arguments {
                    self.formula(&argument.value, row);
                    match (&argument.value.kind, &argument.choice) {
                        (FormulaKind::Member(table, _), Some(choice)) => self.choice(choice, &table.key, row),
                        (_, choice) => choice.iter().for_each(|choice| self.formula(choice, row)),
                    }
                }
            }
            _ => formula.parts().into_iter().for_each(|part| self.formula(part, row)),
        }
    }

    /// A choice of rows: columns of that table on the left of each comparison, other values on the right.
    fn choice(&mut self, choice: &Formula, table: &str, row: Option<&str>) {
        let outer = row.filter(|row| *row != table);
        match &choice.kind {
            FormulaKind::Name(name) => {
                // A table's own name stands for the labels of its rows.
                let label = (name.key == table).then(|| Meaning::Table(table.to_owned()));
                self.add(name, self.meanings.column(table, &name.key).or(label), false);
            }
            FormulaKind::Not(inner) => self.choice(inner, table, row),
            FormulaKind::Both(left, right) | FormulaKind::Either(left, right) => {
                self.choice(left, table, row);
                self.choice(right, table, row);
            }
            FormulaKind::Comparison(_, left, right) | FormulaKind::WithinRange(left, right) => {
                self.choice(left, table, row);
                self.formula(right, outer);
            }
            FormulaKind::WithinDistance(left, distance, base) => {
                self.choice(left, table, row);
                self.formula(distance, outer);
                self.formula(base, outer);
            }
            _ => self.formula(choice, row),
        }
    }

    fn literal(&mut self, literal: &Literal) {
        match &literal.kind {
            LiteralKind::Items(items) => items.iter().for_each(|item| self.item(item)),
            LiteralKind::Open(_, item) => self.item(item),
            _ => {}
        }
    }

    fn item(&mut self, item: &Item) {
        self.amount(&item.amount, None, false);
        self.doubt(item.doubt.as_ref());
        if let Some((amount, doubt)) = &item.upper {
            self.amount(amount, None, false);
            self.doubt(doubt.as_ref());
        }
    }

    fn doubt(&mut self, doubt: Option<&Doubt>) {
        doubt.iter().for_each(|doubt| self.amount(&doubt.amount, None, false));
    }

    fn amount(&mut self, amount: &Amount, row: Option<&str>, in_formula: bool) {
        let units = amount.parts.iter().filter_map(|part| part.unit.as_ref());
        units.for_each(|unit| self.unit(unit, row, in_formula));
    }

    fn promise(&mut self, promise: Option<&Promise>) {
        let measures = |display: &Display| display.measures.clone();
        let units = promise.iter().flat_map(|promise| &promise.displays).flat_map(measures);
        units.filter_map(|measure| measure.unit).for_each(|unit| self.unit(&unit, None, false));
    }

    /// The crew's own measures in a unit; in a formula a word behind `/` or `·` may be a name too.
    fn unit(&mut self, unit: &Unit, row: Option<&str>, in_formula: bool) {
        for term in &unit.terms {
            let measure = self.meanings.measure(&term.words);
            let is_unit = || matches!(vocabulary::lookup(&term.words), Lookup::Unit(_));
            let means = match measure {
                None if in_formula && term.joint != Joint::First && !is_unit() => {
                    self.meanings.name(&crate::syntax::tree::key(&term.words), row)
                }
                measure => measure,
            };
            self.uses.names.extend(means.map(|means| Use { place: term.words_place, means, is_given: false }));
        }
    }
}
