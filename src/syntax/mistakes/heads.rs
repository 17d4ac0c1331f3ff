//! Mistakes at the beginning of a line or of a table's first row: roles, names, labels, titles, files.

use super::super::parse::{Grammar, Reader, Rule};
use super::super::tree::Name;
use super::super::values::named;
use super::{Found, RESERVED, Stop, begins_with_word, ends_with_digit, formulas, last_word, reserved_word};
use crate::text::{Place, Role, Written, cut, single_spaced};
use crate::trouble::instead::{self, exact};
use crate::trouble::{Kind, Trouble};
use pest::Parser;

/// A line whose first characters give it no role.
pub(crate) fn unknown_role(reader: &Reader<'_>, written: Written) -> Trouble {
    let text = reader.text(written.place);
    let found = text.chars().next().unwrap_or(' ');
    let rest = text.trim_start_matches(['-', '–', '—', '*', '•', '·', '+']).trim();
    let rest = single_spaced(rest);
    let instead = match found {
        '-' => return Trouble::new(written.place, Kind::SingleHyphen { instead: instead::note(&rest) }),
        '–' | '—' => {
            return Trouble::new(written.place, Kind::TypedDash { dash: found, instead: instead::note(&rest) });
        }
        '*' | '+' | '×' | '÷' | '/' | '^' | '±' | '<' | '>' | '≤' | '≥' | '[' | ')' => {
            instead::continuation_or_note(&rest)
        }
        '$' | '£' | '€' => instead::named_or_note(&rest),
        '=' => instead::result_name(),
        '"' | '“' => exact(&text.replace(['"', '“', '”'], "")),
        _ => instead::note(&rest),
    };
    Trouble::new(written.place, Kind::UnknownRole { found, instead })
}

/// The names that a line which cannot be read was to define, each line of it for itself where it continues none; of a
/// crew measure with its 1, `1 scoop`.
pub(crate) fn names_of(reader: &Reader<'_>, written: Written) -> Vec<Name> {
    let text = reader.text(written.place);
    let start = written.place.start as usize;
    let named = |line: &str, from: usize| -> Vec<Name> {
        heads(line)
            .into_iter()
            .map(|name| named(Place::new(written.place.source, from, from + name.len()), name))
            .collect()
    };
    match written.role {
        Role::Stray => {
            let lines = text.split_inclusive('\n').scan(start, |at, line| {
                let from = *at + line.len() - line.trim_start().len();
                *at += line.len();
                Some((line.trim(), from))
            });
            lines.flat_map(|(line, from)| named(line, from)).collect()
        }
        _ => named(text, start),
    }
}

/// What a line may have been meant to name: all up to its sign, or to a bracket, or to the number of a value.
fn heads(line: &str) -> Vec<&str> {
    let sign = line.find([':', '=']);
    let ends = match crate::text::lines::role(line) {
        Role::Named => {
            let head = cut::until(line, sign.unwrap_or(line.len()));
            let number = head.find(|character: char| character.is_ascii_digit()).filter(|_| sign.is_none());
            [Some(head.len()), head.find(['(', '[']), number]
        }
        Role::Crew => [Some(line.find('=').unwrap_or(line.len())), None, None],
        _ => [None, None, None],
    };
    ends.into_iter().flatten().map(|end| cut::until(line, end).trim()).filter(|name| !name.is_empty()).collect()
}

/// A line that begins with a name and has neither `:` nor `=`.
pub(super) fn line(stop: Stop<'_>) -> Found {
    let text = stop.text;
    if let Some(found) = unquoted_file(stop) {
        return found;
    }
    let line = single_spaced(text);
    let head = super::without_remark(text);
    if head.len() < text.len() && is_name(head.trim()) {
        let remark = single_spaced(cut::since(text, head.len()));
        let instead = instead::value_or_note(&format!("{} : ____ {remark}", head.trim()), &line);
        return (0..text.len(), Kind::LineWithoutRole { line, instead });
    }
    let value = text.find(|character: char| character.is_ascii_digit() || "$£€½¼¾_".contains(character));
    let split = value.map(|at| text.split_at(at)).filter(|(name, value)| {
        name.ends_with([' ', '\t']) && is_name(name.trim()) && Grammar::parse(Rule::alone, value.trim()).is_ok()
    });
    let instead = match split {
        Some((name, value)) => instead::value_or_note(&format!("{} : {value}", name.trim()), &line),
        None if is_name(text) && text.split_whitespace().count() <= 3 => {
            instead::value_or_note(&format!("{line} : ____"), &line)
        }
        None => instead::note(&line),
    };
    (0..text.len(), Kind::LineWithoutRole { line, instead })
}

