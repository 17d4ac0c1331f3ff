//! Entries of a template that columns of data give: whose each column is, and each cell as the value of its entry.
//! Formulas are settled with the template's own kinds, which no cell changes. Nothing is worked here.

use super::{Header, Unsaid};
use crate::checked::beside::Beside;
use crate::checked::fit;
use crate::checked::model::{Blank, Checked, End, Origin, Slot, Written, WrittenValue};
use crate::checked::scope::nearest;
use crate::checked::types::{NumberType, Type};
use crate::checked::units::Measures;
use crate::syntax::{parse, tree};
use crate::text::Place;
use crate::trouble::{Kind, Trouble};
use crate::units::Labels;

/// A column of data, and the entry that it gives.
#[derive(Debug)]
pub struct EntryColumn {
    /// The entry.
    pub slot: usize,
    /// Its name.
    pub name: String,
    /// What it is.
    wanted: Type,
    /// What a cell is that says no unit.
    unsaid: Option<NumberType>,
    /// The size and the zero of the unit of plain digits, where they are all that counts.
    digits: Option<(f64, f64)>,
    /// The blank that an empty cell is.
    blank: usize,
    /// The `±` beside the entry's blank.
    beside: Beside,
    /// Where the template has the entry.
    place: Place,
}

/// What a cell gives for its entry.
#[derive(Debug)]
pub enum Given {
    /// A number in SI units without any doubt, which most are.
    Number(f64),
    /// Anything else.
    Written(Box<Written>),
    /// It could not be read.
    Lost,
}

/// Whose each column is, by the headers and the places where they stand; one blank more is made for each of them.
///
/// # Errors
/// Every header that gives no entry, or not in a unit that fits, and every table that no column can fill.
pub fn columns(checked: &mut Checked, headers: &[(Header, Place)]) -> Result<Vec<EntryColumn>, Vec<Trouble>> {
    let measures = checked.measures();
    let mut troubles = unfillable(checked);
    let mut columns: Vec<EntryColumn> = Vec::new();
    for (index, (header, place)) in headers.iter().enumerate() {
        let is_twice = headers.iter().take(index).any(|(other, _)| other.key == header.key);
        let found = if is_twice && !header.key.is_empty() {
            Err(Kind::HeaderTwice { name: header.name.clone() })
        } else {
            column(checked, header, &measures)
        };
        match found {
            Ok(column) => columns.push(column),
            Err(kind) => troubles.push(Trouble::new(*place, kind)),
        }
    }
    checked.currency = measures.currency.get();
    for column in &mut columns {
        column.blank = checked.blanks.len();
        let (name, place) = (column.name.clone(), column.place);
        checked.blanks.push(Blank { name, place, unit: None, labels: Labels::none() });
    }
    if troubles.is_empty() { Ok(columns) } else { Err(troubles) }
}

fn column(checked: &Checked, header: &Header, measures: &Measures) -> Result<EntryColumn, Kind> {
    if header.key.is_empty() {
        return Err(Kind::HeaderMissing);
    }
    parse::check_text(&header.name)?;
    let mut slots = checked.slots.iter().enumerate();
    let (slot, entry) =
        slots.find(|(_, slot)| tree::has_key(&slot.name, &header.key)).ok_or_else(|| no_such(checked, header))?;
    let Some(own) = entry_written(entry) else { return Err(Kind::HeaderOfWorked { name: entry.name.clone() }) };
    let unsaid = header.unsaid(&entry.kind, measures).map_err(|unsaid| match unsaid {
        Unsaid::Unfit(kind) => kind,
        Unsaid::NoUnit(unit) => {
            Kind::HeaderWithoutUnit { name: entry.name.clone(), whole: format!("{} ({unit})", entry.name) }
        }
    })?;
    let is_single = entry.kind.each().number().is_some_and(|number| !number.is_range());
    let beside = Beside::of(&own.value);
    let is_bare = is_single && beside.is_none();
    let plain = unsaid.as_ref().filter(|kind| is_bare && kind.unit.crew_words().next().is_none());
    Ok(EntryColumn {
        slot,
        name: entry.name.clone(),
        wanted: entry.kind.clone(),
        digits: plain.map(|kind| (kind.unit.size(), kind.unit.zero())),
        unsaid,
        blank: 0,
        beside,
        place: own.place,
    })
}

