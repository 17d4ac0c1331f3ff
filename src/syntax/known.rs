//! What was read of a text before it was changed: a statement that stands in it still is not read again, only moved to
//! where it stands now. What comes out is what reading the whole text gives.

use super::moved::Moved;
use super::parse::{self, MANY_STATEMENTS, Parsed, Reader, StatementRead};
use crate::hands;
use crate::text::{Role, Source, Written, lines};
use rustc_hash::FxHashMap;

/// What was last read of one text: its statements by their texts, so that it never holds more than that text does.
///
/// How a statement reads depends on its own text alone, but for lines that stray: whether a line does is told by those
/// above it.
#[derive(Debug, Default)]
pub struct Known(FxHashMap<Box<str>, Before>);

/// A statement as it was read, and the byte at which it stood.
#[derive(Debug)]
struct Before {
    start: u32,
    read: StatementRead,
}

impl Before {
    /// The same where it stands now.
    fn at(&self, start: u32) -> StatementRead {
        let mut read = self.read.clone();
        match start.wrapping_sub(self.start) {
            0 => {}
            by => match &mut read {
                Ok(statement) => statement.move_on(by),
                Err((trouble, names)) => {
                    trouble.move_on(by);
                    names.move_on(by);
                }
            },
        }
        read
    }
}

impl Known {
    /// Reads a text, which is the first of a worksheet's texts.
    pub fn parse(&mut self, source: &Source) -> Parsed {
        let written = lines::statements(&source.text, 0);
        let is_new =
            |written: &&Written| written.role == Role::Stray || !self.0.contains_key(source.slice(written.place));
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
            } else if let Some((text, before)) = self.0.remove_entry(text) {
                statements.push(before.at(start));
                now.insert(text, before);
            } else if let Some(before) = now.get(text) {
                statements.push(before.at(start));
            }
        }
        self.0 = now;
        parse::put_together(source, statements)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn same(known: &mut Known, text: &str) {
        let source = Source::of_text("a.worksheet", text.to_owned());
        let (again, whole) = (known.parse(&source), parse::parse(&source, 0));
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
        assert_eq!(known.0.len(), 2);
    }
}
