//! What stands where in a worksheet by the engine's own reading, byte for byte. It knows no editor.

use catchwork::syntax::parse::{parse, parse_head, parse_literal};
use catchwork::syntax::tree::{
    Amount, ColumnKind, Doubt, Formula, FormulaKind, Item, Literal, LiteralKind, Name, Promise, Statement,
    StatementKind, Unit,
};
use catchwork::text::{Place, Source};
use std::ops::Range;

pub const TITLE: u16 = 1;
pub const SECTION: u16 = 1 << 1;
pub const NOTE: u16 = 1 << 2;
pub const CAUTION: u16 = 1 << 3;
pub const CHECK: u16 = 1 << 4;
pub const CHART: u16 = 1 << 5;
pub const ENTRY: u16 = 1 << 6;
pub const RESULT: u16 = 1 << 7;
pub const ROW: u16 = 1 << 8;
pub const REMARK: u16 = 1 << 9;
pub const STRING: u16 = 1 << 10;
pub const NUMBER: u16 = 1 << 11;
pub const NAME: u16 = 1 << 12;

/// Titles, sections, notes and cautions; labels of checks and charts.
pub const PROSE: u16 = TITLE | SECTION | NOTE | CAUTION | CHECK | CHART;
/// What an editor must find exactly where it is.
pub const EXACT: u16 = PROSE | ENTRY | RESULT | ROW | REMARK | STRING;

const WORDS: [&str; 13] = [
    "title", "section", "note", "caution", "check", "chart", "entry", "result", "row", "remark", "string", "number",
    "name",
];

/// Roles in words.
pub fn words(roles: u16) -> String {
    let named: Vec<&str> = (0..13).filter(|bit| roles & (1 << bit) != 0).map(|bit| WORDS[bit as usize]).collect();
    if named.is_empty() { "nothing of these".to_owned() } else { named.join(" and ") }
}

/// The roles of every byte of a worksheet.
pub fn of(source: &Source) -> Vec<u16> {
    let mut roles = Roles { source, bytes: vec![0; source.text.len()] };
    let mut columns: Option<Vec<bool>> = None;
    let mut end_before = 0;
    for statement in &parse(source, 0).statements {
        let is_apart = source.text[end_before..statement.place.start as usize].matches('\n').count() > 1;
        end_before = statement.place.end as usize;
        if is_apart || !matches!(statement.kind, StatementKind::Row(_) | StatementKind::Note(_)) {
            columns = None;
        }
        roles.statement(statement, &mut columns);
        roles.remark(statement);
    }
    roles.bytes
}

struct Roles<'a> {
    source: &'a Source,
    bytes: Vec<u16>,
}

