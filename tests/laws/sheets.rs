//! Valid worksheets made from a tape: entries of every form, tables, results and checks, kept so that each can be
//! written again in other units or in another order.

use crate::formulas::{Known, Maker};
use crate::measures::{Dimension, ENTERED, Measure};
use crate::quantity::{Figure, Give};
use crate::tape::Tape;

/// A worksheet, statement by statement.
#[derive(Debug, Clone, Default)]
pub struct Draft {
    pub statements: Vec<Statement>,
}

#[derive(Debug, Clone)]
pub enum Statement {
    Entry {
        name: String,
        value: Written,
    },
    Table(Table),
    Result {
        name: String,
        formula: String,
        shown: String,
    },
    /// `1 scoop = 2.4 oz ± 2 %`
    Crew {
        word: &'static str,
        value: Written,
    },
    Check {
        label: String,
        value: String,
        relation: &'static str,
        limit: Figure,
    },
}

/// What an entry says.
#[derive(Debug, Clone)]
pub struct Written {
    pub form: Form,
    pub figures: Vec<Figure>,
    pub give: Option<Give>,
    /// What it is of.
    pub of: Option<&'static str>,
}

#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Form {
    Single,
    Readings,
    Range,
    UpTo,
    Blank,
    /// Counted in the crew's own measure.
    Scoops,
}

#[derive(Debug, Clone)]
pub struct Table {
    pub name: String,
    pub columns: Vec<Column>,
    pub worked: Vec<(String, String)>,
}

#[derive(Debug, Clone)]
pub struct Column {
    pub name: String,
    pub unit: Measure,
    pub give: Option<Give>,
    /// The cells, and whether each says its unit itself.
    pub cells: Vec<(Figure, bool)>,
}

const LETTERS: [&str; 8] = ["ash", "birch", "cedar", "elm", "fir", "holly", "larch", "maple"];

impl Draft {
    /// Makes a worksheet from a tape.
    pub fn made(tape: &mut Tape) -> Self {
        let mut draft = Self::default();
        let mut known = Known::default();
        if tape.chance(30) {
            let value = Written::of_form(tape, Dimension::Mass, Form::Single);
            draft.statements.push(Statement::Crew { word: "scoop", value: Written { of: None, ..value } });
            known.add_entry("scooped", Dimension::Mass, Form::Single, false);
            let value = Written::of_form(tape, Dimension::Plain, Form::Scoops);
            draft.statements.push(Statement::Entry { name: "scooped".to_owned(), value });
        }
        for number in 1..=tape.between(1, 10) {
            let dimension = *tape.pick(&ENTERED);
            let name = format!("{} {number}", tape.pick(&LETTERS));
            let value = Written::made(tape, dimension);
            known.add_entry(&name, dimension, value.form, value.of.is_some());
            draft.checked(tape, &name, &value);
            draft.statements.push(Statement::Entry { name, value });
        }
        for number in 1..=tape.below(3) {
            let table = Table::made(tape, number, &mut known);
            draft.statements.push(Statement::Table(table));
        }
        for number in 1..=tape.between(1, 5) {
            draft.result(tape, number, &mut known);
        }
        draft
    }

    /// A check of an entry against itself, or near it.
    fn checked(&mut self, tape: &mut Tape, name: &str, value: &Written) {
        if value.form != Form::Single || tape.chance(50) {
            return;
        }
        let mut limit = value.figures[0].clone();
        if limit.unit.zero == 0.0 {
            limit = limit.times(*tape.pick(&[1.0, 0.9, 1.1, 1.01]));
        }
        let relation = *tape.pick(&["at most", "at least", "less than", "more than"]);
        let label = format!("{name} holds");
        self.statements.push(Statement::Check { label, value: name.to_owned(), relation, limit });
    }

    fn result(&mut self, tape: &mut Tape, number: usize, known: &mut Known) {
        let name = format!("result {number}");
        if tape.chance(20)
            && let Some((formula, shown)) = (Maker { tape, known }).range()
        {
            self.statements.push(Statement::Result { name, formula, shown });
            return;
        }
        let Some((dimension, formula, shown)) = Maker { tape, known }.result() else { return };
        known.add_result(&name, dimension);
        self.statements.push(Statement::Result { name, formula, shown });
    }

