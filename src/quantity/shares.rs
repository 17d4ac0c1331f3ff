//! What a doubt comes from: how much of its square each independent source makes up, and such shares in whole percent
//! that add up to 100.

use super::doubt::{Doubt, SourceKind, Sources};

/// What one independent source has in a doubt.
#[derive(Debug, Clone, PartialEq)]
pub struct Share {
    /// The source's number.
    pub source: u32,
    /// Its part of the square of the combined standard uncertainty, from 0 to 1.
    pub part: f64,
    /// What it contributes: sensitivity times standard uncertainty.
    pub standard: f64,
    /// The means behind a scatter, where the value depends on several: what each is the mean of, and what it would
    /// contribute by itself.
    pub means: Vec<(String, f64)>,
}

/// The shares of a doubt, largest first; none where it is exact, not known, or cancels out.
///
/// Independent sources add up by their squares (GUM 5.1.2), so that the shares add up to 1. Means over the same rows
/// are one source: by how they go together, rows may make up less than the means alone would, or more (GUM 5.2.2).
pub fn shares(doubt: &Doubt, sources: &Sources) -> Vec<Share> {
    let mut found: Vec<(u32, f64)> = Vec::new();
    if !doubt.is_unknown() {
        // What of a limit of error rises with the value and what falls are two sources of one name.
        doubt.each_source(sources, |number, contribution, _| match found.last_mut() {
            Some((last, whole)) if *last == number => *whole = libm::hypot(*whole, contribution),
            _ => found.push((number, contribution.abs())),
        });
    }
    let whole = found.iter().fold(0.0, |whole, (_, own)| libm::hypot(whole, *own));
    if whole == 0.0 {
        return Vec::new();
    }
    let share = |(source, standard): (u32, f64)| {
        let part = (standard / whole) * (standard / whole);
        Share { source, part, standard, means: means(doubt, sources, source) }
    };
    let mut shares: Vec<Share> = found.into_iter().filter(|(_, own)| *own > 0.0).map(share).collect();
    shares.sort_by(|one, other| other.part.total_cmp(&one.part));
    shares
}

/// What each of several means in a scatter would contribute if it scattered by itself.
fn means(doubt: &Doubt, sources: &Sources, number: u32) -> Vec<(String, f64)> {
    let own = || doubt.parts().iter().filter(|(key, _)| key.source == number);
    let Some(source) = sources.get(number).filter(|source| source.kind == SourceKind::Scatter) else {
        return Vec::new();
    };
    if own().count() < 2 {
        return Vec::new();
    }
    let alone = |(key, part): &(super::Key, f64)| {
        (source.scatter.name(key.part).to_owned(), source.scatter.standard(&[(key.part, *part)]))
    };
    own().map(alone).collect()
}

/// The name of the only mean that a value depends on in a scatter.
pub fn only_mean<'s>(doubt: &Doubt, sources: &'s Sources, number: u32) -> Option<&'s str> {
    let mut own = doubt.parts().iter().filter(|(key, _)| key.source == number);
    let (key, _) = own.next().filter(|_| own.next().is_none())?;
    Some(sources.get(number)?.scatter.name(key.part)).filter(|name| !name.is_empty())
}

