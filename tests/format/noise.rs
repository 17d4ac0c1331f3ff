//! Sheets with their white space disturbed at random: where that changes nothing of what they say, the layout takes it
//! all back; where it may, the layout still says what the disturbed sheet says.

use crate::{check, laid_out, sheets};
use proptest::prelude::*;
use proptest::sample::Index;
use proptest::test_runner::{Config, RngSeed};
use std::path::PathBuf;
use std::sync::LazyLock;

/// So many cases, the same in every run; `PROPTEST_CASES` and `PROPTEST_RNG_SEED` make others.
fn config(cases: u32) -> Config {
    let given = |name: &str| std::env::var(name).ok().and_then(|text| text.parse::<u64>().ok());
    Config {
        cases: given("PROPTEST_CASES").map_or(cases, |cases| cases as u32),
        rng_seed: RngSeed::Fixed(given("PROPTEST_RNG_SEED").unwrap_or(20_260_412)),
        failure_persistence: None,
        ..Config::default()
    }
}

/// Sheets short enough to be worked many times over, laid out; those written to be refused are left out.
static LAID_OUT: LazyLock<Vec<(PathBuf, String)>> = LazyLock::new(|| {
    let short = sheets::all().into_iter().filter(|(_, text)| text.len() < 6000);
    short.filter_map(|(path, text)| Some((path, laid_out(&text)?))).collect()
});

proptest! {
    #![proptest_config(config(150))]

    #[test]
    fn white_space_that_says_nothing_is_put_in_order(sheet: Index, picks in prop::collection::vec(any::<Index>(), 1..40)) {
        let (_, laid) = sheet.get(&LAID_OUT);
        let noisy = disturbed(laid, &picks);
        prop_assert_eq!(laid_out(&noisy), Some(laid.clone()), "{}", noisy);
    }

    #[test]
    fn whatever_is_disturbed_the_layout_says_the_same(
        sheet: Index,
        edits in prop::collection::vec((any::<Index>(), 0..PIECES.len()), 1..6),
    ) {
        let (path, mut text) = sheet.get(&LAID_OUT).clone();
        for (place, piece) in edits {
            edit(&mut text, place, PIECES[piece]);
        }
        let checked = check(&text, &path);
        prop_assert!(checked.is_ok(), "{}\n{}", text, checked.unwrap_err());
    }
}

/// What is put into a text at random; the empty one takes a character away.
const PIECES: [&str; 16] =
    ["", "", " ", "  ", "\t", "\n", "\n  ", "\r\n", "\r", " -- ", "\"", ":", "|", "(", "\u{a0}", "[ft²]"];

fn edit(text: &mut String, place: Index, piece: &str) {
    let at = text.floor_char_boundary(place.index(text.len() + 1));
    match piece.is_empty() {
        true if at < text.len() => drop(text.remove(at)),
        _ => text.insert_str(at, piece),
    }
}

/// A laid-out sheet with white space put in that says nothing: the same sheet once it is laid out again.
fn disturbed(laid: &str, picks: &[Index]) -> String {
    let mut text = laid.to_owned();
    for pick in picks {
        let spots = spots(&text);
        let (at, kind) = *pick.get(&spots);
        text.insert_str(at, kind);
    }
    text
}

/// Where white space may be put in without saying anything, and which.
fn spots(text: &str) -> Vec<(usize, &'static str)> {
    let mut spots = Vec::new();
    let mut start = 0;
    for line in text.split_inclusive('\n') {
        let end = start + line.trim_end_matches(['\n', '\r']).len();
        spots.extend([(end, " "), (end, "\t  ")]);
        if line.trim().is_empty() {
            spots.push((start, "\n"));
        } else if !line.starts_with([' ', '\t']) {
            spots.push((start, " "));
        }
        spots.extend(inner(line).into_iter().map(|(at, white)| (start + at, white)));
        start += line.len();
    }
    spots
}

/// Beside spaces and signs of a line that are not in prose and not in quotes.
fn inner(line: &str) -> Vec<(usize, &'static str)> {
    let body = line.trim();
    let is_prose = body.is_empty() || body.starts_with(['#', '!', '?', '~']) || body.starts_with("--");
    // What goes on from line to line may be prose or in quotes.
    let goes_on = line.starts_with("  ") || body.matches('"').count() % 2 == 1;
    if is_prose || goes_on {
        return Vec::new();
    }
    let end = line.find(" -- ").unwrap_or(line.trim_end().len());
    let indent = line.len() - line.trim_start().len();
    let mut in_quotes = false;
    let mut spots = Vec::new();
    for (index, character) in line.char_indices().take_while(|(index, _)| *index < end) {
        in_quotes ^= matches!(character, '"' | '“' | '”');
        let is_plain = index > indent && !in_quotes;
        match character {
            ' ' if is_plain => spots.extend([(index, " "), (index, "\t")]),
            // In a cell they may be a word's.
            '(' | '[' | ')' | ']' | ';' if body.starts_with('|') => {}
            '(' | '[' if is_plain => spots.push((index + 1, "  ")),
            ')' | ']' | ';' if is_plain => spots.push((index, " ")),
            _ => {}
        }
    }
    spots
}
