//! Values as they are written: names, numbers with units, `±`, readings, ranges, and what a result is shown in.

use super::parse::{Parts, Positioned, Read, Reader, Rule, all, other_kind};
use super::tree::{
    Amount, Display, Doubt, DoubtNature, Item, Joint, Literal, LiteralKind, Measure, Name, Number, OpenSide, Part,
    Promise, Term, Unit, exchanged,
};
use super::{mistakes, number};
use crate::quantity::Moment;
use crate::quantity::shown::Rounding;
use crate::text::{Place, cut, single_spaced};
use crate::trouble::{Kind, Trouble, bad_date, instead};

/// A name, with its key for looking it up.
pub(super) fn name(_reader: &Reader<'_>, pair: &Positioned<'_>) -> Name {
    named(pair.place(), pair.as_str())
}

/// A name from its text.
pub(super) fn named(place: Place, text: &str) -> Name {
    let written = single_spaced(text);
    let key = super::tree::key(&written);
    Name { place, written, key }
}

/// The text between quotes, in which quotes of the other form may stand; a continued line counts as one space.
pub(super) fn unquoted(text: &str) -> String {
    let inner = text.strip_prefix(['"', '“']).and_then(|rest| rest.strip_suffix(['"', '”'])).unwrap_or(text);
    if inner.contains('\n') { single_spaced(inner) } else { inner.to_owned() }
}

/// A few digits, with a point between two of them at the most: most cells of tables are such, which the grammar takes
/// twenty times as long to read, and reads as the same.
pub(super) fn plain(text: &str, place: Place) -> Option<Literal> {
    const FEW: usize = 16;
    let parts = text.split_once('.').map_or([text, "0"], |(whole, decimals)| [whole, decimals]);
    if text.len() > FEW || !parts.into_iter().all(number::is_digits) {
        return None;
    }
    let part = Part { place, number: Some(number::read(&[text]).ok()?), unit: None };
    let amount = Amount { place, negative: false, parts: vec![part] };
    Some(Literal { place, kind: LiteralKind::Items(vec![Item { place, amount, doubt: None, upper: None }]) })
}

/// What stands on the right of an entry's colon.
pub(super) fn literal(reader: &Reader<'_>, value: Positioned<'_>) -> Read<Literal> {
    let place = value.place();
    let Some(inner) = value.inner().into_iter().next() else {
        return Err(Trouble::new(place, Kind::MissingValue));
    };
    let kind = match inner.rule() {
        Rule::string => LiteralKind::Text(unquoted(inner.as_str())),
        Rule::date => LiteralKind::Date(date(&inner)?),
        Rule::yes => LiteralKind::YesNo(true),
        Rule::no => LiteralKind::YesNo(false),
        Rule::other_blank => {
            let kind = inner.inner().into_iter().next().map_or(Rule::text_kind, |kind| kind.rule());
            LiteralKind::Blank(other_kind(kind))
        }
        Rule::open => open(reader, inner)?,
        _ => LiteralKind::Items(list(reader, inner)?),
    };
    if let LiteralKind::Items(items) = &kind {
        check_words(reader, place, items)?;
    }
    Ok(Literal { place, kind })
}

/// Refuses what reads as a quantity and is none: `12 April 2026`, `10 % of tank`, `2 pt in 20 gal`.
fn check_words(reader: &Reader<'_>, place: Place, items: &[Item]) -> Read<()> {
    let amounts = items.iter().flat_map(|item| [Some(&item.amount), item.upper.as_ref().map(|(amount, _)| amount)]);
    for amount in amounts.flatten() {
        for (index, part) in amount.parts.iter().enumerate() {
            let Some(unit) = &part.unit else { continue };
            check_share(reader, amount.place, unit)?;
            let words = unit.terms.first().map_or("", |term| term.words.as_str());
            let month = words.split(' ').next().and_then(mistakes::month);
            if let Some(kind) = month.and_then(|_| mistakes::date_in_words(reader.text(place))) {
                return Err(Trouble::new(place, kind));
            }
            check_limit(reader, place, unit)?;
            if index + 1 < amount.parts.len() && words.ends_with(" in") {
                let rate = reader.text(amount.place).replacen(" in ", "/", 1);
                return Err(Trouble::new(amount.place, Kind::TwoThings { instead: instead::rate_or_entries(&rate) }));
            }
        }
    }
    Ok(())
}

