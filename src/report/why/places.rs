//! Where things stand: the line, and the file where that is another one.

use crate::checked::Checked;
use crate::checked::model::{Origin, RowFrom, Slot, Written, WrittenValue};
use crate::report::build::Sheet;
use crate::syntax::tree;
use crate::text::{Place, Source, single_spaced};

/// Tells where things of one worksheet stand.
pub struct Places<'a> {
    sources: &'a [Source],
    checked: &'a Checked,
}

/// What a `±` is written as, and where.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Give {
    /// `± 1/2 in`, `± 1/4 fl oz at most`
    pub written: String,
    /// Where it stands.
    pub place: String,
}

/// What other worksheets hold.
pub trait Others {
    /// Where an entry or result of the worksheet at that path in the crew folder stands; of a row of its tables, where
    /// the cell does.
    fn value(&mut self, path: &str, row: Option<&(String, String)>, name: &str) -> Option<String>;

    /// The `±` of a source of doubt that the worksheet at that path calls so.
    fn give(&mut self, path: &str, name: &str) -> Option<Give>;
}

impl<'a> Places<'a> {
    /// Those of a worksheet.
    pub fn of(sheet: &Sheet<'a>) -> Self {
        Self { sources: sheet.sources, checked: sheet.checked }
    }

    /// `line 27`, `sprayer-strip, line 12`; what is set for a run has no line.
    pub fn words(&self, place: Place) -> String {
        let number = usize::from(place.source);
        let Some(source) = self.sources.get(number) else { return String::new() };
        let line = source.spot(place).line;
        match number {
            0 => format!("line {line}"),
            _ if number >= self.checked.ranks.len() => "set for this run".to_owned(),
            _ => format!("{}, line {line}", source.name),
        }
    }

    /// The line, whatever the text it is one of.
    pub fn line(&self, place: Place) -> usize {
        self.sources.get(usize::from(place.source)).map_or(1, |source| source.spot(place).line)
    }

    /// The text at a place, single-spaced.
    pub fn text(&self, place: Place) -> String {
        let text = self.sources.get(usize::from(place.source)).map_or("", |source| source.slice(place));
        single_spaced(text)
    }

    /// Where a slot's value stands: in the line that fills a template's entry.
    pub fn slot(&self, slot: &Slot) -> String {
        match &slot.origin {
            Origin::Entered(written) if !matches!(written.value, WrittenValue::Given(_)) => self.words(written.place),
            _ => self.words(slot.place),
        }
    }

    /// Where an entered cell stands.
    pub fn cell(&self, table: usize, column: usize, row: usize, others: &mut dyn Others) -> String {
        let Some(own) = self.checked.tables.get(table) else { return String::new() };
        let (Some(kind), Some(line)) = (own.columns.get(column), own.rows.get(row)) else { return String::new() };
        match &line.from {
            Some(RowFrom::Csv(file, number)) => format!("{file}, row {number}"),
            Some(RowFrom::Sheet(from)) => {
                let there = others.value(&from.path, from.row.as_ref(), &kind.name);
                there.map_or_else(|| from.path.to_string(), |there| format!("{there} there"))
            }
            None => {
                let cell = line.cells.get(column).and_then(Option::as_ref);
                self.words(cell.map_or(line.place, |cell| cell.place))
            }
        }
    }

    /// Where a value of that name stands, or the cell of a table's row.
    pub fn value(&self, row: Option<&(String, String)>, name: &str) -> Option<String> {
        let key = tree::key(name);
        let named = |own: &&Slot| tree::has_key(&own.name, &key);
        if let Some((table, label)) = row
            && let Some(table) = self.checked.tables.iter().find(|own| tree::key(&own.name) == tree::key(table))
            && table.columns.iter().any(|column| tree::has_key(&column.name, &key))
        {
            return table.rows.iter().find(|row| row.label == *label).map(|row| self.words(row.place));
        }
        self.checked.slots.iter().find(named).map(|slot| self.slot(slot))
    }

    /// The `±` that a source of doubt is called after: of an entry, of a column's device, of a cell.
    pub fn give(&self, name: &str) -> Option<Give> {
        if let Some(slot) = self.checked.slots.iter().find(|slot| slot.name == name) {
            let Origin::Entered(written) = &slot.origin else { return None };
            return Some(self.written_give(written, self.slot(slot)));
        }
        let (column, label) = name.split_once(", ").map_or((name, None), |(column, label)| (column, Some(label)));
        let (table, column) = column.split_once('.')?;
        let own = self.checked.tables.iter().find(|own| own.name == table)?;
        let index = own.columns.iter().position(|own| own.name == column)?;
        let Some(label) = label else {
            let place = own.columns.get(index)?.place;
            return Some(Give { written: self.after_sign(place), place: self.words(place) });
        };
        let row = own.rows.iter().find(|row| row.label == label)?;
        let written = row.cells.get(index)?.as_ref()?;
        let place = match &row.from {
            Some(RowFrom::Csv(file, number)) => format!("{file}, row {number}"),
            _ => self.words(written.place),
        };
        Some(self.written_give(written, place))
    }

    fn written_give(&self, written: &Written, place: String) -> Give {
        let own = self.after_sign(written.place);
        let own = if own.is_empty() && !written.doubt_text.is_empty() {
            // A cell of a file has no text of its own here.
            format!("± {}", written.doubt_text)
        } else {
            own
        };
        Give { written: own, place }
    }

    /// What stands from the `±` on, as it is written.
    fn after_sign(&self, place: Place) -> String {
        let text = self.text(place);
        let found = ["±", "+/-"].iter().filter_map(|sign| Some((text.find(sign)?, sign.len()))).min();
        let rest = found.and_then(|(start, length)| text.get(start + length..));
        rest.map(|rest| format!("± {}", rest.trim())).unwrap_or_default()
    }
}
