//! Answers: a value that someone gives for an entry or a cell, held against what belongs there, and put into the words
//! in which it stands on its line. It puts nothing into a text, and works nothing.

mod pieces;

use super::data::check_date;
use super::fit;
use super::literals::{Literals, described, label_words};
use super::model::Checked;
use super::types::{NumberType, Type};
use super::units::Measures;
use crate::syntax::parse;
use crate::syntax::tree::{Literal, Part};
use crate::text::{Place, Source, cut, single_spaced};
use crate::trouble::{Kind, Trouble};
use crate::units::Substance;
use pieces::{Device, End, Piece, ends};

/// How a value is asked for, which says what may go unsaid.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Asked {
    /// For an entry, its blank before the writer's eyes: a number alone is in the unit of the blank, as on a paper form.
    BesideBlank,
    /// For an entry, its blank out of sight: the unit is said.
    ByName,
    /// For a cell, whose column says the unit.
    OfCell,
}

/// What an answer is held against.
#[derive(Debug, Clone, Copy)]
pub struct Wanted<'a> {
    /// The type of what belongs there.
    pub kind: &'a Type,
    /// What stands there now: `____ ft`, or a value.
    pub standing: &'a str,
    /// How it is asked for.
    pub asked: Asked,
}

/// The words in which a value stands on its line: `60` in the place of `____ ft` is `60 ft`, `Wren` in that of `____
/// text` is `"Wren"`. It stands at `place` in `given`, which is a text of its own.
///
/// # Errors
/// Why it does not belong there.
pub fn in_words(checked: &Checked, wanted: Wanted<'_>, given: &Source, place: Place) -> Result<String, Trouble> {
    let text = single_spaced(given.slice(place));
    let Wanted { kind: wanted, standing, asked } = wanted;
    let answer = Answer { measures: checked.measures(), wanted, standing, given, place, asked };
    if is_blank(&text) {
        return Ok(if asked == Asked::OfCell { text } else { answer.blank() });
    }
    if *wanted == Type::Text && !text.starts_with(['"', '“', '_']) {
        return answer.text(&text);
    }
    let literal = parse::parse_literal(given, place.source, place).map_err(|trouble| answer.unreadable(trouble))?;
    check_date(wanted, &literal, &text)?;
    answer.value(&literal)
}

/// Whether a text is the line of a blank alone.
pub fn is_blank(text: &str) -> bool {
    text.len() >= 2 && text.bytes().all(|byte| byte == b'_')
}

struct Answer<'a> {
    measures: Measures,
    wanted: &'a Type,
    standing: &'a str,
    given: &'a Source,
    place: Place,
    asked: Asked,
}

