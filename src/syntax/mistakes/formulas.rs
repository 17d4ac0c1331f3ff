//! Mistakes in formulas: signs and words that the notation has not, brackets, values that are missing or stand beside
//! each other with nothing between them.

use super::super::parse::Rule;
use super::{
    Found, Stop, begins_with_word, ends_with_digit, marks, promises, remark_sign, starts_with_digit, without_feet_marks,
};
use crate::text::{cut, single_spaced};
use crate::trouble::Kind;
use crate::trouble::instead::{self, exact};

/// Signs of other notations, and what this one writes; the longer first.
const SIGNS: [(&str, &str); 20] = [
    ("!=", "`is not`"),
    ("<>", "`is not`"),
    ("≠", "`is not`"),
    ("==", "`is`"),
    ("=<", "`<=`"),
    ("=>", "`>=`"),
    ("&&", "`and`"),
    ("&", "`and`"),
    ("||", "`or`"),
    ("**", "`^`"),
    ("²", "`^2`"),
    ("³", "`^3`"),
    ("√", "sqrt(…)"),
    ("∛", "(…)^(1/3)"),
    ("≈", "within … of …"),
    ("~", "within … of …"),
    ("!", "not before a comparison"),
    ("?", "if … then … else …"),
    (";", "a line of its own"),
    ("\\", ""),
];