    /// The worksheet as text.
    pub fn text(&self) -> String {
        let statements: Vec<String> = self.statements.iter().map(Statement::text).collect();
        statements.join("\n")
    }

    /// The same worksheet, the results that a formula names written out in it.
    pub fn spelled_out(&self) -> Self {
        let mut spelled = Self::default();
        for statement in &self.statements {
            let mut statement = statement.clone();
            if let Statement::Result { formula, .. } = &mut statement {
                // Those before it are spelled out already.
                for (name, whole) in spelled.results() {
                    *formula = formula.replace(name, &format!("({whole})"));
                }
            }
            spelled.statements.push(statement);
        }
        spelled
    }

    fn results(&self) -> Vec<(&String, &String)> {
        let results = self.statements.iter().filter_map(|statement| match statement {
            Statement::Result { name, formula, .. } => Some((name, formula)),
            _ => None,
        });
        results.collect()
    }

    /// The same worksheet, one entry of it written anew, and the entry as it is set for a run.
    pub fn measured_again(&self, tape: &mut Tape) -> Option<(Self, String)> {
        let mut other = self.clone();
        let entries = other.statements.iter_mut().filter_map(|statement| match statement {
            Statement::Entry { name, value } if value.form != Form::Scoops => Some((name, value)),
            _ => None,
        });
        let mut entries: Vec<_> = entries.collect();
        let place = tape.below(entries.len());
        let (name, value) = entries.get_mut(place)?;
        let figure = value.figures[0].beside(tape);
        if value.form == Form::Blank {
            value.form = Form::Single;
        }
        value.figures[0] = figure;
        let setting = format!("{name} : {value}");
        Some((other, setting))
    }

    /// The same worksheet, its statements in another order.
    pub fn shuffled(&self, tape: &mut Tape) -> Self {
        Self { statements: tape.shuffled(self.statements.clone()) }
    }

    /// The same worksheet, what was measured written in other units.
    pub fn in_other_units(&self, tape: &mut Tape) -> Self {
        Self { statements: self.statements.iter().map(|statement| statement.in_other_units(tape)).collect() }
    }
}

fn other_unit(tape: &mut Tape, unit: Measure) -> Measure {
    *tape.pick(Dimension::of(unit).measures())
}

impl Statement {
    fn text(&self) -> String {
        match self {
            Self::Entry { name, value } => format!("{name} : {value}\n"),
            Self::Crew { word, value } => format!("1 {word} = {value}\n"),
            Self::Table(table) => table.text(),
            Self::Result { name, formula, shown } => format!("{name} = {formula}{shown}\n"),
            Self::Check { label, value, relation, limit } => format!("? {label} : {value} {relation} {limit}\n"),
        }
    }

    fn in_other_units(&self, tape: &mut Tape) -> Self {
        match self.clone() {
            Self::Entry { name, value } => Self::Entry { name, value: value.in_other_units(tape) },
            Self::Crew { word, value } => Self::Crew { word, value: value.in_other_units(tape) },
            Self::Table(mut table) => {
                table.columns.iter_mut().for_each(|column| column.change_units(tape));
                Self::Table(table)
            }
            Self::Check { label, value, relation, limit } => {
                let limit = limit.in_unit(other_unit(tape, limit.unit));
                Self::Check { label, value, relation, limit }
            }
            result @ Self::Result { .. } => result,
        }
    }
}

impl Written {
    fn made(tape: &mut Tape, dimension: Dimension) -> Self {
        let form = match tape.below(12) {
            0..=4 => Form::Single,
            5..=7 => Form::Readings,
            8 | 9 => Form::Range,
            10 => Form::UpTo,
            _ => Form::Blank,
        };
        Self::of_form(tape, dimension, form)
    }

    fn of_form(tape: &mut Tape, dimension: Dimension, form: Form) -> Self {
        let first = Figure::near(tape, dimension);
        let mut written = Self { form, give: None, figures: vec![first.clone()], of: None };
        match form {
            Form::Readings => written.figures.extend((0..tape.between(1, 5)).map(|_| first.beside(tape))),
            Form::Range => written.figures.push(first.above(tape)),
            Form::Single | Form::UpTo | Form::Blank | Form::Scoops => {}
        }
        if matches!(form, Form::Single | Form::Readings | Form::Scoops) && tape.chance(60) {
            written.give = Some(Give::of(tape, &first, dimension));
        }
        let takes_label = matches!(form, Form::Single | Form::Readings | Form::Blank);
        if takes_label && matches!(dimension, Dimension::Volume | Dimension::Mass) && tape.chance(20) {
            written.of = Some("concentrate");
        }
        written
    }

