//! Doubt after JCGM 100:2008 (the GUM), to first order, with correlations kept: each value carries what every source
//! of doubt contributes to it.

use super::scatter::Scatter;
use super::student;
use smallvec::SmallVec;
use std::cmp::Ordering;
use std::sync::Arc;

/// What a source of doubt is, which says how its parts combine.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SourceKind {
    /// One thing measured once (`28 in ± 1 in`), or one device's `±` shared by all its readings: a single part.
    Single,
    /// A limit of error (`± 1/8 fl oz at most`), a part for each reading: those a result rises with are one source
    /// and those it falls with another.
    Limit,
    /// The scatter of rows or repeats behind means (GUM 5.2.3, H.2): a part for each mean, put together as one source.
    Scatter,
}

/// One source of doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Source {
    /// How its parts combine.
    pub kind: SourceKind,
    /// Its degrees of freedom; infinite where the writer is simply sure.
    pub freedom: f64,
    /// The rows behind means, where that is what it is.
    pub scatter: Scatter,
    /// What it is, for `why`: `spray width`, `passes.catch`, `scatter of passes`.
    pub name: Arc<str>,
    /// The worksheet it was first met in and its number there, for one that was drawn from another: drawn twice, by
    /// whatever way, it is still one source.
    pub origin: Option<(Arc<str>, u32)>,
}

impl Source {
    /// A source of this worksheet.
    pub fn new(kind: SourceKind, freedom: f64, name: Arc<str>) -> Self {
        Self { kind, freedom, scatter: Scatter::default(), name, origin: None }
    }
}

/// All sources met while a worksheet is worked.
#[derive(Debug, Clone, Default)]
pub struct Sources(Vec<Source>);

impl Sources {
    /// Adds a source and returns its number.
    pub fn add(&mut self, source: Source) -> u32 {
        self.0.push(source);
        u32::try_from(self.0.len() - 1).unwrap_or(u32::MAX)
    }

    /// How far they go, for [`Sources::back_to`].
    pub fn mark(&self) -> Mark {
        let scatters = self.0.iter().enumerate().filter(|(_, source)| source.kind == SourceKind::Scatter);
        Mark {
            sources: self.0.len(),
            means: scatters.map(|(number, source)| (number, source.scatter.count())).collect(),
        }
    }

    /// Forgets every source, and every mean of a scatter, that has come since.
    pub fn back_to(&mut self, mark: &Mark) {
        self.0.truncate(mark.sources);
        for (number, means) in &mark.means {
            if let Some(source) = self.0.get_mut(*number) {
                source.scatter.truncate(*means);
            }
        }
    }

    /// The part that the mean with these rows is of a scatter (see [`Scatter::mean`]).
    pub fn scattered(&mut self, source: u32, rows: &[f64], name: &Arc<str>) -> Key {
        let scatter = self.0.get_mut(source as usize).map(|source| &mut source.scatter);
        Key { source, part: scatter.map(|scatter| scatter.mean(rows, name)).unwrap_or_default() }
    }

    /// The source of that number.
    pub fn get(&self, number: u32) -> Option<&Source> {
        self.0.get(number as usize)
    }
}

/// How many sources there were at some time, and of each scatter how many means.
#[derive(Debug, Clone, Default)]
pub struct Mark {
    sources: usize,
    means: Vec<(usize, usize)>,
}

impl Mark {
    /// How many sources there were.
    pub fn sources(&self) -> usize {
        self.sources
    }
}

/// A part of a source.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Hash)]
pub struct Key {
    /// The source's number in [`Sources`].
    pub source: u32,
    /// The part: 0 for a single one, else the reading's or the mean's number.
    pub part: u32,
}

/// What each part of each source contributes to a value: sensitivity times standard uncertainty, with its sign; of a
/// mean in a scatter the sensitivity alone, since its rows tell the rest.
#[derive(Debug, Default, PartialEq)]
pub struct Doubt {
    parts: Parts,
    unknown: Option<u32>,
}

/// Most values have two parts at most, which stand in the value itself.
type Parts = SmallVec<[(Key, f64); 2]>;

impl Clone for Doubt {
    fn clone(&self) -> Self {
        Self { parts: Parts::from_slice(&self.parts), unknown: self.unknown }
    }
}

/// Two contributions that cancel to less than this share of their sum are the same source meeting itself.
const NOISE: f64 = 1e-13;

impl Doubt {
    /// No doubt: the value is exact.
    pub fn none() -> Self {
        Self::default()
    }

    /// A doubt that nobody can state, as of a mean of one reading, with the number of the source that says which.
    pub fn unknown(source: u32) -> Self {
        Self { parts: SmallVec::new(), unknown: Some(source) }
    }

    /// The contribution of one part of one source.
    pub fn of(key: Key, contribution: f64) -> Self {
        let mut parts = Parts::new();
        if contribution != 0.0 {
            parts.push((key, contribution));
        }
        Self { parts, unknown: None }
    }

    /// Contributions in any order; one of nothing is left out.
    pub fn from_parts(parts: impl IntoIterator<Item = (Key, f64)>) -> Self {
        let mut parts: Parts = parts.into_iter().filter(|(_, part)| *part != 0.0).collect();
        parts.sort_unstable_by_key(|(key, _)| *key);
        Self { parts, unknown: None }
    }

