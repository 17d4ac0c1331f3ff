//! The numbers put into a formula: each name by its value as the sheet shows it, without its `±`; calls by what they
//! come to, the inner ones first.

use super::places::Places;
use super::reach::picked;
use crate::checked::Checked;
use crate::checked::model::{Argument, Does, Expression, Function, Origin, ShownIn, Written, WrittenValue};
use crate::checked::types::Type;
use crate::quantity::Value;
use crate::quantity::shown::Form;
use crate::report::data::ShownPart;
use crate::report::formula::{Parts, Words, call, written};
use crate::report::shown::{Shower, part_words};
use crate::report::spaces::{HELD, held_together};
use crate::worked::again::{Again, InRow};
use crate::worked::{Outcome, Worked};

/// So many values of a list or column are written out; of more, all but the last are left out behind these.
const MOST_LISTED: usize = 8;

/// Puts numbers into formulas.
pub struct Figures<'f, 'a> {
    /// The sheet.
    pub checked: &'a Checked,
    /// Its texts.
    pub places: &'f Places<'a>,
    /// What its parts come to.
    pub again: &'f mut Again<'a>,
    /// The row that the formula is worked for.
    pub row: InRow,
    /// Calls that are nested so deep at most are written as what they come to.
    pub depth: usize,
    /// Whether a number was put in that is shown rounded.
    pub is_rounded: bool,
}

impl Figures<'_, '_> {
    /// A formula with the numbers put in, and then with one call after the other worked; the last is what it would be
    /// but for its own outermost call. Lines that repeat the one before are left out.
    pub fn lines(&mut self, formula: &Expression) -> Vec<String> {
        let mut lines: Vec<String> = Vec::new();
        for depth in 0..=nested(formula) {
            self.depth = depth;
            let line = self.formula(formula);
            if lines.last() != Some(&line) {
                lines.push(line);
            }
        }
        lines
    }

    /// The outermost call is never written as its value, which is the result itself; of a choice the branch taken is.
    fn formula(&mut self, formula: &Expression) -> String {
        match &formula.does {
            Does::Call(function, arguments) if *function != Function::Pick => call(formula, *function, arguments, self),
            Does::If(condition, then, otherwise) if nested(formula) <= self.depth => {
                match self.again.holds(condition, self.row) {
                    Some(true) => self.formula(then),
                    Some(false) => self.formula(otherwise),
                    None => written(formula, self).text,
                }
            }
            _ => written(formula, self).text,
        }
    }

    fn outcome(&mut self, part: &Expression) -> Outcome {
        self.again.part(part, self.row)
    }

    fn as_written(&self, part: &Expression) -> Words {
        Words::value(held(&self.places.text(part.place)), matches!(&part.kind, Type::Number(own) if own.is_range()))
    }

    /// The value of a part that has a name or is worked; as written where it waits.
    fn value(&mut self, part: &Expression, shown: &[ShownIn]) -> Words {
        let Ok(value) = self.outcome(part) else { return Words::whole(self.places.text(part.place)) };
        self.shown(&value, &part.kind, shown)
    }

    fn shown(&mut self, value: &Value, kind: &Type, shown: &[ShownIn]) -> Words {
        match value {
            Value::Text(text) => Words::whole(format!("\"{text}\"")),
            Value::Date(date) => Words::whole(held_together(&date.to_string()).into()),
            Value::YesNo(yes) => Words::whole((if *yes { "yes" } else { "no" }).to_owned()),
            Value::Number(_) | Value::Range(_) => {
                let shower = Shower::new(self.checked, self.again.worked());
                let Some((part, is_rounded)) = shower.bare(value, kind, shown) else {
                    return Words::whole(String::new());
                };
                self.is_rounded |= is_rounded;
                Words::value(held(&part_words(&part)), matches!(value, Value::Range(_)))
            }
        }
    }

    fn slot(&mut self, part: &Expression, slot: usize) -> Words {
        let checked = self.checked;
        let Some(own) = checked.slots.get(slot) else { return self.as_written(part) };
        match &own.origin {
            Origin::Entered(written) if is_as_written(written, &own.shown) && self.outcome(part).is_ok() => {
                self.entered(written, &own.kind, &own.shown)
            }
            _ => self.value(part, &own.shown),
        }
    }

    fn cell(&mut self, part: &Expression, row: InRow, column: usize) -> Words {
        let Some((table, row)) = row else { return self.as_written(part) };
        match self.cell_words(table, column, row) {
            Some(words) => words,
            None => Words::whole(self.places.text(part.place)),
        }
    }