/// Parts of one whole in hundredths that add up to exactly `whole`: each cut to a whole number, and what is then
/// missing given to those that lost most by it (the method of largest remainders).
pub fn in_percent(parts: &[f64], whole: i64) -> Vec<i64> {
    #[allow(clippy::cast_possible_truncation, reason = "shares of a whole in hundredths, a few hundreds at most")]
    let mut percent: Vec<i64> = parts.iter().map(|part| (part * 100.0).floor() as i64).collect();
    let lost = |place: usize| parts.get(place).map_or(0.0, |part| part * 100.0 - (part * 100.0).floor());
    let mut order: Vec<usize> = (0..parts.len()).collect();
    order.sort_by(|one, other| lost(*other).total_cmp(&lost(*one)));
    let mut missing = whole - percent.iter().sum::<i64>();
    let step = missing.signum();
    let mut places: Box<dyn Iterator<Item = &usize>> =
        if step < 0 { Box::new(order.iter().rev().cycle()) } else { Box::new(order.iter().cycle()) };
    while missing != 0 {
        let Some(own) = places.next().and_then(|place| percent.get_mut(*place)) else { break };
        *own += step;
        missing -= step;
    }
    percent
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::quantity::{Key, Measured, Source};

    fn single(sources: &mut Sources, name: &str, standard: f64) -> Measured {
        let source = sources.add(Source::new(SourceKind::Single, f64::INFINITY, name.into()));
        Measured::new(10.0, Doubt::of(Key { source, part: 0 }, standard))
    }

    #[test]
    fn squares_share_the_doubt_out() {
        let mut sources = Sources::default();
        let (three, four) = (single(&mut sources, "three", 3.0), single(&mut sources, "four", 4.0));
        let shares = shares(&three.plus(&four).doubt, &sources);
        let found: Vec<(u32, f64)> =
            shares.iter().map(|share| (share.source, (share.part * 1e12).round() / 1e12)).collect();
        assert_eq!(found, [(1, 0.64), (0, 0.36)]);
    }

    #[test]
    fn means_over_the_same_rows_are_one_source() {
        let mut sources = Sources::default();
        let source = sources.add(Source::new(SourceKind::Scatter, 2.0, "scatter of passes".into()));
        let of = |key: Key| Measured::new(10.0, Doubt::of(key, 1.0));
        let walk = of(sources.scattered(source, &[3.0, -3.0, 0.0], &"passes.walk".into()));
        let catch = of(sources.scattered(source, &[2.0, -2.0, 0.0], &"passes.catch".into()));
        let width = single(&mut sources, "width", 1.0);
        let shares = shares(&catch.minus(&walk).plus(&width).doubt, &sources);
        // Rows differ by 1 and -1, so that the group has the variance 2 and the width 1; alone walk had 18, catch 8.
        let parts: Vec<f64> = shares.iter().map(|share| (share.part * 3e9).round() / 1e9).collect();
        assert_eq!(parts, [2.0, 1.0]);
        let square = |(name, own): &(String, f64)| (name.clone(), (own * own * 1e9).round() / 1e9);
        let means: Vec<(String, f64)> = shares[0].means.iter().map(square).collect();
        assert_eq!(means, [("passes.walk".to_owned(), 18.0), ("passes.catch".to_owned(), 8.0)]);
        assert!(super::shares(&catch.minus(&catch).doubt, &sources).is_empty());
        assert_eq!(only_mean(&catch.doubt, &sources, source), Some("passes.catch"));
    }

    #[test]
    fn a_source_that_cancels_out_has_no_share() {
        let mut sources = Sources::default();
        let source = sources.add(Source::new(SourceKind::Scatter, 2.0, "scatter of passes".into()));
        let of = |key: Key| Measured::new(10.0, Doubt::of(key, 1.0));
        let half = of(sources.scattered(source, &[1.0, -1.0, 0.0], &"passes.half".into()));
        let whole = of(sources.scattered(source, &[2.0, -2.0, 0.0], &"passes.whole".into()));
        let width = single(&mut sources, "width", 1.0);
        let shares = shares(&half.scaled(2.0).minus(&whole).plus(&width).doubt, &sources);
        assert_eq!(shares.iter().map(|share| (share.source, share.part)).collect::<Vec<_>>(), [(1, 1.0)]);
    }

    #[test]
    fn what_nobody_knows_is_not_shared_out() {
        let mut sources = Sources::default();
        let known = single(&mut sources, "known", 3.0);
        let unknown = sources.add(Source::new(SourceKind::Single, f64::INFINITY, "unknown".into()));
        let unknown = Measured::new(10.0, Doubt::unknown(unknown));
        assert_eq!(shares(&known.plus(&unknown).doubt, &sources), []);
    }

    #[test]
    fn percents_that_come_to_too_much_are_cut_where_least_was_lost() {
        assert_eq!(in_percent(&[0.335, 0.330], 65), [33, 32]);
    }

    #[test]
    fn percents_add_up() {
        assert_eq!(in_percent(&[1.0 / 3.0, 1.0 / 3.0, 1.0 / 3.0], 100), [34, 33, 33]);
        assert_eq!(in_percent(&[0.996, 0.004], 100), [100, 0]);
        assert_eq!(in_percent(&[0.335, 0.335], 66), [33, 33]);
        assert_eq!(in_percent(&[], 100), Vec::<i64>::new());
    }
}