/// `4 pt max.`, `2 gal min`
fn check_limit(reader: &Reader<'_>, place: Place, unit: &Unit) -> Read<()> {
    let last = unit.terms.last().and_then(|term| term.words.rsplit_once(' ')).map_or("", |(_, last)| last);
    let limit = match last.to_lowercase().trim_end_matches('.') {
        "max" | "maximum" => "at most",
        "min" | "minimum" => "at least",
        _ => return Ok(()),
    };
    let instead = format!("{limit} {}", reader.text(place).trim_end_matches(last).trim_end());
    Err(Trouble::new(place, Kind::LimitInOtherWords { found: last.to_owned(), instead }))
}

/// A bare `%` `of` something is a share of a value, and a written value names none.
fn check_share(reader: &Reader<'_>, place: Place, unit: &Unit) -> Read<()> {
    let share = unit.terms.iter().find(|term| term.words == "%" && term.label.is_some());
    match share {
        None => Ok(()),
        Some(term) => {
            let (text, percent) = (reader.text(place), reader.text(term.words_place));
            let (by_volume, by_weight) = (text.replacen(percent, "% v/v", 1), text.replacen(percent, "% w/w", 1));
            let instead = instead::strengths(&by_volume, &by_weight);
            Err(Trouble::new(place, Kind::ShareInEntry { instead }))
        }
    }
}

/// A date, with or without an hour.
pub(super) fn date(pair: &Positioned<'_>) -> Read<Moment> {
    Moment::parse(pair.as_str()).map_err(|error| Trouble::new(pair.place(), bad_date(&error)))
}