    /// A cell as it stands in a formula; none where it waits.
    fn cell_words(&mut self, table: usize, column: usize, row: usize) -> Option<Words> {
        let own = self.checked.tables.get(table)?;
        let (kind, line) = (own.columns.get(column)?, own.rows.get(row)?);
        let value = cell_value(self.again.worked(), table, column, row)?;
        match line.cells.get(column).and_then(Option::as_ref) {
            Some(written) if is_as_written(written, &kind.shown) => {
                Some(self.entered(written, &kind.kind, &kind.shown))
            }
            _ => Some(self.shown(&value, &kind.kind, &kind.shown)),
        }
    }

    /// A value as it was written down, without its `±`.
    fn entered(&self, written: &Written, kind: &Type, shown: &[ShownIn]) -> Words {
        let shower = Shower::new(self.checked, self.again.worked());
        let unit = shown.first().filter(|_| !written.says_unit).map(|shown| shower.unit(shown)).unwrap_or_default();
        let part = ShownPart { value: written.text.as_str().into(), unit: unit.into(), ..ShownPart::default() };
        match kind {
            Type::Text => Words::whole(format!("\"{}\"", written.text)),
            Type::Number(own) => Words::value(held(&part_words(&part)), own.is_range()),
            _ => Words::whole(held(&part_words(&part))),
        }
    }

    /// The values of a list, or of the rows taken of a column: the unit once where it is the same for all.
    fn listed(&mut self, argument: &Argument) -> Option<String> {
        let rows = self.again.rows(argument, self.row)?;
        let each: Vec<(String, String)> = match argument.value.does {
            Does::Column(table, column) => {
                let mut cell = |row: &usize| self.cell_words(table, column, *row).map(|words| words.text);
                let texts = ends(&rows).iter().map(&mut cell).collect::<Option<Vec<_>>>()?;
                let unit = self.checked.tables.get(table)?.columns.get(column)?.shown.first();
                let unit =
                    unit.map(|unit| Shower::new(self.checked, self.again.worked()).unit(unit)).unwrap_or_default();
                texts.into_iter().map(|text| apart(&text, &unit)).collect()
            }
            Does::Slot(slot) => {
                let own = self.checked.slots.get(slot)?;
                let Origin::Entered(written) = &own.origin else { return None };
                let shower = Shower::new(self.checked, self.again.worked());
                let unit = own.shown.first().filter(|_| !written.says_unit).map(|unit| shower.unit(unit));
                let readings: Vec<&str> = written.text.split(", ").collect();
                ends(&readings).iter().map(|reading| (held(reading), held(unit.as_deref().unwrap_or("")))).collect()
            }
            _ => return None,
        };
        let choice = argument.choice.as_ref().map(|choice| format!(" where {}", self.places.text(choice.place)));
        Some(joined(&each, rows.len()) + &choice.unwrap_or_default())
    }
}

impl Parts for Figures<'_, '_> {
    fn part(&mut self, part: &Expression) -> Option<Words> {
        let checked = self.checked;
        match &part.does {
            Does::Slot(slot) => Some(self.slot(part, *slot)),
            Does::Cell(column) | Does::OuterCell(column) => Some(self.cell(part, self.row, *column)),
            Does::Today => Some(self.value(part, &[])),
            Does::Number(_) | Does::Text(_) | Does::Date(_) | Does::YesNo(_) | Does::Column(..) | Does::RowLabel => {
                Some(self.as_written(part))
            }
            // `3 scoop` is a number times the size of a scoop; `2 ft/height` one divided by a name.
            Does::Arithmetic(_, left, right) if left.place == part.place && right.place == part.place => {
                Some(self.as_written(part))
            }
            Does::Arithmetic(operator, left, right) if left.place == part.place => {
                let number = self.value(left, &[]);
                let right = written(right, self);
                let sign = if *operator == crate::syntax::tree::Operator::Times { "*" } else { "/" };
                Some(Words { text: format!("{} {sign} {}", number.text, right.text), ..number })
            }
            Does::Call(Function::Pick, arguments) => {
                let row = picked(checked, self.again, part, self.row)?;
                let Does::Column(table, column) = arguments.first()?.value.does else { return None };
                self.cell_words(table, column, row)
            }
            Does::Call(..) if nested(part) <= self.depth => Some(self.value(part, &[])),
            Does::If(condition, then, otherwise) => match self.again.holds(condition, self.row) {
                Some(true) if nested(part) <= self.depth => Some(written(then, self)),
                Some(false) if nested(part) <= self.depth => Some(written(otherwise, self)),
                // The numbers of the branch that was not taken may wait, or not even exist.
                Some(is_then) => {
                    let condition = written(condition, self).text;
                    let (then, otherwise) = match is_then {
                        true => (written(then, self).text, self.places.text(otherwise.place)),
                        false => (self.places.text(then.place), written(otherwise, self).text),
                    };
                    let text = format!("if {condition} then {then} else {otherwise}");
                    Some(Words { text, binds: crate::report::formula::Binds::Choice })
                }
                None => None,
            },
            _ => None,
        }
    }