/// A name that holds what no name may, with the sign that ends it.
pub(super) fn name(stop: Stop<'_>, sign: usize) -> Found {
    let text = cut::until(stop.text, sign);
    let name = text.trim();
    if let Some(found) = unquoted_file(stop) {
        return found;
    }
    if name.is_empty() {
        return (
            sign..sign + 1,
            Kind::MissingOperand { beside: cut::since(stop.text, sign).chars().take(1).collect() },
        );
    }
    if let Some(found) = unit_in_name(stop, sign, name) {
        return found;
    }
    let range = stop.range_of(name);
    if let Some(word) = reserved_in(name) {
        return (range, Kind::ReservedInName { offer: offer(name), word, name: single_spaced(name) });
    }
    let cleaned = single_spaced(&name.replace(|character: char| !is_name_character(character), " "));
    let cleaned = cleaned.trim_matches(['-', '\'', '_']);
    let instead = if is_name(cleaned) { exact(cleaned) } else { String::new() };
    let found = if stop.at < sign { stop.word() } else { name };
    (range, Kind::BadNameCharacter { name: single_spaced(name), found: found.to_owned(), instead })
}

/// `a [gal] = w`, `area (ft²) = w`, `length (ft) : 24`
fn unit_in_name(stop: Stop<'_>, sign: usize, name: &str) -> Option<Found> {
    let is_result = cut::since(stop.text, sign).starts_with('=');
    let (own, unit) = name.split_once(['[', '('])?;
    let unit = unit.trim_end_matches([']', ')']).trim();
    if !(is_name(own.trim()) && (name.contains('[') || is_unit_word(unit))) {
        return None;
    }
    // A line without a sign has no side behind it.
    let side = super::without_remark(stop.text.get(sign + 1..)?);
    let range = stop.range_of(name).start..sign + 1 + side.trim_end().len();
    let (own, said) = (own.trim(), single_spaced(side));
    match is_result {
        true if !said.ends_with(']') => {
            Some((range, Kind::UnitInName { instead: exact(&format!("{own} = {said} [{unit}]")) }))
        }
        false if ends_with_digit(&said) => {
            Some((range, Kind::UnitInName { instead: exact(&format!("{own} : {said} {unit}")) }))
        }
        _ => None,
    }
}

/// The units that people put in brackets behind a name; other words there belong to the name.
fn is_unit_word(text: &str) -> bool {
    const WORDS: [&str; 32] = [
        "ft", "in", "yd", "mi", "m", "cm", "mm", "km", "gal", "qt", "pt", "fl oz", "oz", "lb", "lbs", "g", "kg", "mL",
        "ml", "L", "s", "sec", "min", "h", "hr", "mph", "psi", "sq ft", "acre", "acres", "feet", "inches",
    ];
    WORDS.contains(&text) || text.len() <= 16 && text.contains(['²', '³', '/', '%', '°'])
}

fn is_name(text: &str) -> bool {
    Grammar::parse(Rule::name, text).is_ok_and(|mut pairs| pairs.next().is_some_and(|pair| pair.as_str() == text))
}

fn is_name_character(character: char) -> bool {
    character.is_alphanumeric() || matches!(character, ' ' | '\'' | '’' | '_')
}

/// The first reserved word or pair in a name.
fn reserved_in(name: &str) -> Option<String> {
    name.match_indices(|character: char| !character.is_whitespace())
        .filter(|(index, _)| cut::until(name, *index).ends_with(char::is_whitespace) || *index == 0)
        .find_map(|(index, _)| reserved_word(cut::since(name, index)))
}

/// Another name: reserved words tied to their neighbours, which makes other words of them.
fn offer(name: &str) -> String {
    let words: Vec<&str> = name.split_whitespace().collect();
    let mut offer = String::new();
    for (index, word) in words.iter().enumerate() {
        let is_tied = |index: usize| {
            // A reserved pair is two words; more need not be looked at.
            let pair: Vec<&str> = words.iter().skip(index).take(2).copied().collect();
            reserved_word(&pair.join(" ")).is_some() || index > 0 && is_pair(words.get(index - 1), words.get(index))
        };
        let tied = index > 0 && (is_tied(index - 1) || is_tied(index));
        let between_letters = offer.ends_with(char::is_alphabetic) && word.starts_with(char::is_alphabetic);
        match (index, tied, between_letters) {
            (0, ..) => {}
            (_, true, true) => offer.push('-'),
            (_, true, false) => offer.push('_'),
            _ => offer.push(' '),
        }
        offer.push_str(word);
    }
    if is_name(&offer) { exact(&offer) } else { instead::another_name() }
}

