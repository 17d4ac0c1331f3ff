//! Values as they are printed: their figures, their `±`, their unit with its labels.

use super::data::{Cell, ShownPart};
use crate::checked::Checked;
use crate::checked::display;
use crate::checked::model::{Origin, ShownIn, Written, WrittenValue};
use crate::checked::types::Type;
use crate::checked::units::Measures;
use crate::quantity::shown::{Form, show};
use crate::quantity::{Measured, Range, Summary, Value};
use crate::syntax::tree::DoubtNature;
use crate::units::dimension::WHOLE;
use crate::units::{Base, Dimension, Substance};
use crate::worked::showing::Sizes;
use crate::worked::{Outcome, Worked};
use compact_str::CompactString;
use smallvec::{SmallVec, smallvec};

/// Puts values into figures.
pub struct Shower<'a> {
    checked: &'a Checked,
    sizes: Sizes<'a>,
}

impl<'a> Shower<'a> {
    /// For the values of a worked sheet.
    pub fn new(checked: &'a Checked, worked: &'a Worked) -> Self {
        Self { checked, sizes: Sizes { checked, slots: &worked.slots, sources: &worked.sources } }
    }

    /// Units by the crew's own words, for showing what has no name.
    pub fn measures(&self) -> Measures {
        self.checked.measures()
    }

    /// A unit with its labels, as people read it: `fl oz of concentrate per 1000 ft²`.
    pub fn unit(&self, shown: &ShownIn) -> String {
        labelled(&shown.unit.symbol(&self.checked.crew), shown.of.as_ref(), shown.per.as_ref())
    }

    /// A value that a person wrote down, as it was written.
    pub fn entered(
        &self,
        written: &Written,
        outcome: &Outcome,
        list: Option<&Vec<Outcome>>,
        kind: &Type,
        shown: &[ShownIn],
    ) -> Cell {
        let is_cents =
            shown.first().is_some_and(|shown| shown.form == Form::Cents) && matches!(outcome, Ok(Value::Number(_)));
        if matches!(written.value, WrittenValue::Given(_)) || is_cents && written.doubt_text.is_empty() {
            // Drawn from another worksheet, where the text of it stands; or money alone, which is shown to the cent.
            return self.worked(outcome, kind, shown);
        }
        let mut cell = self.figures(outcome, list, kind, shown);
        let unit = shown.first().filter(|_| !written.says_unit).map(|shown| self.unit(shown)).unwrap_or_default();
        let (value, give_or_take) = (written.text.as_str().into(), written.doubt_text.as_str().into());
        cell.parts = smallvec![ShownPart { value, give_or_take, unit: unit.into() }];
        cell.shown = joined(&cell.parts);
        if let (Some(()), Some(half_width)) = (written_limit(written), cell.standard_uncertainty) {
            // A limit of error is printed as written, which is its half-width too.
            cell.give_or_take = Some(half_width * 3f64.sqrt());
        }
        if outcome.is_err() && list.is_none() {
            cell.parts.iter_mut().for_each(|part| part.value.clear());
            cell.shown.clear();
        }
        cell
    }

    /// A value that was worked out.
    pub fn worked(&self, outcome: &Outcome, kind: &Type, shown: &[ShownIn]) -> Cell {
        let mut cell = self.figures(outcome, None, kind, shown);
        cell.is_measured_out = shown.first().is_some_and(|shown| self.is_measured_out(shown));
        let Ok(value) = outcome else { return cell };
        cell.parts = match value {
            Value::Number(number) => shown.iter().filter_map(|shown| self.number_part(number, shown)).collect(),
            Value::Range(range) => {
                let mut parts = SmallVec::new();
                for shown in shown {
                    let Some((part, remark)) = self.range_part(range, shown) else { continue };
                    parts.push(part);
                    cell.remarks.extend(remark);
                }
                parts
            }
            Value::Text(text) => smallvec![ShownPart { value: text.as_ref().into(), ..ShownPart::default() }],
            Value::Date(date) => smallvec![ShownPart { value: date.to_string().into(), ..ShownPart::default() }],
            Value::YesNo(yes) => smallvec![ShownPart { value: yes_no(*yes).into(), ..ShownPart::default() }],
        };
        cell.shown = joined(&cell.parts);
        cell
    }

