//! Mistakes of writing: what a text that the grammar does not read was most likely meant to say.

use super::parse::{DEEPEST, Read, Reader, Rule};
use super::tree::Name;
use super::values;
use crate::text::{Place, Role, Written};
use crate::trouble::{Kind, Trouble};

const RESERVED: [&str; 14] =
    ["to", "of", "per", "from", "within", "by", "and", "or", "not", "if", "then", "else", "is", "where"];

/// The first word, or pair of words, of a text that no name may contain.
pub fn reserved_word(text: &str) -> Option<String> {
    let mut words = text.split_whitespace().map(str::to_lowercase);
    let first = words.next()?;
    let first = first.trim_end_matches(|character: char| !character.is_alphanumeric());
    let second = words.next().unwrap_or_default();
    let second = second.trim_end_matches(|character: char| !character.is_alphanumeric());
    match (first, second) {
        ("at", "most" | "least") | ("more" | "less", "than") => Some(format!("{first} {second}")),
        _ => RESERVED.contains(&first).then(|| first.to_owned()),
    }
}

/// The trouble of a text at the byte where the grammar could not go on.
pub(super) fn explain(reader: &Reader<'_>, rule: Rule, place: Place, at: usize) -> Trouble {
    let at = at.min(place.end as usize);
    let text = reader.text(place);
    let offset = at - place.start as usize;
    let (before, after) = (text.get(..offset).unwrap_or(text), text.get(offset..).unwrap_or(""));
    let skipped = after.len() - after.trim_start().len();
    let spot = Spot { place, before: before.trim_end(), after: after.trim_start(), at: at + skipped };
    let kind = by_statement(rule, &spot).or_else(|| by_characters(rule, &spot)).unwrap_or_else(|| spot.unexpected());
    Trouble::new(spot.next_word(), kind)
}

/// Where the grammar stopped: the text before and after, white space aside.
struct Spot<'a> {
    place: Place,
    before: &'a str,
    after: &'a str,
    at: usize,
}

impl Spot<'_> {
    /// The word at the spot, or the last character of the text where it ends there.
    fn next_word(&self) -> Place {
        let length = self.word().len();
        match length {
            0 => Place::new(
                self.place.source,
                (self.place.end as usize).saturating_sub(1).max(self.place.start as usize),
                self.place.end as usize,
            ),
            _ => Place::new(self.place.source, self.at, self.at + length),
        }
    }

    fn word(&self) -> &str {
        let first = self.after.chars().next().map_or(0, char::len_utf8);
        let is_word = |character: char| character.is_alphanumeric() || matches!(character, '\'' | '_' | '.');
        let run = self.after.find(|character| !is_word(character)).unwrap_or(self.after.len());
        self.after.get(..run.max(first)).unwrap_or(self.after)
    }

    fn unexpected(&self) -> Kind {
        match self.word() {
            "" => Kind::MissingAtEnd { after: last_word(self.before) },
            word => Kind::Unexpected { found: word.to_owned() },
        }
    }
}

fn last_word(text: &str) -> String {
    text.split_whitespace().last().unwrap_or("").to_owned()
}

/// Mistakes that the kind of statement tells.
fn by_statement(rule: Rule, spot: &Spot<'_>) -> Option<Kind> {
    let head_open = !spot.before.contains([':', '=']);
    match rule {
        Rule::named if head_open => Some(named_head(spot)),
        Rule::column_cell | Rule::table_cell if head_open => reserved_in_name(spot).or_else(|| column_head(rule, spot)),
        Rule::named if spot.before.ends_with(':') => entry_value(spot),
        Rule::check if head_open => Some(Kind::CheckWithoutLabel),
        Rule::crew => Some(Kind::CrewLine { line: format!("{}{}", spot.before, spot.after) }),
        Rule::alone | Rule::cell => entry_value(spot),
        _ => None,
    }
}