fn is_pair(first: Option<&&str>, second: Option<&&str>) -> bool {
    let pair = [first, second].into_iter().flatten().copied().collect::<Vec<_>>().join(" ");
    reserved_word(&pair).is_some_and(|word| word.contains(' '))
}

/// `from sprayer-strip`, `calibration from sprayer-strip.worksheet`: no quotes.
fn unquoted_file(stop: Stop<'_>) -> Option<Found> {
    let text = stop.text.trim_end();
    let (name, file) = match begins_with_word(text, "from") {
        true => ("", text.get("from".len()..)?.trim()),
        false => text.split_once(" from ").map(|(name, file)| (name.trim(), file.trim()))?,
    };
    let is_file = !file.is_empty() && !file.contains([':', '=', '"', '“', ' ']) && (name.is_empty() || is_name(name));
    let instead = exact(&format!("{name} from \"{file}\""));
    is_file.then_some((0..text.len(), Kind::FileLine { instead }))
}

/// `:=`, `==`: two signs after a name.
pub(super) fn second_sign(stop: Stop<'_>, sign: usize) -> Option<Found> {
    let (first, rest) = cut::since(stop.text, sign).split_at_checked(1)?;
    let second = rest.trim_start();
    if !second.starts_with([':', '=']) || !matches!(first, ":" | "=") {
        return None;
    }
    let instead = match (first, cut::until(second, 1)) {
        (first, second) if first == second => exact(first),
        _ => instead::either_sign(),
    };
    let end = stop.text.len() - second.len() + 1;
    Some((sign..end, Kind::TwoSigns { instead }))
}

/// A check without its label.
pub(super) fn check(stop: Stop<'_>) -> Found {
    let condition = single_spaced(stop.text.trim_start_matches('?'));
    let instead = match condition.split_once('=') {
        Some((label, condition)) => exact(&format!("? {} : {}", label.trim(), condition.trim())),
        None => instead::check_label(&condition),
    };
    (0..stop.text.len(), Kind::CheckWithoutLabel { instead })
}

/// Refuses `otherwise` in place of `else`.
pub(crate) fn check_else(place: Place, condition: &str) -> Result<(), Trouble> {
    let Some(at) = condition.to_lowercase().find(" otherwise ") else { return Ok(()) };
    let start = place.start as usize + at + 1;
    Err(Trouble::new(Place::new(place.source, start, start + "otherwise".len()), Kind::OtherElse))
}

/// A chart without its title.
pub(super) fn chart_line(stop: Stop<'_>) -> Found {
    let drawn = single_spaced(stop.text.trim_start_matches('~'));
    (0..stop.text.len(), Kind::ChartLine { instead: instead::chart_title(&drawn) })
}

/// What a chart draws.
pub(super) fn chart(stop: Stop<'_>) -> Option<Found> {
    let text = without_remark_trimmed(stop);
    let has_by = text.split_whitespace().any(|word| word.eq_ignore_ascii_case("by"));
    let other = ["over", "against", "versus", "vs.", "vs", "on", "along"];
    if begins_with_word(text, "by") {
        return Some((stop.range_of(cut::until(text, 2)), Kind::MissingOperand { beside: "by".to_owned() }));
    }
    if has_by || text.is_empty() || !stop.after().is_empty() {
        return formulas::formula(stop, Rule::chart);
    }
    let word = text.split_whitespace().find(|word| other.contains(&word.to_lowercase().as_str()));
    Some(match word {
        Some(word) => (stop.range_of(word), Kind::ChartLine { instead: "`by`".to_owned() }),
        None => (stop.range_of(text), Kind::ChartLine { instead: instead::chart_by(text) }),
    })
}

fn without_remark_trimmed(stop: Stop<'_>) -> &str {
    super::without_remark(stop.side()).trim()
}

