//! What stands before a place in a line that is being written, and so what may come next. It goes by characters alone,
//! since such a line can seldom be read.

use crate::syntax::tree;
use crate::text::lines::statements;
use crate::text::{Place, Role, Source, Written, cut, single_spaced};

/// What may come at a place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) struct Context {
    pub(super) is: Where,
    /// The word that has been begun, which what is offered takes the place of.
    pub(super) word: Place,
    /// The statement.
    pub(super) statement: Place,
    /// The name that the line gives, by its key.
    pub(super) own: Option<String>,
    /// The table in whose first row or rows one is, by its key.
    pub(super) table: Option<String>,
}

/// What stands at the place.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Where {
    /// A file in quotes.
    File {
        /// Whether it is the template that the worksheet fills.
        is_template: bool,
    },
    /// The beginning of a line.
    Head,
    /// A unit.
    Unit {
        /// What it must fit.
        wanted: Wanted,
        /// What stands of the unit before the word, its joint at the end: `gal/`.
        before: String,
    },
    /// What follows a name and a point.
    Member(String),
    /// A name in a formula.
    Name,
    /// Nothing that could be offered.
    Nothing,
}

/// What a unit must fit.
#[derive(Debug, Clone, PartialEq, Eq)]
pub(super) enum Wanted {
    /// Anything will do.
    Anything,
    /// The result of the line, which ends before that byte.
    ShownBy(u32),
    /// The entry of a template that the line fills.
    OfEntry(String),
    /// The column, counted from the first behind the label, of the table whose row this is.
    OfColumn(usize),
    /// What a formula or a value comes to.
    Like(String),
}

/// Words of the notation that end what stands before them.
const RESERVED: [&str; 15] =
    ["to", "from", "within", "by", "and", "or", "not", "if", "then", "else", "is", "where", "than", "most", "least"];
/// Words and signs before which one side of a comparison ends.
const COMPARISONS: [&str; 10] =
    [" within ", " at most ", " at least ", " less than ", " more than ", " is ", "<", ">", "≤", "≥"];

impl Context {
    /// What stands before a byte; none on a line of its own.
    pub(super) fn at(source: &Source, at: u32) -> Option<Self> {
        let written = statements(&source.text, 0);
        let index = written.iter().rposition(|written| written.place.start <= at)?;
        let statement = *written.get(index)?;
        let is_beyond = at > statement.place.end
            && source.slice(Place { start: statement.place.end, end: at, ..statement.place }).contains('\n');
        if is_beyond {
            return None;
        }
        let place = Place { end: at, ..statement.place };
        let before = source.slice(place);
        let mut context = Self {
            is: Where::Nothing,
            word: Place { start: at, ..place },
            statement: statement.place,
            own: None,
            table: None,
        };
        let (is, start) = context.line(source, &written, index, before);
        context.is = is;
        context.word.start = place.start + u32::try_from(start).unwrap_or_default();
        Some(context)
    }

    /// What may come behind the beginning of a line, and where in it the word begins.
    fn line(&mut self, source: &Source, written: &[Written], index: usize, before: &str) -> (Where, usize) {
        let nothing = (Where::Nothing, before.len());
        let Some(role) = written.get(index).map(|written| written.role) else { return nothing };
        if role.is_prose() || before.contains(" -- ") {
            return nothing;
        }
        if let Some(quote) = open_quote(before) {
            let names_file = cut::until(before, quote).trim_end().to_lowercase().ends_with("from");
            let start = quote + cut::since(before, quote).chars().next().map_or(1, char::len_utf8);
            let is = if names_file { Where::File { is_template: role == Role::Fills } } else { Where::Nothing };
            return (is, start);
        }
        let sign = before.find([':', '=']);
        match (role, sign) {
            (Role::Row, _) => self.row(source, written, index, before),
            (Role::Named | Role::Fills, None) => (Where::Head, 0),
            (Role::Named, Some(sign)) => {
                let name = tree::key(&single_spaced(cut::until(before, sign)));
                self.own = Some(name.clone());
                match before.get(sign..=sign) {
                    Some("=") => formula(before, sign + 1, self.statement.start),
                    _ => value(before, sign + 1, Wanted::OfEntry(name)),
                }
            }
            (Role::Check | Role::Chart, Some(colon)) if !before.contains(" else ") => {
                formula(before, colon + 1, self.statement.start)
            }
            (Role::Crew, Some(sign)) => value(before, sign + 1, Wanted::Anything),
            _ => nothing,
        }
    }

