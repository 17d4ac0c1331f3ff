//! What was read of a text before it was changed: a statement that stands in it still is not read again, only moved to
//! where it stands now. What comes out is what reading the whole text gives.

use super::moved::Moved;
use super::parse::{self, MANY_STATEMENTS, Parsed, Reader, StatementRead};
use super::tree::Head;
use crate::hands;
use crate::text::{Place, Role, Source, Written, lines};
use crate::trouble::Trouble;
use rustc_hash::FxHashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// What was last read of one text: its statements by their texts, so that it never holds more than that text does.
///
/// How a statement reads depends on its own text alone, but for lines that stray: whether a line does is told by those
/// above it.
#[derive(Debug, Default)]
pub struct Known {
    statements: ByText<StatementRead>,
    heads: Arc<Mutex<ByText<HeadRead>>>,
}

type HeadRead = Result<Head, Trouble>;
type ByText<T> = FxHashMap<Box<str>, Before<T>>;

/// Something as it was read, and the byte at which it stood.
#[derive(Debug)]
struct Before<T> {
    start: u32,
    read: T,
}

impl<T: Moved + Clone> Before<T> {
    /// The same where it stands now.
    fn at(&self, start: u32) -> T {
        let mut read = self.read.clone();
        match start.wrapping_sub(self.start) {
            0 => {}
            by => read.move_on(by),
        }
        read
    }
}

/// The first rows of the tables of a text that was read before; of one that was not, none is known.
#[derive(Debug, Clone, Default)]
pub struct Heads(Option<Arc<Mutex<ByText<HeadRead>>>>);

impl Heads {
    /// Reads a row's cells as the first row of a table, if that has not been done.
    ///
    /// # Errors
    /// The first cell that cannot be read.
    pub fn read(&self, source: &Source, row: Place, cells: &[Place]) -> HeadRead {
        let read = || parse::parse_head(source, row.source, cells);
        let Some(known) = &self.0 else { return read() };
        let known = || known.lock().unwrap_or_else(PoisonError::into_inner);
        if let Some(before) = known().get(source.slice(row)) {
            return before.at(row.start);
        }
        let read = read();
        known().insert(source.slice(row).into(), Before { start: row.start, read: read.clone() });
        read
    }
}

impl Known {
    /// Reads a text, which is the first of a worksheet's texts.
    pub fn parse(&mut self, source: &Source) -> Parsed {
        let written = lines::statements(&source.text, 0);
        let is_new = |written: &&Written| {
            written.role == Role::Stray || !self.statements.contains_key(source.slice(written.place))
        };
        let new: Vec<Written> = written.iter().filter(is_new).copied().collect();
        let reader = Reader { source, number: 0 };
        let read = hands::over(&new, MANY_STATEMENTS, |written| parse::read_statement(&reader, *written));
        let mut read = new.iter().map(|written| written.place).zip(read).peekable();
        let mut now = FxHashMap::with_capacity_and_hasher(written.len(), Default::default());
        let mut statements = Vec::with_capacity(written.len());
        for written in written {
            let text = source.slice(written.place);
            let start = written.place.start;
            if let Some((_, read)) = read.next_if(|(place, _)| *place == written.place) {
                if written.role != Role::Stray {
                    now.insert(text.into(), Before { start, read: read.clone() });
                }
                statements.push(read);
            } else if let Some((text, before)) = self.statements.remove_entry(text) {
                statements.push(before.at(start));
                now.insert(text, before);
            } else if let Some(before) = now.get(text) {
                statements.push(before.at(start));
            }
        }
        self.heads.lock().unwrap_or_else(PoisonError::into_inner).retain(|row, _| now.contains_key(row));
        self.statements = now;
        Parsed { heads: Heads(Some(self.heads.clone())), ..parse::put_together(source, statements) }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn same(known: &mut Known, text: &str) {
        let source = Source::of_text("a.worksheet", text.to_owned());
        let (again, whole) = (known.parse(&source), parse::parse(&source, 0));
        let again = Parsed { heads: Heads::default(), ..again };
        assert_eq!(format!("{again:?}"), format!("{whole:?}"), "{text}");
    }

    #[test]
    fn what_is_moved_reads_as_if_it_were_new() {
        let mut known = Known::default();
        let sheet = include_str!("../../tests/bench/glance.worksheet");
        same(&mut known, sheet);
        same(&mut known, &format!("# Ein Titel mit ½ und 🌿\n\n{sheet}"));
        same(&mut known, &format!("{sheet}{sheet}"));
        same(&mut known, sheet.split_once('\n').map_or("", |(_, rest)| rest));
    }

    #[test]
    fn a_line_strays_by_what_stands_above_it() {
        let mut known = Known::default();
        same(&mut known, "a : 1 ft\n  length : 2 ft\n");
        same(&mut known, "\n  length : 2 ft\n");
        same(&mut known, "b : 3 ft\n\n  length : 2 ft\nlength : 2 ft\n");
        same(&mut known, "length : 2 ft\n");
    }

    #[test]
    fn it_holds_no_more_than_the_text() {
        let mut known = Known::default();
        for length in 0..1000 {
            known.parse(&Source::of_text("a.worksheet", format!("a : {length} ft\nb = 2 * a [ft]\n")));
        }
        assert_eq!((known.statements.len(), known.heads.lock().unwrap().len()), (2, 0));
    }
}