    fn in_other_units(mut self, tape: &mut Tape) -> Self {
        let unit = other_unit(tape, self.figures[0].unit);
        self.figures.iter_mut().for_each(|figure| *figure = figure.in_unit(unit));
        self.give = self.give.map(|give| give.in_unit(other_unit(tape, unit)));
        self
    }
}

impl std::fmt::Display for Written {
    fn fmt(&self, formatter: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        let bare: Vec<&str> = self.figures.iter().map(Figure::bare).collect();
        let unit = self.figures[0].unit.symbol;
        let of = self.of.map(|of| format!(" of {of}")).unwrap_or_default();
        let text = match self.form {
            Form::UpTo => format!("up to {} {unit}{of}", bare[0]),
            Form::Blank => format!("____ {unit}{of}"),
            Form::Scoops => format!("{} scoop", bare[0]),
            Form::Range => format!("{} {unit}{of}", bare.join(" to ")),
            Form::Single | Form::Readings => format!("{} {unit}{of}", bare.join(", ")),
        };
        let give = self.give.as_ref().map(ToString::to_string).unwrap_or_default();
        write!(formatter, "{}{give}", text.trim_end())
    }
}

impl Table {
    fn made(tape: &mut Tape, number: usize, known: &mut Known) -> Self {
        let name = ["rounds", "trials"][number - 1].to_owned();
        let (rows, mut here) = (tape.between(2, 5), Known::default());
        let mut columns = Vec::new();
        for (dimension, column) in
            [(Dimension::Volume, "catch"), (Dimension::Time, "walked"), (Dimension::Length, "reach")]
        {
            if columns.is_empty() || tape.chance(60) {
                columns.push(Column::made(tape, dimension, column, rows));
                here.add_entry(column, dimension, Form::Single, false);
                known.add_entry(&format!("{name}.{column}"), dimension, Form::Readings, false);
            }
        }
        let mut worked = Vec::new();
        for number in 1..=tape.below(3) {
            let column = format!("worked {number}");
            let Some((dimension, formula, shown)) = Maker { tape, known: &here }.result() else { continue };
            known.add_entry(&format!("{name}.{column}"), dimension, Form::Readings, false);
            worked.push((column, format!("{formula}{shown}")));
        }
        Self { name, columns, worked }
    }

    fn text(&self) -> String {
        let mut text = format!("\n| {} ", self.name);
        for column in &self.columns {
            let give = column.give.as_ref().map(ToString::to_string).unwrap_or_default();
            text += &format!("| {} : {}{give} ", column.name, column.unit.symbol);
        }
        self.worked.iter().for_each(|(name, formula)| text += &format!("| {name} = {formula} "));
        for row in 0..self.columns[0].cells.len() {
            text += &format!("|\n| row {} ", row + 1);
            for (figure, says_unit) in self.columns.iter().map(|column| &column.cells[row]) {
                text += &if *says_unit { format!("| {figure} ") } else { format!("| {} ", figure.bare()) };
            }
        }
        text + "|\n\n"
    }
}

impl Column {
    fn made(tape: &mut Tape, dimension: Dimension, name: &str, rows: usize) -> Self {
        let first = Figure::near(tape, dimension);
        let mut cells = vec![(first.clone(), false)];
        cells.extend((1..rows).map(|_| (first.beside(tape), tape.chance(20))));
        let give = tape.chance(40).then(|| Give::of(tape, &first, dimension));
        Self { name: name.to_owned(), unit: first.unit, give, cells }
    }

    fn change_units(&mut self, tape: &mut Tape) {
        self.unit = other_unit(tape, self.unit);
        for (figure, says_unit) in &mut self.cells {
            let unit = if *says_unit { other_unit(tape, self.unit) } else { self.unit };
            *figure = figure.in_unit(unit);
        }
        self.give = self.give.take().map(|give| give.in_unit(other_unit(tape, self.unit)));
    }
}
