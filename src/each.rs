//! One worked row for each row of data: a template settled once, some of its entries given by the columns of a CSV file.
//! Rows are read, worked and written a part at a time, on all processors and in their order, so that neither the file
//! nor what comes of it need fit into the memory.

mod data;

pub use data::{Data, MOST_ROW};

use crate::book::Settled;
use crate::checked::data::Header;
use crate::checked::data::entries::{self, EntryColumn, Given};
use crate::checked::units::Measures;
use crate::report::build::trouble_of;
use crate::report::data::ReportTrouble;
use crate::report::each::{Columns, Rows, push_cell, push_line, said};
use crate::text::{Place, Source};
use crate::trouble::{Kind, Trouble};
use crate::worked::Repeated;
use crate::{Request, hands};
use data::{Part, Row};
use std::io::{Read, Write};

/// A template, and the columns of data that fill it.
pub struct Each {
    settled: Settled,
    request: Request,
    entries: Vec<EntryColumn>,
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
        let each = Self { columns: Columns::default(), entries, request: request.clone(), settled };
        let troubles = each.repeated().worked().troubles.clone();
        if !troubles.is_empty() {
            return Err(told(&each.settled, &troubles, request));
        }
        let columns = Columns::of(&each.settled.sheet(request), headers, &each.given());
        Ok(Self { columns, ..each })
    }

    /// The slots of the entries given.
    fn given(&self) -> Vec<usize> {
        self.entries.iter().map(|entry| entry.slot).collect()
    }

    /// The template, what of it rests on no row worked.
    fn repeated(&self) -> Repeated<'_> {
        let Settled { checked, sources, .. } = &self.settled;
        Repeated::new(checked, sources, self.request.today, &self.given())
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
        out.write_all(&self.columns.heads)?;
        let mut whole = Tally::default();
        hands::in_turns(
            || Desk::new(self),
            |desk| data.next_part(&mut desk.part),
            Desk::work,
            |desk| {
                out.write_all(&desk.out)?;
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
    sheet: Repeated<'a>,
    out: Vec<u8>,
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
            sheet: each.repeated(),
            out: Vec::new(),
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
            self.lost(part.after(), Row::NONE, &Kind::RowTooLong { most: MOST_ROW });
        }
        self.part = part;
    }

    fn row(&mut self, number: u64, row: Row<'_>) {
        let wanted = self.each.entries.len();
        if row.width() != wanted {
            return self.lost(number, row, &Kind::RowOfData { found: row.width(), wanted });
        }
        let mut troubles = Vec::new();
        for (entry, cell) in self.each.entries.iter().zip(row.cells()) {
            if let Some(number) = entry.digits(cell) {
                self.sheet.give_number(entry.slot, number);
                continue;
            }
            let given = entry.enter(cell, &self.measures).unwrap_or_else(|kind| {
                troubles.push(said(&entry.name, &kind));
                Given::Lost
            });
            self.sheet.give(entry.slot, given);
        }
        self.push(number, row, &troubles);
    }

    /// A row none of whose cells can be told.
    fn lost(&mut self, number: u64, row: Row<'_>, why: &Kind) {
        self.each.entries.iter().for_each(|entry| self.sheet.give(entry.slot, Given::Lost));
        self.push(number, row, &[said(&format!("row {number}"), why)]);
    }

    /// Works a row whose cells have been given.
    fn push(&mut self, number: u64, row: Row<'_>, troubles: &[String]) {
        let wanted = self.each.entries.len();
        let is_as_it_came = matches!(row, Row::Line(line) if row.width() == wanted && push_line(&mut self.out, line));
        if !is_as_it_came {
            let cells = row.cells().chain(std::iter::repeat(b"".as_slice())).take(wanted);
            cells.for_each(|cell| push_cell(&mut self.out, cell));
        }
        let outcome = self.rows.push(self.sheet.work(), troubles, &mut self.out);
        self.tally.rows += 1;
        self.tally.no += u64::from(outcome.no);
        if outcome.trouble {
            self.tally.in_trouble += 1;
            self.tally.first_in_trouble = self.tally.first_in_trouble.or(Some(number));
        }
    }
}
