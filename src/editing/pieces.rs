//! The pieces that a text is made of, each with its role: names, functions, numbers, units, substances, quotes, prose. It
//! looks no name up.

use crate::gathered::rows::{self, RowRun};
use crate::syntax::Parsed;
use crate::syntax::parse::parse_literal;
use crate::syntax::tree::{
    Amount, ColumnKind, Doubt, Formula, FormulaKind, Head, Item, Literal, LiteralKind, Name, Promise, Statement,
    StatementKind, Unit,
};
use crate::text::{Place, Source};

/// What a piece is.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Role {
    /// A title or the name of a section, its mark included.
    Heading,
    /// A note, its mark included.
    Note,
    /// A caution, its mark included.
    Caution,
    /// The label of a check or the title of a chart.
    Label,
    /// What to do if a check does not hold, and what begins a remark to its end.
    Remark,
    /// The name of an entry, where it is given.
    Entry,
    /// The name of a result or of a worked-out column, where it is given.
    Result,
    /// The name of a table, where it is given.
    Table,
    /// The name of another worksheet, where it is given, or before a point.
    Sheet,
    /// A value's name, where it is used.
    Name,
    /// A function.
    Function,
    /// A figure.
    Number,
    /// A unit's words.
    Unit,
    /// What an amount is of.
    Substance,
    /// Quoted text, a file's name.
    Text,
    /// A date, yes or no, a blank of a kind.
    Constant,
}

/// A stretch of a text that plays one role.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Piece {
    /// Where.
    pub place: Place,
    /// What it is.
    pub role: Role,
}

/// The pieces of a worksheet's own text, read as `parsed`, in the order of their places.
pub fn pieces(source: &Source, parsed: &Parsed) -> Vec<Piece> {
    let mut cutter = Cutter { source, pieces: Vec::new() };
    parsed.statements.iter().for_each(|statement| cutter.statement(statement));
    let own = rows::rows(parsed, source, &[], &mut Vec::new());
    own.runs.iter().for_each(|run| cutter.table(run));
    let mut pieces = cutter.pieces;
    pieces.retain(|piece| piece.place.end > piece.place.start);
    pieces.sort_by_key(|piece| piece.place);
    pieces
}

struct Cutter<'a> {
    source: &'a Source,
    pieces: Vec<Piece>,
}