/// A name that goes on with a reserved word, or a line without `:` or `=`.
fn named_head(spot: &Spot<'_>) -> Kind {
    if let Some(kind) = reserved_in_name(spot) {
        return kind;
    }
    let name = spot.before.trim();
    if name.is_empty() {
        return spot.unexpected();
    }
    if spot.after.is_empty() {
        return Kind::LineWithoutRole { line: name.to_owned() };
    }
    Kind::BadNameCharacter { name: name.to_owned(), found: spot.word().to_owned() }
}

fn reserved_in_name(spot: &Spot<'_>) -> Option<Kind> {
    let head = format!("{} {}", spot.before, spot.after);
    let sign = head.find([':', '='])?;
    let name = head.get(..sign)?.trim();
    let word = reserved_word(spot.after)?;
    let kept: Vec<&str> = {
        let reserved: Vec<&str> = word.split(' ').collect();
        let words: Vec<&str> = name.split_whitespace().collect();
        words
            .iter()
            .copied()
            .filter(|own| {
                !reserved.contains(&own.to_lowercase().as_str()) && !RESERVED.contains(&own.to_lowercase().as_str())
            })
            .collect()
    };
    let offer = if kept.is_empty() { "another name".to_owned() } else { kept.join(" ") };
    Some(Kind::ReservedInName { name: name.to_owned(), word, offer })
}

fn column_head(rule: Rule, spot: &Spot<'_>) -> Option<Kind> {
    (rule == Rule::column_cell && spot.after.is_empty())
        .then(|| Kind::ColumnWithoutKind { name: spot.before.trim().to_owned() })
}

/// What stands where an entry's value was expected.
fn entry_value(spot: &Spot<'_>) -> Option<Kind> {
    let value = spot.after.split(" --").next().unwrap_or(spot.after).trim();
    if value.is_empty() {
        return Some(Kind::MissingValue);
    }
    if value.starts_with(['"', '“']) {
        return Some(Kind::QuoteNotClosed);
    }
    if value.starts_with(['±']) || value.starts_with("+/-") {
        return Some(Kind::DoubtWithoutValue);
    }
    let is_words = value.starts_with(char::is_alphabetic);
    let has_sign = value.contains(['*', '+', '/', '(', ')', '^', '=', '<', '>']);
    match (is_words, has_sign) {
        (true, true) => Some(Kind::FormulaInEntry { text: value.to_owned() }),
        (true, false) => Some(Kind::TextWithoutQuotes { text: value.to_owned() }),
        _ => None,
    }
}

/// Mistakes that the characters at the spot tell.
fn by_characters(rule: Rule, spot: &Spot<'_>) -> Option<Kind> {
    let after = spot.after;
    let next = after.chars().next();
    let in_entry = matches!(rule, Rule::alone | Rule::cell) || (rule == Rule::named && !spot.before.contains('='));
    match next {
        Some('±') if !in_entry => Some(Kind::DoubtInFormula),
        Some('+') if after.starts_with("+/-") && !in_entry => Some(Kind::DoubtInFormula),
        Some('-') if after.starts_with("--") => Some(Kind::DashesWithoutSpaces),
        Some('–' | '—') => Some(Kind::TypedDash { dash: next.unwrap_or('–') }),
        Some('"' | '“')
            if after.chars().filter(|character| matches!(character, '"' | '“' | '”')).count() == 1
                && !inch_mark(spot) =>
        {
            Some(Kind::QuoteNotClosed)
        }
        Some('\'' | '’' | '"' | '′' | '″' | '”')
            if spot.before.ends_with(|character: char| character.is_ascii_digit()) =>
        {
            feet_and_inches(spot)
        }
        Some('(') => Some(Kind::SpaceBeforeBracket { function: called_function(spot.before) }),
        Some('=') if matches!(rule, Rule::check) => Some(Kind::EqualsInFormula),
        Some('=') => Some(Kind::EqualsInFormula),
        Some('[') if rule == Rule::check || in_entry => Some(Kind::PromiseMisplaced),
        Some(')') => Some(Kind::BracketNotOpened),
        None if open_brackets(spot.before) > 0 => Some(Kind::BracketNotClosed),
        Some('|') => Some(Kind::BarOutsideTable),
        Some(_) => neighbours(rule, in_entry, spot),
        None => None,
    }
}