/// What stands in an entry that a person writes down in this worksheet.
fn entry_written(slot: &Slot) -> Option<&Written> {
    match &slot.origin {
        Origin::Entered(written) if slot.from.is_none() && !slot.is_crew_measure => Some(written),
        _ => None,
    }
}

/// A header that is no value's name.
fn no_such(checked: &Checked, header: &Header) -> Kind {
    let name = header.name.clone();
    if checked.tables.iter().any(|table| tree::has_key(&table.name, &header.key)) {
        return Kind::HeaderOfWorked { name };
    }
    let entries = || checked.slots.iter().filter(|slot| entry_written(slot).is_some());
    let near = nearest(&header.key, entries().map(|slot| slot.name.as_str()));
    let slot = near.and_then(|near| entries().find(|slot| slot.name == near));
    let whole = |slot: &Slot| match slot.kind.each().number().map(|number| number.unit.symbol(&checked.crew)) {
        Some(unit) if !unit.is_empty() => format!("{} ({unit})", slot.name),
        _ => slot.name.clone(),
    };
    Kind::HeaderOfNothing { name, near: slot.map(whole).unwrap_or_default() }
}

/// Tables that wait for cells or rows, once each.
fn unfillable(checked: &Checked) -> Vec<Trouble> {
    let mut troubles = Vec::new();
    for table in &checked.tables {
        let name = table.name.clone();
        if table.rows.is_empty() && !table.is_from_files {
            troubles.push(Trouble::new(table.place, Kind::TableWithoutRows { table: name }));
            continue;
        }
        let mut cells = table.rows.iter().flat_map(|row| row.cells.iter().flatten());
        let blank = cells.find_map(|cell| match &cell.value {
            WrittenValue::Blank(blank) | WrittenValue::Number(End { blank: Some(blank), .. }) => {
                Some((cell.place, checked.blanks.get(*blank)?))
            }
            _ => None,
        });
        if let Some((place, blank)) = blank {
            troubles.push(Trouble::new(place, Kind::BlankInTable { cell: blank.name.clone(), table: name }));
        }
    }
    troubles
}

impl EntryColumn {
    /// The number in SI units of a cell that is plain digits, which most are.
    pub fn digits(&self, cell: &[u8]) -> Option<f64> {
        let (size, zero) = self.digits?;
        Some(super::plain_number(cell.trim_ascii())? * size + zero)
            .filter(|number| number.is_finite() && !number.is_subnormal())
    }

    /// A cell as the value of the entry.
    ///
    /// # Errors
    /// Why it is none.
    pub fn enter(&self, cell: &[u8], measures: &Measures) -> Result<Given, Kind> {
        let text = std::str::from_utf8(cell).map_err(|_| Kind::CellNoText)?.trim();
        let blanks = &mut Vec::new();
        let Some(cell) = super::cell(text, &self.wanted, self.unsaid.as_ref(), &self.name, measures, blanks)? else {
            return Ok(self.written(WrittenValue::Blank(self.blank)));
        };
        fit::fit_for_good(&cell.kind, &self.wanted, measures)?;
        Ok(self.written(self.beside.put_to(self.with_own_blanks(cell.written.value))))
    }

    /// Nothing asks how the cell was written: it stands beside what comes of it.
    fn written(&self, value: WrittenValue) -> Given {
        let (text, doubt_text) = (String::new(), String::new());
        Given::Written(Box::new(Written { place: self.place, value, text, doubt_text, says_unit: false }))
    }

    /// What is blank in a part of a cell is the column's blank.
    fn with_own_blanks(&self, value: WrittenValue) -> WrittenValue {
        let end = |end: End| End { blank: end.blank.map(|_| self.blank), ..end };
        match value {
            WrittenValue::Number(number) => WrittenValue::Number(end(number)),
            WrittenValue::Range(low, high) => WrittenValue::Range(low.map(end), high.map(end)),
            WrittenValue::Readings(numbers, doubt, crew) => {
                let numbers = numbers.into_iter().map(|number| number.map_err(|_| self.blank)).collect();
                WrittenValue::Readings(numbers, doubt, crew)
            }
            WrittenValue::Blank(_) => WrittenValue::Blank(self.blank),
            other => other,
        }
    }
}