    /// A value's figures without its `±`, to be put into a formula: a step that would move it is set aside. The second
    /// part tells whether they are rounded all the same.
    pub fn bare(&self, value: &Value, kind: &Type, shown: &[ShownIn]) -> Option<(ShownPart, bool)> {
        let own = display::in_own_unit(kind, &self.measures());
        let shown = shown.first().or(own.first())?;
        let is_same =
            |shown: &ShownIn| self.sizes.as_shown(value, shown).is_some_and(|as_shown| is_same(value, &as_shown));
        let in_digits = ShownIn { form: Form::Digits, ..shown.clone() };
        let shown = if is_same(shown) { shown } else { &in_digits };
        let figures = match value {
            Value::Number(number) => self.sizes.show_number(number, shown)?.text,
            Value::Range(range) => self.sizes.show_range(range, shown)?.bare,
            _ => return None,
        };
        let unit = self.unit_beside(&figures, shown);
        Some((part(figures, String::new(), unit), !is_same(shown)))
    }

    /// Whether a value is shown as something else than it is: by a step or in measures.
    pub fn is_moved(&self, value: &Value, shown: &ShownIn) -> bool {
        let as_shown = || self.sizes.as_shown(value, shown);
        shown.form != Form::Digits && !as_shown().is_some_and(|as_shown| is_same(value, &as_shown))
    }

    /// A number in the unit it is shown in: counted in a crew measure it may be surer than by itself.
    pub fn in_unit(&self, number: &Measured, shown: &ShownIn) -> Option<Measured> {
        self.sizes.in_unit(number, &shown.unit)
    }

    /// A number that is no point of a scale, with a half-width in SI units that need not be that of its own doubt.
    pub fn with_half_width(&self, number: &Measured, half_width: Option<f64>, shown: &ShownIn) -> Option<String> {
        let own = self.in_unit(number, shown)?;
        let half_width = half_width.map(Measured::exact);
        let half_width = half_width.and_then(|half_width| Some(self.in_unit(&half_width, shown)?.value));
        let figures = show(own.value, own.size, half_width, &Form::Digits, &shown.symbols);
        Some(part_words(&part(figures.text, figures.give_or_take, self.unit(shown))))
    }

    /// A half-width in the unit given, which is no point of a scale, with two significant digits.
    pub fn half_width(&self, half_width: f64, shown: &ShownIn) -> String {
        let figures = show(half_width, half_width, Some(half_width), &Form::Digits, &shown.symbols);
        part_words(&part(figures.give_or_take, String::new(), self.unit(shown)))
    }

    /// The same value to the digits it deserves, whatever step it is shown to.
    pub fn in_digits(&self, outcome: &Outcome, kind: &Type, shown: &ShownIn) -> Option<String> {
        self.in_words(outcome, &[ShownIn { form: Form::Digits, ..shown.clone() }], kind)
    }

    /// Whether somebody measures out what is shown so: volumes, weights and the crew's own measures have cups, spoons
    /// and scales; days and feet have none.
    fn is_measured_out(&self, shown: &ShownIn) -> bool {
        let has_measures = |dimension: &Dimension| {
            *dimension == Dimension::of(Base::Mass, WHOLE) || *dimension == Dimension::of(Base::Length, 3 * WHOLE)
        };
        match shown.form {
            Form::Measures { .. } | Form::Step(..) => {
                has_measures(&shown.unit.dimension(&self.checked.crew)) || shown.unit.crew_words().next().is_some()
            }
            _ => false,
        }
    }