impl Roles<'_> {
    fn mark(&mut self, range: Range<usize>, role: u16) {
        self.bytes[range].iter_mut().for_each(|roles| *roles |= role);
    }

    fn place(&mut self, place: Place, role: u16) {
        self.mark(place.range(), role);
    }

    fn statement(&mut self, statement: &Statement, columns: &mut Option<Vec<bool>>) {
        let place = statement.place;
        match &statement.kind {
            StatementKind::Title(_) => self.place(place, TITLE),
            StatementKind::Section(_) => self.place(place, SECTION),
            StatementKind::Note(_) => self.place(place, NOTE),
            StatementKind::Caution(_) => self.place(place, CAUTION),
            StatementKind::Entry(name, literal) => {
                self.place(name.place, ENTRY);
                self.literal(literal);
            }
            StatementKind::Result(name, formula, promise) => {
                self.place(name.place, RESULT);
                self.formula(formula);
                self.promise(promise.as_ref());
            }
            StatementKind::Draw(name, file) => {
                self.place(name.place, NAME);
                self.place(file.place, STRING);
            }
            StatementKind::Fills(file) => self.place(file.place, STRING),
            StatementKind::Check(check) => {
                self.label(place, CHECK);
                self.formula(&check.condition);
            }
            StatementKind::Chart(chart) => {
                self.label(place, CHART);
                chart.ys.iter().chain([&chart.xs]).for_each(|formula| self.formula(formula));
            }
            StatementKind::Crew(name, size) => {
                self.place(name.place, NAME);
                size.iter().for_each(|item| self.item(item));
            }
            StatementKind::Row(cells) => {
                self.place(place, ROW);
                match columns {
                    Some(columns) => self.row(cells, columns),
                    None => *columns = Some(self.head(cells)),
                }
            }
            StatementKind::Head(_) => {}
        }
    }

    /// What stands between a check's mark and its colon.
    fn label(&mut self, place: Place, role: u16) {
        let end = self.source.slice(place).find(':').unwrap_or(1);
        self.mark(place.start as usize + 1..place.start as usize + end, role);
    }

    /// A remark is the end of its statement, two dashes before its words.
    fn remark(&mut self, statement: &Statement) {
        let Some(remark) = &statement.remark else { return };
        let end = statement.place.end as usize;
        let dashes = self.source.text[..end - remark.len()].trim_end().len() - 2;
        self.mark(dashes..end, REMARK);
    }

    /// Which of a table's columns hold amounts, the label column first.
    fn head(&mut self, cells: &[Place]) -> Vec<bool> {
        let head = parse_head(self.source, 0, cells).unwrap();
        if let Some(rows_from) = &head.rows_from {
            self.place(rows_from.file.place, STRING);
        }
        self.place(head.name.place, NAME);
        let mut amounts = vec![false];
        for column in &head.columns {
            self.place(column.name.place, NAME);
            amounts.push(matches!(column.kind, ColumnKind::Entered(..)));
            match &column.kind {
                ColumnKind::Worked(formula, promise) => {
                    self.formula(formula);
                    self.promise(promise.as_ref());
                }
                ColumnKind::Entered(unit, doubt) => {
                    unit.iter().for_each(|unit| self.unit(unit));
                    self.doubt(doubt.as_ref());
                }
                ColumnKind::Other(_) => {}
            }
        }
        amounts
    }

    fn row(&mut self, cells: &[Place], amounts: &[bool]) {
        for (index, cell) in cells.iter().enumerate() {
            let text = self.source.slice(*cell);
            match parse_literal(self.source, 0, *cell) {
                Ok(literal) if amounts.get(index) == Some(&true) => self.literal(&literal),
                _ if text.len() > 1 && text.starts_with(['"', '“']) && text.ends_with(['"', '”']) => {
                    self.place(*cell, STRING);
                }
                _ => {}
            }
        }
    }

    fn literal(&mut self, literal: &Literal) {
        match &literal.kind {
            LiteralKind::Text(_) => self.place(literal.place, STRING),
            LiteralKind::Items(items) => items.iter().for_each(|item| self.item(item)),
            LiteralKind::Open(_, item) => self.item(item),
            LiteralKind::Date(_) | LiteralKind::YesNo(_) | LiteralKind::Blank(_) => {}
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
            if part.number.is_some() {
                self.number(part.place);
            }
            part.unit.iter().for_each(|unit| self.unit(unit));
        }
    }

    /// The figures of a number; those of money stand behind its sign.
    fn number(&mut self, place: Place) {
        let is_figure = |character: char| character.is_numeric() || matches!(character, '.' | '/');
        let text = self.source.slice(place);
        let start = text.find(is_figure).unwrap_or(0);
        let length = text[start..].find(|character| !is_figure(character)).unwrap_or(text.len() - start);
        let length = text[start..start + length].trim_end_matches(['.', '/']).len();
        let start = place.start as usize + start;
        self.mark(start..start + length, NUMBER);
    }

    fn unit(&mut self, unit: &Unit) {
        unit.terms.iter().filter_map(|term| term.label.as_ref()).for_each(|label| self.name(label));
    }

    fn promise(&mut self, promise: Option<&Promise>) {
        let measures = promise.iter().flat_map(|promise| &promise.displays).flat_map(|display| &display.measures);
        measures.filter_map(|measure| measure.unit.as_ref()).for_each(|unit| self.unit(unit));
    }

    fn name(&mut self, name: &Name) {
        self.place(name.place, NAME);
    }

    fn formula(&mut self, formula: &Formula) {
        match &formula.kind {
            FormulaKind::Amount(amount) => self.amount(amount),
            FormulaKind::Text(_) => self.place(formula.place, STRING),
            FormulaKind::Name(name) => self.name(name),
            FormulaKind::Member(name, member) => {
                self.name(name);
                self.name(member);
            }
            FormulaKind::Call(name, _) => self.name(name),
            _ => {}
        }
        formula.parts().into_iter().for_each(|part| self.formula(part));
    }
}