fn inch_mark(spot: &Spot<'_>) -> bool {
    spot.before.ends_with(|character: char| character.is_ascii_digit())
}

/// What the words on both sides of the spot tell.
fn neighbours(rule: Rule, in_entry: bool, spot: &Spot<'_>) -> Option<Kind> {
    let after_of = spot.before.to_lowercase().ends_with(" of");
    if after_of && spot.after.starts_with(|character: char| character.is_ascii_digit()) {
        return Some(Kind::GradeAsSubstance { text: spot.after.split_whitespace().next().unwrap_or("").to_owned() });
    }
    if in_entry && spot.after.starts_with(['*', '/', '^', '+', '-', '÷', '×']) {
        return Some(Kind::FormulaInEntry { text: entry_text(spot) });
    }
    if in_entry && reserved_word(spot.after).is_some_and(|word| word == "of") {
        return Some(Kind::ShareInEntry { text: entry_text(spot) });
    }
    let number_before = spot.before.ends_with(|character: char| character.is_ascii_digit());
    if number_before && spot.after.starts_with(char::is_alphabetic) && reserved_word(spot.after).is_none() {
        let number = last_word(spot.before);
        let factor = spot.after.split([')', '[', '*', '/', '+', ',']).next().unwrap_or("").trim();
        return Some(match in_entry {
            true => Kind::TextWithoutQuotes { text: entry_text(spot) },
            false => {
                Kind::NumberBesideName { text: format!("{number} {factor}"), product: format!("{number} * {factor}") }
            }
        });
    }
    if in_entry {
        return Some(Kind::TextWithoutQuotes { text: entry_text(spot) })
            .filter(|_| spot.after.starts_with(|character: char| character.is_alphanumeric()));
    }
    let _ = rule;
    None
}

/// The value of an entry as written, remark aside.
fn entry_text(spot: &Spot<'_>) -> String {
    let gap = if spot.before.is_empty() { "" } else { " " };
    let whole = format!("{}{gap}{}", spot.before, spot.after);
    let value = match whole.split_once(':') {
        Some((name, value)) if spot.before.contains(':') && !name.is_empty() => value,
        _ => whole.as_str(),
    };
    value.split(" -- ").next().unwrap_or(value).trim().to_owned()
}

fn called_function(before: &str) -> String {
    let run: Vec<&str> = before.split(|character: char| !(character.is_alphanumeric() || character == ' ')).collect();
    run.last().map(|words| words.trim().to_owned()).unwrap_or_default()
}

fn feet_and_inches(spot: &Spot<'_>) -> Option<Kind> {
    let feet: String =
        spot.before.chars().rev().take_while(|character| character.is_ascii_digit() || *character == '.').collect();
    let feet: String = feet.chars().rev().collect();
    let rest: String =
        spot.after.chars().skip(1).take_while(|character| !matches!(character, '"' | '″' | '”')).collect();
    let inches = rest.trim();
    let starts_with_inches = spot.after.starts_with(['"', '″', '”']);
    let instead = match (
        starts_with_inches,
        inches.is_empty() || !inches.starts_with(|character: char| character.is_ascii_digit()),
    ) {
        (true, _) => format!("{feet} in"),
        (false, true) => format!("{feet} ft"),
        (false, false) => format!("{feet} ft {inches} in"),
    };
    Some(Kind::FeetMarks { instead })
}

fn open_brackets(text: &str) -> usize {
    let mut open: usize = 0;
    let mut in_text = false;
    for character in text.chars() {
        match character {
            '"' | '“' | '”' => in_text = !in_text,
            '(' | '[' if !in_text => open += 1,
            ')' | ']' if !in_text => open = open.saturating_sub(1),
            _ => {}
        }
    }
    open
}

/// A line whose first characters give it no role.
pub(super) fn unknown_role(reader: &Reader<'_>, written: Written) -> Trouble {
    let text = reader.text(written.place);
    let first = text.chars().next().unwrap_or(' ');
    let place =
        Place::new(written.place.source, written.place.start as usize, written.place.start as usize + first.len_utf8());
    if matches!(first, '–' | '—' | '-') {
        return Trouble::new(place, Kind::TypedDash { dash: first });
    }
    Trouble::new(place, Kind::UnknownRole { found: first })
}