fn open(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<LiteralKind> {
    let place = pair.place();
    let mut parts = pair.inner().into_iter();
    let side = match parts.next().map(|side| side.rule()) {
        Some(Rule::at_least) => OpenSide::High,
        _ => OpenSide::Low,
    };
    let (amount, doubt, _) = end(reader, &mut parts, place).map_err(|trouble| date_limit(reader, place, trouble))?;
    if is_date(&amount) {
        let limit = if side == OpenSide::Low { "at most …" } else { "at least …" };
        return Err(Trouble::new(place, Kind::DateLimit { blank: "____ date".to_owned(), limit: limit.to_owned() }));
    }
    Ok(LiteralKind::Open(side, Box::new(Item { place, amount, doubt, upper: None })))
}

/// Whether an amount is the `____ date` of `at least ____ date`.
fn is_date(amount: &Amount) -> bool {
    let [Part { number: None, unit: Some(unit), .. }] = amount.parts.as_slice() else { return false };
    matches!(unit.terms.as_slice(), [term] if term.words.eq_ignore_ascii_case("date"))
}

/// `at least 2026-04-12`: a range is of numbers.
fn date_limit(reader: &Reader<'_>, place: Place, trouble: Trouble) -> Trouble {
    let text = single_spaced(reader.text(place));
    let mut words = text.splitn(3, ' ');
    let (Some(first), Some(second), Some(date)) = (words.next(), words.next(), words.next()) else { return trouble };
    let Ok(moment) = Moment::parse(date) else { return trouble };
    let limit = if first.eq_ignore_ascii_case("up") { "at most" } else { &format!("{first} {second}").to_lowercase() };
    let limit = format!("{limit} {date}");
    let blank = if moment.has_hour() { "____ date and time" } else { "____ date" };
    Trouble::new(place, Kind::DateLimit { blank: blank.to_owned(), limit })
}

fn list(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Vec<Item>> {
    let items = all(pair.inner(), |part| item(reader, part))?;
    if items.len() > 1 {
        check_list(&items)?;
    }
    Ok(items)
}

/// A list is of single amounts, with one unit at the end or one each, and a `±` only after the last.
fn check_list(items: &[Item]) -> Read<()> {
    let Some((last, others)) = items.split_last() else { return Ok(()) };
    for item in items {
        if item.upper.is_some() {
            return Err(Trouble::new(item.place, Kind::RangeInList));
        }
    }
    for item in others {
        if let Some(doubt) = &item.doubt {
            return Err(Trouble::new(doubt.place, Kind::DoubtOnReading));
        }
    }
    let with_unit = |item: &Item| item.amount.parts.iter().any(|part| part.unit.is_some());
    let said = others.iter().filter(|item| with_unit(item)).count();
    let all_or_none = said == 0 || (said == others.len() && with_unit(last));
    match all_or_none {
        true => Ok(()),
        false => Err(Trouble::new(others.first().unwrap_or(last).place.to(last.place), Kind::UnitOfSomeReadings)),
    }
}

/// One amount or range, each end with its `±`.
pub(super) fn item(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Item> {
    let place = pair.place();
    let mut parts = pair.inner().into_iter();
    let (amount, doubt, goes_on) = end(reader, &mut parts, place)?;
    let upper = match goes_on {
        true => {
            let (amount, doubt, goes_on) = end(reader, &mut parts, place)?;
            if goes_on {
                let is_two = reader.text(place).to_lowercase().contains(" in ");
                let two = Kind::TwoThings { instead: instead::two_entries() };
                return Err(Trouble::new(place, if is_two { two } else { Kind::ChainedRange }));
            }
            if is_date(&amount) {
                return Err(Trouble::new(place, Kind::DatesTogether));
            }
            Some((amount, doubt))
        }
        false => None,
    };
    Ok(Item { place, amount, doubt, upper })
}

/// An amount, its `±`, and whether a `to` follows.
fn end<'i>(
    reader: &Reader<'_>,
    parts: &mut impl Iterator<Item = Positioned<'i>>,
    place: Place,
) -> Read<(Amount, Option<Doubt>, bool)> {
    let first = parts.next().ok_or_else(|| Trouble::new(place, Kind::MissingValue))?;
    let amount = amount(reader, first)?;
    let mut own_doubt = None;
    for part in parts {
        match part.rule() {
            Rule::doubt => own_doubt = Some(doubt(reader, part)?),
            _ => return Ok((amount, own_doubt, true)),
        }
    }
    Ok((amount, own_doubt, false))
}

/// A `±` and what follows it.
pub(super) fn doubt(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Doubt> {
    let place = pair.place();
    let mut parts = pair.inner().into_iter();
    let first = parts.next().ok_or_else(|| Trouble::new(place, Kind::MissingValue))?;
    let amount = amount(reader, first)?;
    let nature = match parts.next() {
        None => DoubtNature::Sure,
        Some(part) if part.rule() == Rule::at_most => DoubtNature::Limit,
        Some(part) => freedom(part)?,
    };
    Ok(Doubt { place, amount, nature })
}

fn freedom(pair: Positioned<'_>) -> Read<DoubtNature> {
    let place = pair.place();
    let text = pair.inner().into_iter().next().map_or("", |numeral| numeral.as_str());
    match text.parse::<u32>() {
        Ok(freedom) if freedom >= 1 => Ok(DoubtNature::Freedom(freedom)),
        _ => Err(Trouble::new(place, Kind::BadFreedom { text: text.to_owned() })),
    }
}

/// An amount: from the grammar's `amount`, or its `quantity` in a formula.
pub(super) fn amount(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Amount> {
    let place = pair.place();
    let inner = pair.inner();
    let (mut negative, mut parts) = (false, Vec::with_capacity(inner.len()));
    for part in inner {
        match part.rule() {
            Rule::minus => negative = true,
            Rule::money => parts.push(money(reader, part)?),
            _ => parts.push(self::part(reader, part)?),
        }
    }
    Ok(Amount { place, negative, parts })
}

fn part(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Part> {
    let place = pair.place();
    let mut inner = pair.inner().into_iter();
    let first = inner.next().ok_or_else(|| Trouble::new(place, Kind::MissingValue))?;
    let number_place = first.place();
    let number = number_or_blank(first).map_err(|trouble| clock(reader, place, trouble))?;
    let mut unit = behind(reader, inner.collect())?;
    // `____ number` says what `____` alone does.
    let is_plain = |unit: &Unit| matches!(unit.terms.as_slice(), [term] if term.words == "number");
    if number.is_none() && unit.as_ref().is_some_and(is_plain) {
        unit = None;
    }
    Ok(Part { place: number_place, number, unit })
}

/// Minutes and seconds stand with their own units in place of the one behind them: `1:23 min`, `2:30 pm`.
fn clock(reader: &Reader<'_>, place: Place, trouble: Trouble) -> Trouble {
    match trouble.kind {
        Kind::ColonNumber { .. } => {
            let kind = mistakes::clock_alone(reader.text(place)).unwrap_or(trouble.kind);
            Trouble { place, kind, ..trouble }
        }
        _ => trouble,
    }
}

/// What stands behind a number: a unit, a bare denominator (`5 per min`), or only a label.
fn behind(reader: &Reader<'_>, rest: Parts<'_>) -> Read<Option<Unit>> {
    let Some(first) = rest.first() else { return Ok(None) };
    let place = rest.iter().fold(first.place(), |whole, part| whole.to(part.place()));
    match first.rule() {
        Rule::unit => match rest.into_iter().next() {
            Some(pair) => unit(reader, pair).map(Some),
            None => Ok(None),
        },
        Rule::label => {
            let label = label(reader, first);
            let term = Term {
                place,
                joint: Joint::First,
                lead: None,
                words: String::new(),
                words_place: place,
                power: 1,
                label,
            };
            Ok(Some(Unit { place, terms: vec![term] }))
        }
        _ => Ok(Some(Unit { place, terms: all(rest, |part| tail(reader, part))? })),
    }
}

fn money(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Part> {
    let place = pair.place();
    let mut inner = pair.inner().into_iter();
    let (sign, first) = (inner.next(), inner.next());
    let (Some(sign), Some(first)) = (sign, first) else { return Err(Trouble::new(place, Kind::MissingValue)) };
    let sign_place = sign.place();
    let number = number_or_blank(first)?;
    let currency = Term {
        place: sign_place,
        joint: Joint::First,
        lead: None,
        words: sign.as_str().to_owned(),
        words_place: sign_place,
        power: 1,
        label: None,
    };
    let mut terms = vec![currency];
    for part in inner {
        terms.push(tail(reader, part)?);
    }
    Ok(Part { place, number, unit: Some(Unit { place, terms }) })
}

fn number_or_blank(pair: Positioned<'_>) -> Read<Option<Number>> {
    match pair.rule() {
        Rule::blank => Ok(None),
        _ => number(pair).map(Some),
    }
}

fn number(pair: Positioned<'_>) -> Read<Number> {
    let place = pair.place();
    let numerals: Vec<&str> = pair.inner().iter().map(Positioned::as_str).collect();
    number::read(&numerals).map_err(|kind| Trouble::new(place, kind))
}

/// A unit.
pub(super) fn unit(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Unit> {
    let place = pair.place();
    let terms = all(pair.inner(), |part| match part.rule() {
        Rule::term => term(reader, part, Joint::First, None),
        _ => tail(reader, part),
    })?;
    Ok(Unit { place, terms })
}

/// `/1000 ft²`, ` per 100 gal`, `·ft`
fn tail(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Term> {
    let joint = match pair.rule() {
        Rule::over => Joint::Over,
        Rule::per => Joint::Per,
        _ => Joint::Times,
    };
    let place = pair.place();
    let mut own_lead = None;
    for part in pair.inner() {
        match part.rule() {
            Rule::lead => own_lead = Some(lead(&part)?),
            _ => return term(reader, part, joint, own_lead),
        }
    }
    Err(Trouble::new(place, Kind::MissingValue))
}

/// The number before a denominator; labels print it with commas, which is accepted here alone.
fn lead(pair: &Positioned<'_>) -> Read<Number> {
    let text = pair.as_str().trim();
    let groups: Vec<&str> = text.split(',').collect();
    let is_grouped = groups.len() > 1 && groups.iter().skip(1).all(|group| group.len() == 3);
    let plain = if is_grouped { groups.concat() } else { text.to_owned() };
    let number = number::read(&[&plain]).map_err(|kind| Trouble::new(pair.place(), kind))?;
    match number.value > 0.0 {
        true => Ok(number),
        false => Err(Trouble::new(pair.place(), Kind::ZeroDenominator { text: plain })),
    }
}

fn term(reader: &Reader<'_>, pair: Positioned<'_>, joint: Joint, lead: Option<Number>) -> Read<Term> {
    let place = pair.place();
    let mut term = Term { place, joint, lead, words: String::new(), words_place: place, power: 1, label: None };
    for part in pair.inner() {
        match part.rule() {
            Rule::words => {
                term.words_place = part.place();
                term.words = in_signs(exchanged(exchanged(single_spaced(part.as_str()), 'º', "°"), '∆', "Δ"));
                check_unit_words(reader, part.place(), part.as_str(), &term.words)?;
            }
            Rule::power => term.power = power(&part)?,
            _ => term.label = label(reader, &part),
        }
    }
    Ok(term)
}

/// A percent that is spelt out is one like any other: `percent` is `%`, and `pct w/w` is `% w/w`.
fn in_signs(words: String) -> String {
    let (first, rest) = words.split_once(' ').unwrap_or((&words, ""));
    let is_percent = ["percent", "pct"].iter().any(|spelt| first.eq_ignore_ascii_case(spelt));
    if is_percent { format!("% {rest}").trim_end().to_owned() } else { words }
}

/// `gal a minute`: a unit goes on with `per`; `gal x 2`, `12 x 40 ft`: a product is written with `*`.
fn check_unit_words(reader: &Reader<'_>, place: Place, raw: &str, words: &str) -> Read<()> {
    let is_last = raw.ends_with(" x") || raw.ends_with(" X");
    let behind = cut::since(&reader.source.text, place.end as usize).trim_start_matches(' ');
    let is_all = raw.eq_ignore_ascii_case("x") && behind.starts_with(|next: char| next.is_ascii_digit());
    // Most units are one word.
    let has_words = words.contains(' ');
    let cross = has_words.then(|| raw.find(" x ").or_else(|| raw.find(" X "))).flatten().map(|space| space + 1);
    let cross = cross.or_else(|| is_last.then(|| raw.len() - 1)).or(is_all.then_some(0));
    if let Some(at) = cross {
        let start = place.start as usize + at;
        let kind = Kind::OtherSign { sign: "x".to_owned(), instead: "`*`".to_owned() };
        return Err(Trouble::new(Place::new(place.source, start, start + 1), kind));
    }
    let article = [" a ", " an ", " each "].into_iter().find(|article| has_words && words.contains(article));
    match article {
        None => Ok(()),
        Some(article) => {
            let near = words.replacen(article, " per ", 1);
            Err(Trouble::new(place, Kind::UnknownUnit { words: words.to_owned(), near }))
        }
    }
}

fn label(reader: &Reader<'_>, pair: &Positioned<'_>) -> Option<Name> {
    pair.clone().inner().first().map(|substance| name(reader, substance))
}

fn power(pair: &Positioned<'_>) -> Read<i16> {
    let plain: String = pair
        .as_str()
        .chars()
        .filter_map(|character| match character {
            '^' => None,
            '¹' => Some('1'),
            '²' => Some('2'),
            '³' => Some('3'),
            '⁴'..='⁹' => char::from_digit(u32::from(character) - 0x2070, 10),
            '⁻' | '−' => Some('-'),
            other => Some(other),
        })
        .collect();
    match plain.parse::<i16>() {
        Ok(power) if power != 0 && power.abs() <= 9 => Ok(power),
        _ => Err(Trouble::new(pair.place(), Kind::BadPower { text: pair.as_str().to_owned() })),
    }
}

/// What stands in brackets at the end of a result.
pub(super) fn promise(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Promise> {
    let place = pair.place();
    let displays = all(pair.inner(), |part| display(reader, part))?;
    Ok(Promise { place, displays })
}

fn display(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Display> {
    let (place, inner) = (pair.place(), pair.inner());
    let mut display = Display { place, measures: Vec::with_capacity(inner.len()), rounding: Rounding::Nearest };
    for part in inner {
        match part.rule() {
            Rule::up => display.rounding = Rounding::Up,
            Rule::down => display.rounding = Rounding::Down,
            _ => display.measures.push(measure(reader, part)?),
        }
    }
    Ok(display)
}

fn measure(reader: &Reader<'_>, pair: Positioned<'_>) -> Read<Measure> {
    let mut measure = Measure { place: pair.place(), step: None, unit: None };
    let mut rest = Parts::new();
    for part in pair.inner() {
        match part.rule() {
            // `$0.25`: the sign stands before the step.
            Rule::money => {
                let money = money(reader, part)?;
                (measure.step, measure.unit) = (money.number, money.unit);
            }
            Rule::number => measure.step = Some(number(part)?),
            _ => rest.push(part),
        }
    }
    if !rest.is_empty() {
        measure.unit = behind(reader, rest)?;
    }
    // In `1/min` the 1 belongs to the unit.
    let is_inverse =
        measure.unit.as_ref().and_then(|unit| unit.terms.first()).is_some_and(|term| term.joint == Joint::Over);
    if is_inverse && measure.step.is_some_and(|step| step.value == 1.0 && step.denominator.is_none()) {
        measure.step = None;
    }
    check_showing(reader, &measure)?;
    Ok(measure)
}

/// `0.1 gal up`, `in gallons`
fn check_showing(reader: &Reader<'_>, measure: &Measure) -> Read<()> {
    let words = measure.unit.as_ref().and_then(|unit| unit.terms.first()).map_or("", |term| term.words.as_str());
    let text = reader.text(measure.place);
    let instead = match words.rsplit_once(' ') {
        Some((_, direction @ ("up" | "down"))) => {
            let unit = text.trim_end_matches(direction).trim_end();
            format!("`{unit}, {direction}`")
        }
        Some(_) if words.starts_with("in ") => format!("`{}`", text.replacen("in ", "", 1).trim()),
        _ => return Ok(()),
    };
    Err(Trouble::new(measure.place, Kind::ShowingWord { found: text.to_owned(), instead }))
}