impl Answer<'_> {
    fn refused(&self, kind: Kind) -> Trouble {
        Trouble::new(self.place, kind)
    }

    /// Words where text belongs need no quotes, since nothing else can be meant.
    fn text(&self, text: &str) -> Result<String, Trouble> {
        let is_plain = |letter: char| letter.is_alphanumeric() || matches!(letter, ' ' | ',' | '.' | '\'' | '(' | ')');
        if self.asked == Asked::OfCell && text.chars().all(is_plain) {
            return Ok(text.to_owned());
        }
        match (text.contains('"'), text.contains(['“', '”'])) {
            (false, _) => Ok(format!("\"{text}\"")),
            (true, false) => Ok(format!("“{text}”")),
            (true, true) => {
                let instead = format!("`\"{}\"`", text.replace('"', "”"));
                Err(self.refused(Kind::TextWithMarks { instead }))
            }
        }
    }

    /// What cannot be read, with what belongs here in mind.
    fn unreadable(&self, trouble: Trouble) -> Trouble {
        let kind = match (&trouble.kind, self.wanted) {
            (Kind::RemarkInCell, _) => Kind::RemarkInAnswer,
            (Kind::ColonNumber { .. }, Type::Date { .. }) => Kind::HourAlone,
            // Where no text belongs, words in no quotes are no text that lacks them.
            (Kind::TextWithoutQuotes { .. }, wanted) => Kind::OtherKind {
                wanted: fit::words(wanted, &self.measures),
                found: format!("`{}`", self.given.slice(trouble.place)),
            },
            _ => return trouble,
        };
        Trouble { kind, ..trouble }
    }

    /// A blank of the kind that belongs here.
    fn blank(&self) -> String {
        let kind = match self.wanted.each() {
            Type::Text => "____ text",
            Type::Date { hour: true } => "____ date and time",
            Type::Date { .. } => "____ date",
            Type::YesNo => "____ yes or no",
            _ => "",
        };
        let Some(number) = self.wanted.each().number() else { return kind.to_owned() };
        let unit = self.unit(number);
        match number.range.as_ref().map(|range| (range.has_low, range.has_high)) {
            None => beside("____", &unit),
            Some((true, true)) => beside("____ to ____", &unit),
            Some((true, false)) => beside("at least ____", &unit),
            Some(_) => beside("up to ____", &unit),
        }
    }

    /// A value of any kind but a bare text.
    fn value(&self, literal: &Literal) -> Result<String, Trouble> {
        let unsaid = self.wanted.each().number().filter(|_| self.asked != Asked::ByName);
        let kind = self.settled(self.given, literal, unsaid)?;
        let wanted = fit::fit(&kind, self.wanted, &self.measures).map_err(|kind| Trouble::new(literal.place, kind))?;
        let Some(number) = wanted.each().number().filter(|_| self.asked != Asked::OfCell) else {
            return Ok(single_spaced(self.given.slice(literal.place)));
        };
        let refused = |kind| Trouble::new(literal.place, kind);
        let own = Piece { text: self.given.slice(literal.place), literal };
        self.beside_blank(|blank| blank.check_readings(&own)).unwrap_or(Ok(())).map_err(refused)?;
        let whole = if self.says_unit(literal, &kind) { self.completed(literal, number) } else { None };
        let whole = whole.ok_or_else(|| refused(self.unit_missing(&kind, number)))?;
        self.with_device(whole, literal).ok_or_else(|| refused(Kind::DoubtsOfRange))
    }

    /// The type of a value, where `unsaid` is the unit of a number alone.
    fn settled(&self, given: &Source, literal: &Literal, unsaid: Option<&NumberType>) -> Result<Type, Trouble> {
        let sources = std::slice::from_ref(given);
        let mut literals = Literals { measures: &self.measures, sources, blanks: &mut Vec::new() };
        literals.settle(literal, "", unsaid).map(|(_, kind)| kind)
    }

    /// Whether a number says its unit where it has to: 10 for `____ %` may be ten times as much or a tenth of it. That
    /// of `60 ± 2 ft` stands behind the `±` for both, so that it is the type that tells.
    fn says_unit(&self, literal: &Literal, kind: &Type) -> bool {
        let is_plain = self.wanted.each().number().is_none_or(|number| number.unit.is_plain());
        let has_unit = |end: &End<'_>| end.amount.parts.iter().any(|part| part.unit.is_some());
        let is_of_unit = kind.each().number().is_some_and(|number| !number.unit.is_plain());
        self.asked != Asked::ByName || is_plain || is_of_unit || ends(literal).iter().any(has_unit)
    }

    /// The value with the unit and the substances that went unsaid; none where that does not say the same.
    fn completed(&self, literal: &Literal, wanted: &NumberType) -> Option<String> {
        let own = Piece { text: self.given.slice(literal.place), literal };
        let last = *ends(literal).last()?;
        let part = last.amount.parts.last()?;
        // In `28 ± 1 in` the unit stands once for both.
        let bare_doubt = last.doubt.and_then(|doubt| doubt.amount.parts.last()).filter(|part| part.unit.is_none());
        let candidates = [
            self.beside_blank(|blank| blank.with_numbers_of(&own)).flatten(),
            Some(own.text.to_owned()),
            bare_doubt.map(|part| self.with_unit(&own, part, wanted)),
            Some(self.with_unit(&own, part, wanted)),
            own.with_labels(part, &wanted.labels),
        ];
        let whole = candidates.into_iter().flatten().find(|candidate| self.stands_alone(candidate, wanted));
        whole.map(|whole| single_spaced(&whole))
    }

    /// What is made of the blank that stands there, if one does.
    fn beside_blank<T>(&self, made: impl FnOnce(&Piece<'_>) -> T) -> Option<T> {
        let source = Source::of_text("", self.standing.to_owned());
        let literal = parse::parse_literal(&source, 0, Place::new(0, 0, source.text.len())).ok()?;
        literal.has_blank().then(|| made(&Piece { text: &source.text, literal: &literal }))
    }

    /// A value with the `±` that stands beside its blank, which is the measuring device's, whatever is read on it;
    /// none where the ends of a range have one each. One that has a `±` of its own keeps that.
    fn with_device(&self, whole: String, literal: &Literal) -> Option<String> {
        let has_doubt =
            whole.contains('±') || whole.contains("+/") || ends(literal).iter().any(|end| end.doubt.is_some());
        match self.beside_blank(|blank| blank.doubt()).filter(|_| !has_doubt) {
            Some(Device::One(doubt)) => Some(format!("{whole} {doubt}")),
            Some(Device::OneEach) => None,
            Some(Device::None) | None => Some(whole),
        }
    }

    /// Whether a text, alone on its line, is what was meant.
    fn stands_alone(&self, text: &str, wanted: &NumberType) -> bool {
        let source = Source::of_text("", text.to_owned());
        let place = Place::new(0, 0, text.len());
        let Ok(literal) = parse::parse_literal(&source, 0, place) else { return false };
        let Ok(kind) = self.settled(&source, &literal, None) else { return false };
        kind.each().number().is_some_and(|own| {
            (&own.unit, &own.labels, own.is_point, own.is_range())
                == (&wanted.unit, &wanted.labels, wanted.is_point, wanted.is_range())
        })
    }

    /// The text with the unit that belongs behind a number of it.
    fn with_unit(&self, piece: &Piece<'_>, part: &Part, wanted: &NumberType) -> String {
        let range = piece.range(part.place);
        let number = cut::between(piece.text, range.start, range.end).trim_start_matches(CURRENCIES).trim_start();
        let whole = beside(number, &self.unit(wanted));
        format!("{}{whole}{}", cut::until(piece.text, range.start), cut::since(piece.text, range.end))
    }

    /// A unit with what it is of, as it is written behind a number.
    fn unit(&self, number: &NumberType) -> String {
        let symbol = number.unit.symbol(&self.measures.crew);
        labelled(&symbol, number.labels.only_above(), number.labels.only_below())
    }

    fn unit_missing(&self, found: &Type, wanted: &NumberType) -> Kind {
        let own = self.wanted.each().number().unwrap_or(wanted);
        let Some(found) = found.each().number() else {
            return Kind::OtherSubstance { wanted: label_words(own), found: label_words(wanted) };
        };
        Kind::OtherUnit {
            wanted: described(own, &self.measures),
            found: described(found, &self.measures),
            instead: format!("the number with its unit, {}", self.unit(own)),
        }
    }
}