    fn argument(&mut self, call: &Expression, argument: &Argument) -> String {
        if matches!(argument.value.kind, Type::Several(_)) {
            let listed = self.listed(argument);
            return listed.unwrap_or_else(|| self.places.text(argument.value.place));
        }
        let of_doubt = matches!(
            &call.does,
            Does::Call(Function::GiveOrTake | Function::StandardUncertainty | Function::DegreesOfFreedom, _)
        );
        if of_doubt && let Does::Slot(slot) = argument.value.does {
            let outcome = self.outcome(&argument.value);
            let shower = Shower::new(self.checked, self.again.worked());
            return shower.slot_words(slot, &outcome).map(|words| held(&words)).unwrap_or_default();
        }
        written(&argument.value, self).text
    }
}

/// Figures with their unit held together, but for what it is of, and before that and the next unit.
pub fn held(words: &str) -> String {
    let loosened = |held: String, word: &str| {
        let bound = format!("{HELD}{word}{HELD}");
        held.replace(&bound, &format!(" {word}{HELD}"))
    };
    ["of", "per", "to"].into_iter().fold(words.replace(' ', "\u{a0}"), loosened)
}

/// A value is put in as it was written, but where it came from elsewhere, or is money, which is shown to the cent.
fn is_as_written(written: &Written, shown: &[ShownIn]) -> bool {
    let is_cents = shown.first().is_some_and(|shown| shown.form == Form::Cents);
    !matches!(written.value, WrittenValue::Given(_)) && !is_cents
}

/// The value of a cell; none where it waits.
pub fn cell_value(worked: &Worked, table: usize, column: usize, row: usize) -> Option<Value> {
    worked.columns.get(table)?.get(column)?.get(row)?.as_ref().ok().cloned()
}

/// How deep calls and choices are nested in a formula.
fn nested(part: &Expression) -> usize {
    let mut inner = 0;
    match &part.does {
        // What stands behind `where` is never worked to a value of its own.
        Does::Call(_, arguments) => arguments.iter().for_each(|own| inner = inner.max(nested(&own.value))),
        _ => part.each_part(&mut |part| inner = inner.max(nested(part))),
    }
    match &part.does {
        Does::Call(Function::Pick, _) => inner,
        Does::Call(..) | Does::If(..) => inner + 1,
        _ => inner,
    }
}

/// All of a short list; the first few and the last of a long one.
fn ends<T: Clone>(all: &[T]) -> Vec<T> {
    match all.split_last() {
        Some((last, others)) if all.len() > MOST_LISTED => {
            others.iter().take(MOST_LISTED - 2).chain([last]).cloned().collect()
        }
        _ => all.to_vec(),
    }
}

/// A figure and its unit apart; where the unit is another, it stays with the figure.
fn apart(text: &str, unit: &str) -> (String, String) {
    let own = held(unit);
    match text
        .strip_suffix(own.as_str())
        .filter(|_| !own.is_empty())
        .map(|figure| figure.trim_end_matches(['\u{a0}', ' ']))
    {
        Some(figure) => (figure.to_owned(), own),
        None => (text.to_owned(), String::new()),
    }
}

/// `9 1/2, 9 1/4, 9 3/4 fl oz`
fn joined(each: &[(String, String)], count: usize) -> String {
    let unit = each.first().map(|(_, unit)| unit.clone()).unwrap_or_default();
    let is_shared = each.iter().all(|(_, own)| *own == unit);
    let text = |(figure, own): &(String, String)| match is_shared || own.is_empty() {
        true => figure.clone(),
        false => format!("{figure}{HELD}{own}"),
    };
    let mut texts: Vec<String> = each.iter().map(text).collect();
    if count > each.len() {
        texts.insert(texts.len().saturating_sub(1), "…".to_owned());
    }
    let list = texts.join(", ");
    let list = if is_shared && !unit.is_empty() { format!("{list}{HELD}{unit}") } else { list };
    if count > each.len() { format!("{list} ({count} values)") } else { list }
}
