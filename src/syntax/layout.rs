//! The canonical layout of a worksheet: the same text with its white space put in order. It moves no other character,
//! and it knows no units, no names and no values.
//!
//! | what | how it is laid out |
//! | --- | --- |
//! | named lines, checks and charts that follow each other | `:` and `=` under each other, a space on both sides |
//! | brackets and remarks of such lines | under each other, two spaces before the farthest |
//! | rows of a table | cells filled up with spaces, bars under each other |
//! | inside a line | one space between words and round operators, none inside brackets and before commas |
//! | quoted text, titles, notes, cautions, advice, remarks, labels of checks | as they are written |
//! | continued lines | broken where they are, each continuation four spaces in |
//! | empty lines | one at most, one before every section, none at the beginning and the end |
//! | line ends | CR LF where every line has them, else LF; no byte order mark |

mod blocks;
mod lines;
mod same;
mod spacing;

use super::parse::{self, Reader};
use crate::text::Source;

/// What a continued line begins with.
const CONTINUATION: &str = "\n    ";

/// The text in its canonical layout, which laid out again is itself.
///
/// `None` where it cannot be read, or where it would say something else when laid out; of that no text is known.
pub fn layout(source: &Source) -> Option<String> {
    let ends_in_cr_lf = ends_in_cr_lf(&source.text);
    let before = Source::of_text(&source.name, source.text.replace("\r\n", "\n"));
    if !parse::parse(&before, 0).troubles.is_empty() {
        return None;
    }
    let lines = lines::lines(&Reader { source: &before, number: 0 })?;
    let after = blocks::text(&lines);
    let after = if ends_in_cr_lf { after.replace('\n', "\r\n") } else { after };
    same::says_the_same(&source.text, &after).then_some(after)
}

fn ends_in_cr_lf(text: &str) -> bool {
    let mut ends = text.split_inclusive('\n').filter(|line| line.ends_with('\n')).peekable();
    ends.peek().is_some() && ends.all(|line| line.ends_with("\r\n"))
}
