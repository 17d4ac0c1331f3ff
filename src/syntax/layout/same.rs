//! Whether two texts say the same: the same statements, read alike by the grammar, with the same characters between the
//! white space. It knows nothing of how a text is laid out.

use super::lines::is_apart;
use super::spacing::is_white;
use crate::syntax::parse::{self, Positioned, Reader, Rule};
use crate::syntax::{mistakes, prose, values};
use crate::text::{Place, Role, Source, Written, lines};

/// Whether both can be read and say the same.
pub(super) fn says_the_same(before: &str, after: &str) -> bool {
    let marks = |text: &'_ str| text.chars().filter(|character| !is_white(*character)).collect::<String>();
    marks(before) == marks(after) && said(before).is_some_and(|before| said(after) == Some(before))
}

/// The rule by which a cell of a table's first row is read.
pub(super) fn head_rule(index: usize) -> Rule {
    if index == 0 { Rule::table_cell } else { Rule::column_cell }
}

/// What the grammar reads: each rule with the words it took, where it took some itself.
type Said = Vec<(Role, Vec<(Option<Rule>, String)>)>;

fn said(text: &str) -> Option<Said> {
    let source = Source::new("", text.as_bytes().to_vec()).ok()?;
    if !parse::parse(&source, 0).troubles.is_empty() {
        return None;
    }
    let reader = Reader { source: &source, number: 0 };
    let mut before: Option<Written> = None;
    let mut in_table = false;
    let mut said = Vec::new();
    for written in lines::statements(&source.text, 0) {
        let is_apart = before.is_some_and(|before| is_apart(&reader, before.place.end, written.place));
        before = Some(written);
        in_table &= !is_apart;
        said.push((written.role, words(&reader, written, in_table)?));
        in_table = written.role == Role::Row || in_table && written.role == Role::Note;
    }
    Some(said)
}

fn words(reader: &Reader<'_>, written: Written, in_table: bool) -> Option<Vec<(Option<Rule>, String)>> {
    let rule = match written.role {
        Role::Title | Role::Section | Role::Note | Role::Caution => {
            let text = reader.text(written.place).trim_start_matches(['#', '-', '!']);
            return Some(vec![(None, prose::joined(text))]);
        }
        Role::Row => return row(reader, written, in_table),
        Role::Check => Rule::check,
        Role::Chart => Rule::chart,
        Role::Crew => Rule::crew,
        Role::Fills => Rule::fills,
        Role::Named => Rule::named,
        Role::Unknown | Role::Stray => return None,
    };
    let mut words = Vec::new();
    read(reader, rule, written.place, &mut words)?;
    Some(words)
}

fn row(reader: &Reader<'_>, written: Written, in_table: bool) -> Option<Vec<(Option<Rule>, String)>> {
    let (cells, remark) = mistakes::split_row(reader, written).ok()?;
    let mut words = vec![(None, remark.unwrap_or_default())];
    for (index, cell) in cells.into_iter().enumerate() {
        match in_table {
            false => read(reader, head_rule(index), cell, &mut words)?,
            // What a cell is depends on its column: a value, or plain words.
            true if read(reader, Rule::cell, cell, &mut words).is_some() => {}
            true => words.push((None, single_spaced(reader.text(cell)))),
        }
    }
    Some(words)
}

fn read(reader: &Reader<'_>, rule: Rule, place: Place, words: &mut Vec<(Option<Rule>, String)>) -> Option<()> {
    take(reader.read(rule, place).ok()?, words);
    Some(())
}

fn take(pair: Positioned<'_>, words: &mut Vec<(Option<Rule>, String)>) {
    let (rule, text) = (pair.rule(), pair.as_str());
    let parts = pair.inner();
    let own = match rule {
        _ if !parts.is_empty() => String::new(),
        Rule::string => values::unquoted(text),
        Rule::check_label | Rule::chart_title | Rule::advice | Rule::remark_text => prose::joined(text),
        _ => single_spaced(text),
    };
    words.push((Some(rule), own));
    for part in parts {
        take(part, words);
    }
}

fn single_spaced(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}