    fn number_part(&self, number: &Measured, shown: &ShownIn) -> Option<ShownPart> {
        let figures = self.sizes.show_number(number, shown)?;
        let unit = self.unit_beside(&figures.text, shown);
        Some(part(figures.text, figures.give_or_take, unit))
    }

    fn range_part(&self, range: &Range, shown: &ShownIn) -> Option<(ShownPart, Option<String>)> {
        let figures = self.sizes.show_range(range, shown)?;
        let unit = self.unit_beside(&figures.text, shown);
        Some((part(figures.text, figures.give_or_take, unit), figures.remark))
    }

    /// The unit that stands beside figures; measures say their own, and then only what it is of is left to say.
    fn unit_beside(&self, figures: &str, shown: &ShownIn) -> String {
        let says_unit = matches!(shown.form, Form::Measures { .. }) || figures.starts_with("less than");
        match (says_unit, &shown.of) {
            (false, _) => self.unit(shown),
            (true, Some(of)) => format!("of {of}"),
            (true, None) => String::new(),
        }
    }

    /// The numbers of a value in the unit it is shown in.
    fn figures(&self, outcome: &Outcome, list: Option<&Vec<Outcome>>, kind: &Type, shown: &[ShownIn]) -> Cell {
        let mut cell = Cell::default();
        let unit = shown.first().map(|shown| shown.unit.clone()).unwrap_or_default();
        if let Some(list) = list {
            let reading = |outcome: &Outcome| {
                outcome
                    .as_ref()
                    .ok()
                    .and_then(Value::number)
                    .and_then(|number| self.sizes.in_unit(number, &unit))
                    .map(|number| number.value)
            };
            cell.readings = Some(list.iter().map(reading).collect());
            return cell;
        }
        match outcome {
            Ok(Value::Number(number)) => {
                let Some(own) = self.sizes.in_unit(number, &unit) else { return cell };
                cell.value = Some(own.told());
                set_doubt(&mut cell, self.sizes.summary(&own));
            }
            Ok(Value::Range(range)) => {
                let end = |end: &Option<Measured>| {
                    end.as_ref().and_then(|end| self.sizes.in_unit(end, &unit)).map(|end| end.told())
                };
                (cell.low, cell.high) = (end(&range.low), end(&range.high));
            }
            Ok(Value::Text(text)) => cell.text = Some(text.to_string()),
            Ok(Value::Date(date)) => cell.text = Some(date.to_string()),
            Ok(Value::YesNo(yes)) => cell.text = Some(yes_no(*yes)).filter(|_| matches!(kind, Type::YesNo)),
            Err(_) => {}
        }
        cell
    }

    /// A slot's value as it stands in a comparison: one that was entered as it was written.
    pub fn slot_words(&self, slot: usize, outcome: &Outcome) -> Option<String> {
        let own = self.checked.slots.get(slot)?;
        match &own.origin {
            Origin::Entered(written) => {
                self.entered(written, outcome, None, &own.kind, &own.shown).parts.first().map(part_words)
            }
            _ => self.in_words(outcome, &own.shown, &own.kind),
        }
    }

    /// A value as it stands in a comparison: figures, `±` and unit.
    pub fn in_words(&self, outcome: &Outcome, shown: &[ShownIn], kind: &Type) -> Option<String> {
        let cell = self.worked(outcome, kind, shown);
        cell.parts.first().map(part_words)
    }
}

/// Whether two values are the same number, or have the same ends.
fn is_same(one: &Value, other: &Value) -> bool {
    match (one, other) {
        (Value::Number(one), Value::Number(other)) => one.is_same(other),
        (Value::Range(one), Value::Range(other)) => {
            let same = |one: &Option<Measured>, other: &Option<Measured>| match (one, other) {
                (Some(one), Some(other)) => one.is_same(other),
                (one, other) => one.is_none() && other.is_none(),
            };
            same(&one.low, &other.low) && same(&one.high, &other.high)
        }
        (one, other) => one == other,
    }
}

