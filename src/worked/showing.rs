//! Values in the unit they are shown in. The report prints what comes from here, and `shown(x)` gives it as a value.

use crate::checked::Checked;
use crate::checked::model::ShownIn;
use crate::quantity::shown::{End, Form, Shown, ShownRange, show, show_point, show_range, without_noise};
use crate::quantity::{Doubt, Measured, Range, SourceKind, Sources, Summary, Value};
use crate::units::Unit;
use crate::units::dimension::WHOLE;

use super::waiting::Outcome;

/// A part of a doubt far below what a float holds.
const SMALL: f64 = 1e100;

/// The values that crew measures have, for units that are counted in them.
pub struct Sizes<'a> {
    /// The sheet.
    pub checked: &'a Checked,
    /// The values worked so far.
    pub slots: &'a [Outcome],
    /// The sources of doubt.
    pub sources: &'a Sources,
}

impl Sizes<'_> {
    /// A value in SI units in the unit given; `None` where the size of a crew measure is not known.
    pub fn in_unit(&self, value: &Measured, unit: &Unit) -> Option<Measured> {
        self.sized(value, unit, unit.size())
    }

    /// The same in the unit that it is shown in.
    pub fn in_shown(&self, value: &Measured, shown_in: &ShownIn) -> Option<Measured> {
        match shown_in.is_simple {
            true => Some(in_size(value, shown_in.size)),
            false => self.sized(value, &shown_in.unit, shown_in.size),
        }
    }

    fn sized(&self, value: &Measured, unit: &Unit, size: f64) -> Option<Measured> {
        let zero = unit.zero();
        let mut shown = in_size(value, size);
        if zero != 0.0 {
            shown.value = without_noise((value.value - zero) / size, shown.size);
        }
        for (word, twelfths) in unit.crew_words() {
            let measure = self.crew_size(word)?;
            for _ in 0..(twelfths.abs() / WHOLE) {
                shown = if twelfths > 0 { shown.over(&measure) } else { shown.times(&measure) };
            }
        }
        Some(shown)
    }

    /// A number in the unit that it is shown in, with its half-width where that is known; nothing is 0.
    pub fn figures(&self, value: &Measured, shown_in: &ShownIn) -> Option<(f64, Option<f64>)> {
        if shown_in.is_simple && value.doubt.is_none() {
            let own =
                Measured { value: value.value / shown_in.size, size: value.size / shown_in.size, doubt: Doubt::none() };
            return Some((own.told(), Some(0.0)));
        }
        let own = self.in_shown(value, shown_in)?;
        let half_width = self.summary(&own).map(|summary| summary.half_width);
        Some((own.told(), half_width))
    }

    /// Whether a number and its doubt are finite in the unit that it is shown in.
    pub fn is_finite(&self, value: &Measured, shown_in: &ShownIn) -> bool {
        if self.is_plainly_finite(value, shown_in) {
            return true;
        }
        // What is nothing beside its size is shown as 0: so the size has to be finite too.
        let Some(own) = self.in_shown(value, shown_in) else { return true };
        let is_finite = own.value.is_finite() && own.size.is_finite();
        is_finite && self.summary(&own).is_none_or(|summary| summary.half_width.is_finite())
    }

    /// Whether it is seen without making a summary, as of most numbers: no sum of so small parts is without an end. What
    /// scatters is left out, since its parts say too little of it.
    fn is_plainly_finite(&self, value: &Measured, shown_in: &ShownIn) -> bool {
        let is_small = |source: u32, part: f64| {
            let scatters = self.sources.get(source).is_none_or(|source| source.kind == SourceKind::Scatter);
            part.abs() / shown_in.size < SMALL && !scatters
        };
        shown_in.is_simple
            && ((value.value.abs() + value.size) / shown_in.size).is_finite()
            && value.doubt.parts().iter().all(|(key, part)| is_small(key.source, *part))
    }

    /// A number in the unit given, back in SI units: so many scoops are exact, and what they hold is as sure as a scoop.
    fn in_si(&self, number: f64, unit: &Unit) -> Option<Measured> {
        let mut value = Measured::exact(number * unit.size() + unit.zero());
        for (word, twelfths) in unit.crew_words() {
            let measure = self.crew_size(word)?;
            for _ in 0..(twelfths.abs() / WHOLE) {
                value = if twelfths > 0 { value.times(&measure) } else { value.over(&measure) };
            }
        }
        Some(value)
    }

    /// The doubt that a value has in a unit, in SI units: counted in a crew measure it lacks that of the measure.
    pub fn doubt_in(&self, value: &Measured, unit: &Unit) -> Option<Doubt> {
        if unit.crew_words().next().is_none() {
            return Some(value.doubt.clone());
        }
        let doubt = self.in_unit(value, unit)?.doubt;
        Some(doubt.scaled(self.in_si(1.0, unit)?.value))
    }

    fn crew_size(&self, word: u16) -> Option<Measured> {
        let Some(slot) = self.checked.crew_slots.get(usize::from(word)).copied().flatten() else {
            return Some(Measured::exact(1.0));
        };
        match self.slots.get(slot) {
            Some(Ok(Value::Number(size))) => Some(size.clone()),
            _ => None,
        }
    }

    /// The doubt of a value in the figures that are shown.
    pub fn summary(&self, value: &Measured) -> Option<Summary> {
        value.doubt.summary(self.sources)
    }

    /// A number as it is shown.
    pub fn show_number(&self, value: &Measured, shown_in: &ShownIn) -> Option<Shown> {
        let own = self.in_shown(value, shown_in)?;
        let half_width = self.summary(&own).map(|summary| summary.half_width);
        let rule = if shown_in.unit.is_point() { show_point } else { show };
        Some(rule(own.value, own.size, half_width, &shown_in.form, &shown_in.symbols))
    }

    /// A range as it is shown.
    pub fn show_range(&self, range: &Range, shown_in: &ShownIn) -> Option<ShownRange> {
        let end = |end: &Option<Measured>| match end {
            Some(end) => {
                let own = self.in_shown(end, shown_in)?;
                let half_width = self.summary(&own).map(|summary| summary.half_width);
                Some(Some(End { value: own.value, size: own.size, half_width }))
            }
            None => Some(None),
        };
        Some(show_range(
            end(&range.low)?,
            end(&range.high)?,
            &shown_in.form,
            &shown_in.symbols,
            shown_in.unit.is_point(),
        ))
    }

    /// The value that is shown, in SI units: what `shown(x)` gives.
    pub fn as_shown(&self, value: &Value, shown_in: &ShownIn) -> Option<Value> {
        match value {
            Value::Number(number) => {
                let shown = self.show_number(number, shown_in)?.number;
                Some(Value::Number(self.in_si(shown, &shown_in.unit)?))
            }
            Value::Range(range) => {
                let shown = self.show_range(range, shown_in)?;
                let end = |end: Option<f64>| end.and_then(|end| self.in_si(end, &shown_in.unit));
                Some(Range { low: end(shown.low), high: end(shown.high) }.into())
            }
            other => Some(other.clone()),
        }
    }
}

/// A value in a unit of that size: by one division, so that what was entered in this unit comes out as it went in.
fn in_size(value: &Measured, size: f64) -> Measured {
    Measured { value: value.value / size, size: value.size / size, doubt: value.doubt.scaled(1.0 / size) }
}

/// Whether a form shows measures, which hold for one value only.
pub fn is_measures(form: &Form) -> bool {
    matches!(form, Form::Measures { .. })
}