    /// Whether the value is exact.
    pub fn is_none(&self) -> bool {
        self.parts.is_empty() && self.unknown.is_none()
    }

    /// Whether nobody can say how large it is.
    pub fn is_unknown(&self) -> bool {
        self.unknown.is_some()
    }

    /// The source whose doubt nobody can state, where there is one.
    pub fn unknown_source(&self) -> Option<u32> {
        self.unknown
    }

    /// The contributions, sorted by source and part.
    pub fn parts(&self) -> &[(Key, f64)] {
        &self.parts
    }

    /// The numbers of the sources in it, each once, in order.
    pub fn sources(&self) -> impl Iterator<Item = u32> + '_ {
        let mut last = None;
        self.parts
            .iter()
            .filter_map(move |(key, _)| (last.replace(key.source) != Some(key.source)).then_some(key.source))
    }

    /// The doubt of a value that moves with this one at `sensitivity`.
    pub fn scaled(&self, sensitivity: f64) -> Self {
        let mut scaled = self.clone();
        scaled.scale(sensitivity);
        scaled
    }

    /// Makes it the doubt of a value that moves with this one at `sensitivity`.
    pub fn scale(&mut self, sensitivity: f64) {
        if sensitivity == 0.0 {
            self.parts.clear();
        } else {
            self.parts.iter_mut().for_each(|(_, part)| *part *= sensitivity);
        }
    }

    /// The same doubt with its sources numbered anew.
    pub fn renumbered(&self, number: impl Fn(u32) -> u32) -> Self {
        let parts = self.parts.iter().map(|(key, part)| (Key { source: number(key.source), ..*key }, *part));
        Self { unknown: self.unknown.map(&number), ..Self::from_parts(parts) }
    }

    /// Both doubts together in one value, each at its own sensitivity; what they share adds up or cancels.
    pub fn combined(&self, sensitivity: f64, other: &Self, other_sensitivity: f64) -> Self {
        let mut combined = self.clone();
        combined.combine(sensitivity, other, other_sensitivity);
        combined
    }

    /// Makes it both doubts together.
    pub fn combine(&mut self, sensitivity: f64, other: &Self, other_sensitivity: f64) {
        match (self.parts.is_empty(), other.parts.is_empty()) {
            (true, true) => {}
            (false, true) => self.scale(sensitivity),
            (true, false) => self.parts = other.scaled(other_sensitivity).parts,
            (false, false) => self.parts = merged(&self.parts, sensitivity, &other.parts, other_sensitivity),
        }
        self.unknown = self.unknown.or(other.unknown);
    }

    /// Combined standard uncertainty, degrees of freedom and 95 % half-width; `None` where the doubt is unknown.
    pub fn summary(&self, sources: &Sources) -> Option<Summary> {
        if self.unknown.is_some() {
            return None;
        }
        let mut sums = self.sums(sources, 1.0);
        // Squares of squares are told apart from nothing, and from what no float holds, over a part of the floats only.
        if sums.greatest > 0.0 && !SQUARED_SAFELY.contains(&sums.greatest) {
            sums = self.sums(sources, sums.greatest);
        }
        let Sums { scale, variance, welch, .. } = sums;
        let standard = scale * variance.sqrt();
        let freedom = if welch > 0.0 { variance * variance / welch } else { f64::INFINITY };
        let one_limit = sums.count == 1 && sums.all_limits;
        // A single limit of error is a rectangle: 95 % of its width, not a normal's 1.96 times (GUM 4.3.7).
        let factor = if one_limit { 0.95 * 3f64.sqrt() } else { student::coverage_95(freedom) };
        Some(Summary { standard, freedom, half_width: factor * standard })
    }

    /// The sums over independent sources that a summary is made of, each contribution divided by the scale.
    fn sums(&self, sources: &Sources, scale: f64) -> Sums {
        let mut sums = Sums { scale, greatest: 0.0, variance: 0.0, welch: 0.0, count: 0, all_limits: true };
        self.each_source(sources, |_, contribution, source| {
            let square = (contribution / scale) * (contribution / scale);
            sums.greatest = sums.greatest.max(contribution.abs());
            sums.variance += square;
            sums.welch += square * square / source.freedom;
            sums.count += 1;
            sums.all_limits &= source.kind == SourceKind::Limit;
        });
        sums
    }

    /// Calls back with the number and the whole contribution of each independent source, a limit's risers and fallers
    /// apart.
    pub fn each_source(&self, sources: &Sources, mut call: impl FnMut(u32, f64, &Source)) {
        let mut rest = self.parts.as_slice();
        while let Some((first, _)) = rest.first() {
            let length = rest.iter().take_while(|(key, _)| key.source == first.source).count();
            let (own, others) = rest.split_at(length);
            rest = others;
            let Some(source) = sources.get(first.source) else { continue };
            let contributions = own.iter().map(|(_, part)| *part);
            match source.kind {
                SourceKind::Single => call(first.source, contributions.sum(), source),
                SourceKind::Scatter => {
                    let means: SmallVec<[(u32, f64); 4]> = own.iter().map(|(key, part)| (key.part, *part)).collect();
                    call(first.source, source.scatter.standard(&means), source);
                }
                SourceKind::Limit => {
                    let (rising, falling) = own.iter().fold((0.0, 0.0), |(rising, falling), (_, part)| {
                        if *part > 0.0 { (rising + part, falling) } else { (rising, falling + part) }
                    });
                    [rising, falling]
                        .into_iter()
                        .filter(|part| *part != 0.0)
                        .for_each(|part| call(first.source, part, source));
                }
            }
        }
    }
}

