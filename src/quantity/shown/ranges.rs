//! Ranges as shown: rounded inward, so that what is shown never leaves the limits.

use super::measures::{self, Amount};
use super::steps::{is_nothing, places, to_digits};
use super::written::{decimal, named};
use super::{CENT, Form, Rounded, Rounding, give_or_take, off_by, stepped};
use compact_str::CompactString;

/// One end of a range, in the unit shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct End {
    /// The limit.
    pub value: f64,
    /// The size of the largest term it was added up from.
    pub size: f64,
    /// Its 95 % half-width; `None` or 0 where none is said.
    pub half_width: Option<f64>,
}

/// A range as shown.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct ShownRange {
    /// The lower end that the text says, in the first unit.
    pub low: Option<f64>,
    /// The upper end that the text says, in the first unit.
    pub high: Option<f64>,
    /// `1 to 1 1/2`, `1.00 ± 0.10 to 2.000`, `up to 4`, `at least 2`; with units only in measures.
    pub text: String,
    /// The same without any ±.
    pub bare: String,
    /// The half-width of the only end; of two, each stands with its own.
    pub give_or_take: String,
    /// What is to be said about it, if anything.
    pub remark: Option<String>,
}

/// Shows a range, of which an end may be missing. A `point` is one of a scale, whose 0 is no nothing.
pub fn show_range(
    low: Option<End>,
    high: Option<End>,
    form: &Form,
    names: &[CompactString],
    point: bool,
) -> ShownRange {
    let limits = Ends { low, high };
    let inward = limits.map(|end, rounding| round(end, form, rounding, names));
    if limits.hold(&inward, point) {
        let remark = form.step().filter(|_| !point).and_then(|_| limits.moved(&inward));
        return limits.shown(inward, remark, form, names);
    }
    let remark = form.step().map(|step| format!("no whole {} lies within", named(&step, form, names)));
    let mut digits = limits.in_digits(point);
    if let (Form::Measures { .. }, Some(name)) = (form, names.first()) {
        digits = digits.with_unit(name);
    }
    limits.shown(digits, remark, form, names)
}

fn round(end: &End, form: &Form, rounding: Rounding, names: &[CompactString]) -> Rounded {
    match form {
        Form::Digits => round_digits(end, places(end.value, end.size, end.half_width), rounding),
        Form::Step(step, _) => stepped(end.value, end.size, step, rounding),
        Form::Cents => stepped(end.value, end.size, &CENT, rounding),
        Form::Measures { ratios, step, .. } => {
            let amount = Amount { value: end.value, size: end.size, half_width: end.half_width };
            measures::rounded(&amount, ratios, step.as_ref(), rounding, names)
        }
    }
}

fn round_digits(end: &End, places: i32, rounding: Rounding) -> Rounded {
    let number = to_digits(end.value, end.size, places, rounding);
    Rounded { number, text: decimal(number, places) }
}

/// The two ends, as limits or as rounded.
struct Ends<T> {
    low: Option<T>,
    high: Option<T>,
}

impl<T> Ends<T> {
    fn map<U>(&self, rule: impl Fn(&T, Rounding) -> U) -> Ends<U> {
        Ends {
            low: self.low.as_ref().map(|low| rule(low, Rounding::InwardLow)),
            high: self.high.as_ref().map(|high| rule(high, Rounding::InwardHigh)),
        }
    }

    fn both(&self) -> impl Iterator<Item = &T> {
        self.low.iter().chain(&self.high)
    }
}

impl Ends<End> {
    /// Whether the ends as rounded are in order, and none shows as 0 that is not nothing.
    fn hold(&self, rounded: &Ends<Rounded>, point: bool) -> bool {
        let in_order = match (&rounded.low, &rounded.high) {
            (Some(low), Some(high)) => low.number <= high.number,
            _ => true,
        };
        let vanishes = |(end, rounded): (&End, &Rounded)| rounded.number == 0.0 && !is_nothing(end.value, end.size);
        in_order && (point || !self.both().zip(rounded.both()).any(vanishes))
    }

    /// Four digits of each end, rounded inward, and as many more as it takes to stay inside the limits.
    fn in_digits(&self, point: bool) -> Ends<Rounded> {
        let digits = |end: &End, more| match is_nothing(end.value, end.size) {
            true => 0,
            false => places(end.value, end.size, None) + more,
        };
        let with = |more| self.map(|end, rounding| round_digits(end, digits(end, more), rounding));
        (0..12).map(with).find(|digits| self.hold(digits, point)).unwrap_or_else(|| with(12))
    }

    /// How far the ends were moved inward, where that is more than 1 %.
    fn moved(&self, rounded: &Ends<Rounded>) -> Option<String> {
        let off = |end: &Option<End>, rounded: &Option<Rounded>| {
            let end = end.filter(|end| !is_nothing(end.value, end.size))?;
            off_by(rounded.as_ref()?.number, end.value)
        };
        let low = off(&self.low, &rounded.low).map(|off| format!("lower end {off}"));
        let high = off(&self.high, &rounded.high).map(|off| format!("upper end {off}"));
        let moved: Vec<String> = low.into_iter().chain(high).collect();
        (!moved.is_empty()).then(|| moved.join(", "))
    }

    fn shown(
        &self,
        rounded: Ends<Rounded>,
        remark: Option<String>,
        form: &Form,
        names: &[CompactString],
    ) -> ShownRange {
        let doubts = self.map(|end, _| give_or_take(end.half_width, form, names));
        let number = |rounded: &Option<Rounded>| rounded.as_ref().map(|rounded| rounded.number);
        let (low, high, bare) = (number(&rounded.low), number(&rounded.high), rounded.text());
        match (doubts.low, doubts.high) {
            (Some(of_low), Some(of_high)) => {
                ShownRange { low, high, text: rounded.with(&of_low, &of_high), bare, remark, ..ShownRange::default() }
            }
            (of_low, of_high) => {
                let give_or_take = of_low.or(of_high).unwrap_or_default();
                ShownRange { low, high, text: bare.clone(), bare, give_or_take, remark }
            }
        }
    }
}

impl Ends<Rounded> {
    fn text(&self) -> String {
        match (&self.low, &self.high) {
            (Some(low), Some(high)) => format!("{} to {}", low.text, high.text),
            (Some(low), None) => format!("at least {}", low.text),
            (None, Some(high)) => format!("up to {}", high.text),
            (None, None) => String::new(),
        }
    }

    /// Each end with its ±, as it would be written down.
    fn with(mut self, of_low: &str, of_high: &str) -> String {
        for (end, doubt) in [(&mut self.low, of_low), (&mut self.high, of_high)] {
            if let Some(end) = end.as_mut().filter(|_| !doubt.is_empty()) {
                end.text = format!("{} ± {doubt}", end.text);
            }
        }
        self.text()
    }

    /// The unit after the last figure, where the figures are not in measures after all.
    fn with_unit(mut self, name: &str) -> Self {
        if let Some(last) = self.high.as_mut().or(self.low.as_mut()) {
            last.text = format!("{} {name}", last.text);
        }
        self
    }
}
