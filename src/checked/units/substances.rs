//! Substances that have two readings where they stand. That at the end of `lb/1000 ft² of N` stands below the line, and is
//! hardly meant there; `2 lb of product 4 oz` says 2 lb 4 oz of product, or names a substance so; and `2 lb of product
//! 1/2 oz` goes on with half an ounce, or with `/2 oz`. None is guessed.

use super::super::literals::settle_amount;
use super::{Measures, Position};
use crate::syntax::tree::{Amount, Joint, Name, Number, Part, Term, Unit};
use crate::text::Place;
use crate::trouble::{Kind, Trouble};
use crate::units::dimension::WHOLE;
use crate::units::vocabulary::{self, EntryKind, Lookup};
use crate::units::{self, Base, Dimension, Factor, Labels};

/// The most words of a unit of the vocabulary, as in `imp fl oz`.
const MOST_WORDS: usize = 3;

/// An amount found within the name of a substance.
struct Held<'a> {
    /// Which term of the unit names the substance.
    index: usize,
    /// From the name to the end of the amount.
    place: Place,
    /// The first reading: the substance as it is read, with what goes on.
    reading: String,
    /// The words before the amount, which may be all of the name: `product`.
    substance: &'a str,
    /// The amount: `4 oz`.
    amount: String,
    /// The words of its unit alone.
    words: String,
    /// The name as it has one reading, with what goes on: `product 4_oz`, `product 1 per 2 oz`.
    named: String,
    /// Whether words of the name stand behind it.
    goes_on: bool,
}

impl Measures {
    /// Refuses an amount within the name of a substance.
    ///
    /// # Errors
    /// The first one, marked from the name on.
    pub(super) fn check_substances(&self, unit: &Unit) -> Result<(), Trouble> {
        let Some(held) = self.held(unit) else { return Ok(()) };
        let instead = format!("`{}`, if that is meant; else {} as a value of its own", held.named, held.amount);
        Err(Trouble::new(held.place, held.kind(instead)))
    }

    /// In `lb/1000 ft² of N` and `mg/L of ai` the substance stands below the line, where it may go unsaid, and is hardly
    /// ever meant there: ground is of nothing, and a strength is of what it is the strength of.
    ///
    /// # Errors
    /// A substance at the end of such a unit, where none stands above the line.
    pub(super) fn check_substance_below(
        &self,
        unit: &Unit,
        whole: &units::Unit,
        labels: &Labels,
    ) -> Result<(), Trouble> {
        let ([.., last], Some(substance), None) = (&*unit.terms, labels.only_below(), labels.all_above().next()) else {
            return Ok(());
        };
        let words: Vec<&str> = whole.factors.iter().filter_map(|factor| Some(factor.entry()?.symbol)).collect();
        let ground = Dimension::of(Base::Length, -2 * WHOLE);
        let is_ground = whole.factors.last().and_then(|factor| factor.dimension(&self.crew)) == Some(ground);
        let is_strength = matches!(words.as_slice(), ["mg", "L" | "kg"]);
        // Money, and what is counted by nothing, are of no substance.
        let is_stuff =
            |first: &Factor| first.twelfths > 0 && first.entry().is_none_or(|entry| entry.kind != EntryKind::Currency);
        if last.label.is_none() || !(is_ground || is_strength) || !whole.factors.first().is_some_and(is_stuff) {
            return Ok(());
        }
        let (unit_words, of) = (whole.symbol(&self.crew), substance.to_string());
        let (above, below) = unit_words.split_once('/').unwrap_or((&unit_words, ""));
        let kind = Kind::SubstanceAboveOrBelow {
            above: above.to_owned(),
            below: below.to_owned(),
            whole: format!("{above} of {of} per {below}"),
            unit: unit_words.to_string(),
            of,
        };
        Err(Trouble::new(unit.place, kind))
    }

    /// The same trouble marked at the whole amount, which says what to write there for either reading.
    pub(crate) fn substance_in(&self, trouble: Trouble, amount: &Amount, text: &dyn Fn(Place) -> String) -> Trouble {
        match trouble.kind {
            Kind::AmountInSubstance { .. } => {}
            Kind::CompoundLabel { .. } => return at_the_end(amount, text).unwrap_or(trouble),
            _ => return trouble,
        }
        let units = amount.parts.iter().filter_map(|part| part.unit.as_ref());
        let Some((unit, held)) = units.filter_map(|unit| Some((unit, self.held(unit)?))).next_back() else {
            return trouble;
        };
        let Place { source, start, end } = amount.place;
        let before = text(Place { source, start, end: held.place.start });
        let behind = text(Place { source, start: held.place.end, end });
        let with = |words: &str| {
            let space = if behind.starts_with(char::is_alphabetic) { " " } else { "" };
            format!("{words}{space}{behind}")
        };
        let named = with(&format!("{before} {}", held.named));
        if held.goes_on || !self.is_compound(amount, unit, &held) {
            return trouble;
        }
        let before = before.get(..before.len().saturating_sub("of".len())).unwrap_or_default().trim_end();
        let together = with(&format!("{before} {} of {}", held.amount, held.substance));
        Trouble::new(amount.place, held.kind(format!("`{together}`, or `{named}`")))
    }

