//! Rows: a table row cut at its bars, and what is wrong with one that cannot be. What a cell says is not known here.

use super::parse::{Read, Reader};
use crate::text::{Place, Written};
use crate::trouble::{Kind, Trouble, instead};

/// The cells of a row and its remark.
pub(super) type Cut = (Vec<Place>, Option<String>);

/// Cuts a row at its bars, those in quotes aside; what follows the last bar is a remark.
pub(super) fn cut(reader: &Reader<'_>, written: Written) -> Read<Cut> {
    let text = reader.text(written.place);
    let start = written.place.start as usize;
    let (bars, open_quote) = bars(text);
    if let Some(open) = open_quote {
        return Err(unclosed_quote(text, written, open));
    }
    let last = bars.last().copied().unwrap_or(0);
    let tail = text.get(last + 1..).unwrap_or("");
    let is_closed = tail.trim().is_empty() || tail.trim_start().starts_with(['-', '–', '—']);
    if bars.len() < 2 || !is_closed {
        return Err(not_closed(text, written));
    }
    if is_cell_of_dashes(tail.trim()) {
        return Err(Trouble::new(written.place, Kind::RowNotClosed { instead: format!("`{} |`", text.trim_end()) }));
    }
    let remark = remark(written, tail, start + last + 1)?;
    let cells = bars.windows(2).filter_map(|pair| Some(trimmed(text, written, *pair.first()? + 1, *pair.last()?)));
    Ok((cells.collect(), remark))
}

/// Where the bars stand, and the quotation mark that is not closed.
fn bars(text: &str) -> (Vec<usize>, Option<usize>) {
    let mut bars = Vec::new();
    let mut quote: Option<(char, usize)> = None;
    for (index, character) in text.char_indices() {
        match (quote, character) {
            (None, '"') => quote = Some(('"', index)),
            (None, '“') => quote = Some(('”', index)),
            (Some((close, _)), _) if close == character => quote = None,
            (None, '|') => bars.push(index),
            (None, '-' | '–' | '—') if begins_remark(text, index) => break,
            _ => {}
        }
    }
    (bars, quote.map(|(_, index)| index))
}

/// Whether a remark begins here, behind the last bar.
fn begins_remark(text: &str, index: usize) -> bool {
    let (before, after) = text.split_at(index);
    let is_dashes = after.starts_with("--") || after.starts_with(['–', '—']);
    is_dashes && before.trim_end().ends_with('|') && !has_more_cells(before, after)
}

/// A row of dashes (`| ---- | :---: |`) goes on, with more dashes or with a slip between them.
fn has_more_cells(before: &str, after: &str) -> bool {
    let is_rule = |c: char| matches!(c, '-' | ':') || c.is_whitespace();
    let is_rule_so_far = before.chars().all(|c| c == '|' || is_rule(c)) && before.contains('-');
    after.trim_start_matches(is_rule).starts_with('|') || (is_rule_so_far && after.contains('|'))
}

/// Whether what stands behind the last bar is the end of a row of dashes rather than the two that begin a remark.
fn is_cell_of_dashes(tail: &str) -> bool {
    tail.len() > 2 && tail.starts_with("--") && tail.chars().all(|c| matches!(c, '-' | ':'))
}

fn unclosed_quote(text: &str, written: Written, open: usize) -> Trouble {
    let before = text.get(..open).unwrap_or("");
    let start = written.place.start as usize + open;
    let place = |start: usize, length: usize| Place::new(written.place.source, start, start + length);
    let figure = before.rsplit(['|', ' ']).next().unwrap_or("");
    match before.ends_with(|character: char| character.is_ascii_digit()) {
        true => Trouble::new(
            place(start - figure.len(), figure.len() + 1),
            Kind::FeetMarks { instead: format!("{figure} in") },
        ),
        false => Trouble::new(place(start, 1), Kind::QuoteNotClosed { instead: instead::closing_quote() }),
    }
}

fn not_closed(text: &str, written: Written) -> Trouble {
    let (cells, remark) = text.split_once(" --").map_or((text, None), |(cells, remark)| (cells, Some(remark)));
    let closed = match remark {
        Some(remark) => format!("`{} | --{remark}`", cells.trim_end()),
        None => format!("`{} |`", cells.trim_end()),
    };
    let instead = if text.contains('\n') { instead::closing_bar() } else { closed };
    Trouble::new(written.place, Kind::RowNotClosed { instead })
}

/// What stands behind the last bar.
fn remark(written: Written, tail: &str, from: usize) -> Read<Option<String>> {
    let text = tail.trim();
    let lead = tail.len() - tail.trim_start().len();
    let place = Place::new(written.place.source, from + lead, from + lead + text.len());
    if text.is_empty() {
        return Ok(None);
    }
    let body = text.strip_prefix("--").unwrap_or_default();
    let typed = text.trim_start_matches(['–', '—']);
    if typed.len() < text.len() {
        let dash = text.chars().next().unwrap_or('–');
        return Err(Trouble::new(place, Kind::TypedDash { dash, instead: format!("`-- {}`", typed.trim()) }));
    }
    if text.contains('\n') {
        return Err(Trouble::new(place, Kind::RemarkContinued));
    }
    if !text.starts_with("--") {
        let words = text.trim_start_matches('-').trim();
        return Err(Trouble::new(place, Kind::SingleHyphen { instead: format!("`-- {words}`") }));
    }
    if lead == 0 || !(body.is_empty() || body.starts_with([' ', '\t'])) {
        let words = body.trim_start_matches('-').trim();
        return Err(Trouble::new(place, Kind::DashesWithoutSpaces { instead: format!("` -- {words}`") }));
    }
    Ok(Some(body.trim().to_owned()).filter(|body| !body.is_empty()))
}

fn trimmed(text: &str, written: Written, from: usize, to: usize) -> Place {
    let cell = text.get(from..to).unwrap_or("");
    let lead = cell.len() - cell.trim_start().len();
    let start = written.place.start as usize + from + lead;
    Place::new(written.place.source, start, start + cell.trim().len())
}