/// The rules in the order in which they are tried: the first that knows the mistake names it.
const RULES: [fn(Stop<'_>, Rule) -> Option<Found>; 15] = [
    nothing,
    |stop, _| remark_sign(stop),
    dashes,
    doubt,
    quotes,
    |stop, _| promises::promise(stop),
    signs,
    words,
    misplaced_where,
    choice,
    closing,
    opening,
    ends,
    operand_missing,
    neighbours,
];

/// What is wrong with a formula, of a check, a chart or a column too.
pub(super) fn formula(stop: Stop<'_>, rule: Rule) -> Option<Found> {
    RULES.iter().find_map(|own| own(stop, rule))
}

/// No formula at all.
fn nothing(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let sign = stop.from.saturating_sub(1)..stop.from;
    let after = stop.text.get(sign.clone()).unwrap_or("").to_owned();
    super::without_remark(stop.side()).trim().is_empty().then_some((sign, Kind::MissingAtEnd { after }))
}

/// `tank--1 gal`, `tank – 1 gal`
fn dashes(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let dash = stop.after().chars().next();
    if let Some(dash @ ('–' | '—')) = dash {
        let instead = instead::minus_or_remark();
        return Some((stop.next(dash.len_utf8()), Kind::TypedDash { dash, instead }));
    }
    let (range, kind) = marks::dashes(stop)?;
    let Kind::DashesWithoutSpaces { instead } = kind else { return None };
    let instead = match stop.before().is_empty() || cut::until(stop.text, range.start).ends_with(' ') {
        true => instead,
        false => instead::remark_or_negative(instead.trim_matches('`')),
    };
    Some((range, Kind::DashesWithoutSpaces { instead }))
}

fn doubt(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let sign = ["±", "+/-", "+/−"].into_iter().find(|sign| stop.after().starts_with(sign))?;
    Some((stop.next(sign.len()), Kind::DoubtInFormula))
}

/// `5' 6"`, a text that is not closed, one in single marks
fn quotes(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let (before, after) = (stop.before(), stop.after());
    let first = after.chars().next().filter(|first| "'’′\"″”“‘".contains(*first))?;
    if ends_with_digit(before) {
        return Some(feet_marks(stop));
    }
    let closes = after.chars().filter(|character| "\"“”".contains(*character)).count() > 1;
    let inner = single_spaced(&after.replace(['"', '“', '”', '\'', '‘', '’'], ""));
    match first {
        '"' | '“' if !closes => Some((stop.rest(), Kind::QuoteNotClosed { instead: instead::closing_quote() })),
        '\'' | '‘' => Some((stop.rest(), Kind::SingleQuotes { text: inner })),
        _ => None,
    }
}

fn feet_marks(stop: Stop<'_>) -> Found {
    let numeral = |character: char| character.is_ascii_digit() || "./ ½¼¾".contains(character);
    let read = stop.text.get(..stop.at).unwrap_or("").trim_end();
    let start = read.trim_end_matches(numeral).len();
    let start = start + (cut::since(read, start).len() - cut::since(read, start).trim_start().len());
    let mark = |character: char| "'’′\"″”".contains(character);
    let run = stop.after().find(|character| !(numeral(character) || mark(character))).unwrap_or(stop.after().len());
    let run = cut::until(stop.after(), run)
        .rfind(mark)
        .map_or(run, |last| last + cut::since(stop.after(), last).chars().next().map_or(1, char::len_utf8));
    let range = start..stop.at + run;
    let instead = without_feet_marks(&stop.text[range.clone()]).unwrap_or_default();
    (range, Kind::FeetMarks { instead: single_spaced(&instead) })
}

/// Signs of other notations.
fn signs(stop: Stop<'_>, rule: Rule) -> Option<Found> {
    let after = stop.after();
    // A sign whose first half is one of the notation's stops at its second half.
    let half = ["<>", "**", "=<", "=>"].into_iter().find(|sign| {
        let (first, second) = sign.split_at(1);
        stop.before().ends_with(first) && cut::until(stop.text, stop.at).ends_with(first) && after.starts_with(second)
    });
    if let Some(sign) = half {
        let (_, instead) = SIGNS.iter().find(|(own, _)| *own == sign)?;
        let kind = Kind::OtherSign { sign: sign.to_owned(), instead: (*instead).to_owned() };
        return Some((stop.at - 1..stop.at + 1, kind));
    }
    if after.starts_with(['{', '}']) || after.starts_with('[') && expects_value(stop) {
        let bracket = after.chars().next()?;
        return Some((stop.next(1), Kind::BracketOfAnotherKind { bracket }));
    }
    if let Some((sign, instead)) = SIGNS.iter().find(|(sign, _)| after.starts_with(sign)) {
        let instead = if *sign == ";" && open_bracket(stop.before()).is_some() { "`,`" } else { instead };
        let kind = Kind::OtherSign { sign: (*sign).to_owned(), instead: instead.to_owned() };
        return Some((stop.next(sign.len()), kind));
    }
    if after.starts_with('=') {
        let instead = match rule {
            Rule::check => instead::is_or_within(),
            _ => instead::line_for_each(),
        };
        return Some((stop.next(1), Kind::EqualsInFormula { instead }));
    }
    after.starts_with('|').then(|| (stop.next(1), Kind::BarOutsideTable))
}

/// `is less than`, `less then`, `per`, a point that stands apart
fn words(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let (before, after) = (stop.before(), stop.after());
    let comparisons = ["at most", "at least", "less than", "more than", "within"];
    let ends_with_is = before.to_lowercase().ends_with(" is");
    if let Some(word) = comparisons.into_iter().find(|word| begins_with_word(after, word)).filter(|_| ends_with_is) {
        let start = stop.from + before.len() - 2;
        let kind = Kind::ComparisonWord { found: format!("is {word}"), instead: exact(word) };
        return Some((start..stop.at + word.len(), kind));
    }
    if let Some(word) = before.split_whitespace().last().filter(|last| is_less_or_more(last))
        && begins_with_word(after, "then")
    {
        let start = stop.from + before.len() - word.len();
        let kind = Kind::ComparisonWord { found: format!("{word} then"), instead: exact(&format!("{word} than")) };
        return Some((start..stop.at + "then".len(), kind));
    }
    if begins_with_word(after, "per") && !expects_value(stop) {
        return Some((stop.next(3), Kind::PerBetweenNames { instead: "`/`".to_owned() }));
    }
    let rest = after.strip_prefix('.')?;
    let (table, column) = (last_name(before), rest.trim_start());
    let column = column.split(|character: char| !character.is_alphanumeric() && character != ' ').next().unwrap_or("");
    if column.is_empty() || table.is_empty() {
        return None;
    }
    if table.contains('.') {
        return Some((stop.next(1 + column.trim_end().len()), Kind::TwoColumns));
    }
    let start = stop.from + before.len() - table.len();
    let end = stop.at + after.len() - rest.trim_start().len() + column.trim_end().len();
    Some((start..end, Kind::PointWithSpaces { instead: exact(&format!("{}.{}", table.trim(), column.trim())) }))
}

/// `sum(season.amount where bed is "a" where dose is 1)`, `season.amount where bed is "a"`
fn misplaced_where(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let before = stop.before();
    if !begins_with_word(stop.after(), "where") || expects_value(stop) {
        return None;
    }
    let inside = cut::since(before, open_bracket(before).unwrap_or(before.len()));
    let mut words = inside.split(|character: char| !character.is_alphanumeric());
    let is_second = words.any(|word| word.eq_ignore_ascii_case("where"));
    let kind = if is_second { Kind::SecondWhere } else { Kind::WhereOutside };
    Some((stop.next("where".len()), kind))
}

fn is_less_or_more(word: &str) -> bool {
    ["less", "more"].iter().any(|own| own.eq_ignore_ascii_case(word))
}

/// The name, points and all, at the end of a text.
fn last_name(text: &str) -> &str {
    let is_name = |character: char| character.is_alphanumeric() || " '’_-.".contains(character);
    cut::since(text, text.trim_end_matches(is_name).len()).trim_start()
}

/// `if dry then 2 ft`, which lacks its `else`
fn choice(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let before = stop.before();
    let count = |word: &str| {
        before
            .split(|character: char| !character.is_alphanumeric())
            .filter(|own| own.eq_ignore_ascii_case(word))
            .count()
    };
    let (ifs, thens, elses) = (count("if"), count("then"), count("else"));
    if ifs > thens && stop.after().starts_with(',') {
        let kind = Kind::Unexpected { found: ",".to_owned(), instead: instead::no_comma() };
        return Some((stop.next(1), kind));
    }
    let is_over =
        stop.after().is_empty() || stop.after().starts_with(['[', ')', ',']) || begins_with_word(stop.after(), "else");
    let word = match () {
        () if ifs > thens => "then",
        () if ifs > elses => "else",
        () => return None,
    };
    let start = before.to_lowercase().rfind("if")? + stop.from;
    let end = stop.from + before.len();
    is_over.then(|| (start..end, Kind::UnfinishedChoice { word: word.to_owned() }))
}

/// A bracket that closes none, or nothing, or what is not finished.
fn closing(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let bracket = stop.after().chars().next().filter(|first| matches!(first, ')' | ']'))?;
    let before = stop.before();
    if before.ends_with('(') {
        return Some((stop.from + before.len() - 1..stop.at + 1, Kind::EmptyBrackets));
    }
    if bracket == ']' || open_bracket(before).is_none() {
        return Some((stop.next(1), Kind::BracketNotOpened { bracket }));
    }
    missing_beside(stop)
}

/// A bracket right after a value.
fn opening(stop: Stop<'_>, _: Rule) -> Option<Found> {
    let before = stop.before();
    if !stop.after().starts_with('(') || expects_value(stop) {
        return None;
    }
    let name = last_name(before);
    if name.is_empty() || starts_with_digit(name) || before.ends_with(')') {
        let left = if name.is_empty() {
            before.char_indices().next_back().map_or("", |(last, _)| cut::since(before, last))
        } else {
            name
        };
        let range = stop.from + before.len() - left.len()..stop.at + 1;
        let text = single_spaced(stop.text.get(range.clone())?);
        return Some((range, Kind::NumberBesideName { text, product: format!("{left} * (") }));
    }
    let range = stop.from + before.len() - name.len()..stop.at + 1;
    Some((range, Kind::SpaceBeforeBracket { function: single_spaced(name) }))
}

/// An end of the formula before its bracket closes, a second pair of brackets at its end, brackets within it.
fn ends(stop: Stop<'_>, rule: Rule) -> Option<Found> {
    let (before, after) = (stop.before(), stop.after());
    if before.ends_with(']') {
        let start = before.rfind('[')?;
        let shown = cut::since(before, start);
        if after.starts_with('[') {
            return Some((stop.rest(), Kind::SecondBrackets));
        }
        let moved = single_spaced(&format!("{} {after} {shown}", cut::until(before, start)));
        return Some((stop.range_of(stop.side().trim()), Kind::PromiseMisplaced { instead: exact(&moved) }));
    }
    if expects_value(stop) {
        return None;
    }
    if let Some(open) = open_bracket(before).filter(|_| after.is_empty() || after.starts_with('[')) {
        let start = stop.from + open;
        return Some((start..start + 1, Kind::BracketNotClosed { bracket: '(', close: ')' }));
    }
    let is_misplaced = after.starts_with('[') && matches!(rule, Rule::check | Rule::chart);
    is_misplaced.then(|| (stop.rest(), Kind::PromiseMisplaced { instead: instead::no_brackets() }))
}

/// Where the innermost bracket that is not closed stands.
pub(super) fn open_bracket(text: &str) -> Option<usize> {
    let mut open = Vec::new();
    let mut in_text = false;
    for (index, character) in text.char_indices() {
        match character {
            '"' | '“' | '”' => in_text = !in_text,
            '(' if !in_text => open.push(index),
            ')' if !in_text => drop(open.pop()),
            _ => {}
        }
    }
    open.pop()
}

/// Whether a value must come next.
fn expects_value(stop: Stop<'_>) -> bool {
    let before = stop.before().to_lowercase();
    let words =
        ["and", "or", "not", "is", "to", "of", "within", "if", "then", "else", "where", "than", "most", "least", "by"];
    before.is_empty()
        || before.ends_with(|character: char| "+-−*×·⋅/÷^<>≤≥(,[".contains(character))
        || before.split_whitespace().last().is_some_and(|last| words.contains(&last))
}

fn operand_missing(stop: Stop<'_>, rule: Rule) -> Option<Found> {
    let after = stop.after();
    if rule == Rule::check && begins_with_word(after, "else") && stop.before().to_lowercase().ends_with(" or") {
        return Some((stop.from + stop.before().len() - "or".len()..stop.at + "else".len(), Kind::OtherElse));
    }
    let is_sign = after.starts_with(|character: char| "*×·⋅/÷^<>≤≥+,".contains(character));
    let word = ["at", "per", "and", "or", "to", "of", "within", "then", "else", "where", "by", "is", "less", "more"];
    let is_word = word.into_iter().any(|word| begins_with_word(after, word));
    if !expects_value(stop) {
        return None;
    }
    if is_sign || is_word {
        let beside = stop.word();
        return Some((stop.next(beside.len()), Kind::MissingOperand { beside: beside.to_owned() }));
    }
    if after.is_empty() || after.starts_with('[') { missing_beside(stop) } else { None }
}

/// A value is missing after the last sign or word that was read.
fn missing_beside(stop: Stop<'_>) -> Option<Found> {
    let before = stop.before();
    let last = before.split_whitespace().last().filter(|_| expects_value(stop))?;
    let sign = last.char_indices().next_back().map(|(index, _)| cut::since(last, index))?;
    let pairs = ["at most", "at least", "less than", "more than", "is not"];
    let lower = before.to_lowercase();
    let pair = pairs.into_iter().find(|pair| lower.ends_with(pair)).map(str::len);
    let length = match sign.chars().all(char::is_alphabetic) {
        true => pair.unwrap_or(last.len()),
        false => sign.len(),
    };
    let range = stop.from + before.len() - length..stop.from + before.len();
    let beside = stop.text.get(range.clone())?.to_owned();
    Some((range, Kind::MissingOperand { beside }))
}

/// Two values with nothing between them, and a comma where no list can be.
fn neighbours(stop: Stop<'_>, rule: Rule) -> Option<Found> {
    let (before, after) = (stop.before(), stop.after());
    if after.starts_with(',') {
        let instead = match rule {
            Rule::check => "and".to_owned(),
            _ => instead::list_entry(),
        };
        return Some((stop.next(1), Kind::Unexpected { found: ",".to_owned(), instead }));
    }
    if begins_with_word(after, "else") && rule == Rule::check {
        return Some((stop.next("else".len()), Kind::ElseWithoutAdvice));
    }
    let is_value = before.ends_with([')', '"', '”']) || ends_with_digit(before);
    let is_next = after.starts_with(|character: char| character.is_alphanumeric() || "\"“".contains(character));
    if !(is_value && is_next) {
        return None;
    }
    let left = before.char_indices().next_back().map_or("", |(last, _)| cut::since(before, last));
    let left = if ends_with_digit(before) { before.split([' ', '(']).next_back().unwrap_or(left) } else { left };
    let range = stop.from + before.len() - left.len()..stop.at + stop.word().len();
    let text = single_spaced(stop.text.get(range.clone())?);
    Some((range, Kind::NumberBesideName { text, product: format!("{left} * {}", stop.word()) }))
}
