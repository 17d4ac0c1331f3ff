//! Nesting: counted before the grammar, which calls itself at each bracket and each `if`, sees a statement.

use super::parse::{Read, Reader};
use crate::text::{Place, Written, cut};
use crate::trouble::{Kind, Trouble};

/// Brackets and `if`s may be nested this deep.
pub const DEEPEST: usize = 200;

/// Refuses a statement that is nested too deep.
pub(super) fn check(reader: &Reader<'_>, written: Written) -> Read<()> {
    let text = reader.text(written.place);
    if written.role.is_prose() || text.len() <= DEEPEST {
        return Ok(());
    }
    let mut count = Count::default();
    let mut quote = None;
    for (index, character) in text.char_indices() {
        match (quote, character) {
            (None, '"') => quote = Some('"'),
            (None, '“') => quote = Some('”'),
            (Some(close), _) if close == character => quote = None,
            (Some(_), _) => {}
            (None, '-') if cut::since(text, index).starts_with("-- ") && cut::until(text, index).ends_with(' ') => {
                break;
            }
            // Each cell is read by itself.
            (None, '|') => count = Count::default(),
            (None, _) => count.take(text, index, character),
        }
        if let Some(kind) = count.too_deep() {
            let start = written.place.start as usize + index;
            return Err(Trouble::new(Place::new(written.place.source, start, start + character.len_utf8()), kind));
        }
    }
    Ok(())
}

/// What has been met so far.
#[derive(Default)]
struct Count {
    /// For each open bracket, the `if`s before it.
    brackets: Vec<usize>,
    /// The `if`s since the last open bracket.
    ifs: usize,
    /// All that are open.
    open_ifs: usize,
}

impl Count {
    fn take(&mut self, text: &str, index: usize, character: char) {
        match character {
            '(' => {
                self.brackets.push(self.ifs);
                self.ifs = 0;
            }
            ')' => {
                self.open_ifs -= self.ifs;
                self.ifs = self.brackets.pop().unwrap_or(0);
            }
            'i' | 'I' if is_if(text, index) => {
                self.ifs += 1;
                self.open_ifs += 1;
            }
            _ => {}
        }
    }

    fn too_deep(&self) -> Option<Kind> {
        (self.brackets.len() + self.open_ifs > DEEPEST).then_some(Kind::TooDeep { deepest: DEEPEST })
    }
}

/// Whether the word stands here by itself.
fn is_if(text: &str, index: usize) -> bool {
    let is_outside = |byte: Option<&u8>| !byte.is_some_and(|byte| byte.is_ascii_alphanumeric() || *byte >= 0x80);
    let bytes = text.as_bytes();
    bytes.get(index..index + 2).is_some_and(|own| own.eq_ignore_ascii_case(b"if"))
        && is_outside(index.checked_sub(1).and_then(|before| bytes.get(before)))
        && is_outside(bytes.get(index + 2))
}