/// Contributions between which the sums of their fourth powers are exact enough.
const SQUARED_SAFELY: std::ops::Range<f64> = 1e-70..1e70;

/// What a summary is made of: sums over the squares of contributions, and over the fourth powers by their degrees of
/// freedom.
struct Sums {
    /// What each contribution is divided by.
    scale: f64,
    /// The greatest contribution, as it is.
    greatest: f64,
    variance: f64,
    welch: f64,
    count: usize,
    all_limits: bool,
}

/// A doubt in the figures that are shown.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Summary {
    /// Combined standard uncertainty (GUM 5).
    pub standard: f64,
    /// Effective degrees of freedom (Welch–Satterthwaite, GUM G.4.1), not cut; infinite where every source's are.
    pub freedom: f64,
    /// The 95 % half-width.
    pub half_width: f64,
}

fn merged(mut left: &[(Key, f64)], left_factor: f64, mut right: &[(Key, f64)], right_factor: f64) -> Parts {
    let mut parts = Parts::with_capacity(left.len() + right.len());
    let mut keep = |key: Key, part: f64| {
        if part != 0.0 {
            parts.push((key, part));
        }
    };
    while let (Some(((key, part), rest)), Some(((other, more), others))) = (left.split_first(), right.split_first()) {
        match key.cmp(other) {
            Ordering::Less => {
                keep(*key, part * left_factor);
                left = rest;
            }
            Ordering::Greater => {
                keep(*other, more * right_factor);
                right = others;
            }
            Ordering::Equal => {
                let (part, more) = (part * left_factor, more * right_factor);
                let sum = part + more;
                keep(*key, if sum.abs() <= NOISE * (part.abs() + more.abs()) { 0.0 } else { sum });
                (left, right) = (rest, others);
            }
        }
    }
    left.iter().for_each(|(key, part)| keep(*key, part * left_factor));
    right.iter().for_each(|(key, part)| keep(*key, part * right_factor));
    parts
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sources_go_back_to_where_they_were() {
        let mut sources = Sources::default();
        let name: Arc<str> = "catch".into();
        let device = sources.add(Source::new(SourceKind::Single, f64::INFINITY, "cup".into()));
        let passes = sources.add(Source::new(SourceKind::Scatter, 2.0, "passes".into()));
        let catch = sources.scattered(passes, &[1.0, -1.0], &name);
        let timed = sources.scattered(passes, &[2.0, -2.0], &"time".into());
        let bare = sources.add(Source::new(SourceKind::Scatter, 2.0, "rows".into()));
        let mark = sources.mark();
        assert_eq!(mark.sources(), 3);
        let other = |sources: &mut Sources| {
            let walk = sources.scattered(passes, &[0.5, -0.5], &"walk".into());
            (walk, sources.add(Source::new(SourceKind::Scatter, 4.0, "others".into())))
        };
        let first = other(&mut sources);
        sources.scattered(bare, &[1.0, -1.0], &name);
        sources.back_to(&mark);
        assert_eq!((sources.mark().sources(), sources.get(first.1)), (3, None));
        assert!(sources.get(device).is_some());
        // The means that came since are gone, and those before them are there still.
        let means = |sources: &Sources, number| sources.get(number).map(|source: &Source| source.scatter.count());
        assert_eq!((means(&sources, passes), means(&sources, bare)), (Some(2), Some(0)));
        assert_eq!(sources.scattered(passes, &[1.0, -1.0], &name), catch);
        assert_eq!(sources.scattered(passes, &[2.0, -2.0], &"time".into()), timed);
        assert_eq!(other(&mut sources), first);
    }

    #[test]
    fn what_rises_with_a_limit_and_what_falls_are_told_apart() {
        let mut sources = Sources::default();
        let source = sources.add(Source::new(SourceKind::Limit, f64::INFINITY, "cup".into()));
        let parts = [1.0, -4.0, 2.0].into_iter().zip(0..).map(|(part, number)| (Key { source, part: number }, part));
        let mut told = Vec::new();
        Doubt::from_parts(parts).each_source(&sources, |number, contribution, _| told.push((number, contribution)));
        assert_eq!(told, [(source, 3.0), (source, -4.0)]);
    }

    #[test]
    fn a_doubt_that_nobody_knows_is_still_unknown_under_another_number() {
        let renumbered = Doubt::unknown(3).renumbered(|source| source + 10);
        assert_eq!((renumbered.unknown_source(), renumbered.parts()), (Some(13), [].as_slice()));
    }
}