/// A line that begins with a number.
pub(super) fn crew(stop: Stop<'_>) -> Found {
    let text = stop.text;
    let line = single_spaced(text);
    let (head, size) = text.split_once([':', '=']).map_or((text, None), |(head, size)| (head, Some(size.trim())));
    let (count, word) = head.trim().split_once(' ').map_or((head.trim(), ""), |(count, word)| (count, word.trim()));
    let one_word = word.split_whitespace().collect::<Vec<_>>().join("-");
    let is_word = is_name(&one_word) && holds_reserved(word).is_none();
    let instead = match size {
        Some("") if count == "1" && is_word => instead::crew_size_or_counter(&one_word),
        Some(size)
            if count == "1" && is_word && Grammar::parse(Rule::crew, &format!("1 {one_word} = {size}")).is_ok() =>
        {
            exact(&format!("1 {one_word} = {size}"))
        }
        Some(_) if count == "1" && is_word => instead::crew_amount(&one_word),
        Some(_) if is_word && count.bytes().all(|byte| byte.is_ascii_digit()) => instead::crew_size_of_one(&one_word),
        Some(_) => instead::letter_first(),
        None if count.ends_with(['.', ')']) => instead::note(&line),
        None => instead::named_or_note(&line),
    };
    (0..text.len(), Kind::CrewLine { line, instead })
}

/// What follows a file's name, or a name that is not closed.
pub(super) fn file(stop: Stop<'_>) -> Option<Found> {
    let open = stop.text.find(['"', '“'])?;
    let close =
        cut::since(stop.text, open).char_indices().skip(1).find(|(_, character)| matches!(character, '"' | '”'));
    if close.is_none() {
        let name = cut::since(stop.text, open).trim_end();
        let instead = exact(&format!("{name}\""));
        return Some((stop.range_of(name), Kind::QuoteNotClosed { instead }));
    }
    let is_pin = begins_with_word(stop.after(), "pinned") || last_word(stop.before()).eq_ignore_ascii_case("pinned");
    is_pin.then(|| (stop.next(stop.word().len()), Kind::PinMissing))
}

/// The cell that names a table.
pub(super) fn table(stop: Stop<'_>) -> Found {
    let text = stop.text;
    if text.is_empty() {
        return (0..0, Kind::TableWithoutName);
    }
    if let Some((name, _)) = text.split_once(':').filter(|(name, _)| is_name(name.trim())) {
        return (0..text.len(), Kind::TableNameWithKind { name: name.trim().to_owned() });
    }
    match unquoted_file(stop) {
        Some(found) => found,
        None if text.contains(['"', '“']) => file(stop).unwrap_or_else(|| stop.unexpected()),
        None => name(stop, text.len()),
    }
}

/// A column that says neither its kind nor how it is worked out.
pub(super) fn column(stop: Stop<'_>) -> Found {
    let text = stop.text;
    let whole = 0..text.len();
    let (name, unit) = text.split_once('(').map_or((text, ""), |(name, unit)| (name, unit.trim_end_matches(')')));
    let name = single_spaced(name);
    if !text.starts_with(char::is_alphabetic) {
        let found = if text.is_empty() { "an empty cell".to_owned() } else { format!("`{text}`") };
        return (whole, Kind::ColumnWithoutName { found });
    }
    let instead = match unit.is_empty() {
        true => instead::column_kinds_of(&name),
        false => exact(&format!("{name} : {}", unit.trim())),
    };
    (whole, Kind::ColumnWithoutKind { name, instead })
}

/// What a column says of its cells.
pub(super) fn column_kind(stop: Stop<'_>) -> Found {
    let said = stop.side().trim();
    let unit = said.trim_start_matches(|character: char| {
        character.is_ascii_digit() || matches!(character, '_' | ' ' | '.' | '(' | '[' | '/')
    });
    let unit = unit.split([',', ';', ')', ']']).next().unwrap_or("").trim();
    let reads = Grammar::parse(Rule::column_cell, &format!("a : {unit}")).is_ok();
    let instead = if reads { exact(unit) } else { instead::column_kinds() };
    (stop.range_of(said), Kind::ColumnKind { found: single_spaced(said), instead })
}

/// Whether a text holds a word that no name may.
pub(super) fn holds_reserved(text: &str) -> Option<String> {
    reserved_in(text).filter(|word| word.contains(' ') || RESERVED.contains(&word.as_str()))
}

/// The same text with such words tied to their neighbours.
pub(super) fn tied(text: &str) -> String {
    offer(text)
}