    /// A cell: of a first row, which declares columns, or of one beneath.
    fn row(&mut self, source: &Source, written: &[Written], index: usize, before: &str) -> (Where, usize) {
        let bar = before.rfind('|').map_or(0, |bar| bar + 1);
        let column = before.matches('|').count();
        let is_row = |written: &&Written| matches!(written.role, Role::Row | Role::Note);
        let run = written.get(..=index).unwrap_or_default().iter().rev().take_while(is_row);
        let mut first: Option<&Written> = None;
        for row in run {
            let gap = first.map(|next| Place { start: row.place.end, end: next.place.start, ..row.place });
            if gap.is_some_and(|gap| source.slice(gap).matches('\n').count() > 1) {
                break;
            }
            first = Some(row);
        }
        let Some(first) = first else { return (Where::Nothing, before.len()) };
        let head = source.slice(first.place).trim_start_matches('|').split('|').next().unwrap_or("");
        let name = head.split_once(" from ").map_or(head, |(name, _)| name);
        self.table = Some(tree::key(&single_spaced(name)));
        if first.place != self.statement {
            let wanted = column.checked_sub(2).map_or(Wanted::Anything, Wanted::OfColumn);
            return value(before, bar, wanted);
        }
        let cell = cut::since(before, bar);
        match cell.find([':', '=']) {
            Some(sign) if cell.get(sign..=sign) == Some("=") => {
                let (is, start) = formula(before, bar + sign + 1, self.statement.start);
                // What the column comes to is not known to what stands outside of it.
                let is = match is {
                    Where::Unit { before, .. } => Where::Unit { wanted: Wanted::Anything, before },
                    is => is,
                };
                (is, start)
            }
            Some(sign) => unit(before, bar + sign + 1, Wanted::Anything),
            None => (Where::Nothing, before.len()),
        }
    }
}

/// Where a quotation mark stands that is not closed.
fn open_quote(text: &str) -> Option<usize> {
    let mut open = None;
    for (index, character) in text.char_indices() {
        open = match (open, character) {
            (None, '"' | '“') => Some(index),
            (Some(_), '"' | '”') => None,
            (open, _) => open,
        };
    }
    open
}

/// The right side of an entry, or a cell.
fn value(text: &str, from: usize, wanted: Wanted) -> (Where, usize) {
    let start = chunk(text, from);
    let part = cut::since(text, start);
    let word = start + part.len() - part.trim_start().len();
    if !begins_number(cut::since(text, word)) || part.contains(" of ") {
        return (Where::Nothing, text.len());
    }
    match cut::until(text, start).strip_suffix('±').or_else(|| cut::until(text, start).strip_suffix("+/-")) {
        Some(amount) => number(text, word, Wanted::Like(cut::since(amount, from).trim().to_owned())),
        None => number(text, word, wanted),
    }
}