const CURRENCIES: [char; 3] = ['$', '£', '€'];

/// A number and its unit: `60 ft`, `$18/gal`, `5/min`.
fn beside(number: &str, unit: &str) -> String {
    if let Some(below) = unit.strip_prefix("1/") {
        return format!("{number}/{below}");
    }
    match unit.chars().next().filter(|first| CURRENCIES.contains(first)) {
        Some(currency) => format!("{currency}{number}{}", unit.trim_start_matches(CURRENCIES)),
        None => format!("{number} {unit}").trim_end().to_owned(),
    }
}

/// A unit's symbol with labels: above the line behind its first word, below it at its end.
fn labelled(symbol: &str, of: Option<&Substance>, per: Option<&Substance>) -> String {
    let slash = symbol.find('/').filter(|_| !symbol.starts_with('%') && !symbol.starts_with("ppm "));
    let (above, below) = symbol.split_at_checked(slash.unwrap_or(symbol.len())).unwrap_or((symbol, ""));
    let of = of.map(|of| format!(" of {of}")).unwrap_or_default();
    let per = per.map(|per| format!(" of {per}")).unwrap_or_default();
    let below = if of.is_empty() { below.to_owned() } else { below.replacen('/', " per ", 1) };
    format!("{above}{of}{below}{per}")
}
