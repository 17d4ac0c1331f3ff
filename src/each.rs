//! One worked row for each row of data: a template settled once, some of its entries given by the columns of a CSV file.
//! Rows are read, worked and written a part at a time, on all processors and in their order, so that neither the file
//! nor what comes of it need fit into the memory.

mod data;

pub use data::{Data, MOST_ROW};

use crate::book::Settled;
use crate::checked::data::Header;
use crate::checked::data::entries::{self, EntryColumn};
use crate::checked::model::Written;
use crate::checked::units::Measures;
use crate::report::build::trouble_of;
use crate::report::data::ReportTrouble;
use crate::report::each::{Columns, Rows, said};
use crate::text::{Place, Source};
use crate::trouble::{Kind, Trouble};
use crate::{Request, hands, worked};
use data::Part;
use std::io::{Read, Write};

/// A template, and the columns of data that fill it.
pub struct Each {
    settled: Settled,
    request: Request,
    entries: Vec<EntryColumn>,
    /// The column of each slot that has one.
    by_slot: Vec<Option<usize>>,
    columns: Columns,
}

/// How far a run has come, and what came of it.
#[derive(Debug, Clone, Copy, Default, PartialEq, Eq)]
pub struct Tally {
    /// Rows of data.
    pub rows: u64,
    /// How many of them are in trouble.
    pub in_trouble: u64,
    /// The first of those, counted from 1 with the headers.
    pub first_in_trouble: Option<u64>,
    /// How many have a check that says `no`.
    pub no: u64,
    /// Bytes of data read.
    pub bytes: u64,
}

impl Each {
    /// Of a template that has been settled, for data whose file is called so and has these headers.
    ///
    /// # Errors
    /// Why no row can be worked: what is in trouble in the template, and every header that does not fit it.
    pub fn new(
        mut settled: Settled,
        request: &Request,
        file: &str,
        headers: &[String],
    ) -> Result<Self, Vec<ReportTrouble>> {
        let (heading, places) = heading(file, headers, settled.sources.len());
        settled.sources.push(heading);
        if !settled.checked.troubles.is_empty() {
            return Err(told(&settled, &settled.checked.troubles, request));
        }
        if headers.is_empty() {
            let start = Place::new(u16::try_from(settled.sources.len() - 1).unwrap_or(u16::MAX), 0, 0);
            return Err(told(&settled, &[Trouble::new(start, Kind::HeadersMissing)], request));
        }
        let headed: Vec<(Header, Place)> = headers.iter().map(|header| Header::read(header)).zip(places).collect();
        let entries = entries::columns(&mut settled.checked, &headed);
        let entries = entries.map_err(|troubles| told(&settled, &troubles, request))?;
        let mut by_slot = vec![None; settled.checked.slots.len()];
        for (column, entry) in entries.iter().enumerate() {
            if let Some(own) = by_slot.get_mut(entry.slot) {
                *own = Some(column);
            }
        }
        let given: Vec<usize> = entries.iter().map(|entry| entry.slot).collect();
        let columns = Columns::of(&settled.sheet(request), headers, &given);
        Ok(Self { settled, request: request.clone(), entries, by_slot, columns })
    }

    /// Works all rows of data. `told` hears after each part how far it has come.
    ///
    /// # Errors
    /// Where the data cannot be read to its end, or what comes of it not be written.
    pub fn run(
        &self,
        data: &mut Data<impl Read + Send>,
        out: &mut (impl Write + Send),
        mut told: impl FnMut(&Tally) + Send,
    ) -> std::io::Result<Tally> {
        out.write_all(self.columns.heads.as_bytes())?;
        let mut whole = Tally::default();
        hands::in_turns(
            || Desk::new(self),
            |desk| data.next_part(&mut desk.part),
            Desk::work,
            |desk| {
                out.write_all(desk.out.as_bytes())?;
                whole.add(&desk.tally);
                told(&whole);
                Ok(())
            },
        )?;
        out.flush()?;
        Ok(whole)
    }
}