    fn held<'a>(&self, unit: &'a Unit) -> Option<Held<'a>> {
        unit.terms.iter().enumerate().find_map(|(index, term)| {
            let label = term.label.as_ref()?;
            self.amount_in_name(index, label).or_else(|| fraction_behind(index, label, unit.terms.get(index + 1)?))
        })
    }

    /// `product 4 oz`, `product 4oz`: a number and right behind it a unit.
    fn amount_in_name<'a>(&self, index: usize, label: &'a Name) -> Option<Held<'a>> {
        let name = label.written.as_str();
        let starts = name.match_indices(' ').map(|(space, _)| space + 1);
        starts.filter(|start| name[*start..].starts_with(|first: char| first.is_ascii_digit())).find_map(|start| {
            let rest = name.get(start..)?;
            let figures = rest.find(|character: char| !character.is_ascii_digit())?;
            let unit = rest.get(figures..)?.trim_start();
            let ends = unit.match_indices(' ').map(|(space, _)| space).chain([unit.len()]).take(MOST_WORDS);
            let words = ends.filter_map(|end| unit.get(..end)).filter(|words| self.is_unit(words)).last()?;
            let (before, number) = (name.get(..start)?, rest.get(..figures)?);
            let behind = unit.get(words.len()..)?;
            Some(Held {
                index,
                place: label.place,
                reading: format!("the substance `{name}`"),
                substance: before.trim_end(),
                amount: format!("{number} {words}"),
                words: words.to_owned(),
                named: format!("{before}{number}_{}{behind}", words.replace(' ', "_")),
                goes_on: !behind.is_empty(),
            })
        })
    }

    /// Whether a word stands for a unit, or for several of which a worksheet has to say which.
    fn is_unit(&self, words: &str) -> bool {
        let is_known =
            |words: &str| self.crew_word(words).is_some() || !matches!(vocabulary::lookup(words), Lookup::Unknown);
        is_known(words) || words.strip_suffix(['2', '3']).is_some_and(is_known)
    }

    /// Whether the amount before the substance goes on with the one within its name, as 2 lb do with 4 oz.
    fn is_compound(&self, amount: &Amount, unit: &Unit, held: &Held<'_>) -> bool {
        let bare = |term: &Term| Unit { place: unit.place, terms: vec![Term { label: None, ..term.clone() }] };
        let Some(first) = unit.terms.first().filter(|_| held.index == 0) else { return false };
        let one = Some(Number { value: 1.0, denominator: None, decimals: 0 });
        let part = |unit| Part { place: amount.place, number: one, unit: Some(unit) };
        let smaller = Term { words: held.words.clone(), power: 1, ..first.clone() };
        let parts = vec![part(bare(first)), part(bare(&smaller))];
        let together = Amount { place: amount.place, negative: false, parts };
        amount.parts.iter().all(|part| part.number.is_some())
            && settle_amount(self, &together, None, Position::Value, &|_| false).is_ok()
    }
}

/// `product 1/2 oz`: digits end the name, and an unspaced `/` with a number goes on.
fn fraction_behind<'a>(index: usize, label: &'a Name, next: &Term) -> Option<Held<'a>> {
    let name = label.written.as_str();
    let lead = next.lead.filter(|_| next.joint == Joint::Over)?.value;
    let is_digits = |word: &str| word.bytes().all(|byte| byte.is_ascii_digit());
    let (mut substance, last) = name.rsplit_once(' ').filter(|(_, last)| is_digits(last))?;
    // The whole number of `1 1/2 oz`.
    if let Some((before, _)) = substance.rsplit_once(' ').filter(|(_, whole)| is_digits(whole)) {
        substance = before;
    }
    let power = match next.power {
        1 => String::new(),
        2 => "²".to_owned(),
        3 => "³".to_owned(),
        other => format!("^{other}"),
    };
    let words = format!("{}{power}", next.words);
    let whole = name.get(substance.len()..name.len() - last.len())?.trim_start();
    let of = next.label.as_ref().map(|own| format!(" of {}", own.written)).unwrap_or_default();
    let is_other = next.label.as_ref().is_some_and(|own| own.key != substance.to_lowercase());
    let below = format!("per {lead} {words}{of}");
    Some(Held {
        index,
        place: label.place.to(next.place),
        reading: format!("`{name}` {below}"),
        substance,
        amount: format!("{whole}{last}/{lead} {words}"),
        named: format!("{name} {below}"),
        words,
        goes_on: is_other || next.power != 1,
    })
}

/// `2 lb of product ½ oz` with its label behind the last unit; none where that has one of its own, or digits end the
/// label, which may belong to the number behind it.
fn at_the_end(amount: &Amount, text: &dyn Fn(Place) -> String) -> Option<Trouble> {
    let [first, last] = amount.parts.as_slice() else { return None };
    let [labelled] = first.unit.as_ref()?.terms.as_slice() else { return None };
    let label = labelled.label.as_ref().filter(|label| !label.key.ends_with(|last: char| last.is_ascii_digit()))?;
    let [term] = last.unit.as_ref()?.terms.as_slice() else { return None };
    let is_same = term.label.as_ref().is_none_or(|own| own.key == label.key);
    let Place { source, start, end } = amount.place;
    let before = text(Place { source, start, end: labelled.words_place.end });
    let behind = text(Place { source, start: label.place.end, end });
    let of = if term.label.is_none() { format!(" of {}", label.written) } else { String::new() };
    let instead = format!("`{before} {behind}{of}`");
    is_same.then(|| Trouble::new(amount.place, Kind::CompoundLabel { instead }))
}

impl Held<'_> {
    fn kind(&self, instead: String) -> Kind {
        let (reading, substance) = (self.reading.clone(), self.substance.to_owned());
        Kind::AmountInSubstance { reading, substance, amount: self.amount.clone(), instead }
    }
}