/// The name that a line which cannot be read was to define; of a crew measure with its 1, `1 scoop`.
pub(super) fn name_of(reader: &Reader<'_>, written: Written) -> Option<Name> {
    let text = reader.text(written.place);
    let end = match written.role {
        Role::Named => text.find([':', '='])?,
        Role::Crew => text.find('=').unwrap_or(text.len()),
        _ => return None,
    };
    let written_name = text.get(..end)?.trim();
    (!written_name.is_empty()).then(|| {
        let start = written.place.start as usize;
        values::named(Place::new(written.place.source, start, start + written_name.len()), written_name)
    })
}

/// Refuses what looks like a character of the notation and is another: non-breaking spaces, lookalike letters and
/// digits, control characters.
pub(super) fn check_characters(reader: &Reader<'_>, written: Written) -> Read<()> {
    let text = reader.text(written.place);
    if text.is_ascii()
        && !text.bytes().any(|byte| byte < b' ' && !matches!(byte, b'\t' | b'\n' | b'\r') || byte == 0x7f)
    {
        return Ok(());
    }
    let mut in_text = false;
    // What follows is a remark, in which any letter may stand.
    let remark = text.find(" -- ").unwrap_or(text.len());
    for (index, character) in text.char_indices() {
        let in_remark = index > remark;
        let start = written.place.start as usize + index;
        let place = Place::new(written.place.source, start, start + character.len_utf8());
        if character.is_control() && !matches!(character, '\t' | '\n' | '\r') {
            return Err(Trouble::new(place, Kind::ControlCharacter { code: character as u32 }));
        }
        if matches!(character, '"' | '“' | '”') {
            in_text = !in_text;
        }
        if written.role.is_prose() || in_text || in_remark {
            continue;
        }
        if let Some((name, plain)) = lookalike(character) {
            return Err(Trouble::new(place, Kind::Lookalike { name: name.to_owned(), plain: plain.to_owned() }));
        }
    }
    Ok(())
}

/// Characters that pass for others: what each is, and what to type.
fn lookalike(character: char) -> Option<(&'static str, &'static str)> {
    Some(match character {
        '\u{a0}' => ("a non-breaking space", "a plain space"),
        '\u{202f}' => ("a narrow non-breaking space", "a plain space"),
        '\u{2000}'..='\u{200a}' | '\u{205f}' | '\u{3000}' | '\u{1680}' => ("a space of another width", "a plain space"),
        '\u{200b}'..='\u{200f}'
        | '\u{2060}'
        | '\u{feff}'
        | '\u{ad}'
        | '\u{202a}'..='\u{202e}'
        | '\u{2066}'..='\u{2069}' => ("a character that cannot be seen", "nothing in its place"),
        '\u{2028}' | '\u{2029}' | '\u{85}' => ("a line break of another kind", "a plain line break"),
        '\u{ff10}'..='\u{ff19}' | '\u{660}'..='\u{669}' | '\u{6f0}'..='\u{6f9}' | '\u{966}'..='\u{96f}' => {
            ("a digit of another script", "a digit from 0 to 9")
        }
        '\u{ff01}'..='\u{ff5e}' => ("a character of double width", "the plain one"),
        '\u{400}'..='\u{52f}' => ("a Cyrillic letter", "the Latin letter"),
        'Δ' | 'µ' => return None,
        'μ' => ("a Greek letter", "the Latin letter"),
        '\u{370}'..='\u{3ff}' | '\u{1f00}'..='\u{1fff}' => ("a Greek letter", "the Latin letter"),
        '\u{1d400}'..='\u{1d7ff}' => ("a mathematical letter or digit", "the plain one"),
        '∕' | '⧸' => ("a slash of another kind", "/"),
        '∶' | '꞉' => ("a colon of another kind", ":"),
        '‐' | '‑' | '‒' => ("a hyphen of another kind", "-"),
        '٫' | '‚' => ("a comma of another kind", "a point"),
        _ => return None,
    })
}