/// The headers as a text of their own, and where each stands in it.
fn heading(file: &str, headers: &[String], number: usize) -> (Source, Vec<Place>) {
    let number = u16::try_from(number).unwrap_or(u16::MAX);
    let (mut text, mut places) = (String::new(), Vec::new());
    for header in headers {
        if !text.is_empty() || !places.is_empty() {
            text.push(',');
        }
        let start = text.len();
        text.push_str(header);
        places.push(Place::new(number, start, text.len()));
    }
    (Source::of_text(file, text), places)
}

fn told(settled: &Settled, troubles: &[Trouble], request: &Request) -> Vec<ReportTrouble> {
    troubles.iter().map(|trouble| trouble_of(trouble, &settled.sources, request.colour)).collect()
}

impl Tally {
    fn add(&mut self, other: &Self) {
        self.rows += other.rows;
        self.in_trouble += other.in_trouble;
        self.first_in_trouble = self.first_in_trouble.or(other.first_in_trouble);
        self.no += other.no;
        self.bytes = self.bytes.max(other.bytes);
    }
}

/// What one hand works with.
struct Desk<'a> {
    each: &'a Each,
    rows: Rows<'a>,
    measures: Measures,
    part: Part,
    cells: Vec<Option<Written>>,
    out: String,
    tally: Tally,
}

impl<'a> Desk<'a> {
    fn new(each: &'a Each) -> Self {
        let Settled { checked, sources, .. } = &each.settled;
        Self {
            each,
            rows: Rows::new(checked, sources, &each.columns),
            measures: checked.measures(),
            part: Part::default(),
            cells: Vec::new(),
            out: String::new(),
            tally: Tally::default(),
        }
    }

    /// Works the part that is on the desk.
    fn work(&mut self) {
        self.out.clear();
        self.tally = Tally { bytes: self.part.bytes, ..Tally::default() };
        let part = std::mem::take(&mut self.part);
        for (number, row) in part.rows() {
            self.row(number, row);
        }
        if part.is_too_long {
            self.lost(part.after(), &csv::ByteRecord::new(), &Kind::RowTooLong { most: MOST_ROW });
        }
        self.part = part;
    }

    fn row(&mut self, number: u64, row: &csv::ByteRecord) {
        let wanted = self.each.entries.len();
        if row.len() != wanted {
            return self.lost(number, row, &Kind::RowOfData { found: row.len(), wanted });
        }
        let mut troubles = Vec::new();
        self.cells.clear();
        for (entry, cell) in self.each.entries.iter().zip(row) {
            let text = std::str::from_utf8(cell).map_err(|_| Kind::CellNoText);
            let written = text.and_then(|text| entry.enter(text, &self.measures));
            self.cells.push(written.map_err(|kind| troubles.push(said(&entry.name, &kind))).ok());
        }
        self.push(number, row, &troubles);
    }

    /// A row none of whose cells can be told.
    fn lost(&mut self, number: u64, row: &csv::ByteRecord, why: &Kind) {
        self.cells.clear();
        self.cells.extend(self.each.entries.iter().map(|_| None));
        self.push(number, row, &[said(&format!("row {number}"), why)]);
    }

    /// Works a row with the cells settled for it.
    fn push(&mut self, number: u64, row: &csv::ByteRecord, troubles: &[String]) {
        let each = self.each;
        let given = worked::Row { columns: &each.by_slot, cells: &self.cells };
        let Settled { checked, sources, .. } = &each.settled;
        let worked = worked::work_row(checked, sources, each.request.today, given);
        let texts: Vec<_> = (0..each.entries.len())
            .map(|column| String::from_utf8_lossy(row.get(column).unwrap_or_default()))
            .collect();
        let outcome = self.rows.push(texts.iter().map(AsRef::as_ref), &worked, troubles, &mut self.out);
        self.tally.rows += 1;
        self.tally.no += u64::from(outcome.no);
        if outcome.trouble {
            self.tally.in_trouble += 1;
            self.tally.first_in_trouble = self.tally.first_in_trouble.or(Some(number));
        }
    }
}