/// A formula.
fn formula(text: &str, from: usize, statement: u32) -> (Where, usize) {
    let written = cut::since(text, from);
    if let Some(bracket) = written.rfind('[').filter(|bracket| !cut::since(written, *bracket).contains(']')) {
        let inner = from + bracket + 1;
        let start = cut::since(text, inner).rfind([';', '+', ',']).map_or(inner, |sign| inner + sign + 1);
        let end = statement + u32::try_from(from + bracket).unwrap_or_default();
        return unit(text, start, Wanted::ShownBy(end));
    }
    let mut start = chunk(text, from);
    let part = cut::since(text, start);
    if let Some(of) = part.rfind(" of ") {
        start += of + " of ".len();
    }
    let part = cut::since(text, start);
    let word = start + part.len() - part.trim_start().len();
    if begins_number(cut::since(text, word)) {
        return number(text, word, operand(text, from, start));
    }
    match cut::since(text, word).rsplit_once('.') {
        Some((of, member)) => (Where::Member(tree::key(&single_spaced(of))), text.len() - member.trim_start().len()),
        None => (Where::Name, word),
    }
}

/// What the number that begins at `start` is added to, or compared with.
fn operand(text: &str, from: usize, start: usize) -> Wanted {
    let before = text.get(from..start).unwrap_or("");
    let ends = ["(", ",", " and ", " or ", "if ", " then ", " else ", "not "];
    let first = ends.iter().filter_map(|end| before.rfind(end).map(|at| at + end.len())).max().unwrap_or(0);
    let side = &format!("{} ", cut::since(before, first));
    let compared = COMPARISONS.iter().filter_map(|sign| side.find(sign)).min();
    let added = side.trim_end().strip_suffix(['+', '-', '±', '=']);
    match compared.map(|at| cut::until(side, at)).or(added) {
        Some(operand) if !operand.trim().is_empty() => Wanted::Like(operand.trim().to_owned()),
        _ => Wanted::Anything,
    }
}

/// Where the part of a text begins that no operator or word of the notation has ended yet.
fn chunk(text: &str, from: usize) -> usize {
    let written = cut::since(text, from);
    let sign = |character: char| "()[]<>=≤≥,;±|+*×÷−^".contains(character);
    let signs = written.char_indices().filter(|(_, character)| sign(*character));
    let signs = signs.map(|(index, character)| index + character.len_utf8());
    let spaced = [" - ", " / ", "+/-"].into_iter().filter_map(|sign| written.rfind(sign).map(|at| at + sign.len()));
    let words = written.match_indices(' ').filter_map(|(index, _)| {
        let word = cut::until(written, index).rsplit([' ', '(', ',']).next().unwrap_or("");
        RESERVED.iter().any(|own| own.eq_ignore_ascii_case(word)).then_some(index)
    });
    from + signs.chain(spaced).chain(words).max().unwrap_or(0)
}

fn begins_number(text: &str) -> bool {
    text.starts_with(|character: char| character.is_numeric() || ".$£€_".contains(character))
}

/// A number and the unit behind it.
fn number(text: &str, from: usize, wanted: Wanted) -> (Where, usize) {
    let part = cut::since(text, from);
    let is_figure = |character: char| character.is_numeric() || "./_$£€ ".contains(character);
    let end = part.find(|character| !is_figure(character)).unwrap_or(part.len());
    let is_begun = end < part.len() || part.ends_with(' ');
    if is_begun { unit(text, from + end, wanted) } else { (Where::Nothing, text.len()) }
}

/// A unit, of which some may stand already.
fn unit(text: &str, from: usize, wanted: Wanted) -> (Where, usize) {
    let part = cut::since(text, from);
    let joints = ["/", "·", "*", " per "].iter().filter_map(|joint| part.rfind(joint).map(|at| at + joint.len()));
    let joint = joints.max().unwrap_or(0);
    let behind = cut::since(part, joint);
    // The number that leads a denominator, a step, or the next part of a compound.
    let figure = behind.rfind(|character: char| character.is_numeric() && !"²³".contains(character));
    let skipped = figure.map_or(0, |at| at + cut::since(behind, at).chars().next().map_or(0, char::len_utf8));
    let rest = cut::since(behind, skipped);
    let word = from + joint + skipped + rest.len() - rest.trim_start().len();
    let before = cut::until(part, joint)
        .trim_start_matches(|character: char| character.is_numeric() || " ./".contains(character));
    (Where::Unit { wanted, before: before.to_owned() }, word)
}