/// A unit's symbol with labels: above the line behind its first word, below it behind the rest.
pub fn labelled(symbol: &str, of: Option<&Substance>, per: Option<&Substance>) -> String {
    if of.is_none() && per.is_none() {
        return symbol.to_owned();
    }
    // The bar of `% w/w` divides no unit.
    let is_ratio = symbol.starts_with('%') || symbol.starts_with("ppm ");
    let (above, below) = symbol.split_once('/').filter(|_| !is_ratio).unwrap_or((symbol, ""));
    let above = if above == "1" { "" } else { above };
    let of = of.map(|of| format!(" of {of}")).unwrap_or_default();
    let below = match (below.is_empty(), per) {
        (false, Some(per)) => format!(" per {} of {per}", below.replace('/', " per ")),
        (false, None) => format!(" per {}", below.replace('/', " per ")),
        (true, Some(per)) => format!(" per part of {per}"),
        (true, None) => String::new(),
    };
    format!("{above}{of}{below}").trim().to_owned()
}

/// Figures, `±` and unit of one part: `28 ± 1 in`, `28 ft ± 1 in`, `9 1/2 ± 1/8 fl oz at most`.
pub fn part_words(part: &ShownPart) -> String {
    let (give, nature) = with_nature(&part.give_or_take);
    let give = if give.is_empty() { String::new() } else { format!("± {give}") };
    let says_unit = give.split(' ').any(says_unit);
    // In measures only what it is of stands behind them.
    let words = match says_unit && !part.unit.starts_with("of ") {
        true => [part.value.as_str(), &part.unit, &give],
        false => [part.value.as_str(), &give, &part.unit],
    };
    let words: Vec<&str> = words.into_iter().filter(|words| !words.is_empty()).collect();
    words.join(" ") + nature
}

/// A `±` and what it is: ` at most`, ` (18 df)`.
fn with_nature(give_or_take: &str) -> (&str, &str) {
    let nature =
        if give_or_take.contains(' ') { give_or_take.find(" at most").or(give_or_take.find(" (")) } else { None };
    give_or_take.split_at(nature.unwrap_or(give_or_take.len()))
}

/// Whether a word of a `±` is a unit, or ends in one: `oz`, `2%`, `0.5oz`, but not `1e-5`.
fn says_unit(word: &str) -> bool {
    let behind = word.trim_start_matches(|letter: char| letter.is_ascii_digit() || "./".contains(letter));
    let is_exponent = behind.starts_with(['e', 'E']) && word.parse::<f64>().is_ok();
    word != "and" && !is_exponent && behind.starts_with(|first: char| first.is_alphabetic() || "%°".contains(first))
}

fn yes_no(yes: bool) -> String {
    (if yes { "yes" } else { "no" }).to_owned()
}

fn set_doubt(cell: &mut Cell, summary: Option<Summary>) {
    let Some(summary) = summary else { return };
    cell.standard_uncertainty = Some(summary.standard);
    cell.give_or_take = Some(summary.half_width);
    cell.degrees_of_freedom = Some(summary.freedom).filter(|freedom| freedom.is_finite());
}

fn written_limit(written: &Written) -> Option<()> {
    match &written.value {
        WrittenValue::Number(end) => end.doubt.as_ref().filter(|doubt| doubt.nature == DoubtNature::Limit).map(|_| ()),
        _ => None,
    }
}

/// The figures of all parts in one line, the first unit left out.
fn joined(parts: &[ShownPart]) -> CompactString {
    let Some((first, others)) = parts.split_first() else { return CompactString::default() };
    let mut joined = match first.give_or_take.is_empty() {
        true => first.value.clone(),
        false => part_words(&ShownPart { unit: CompactString::default(), ..first.clone() }).into(),
    };
    for other in others {
        joined.push_str("; ");
        joined.push_str(&part_words(other));
    }
    joined
}

fn part(value: String, give_or_take: String, unit: String) -> ShownPart {
    ShownPart { value: value.into(), give_or_take: give_or_take.into(), unit: unit.into() }
}