impl Cutter<'_> {
    fn add(&mut self, place: Place, role: Role) {
        self.pieces.push(Piece { place, role });
    }

    fn statement(&mut self, statement: &Statement) {
        let place = statement.place;
        match &statement.kind {
            StatementKind::Title(_) | StatementKind::Section(_) => self.add(place, Role::Heading),
            StatementKind::Note(_) => self.add(place, Role::Note),
            StatementKind::Caution(_) => self.add(place, Role::Caution),
            StatementKind::Entry(name, literal) => {
                self.add(name.place, Role::Entry);
                self.literal(literal);
            }
            StatementKind::Result(name, formula, promise) => {
                self.add(name.place, Role::Result);
                self.formula(formula);
                self.promise(promise.as_ref());
            }
            StatementKind::Draw(name, file) => {
                self.add(name.place, Role::Sheet);
                self.add(file.place, Role::Text);
            }
            StatementKind::Fills(file) => self.add(file.place, Role::Text),
            StatementKind::Check(check) => {
                self.label(place);
                self.formula(&check.condition);
                if check.advice.is_some() {
                    self.advice(place, check.condition.place);
                }
            }
            StatementKind::Chart(chart) => {
                self.label(place);
                chart.ys.iter().chain([&chart.xs]).for_each(|formula| self.formula(formula));
            }
            StatementKind::Crew(name, size) => {
                self.add(name.place, Role::Unit);
                size.iter().for_each(|item| self.item(item));
            }
            StatementKind::Head(_) | StatementKind::Row(_) => {}
        }
        self.remark(statement);
    }

    /// What stands between the mark of a check or a chart and its colon.
    fn label(&mut self, place: Place) {
        let text = self.source.slice(place);
        let label = text.find(':').and_then(|colon| text.get(1..colon)).unwrap_or("");
        let start = place.start as usize + 1 + label.len() - label.trim_start().len();
        self.add(Place::new(place.source, start, start + label.trim().len()), Role::Label);
    }

    /// What stands behind `else`, to the end of the statement.
    fn advice(&mut self, statement: Place, condition: Place) {
        let text = self.source.slice(Place { start: condition.end, ..statement });
        let words = text.trim_start().get("else".len()..).unwrap_or("").trim_start();
        let start = statement.end as usize - words.len();
        self.add(Place::new(statement.source, start, statement.end as usize), Role::Remark);
    }

    /// A remark is the end of its statement, two dashes before its words.
    fn remark(&mut self, statement: &Statement) {
        let Some(remark) = &statement.remark else { return };
        let text = self.source.slice(statement.place);
        let before = text.strip_suffix(remark.as_str()).map(str::trim_end).and_then(|text| text.strip_suffix("--"));
        let start = before.map(|before| statement.place.start as usize + before.len());
        let end = statement.place.end as usize;
        self.pieces.extend(start.map(|start| Piece { place: Place::new(0, start, end), role: Role::Remark }));
    }

    fn table(&mut self, run: &RowRun) {
        self.head(&run.head);
        for row in &run.rows {
            if let Some(label) = row.cells.first() {
                self.add(*label, Role::Label);
            }
            let kinds = run.head.columns.iter().map(|column| &column.kind);
            for (cell, kind) in row.cells.iter().skip(1).zip(kinds) {
                match parse_literal(self.source, 0, *cell) {
                    Ok(literal) if !matches!(literal.kind, LiteralKind::Text(_)) => self.literal(&literal),
                    Err(_) if !matches!(kind, ColumnKind::Other(_)) => {}
                    _ => self.add(*cell, Role::Text),
                }
            }
        }
    }

    fn head(&mut self, head: &Head) {
        self.add(head.name.place, Role::Table);
        if let Some(from) = &head.rows_from {
            self.add(from.file.place, Role::Text);
            from.table.iter().for_each(|table| self.add(table.place, Role::Table));
        }
        for column in &head.columns {
            match &column.kind {
                ColumnKind::Worked(formula, promise) => {
                    self.add(column.name.place, Role::Result);
                    self.formula(formula);
                    self.promise(promise.as_ref());
                }
                ColumnKind::Entered(unit, doubt) => {
                    self.add(column.name.place, Role::Entry);
                    unit.iter().for_each(|unit| self.unit(unit));
                    self.doubt(doubt.as_ref());
                }
                ColumnKind::Other(_) => self.add(column.name.place, Role::Entry),
            }
        }
    }

    fn literal(&mut self, literal: &Literal) {
        match &literal.kind {
            LiteralKind::Text(_) => self.add(literal.place, Role::Text),
            LiteralKind::Date(_) | LiteralKind::YesNo(_) | LiteralKind::Blank(_) => {
                self.add(literal.place, Role::Constant);
            }
            LiteralKind::Items(items) => items.iter().for_each(|item| self.item(item)),
            LiteralKind::Open(_, item) => self.item(item),
        }
    }

    fn item(&mut self, item: &Item) {
        self.amount(&item.amount);
        self.doubt(item.doubt.as_ref());
        if let Some((amount, doubt)) = &item.upper {
            self.amount(amount);
            self.doubt(doubt.as_ref());
        }
    }

    fn doubt(&mut self, doubt: Option<&Doubt>) {
        doubt.iter().for_each(|doubt| self.amount(&doubt.amount));
    }

    fn amount(&mut self, amount: &Amount) {
        for part in &amount.parts {
            self.add(part.place, if part.number.is_some() { Role::Number } else { Role::Constant });
            part.unit.iter().for_each(|unit| self.unit(unit));
        }
    }

    fn unit(&mut self, unit: &Unit) {
        for term in &unit.terms {
            self.add(term.words_place, Role::Unit);
            term.label.iter().for_each(|label: &Name| self.add(label.place, Role::Substance));
        }
    }

    fn promise(&mut self, promise: Option<&Promise>) {
        let measures = promise.iter().flat_map(|promise| &promise.displays).flat_map(|display| &display.measures);
        measures.filter_map(|measure| measure.unit.as_ref()).for_each(|unit| self.unit(unit));
    }

    fn formula(&mut self, formula: &Formula) {
        match &formula.kind {
            FormulaKind::Amount(amount) => self.amount(amount),
            FormulaKind::Text(_) => self.add(formula.place, Role::Text),
            FormulaKind::Date(_) => self.add(formula.place, Role::Constant),
            FormulaKind::Name(name) => self.add(name.place, Role::Name),
            FormulaKind::Member(of, member) => {
                self.add(of.place, Role::Sheet);
                self.add(member.place, Role::Name);
            }
            FormulaKind::Call(function, _) => self.add(function.place, Role::Function),
            _ => {}
        }
        formula.parts().into_iter().for_each(|part| self.formula(part));
    }
}