/// Counts brackets and `if`s before the grammar, which recurses at each, sees the text.
pub(super) fn check_nesting(reader: &Reader<'_>, written: Written) -> Read<()> {
    if written.role.is_prose() {
        return Ok(());
    }
    let text = reader.text(written.place);
    if text.len() <= DEEPEST {
        return Ok(());
    }
    let (mut depth, mut ifs) = (0usize, 0usize);
    let mut in_text = false;
    for (index, byte) in text.bytes().enumerate() {
        match byte {
            b'"' => in_text = !in_text,
            b'(' if !in_text => depth += 1,
            b')' if !in_text => depth = depth.saturating_sub(1),
            b'i' | b'I' if !in_text && is_if(text, index) => ifs += 1,
            _ => {}
        }
        if depth + ifs > DEEPEST {
            let start = written.place.start as usize + index;
            return Err(Trouble::new(
                Place::new(written.place.source, start, start + 1),
                Kind::TooDeep { deepest: DEEPEST },
            ));
        }
    }
    Ok(())
}

fn is_if(text: &str, index: usize) -> bool {
    let bytes = text.as_bytes();
    let at = |offset: usize| bytes.get(offset).copied().unwrap_or(b' ');
    let starts = index == 0 || !(at(index - 1).is_ascii_alphanumeric() || at(index - 1) >= 0x80);
    starts
        && at(index + 1).eq_ignore_ascii_case(&b'f')
        && !(at(index + 2).is_ascii_alphanumeric() || at(index + 2) >= 0x80)
}

/// Cuts a row at its bars, those in quotes aside; what follows the last bar is a remark.
pub(super) fn split_row(reader: &Reader<'_>, written: Written) -> Read<(Vec<Place>, Option<String>)> {
    let text = reader.text(written.place);
    let source = written.place.source;
    let mut bars = Vec::new();
    let mut quote = None;
    for (index, character) in text.char_indices() {
        match (quote, character) {
            (None, '"') => quote = Some('"'),
            (None, '“') => quote = Some('”'),
            (Some(close), _) if close == character => quote = None,
            (None, '|') => bars.push(index),
            (None, '-') if ends_row(text, index) => break,
            _ => {}
        }
    }
    let start = written.place.start as usize;
    if quote.is_some() {
        return Err(Trouble::new(written.place, Kind::QuoteNotClosed));
    }
    let last = bars.last().copied().unwrap_or(0);
    let tail = text.get(last + 1..).unwrap_or("").trim();
    if bars.len() < 2 || !(tail.is_empty() || tail.starts_with("--")) {
        return Err(Trouble::new(written.place, Kind::RowNotClosed));
    }
    let cells = bars.windows(2).map(|pair| trimmed(text, source, start, pair[0] + 1, pair[1])).collect();
    let remark = remark_after(written, tail, last + 1)?;
    Ok((cells, remark))
}

/// Whether a remark begins here, behind the last bar.
fn ends_row(text: &str, index: usize) -> bool {
    text.get(index..).is_some_and(|rest| rest.starts_with("-- "))
        && text.get(..index).is_some_and(|before| before.trim_end().ends_with('|'))
}

fn remark_after(written: Written, tail: &str, from: usize) -> Read<Option<String>> {
    if tail.contains('\n') {
        return Err(Trouble::new(written.place, Kind::RemarkContinued));
    }
    let remark = tail.trim_start_matches("--");
    if !remark.is_empty() && !remark.starts_with(' ') {
        let start = written.place.start as usize + from;
        return Err(Trouble::new(
            Place::new(written.place.source, start, written.place.end as usize),
            Kind::DashesWithoutSpaces,
        ));
    }
    Ok((!remark.trim().is_empty()).then(|| remark.trim().to_owned()))
}

fn trimmed(text: &str, source: u16, base: usize, from: usize, to: usize) -> Place {
    let cell = text.get(from..to).unwrap_or("");
    let lead = cell.len() - cell.trim_start().len();
    let start = base + from + lead;
    Place::new(source, start, start + cell.trim().len())
}
