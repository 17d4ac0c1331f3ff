//! No text makes the program panic, in no form of output: arbitrary characters, words of the notation in any order, and
//! shipped worksheets with something put in, taken out or moved.

use crate::tape::{Tape, tapes};
use crate::{config, shipped, worked, worked_at};
use catchwork::report::Report;
use catchwork::report::text::Look;
use catchwork::report::{csv, html, json, markdown, text};
use proptest::prelude::*;
use std::sync::LazyLock;

/// Words, marks and numbers of the notation, and what looks like them, each set off by a mark that is none of them.
const WORDS: &str = concat!(
    "strip¦tank¦a¦b¦passes¦passes.flow¦rate used¦3¦0¦-1¦1/2¦1 1/2¦½¦.5¦1e308¦1e-320¦9,5¦1,000¦10 000¦",
    "60ft¦5 ft 6 in¦12 fl oz¦$4¦$¦€5¦60 °F¦°C¦Δ°F¦%¦% v/v¦points¦ft¦ft²¦ft^2¦gal/1000 ft²¦per¦",
    "per 1000 ft²¦of¦of product¦of mix¦lb of N¦scoop¦plant¦____¦__¦____ ft¦____ date¦____ yes or no¦to¦",
    "at most¦at least¦more than¦less than¦up to¦within¦by¦from¦from \"x\"¦and¦or¦not¦if¦then¦else¦is¦",
    "is not¦where¦row¦today¦pi¦yes¦no¦\"text\"¦\"¦“¦2026-04-12¦2026-04-12 14:30¦4/12/2026¦:¦=¦?¦!¦~¦|¦||¦",
    "#¦##¦--¦ -- ¦-¦–¦−¦+¦*¦·¦×¦/¦÷¦^¦(¦)¦((¦))¦[¦]¦[ft]¦[0.1 gal, up]¦[tbsp + 1/2 tsp]¦[ft; m]¦±¦+/-¦",
    "± 2 %¦± 1 ft at most¦(6 df)¦,¦;¦<¦<=¦≥¦mean(¦sum(¦median(¦sd(¦min(¦round(¦round up(¦sqrt(¦ln(¦exp(¦",
    "atan(¦low(¦high(¦amount(¦shown(¦circle(¦triangle(¦polygon(¦offsets(¦interpolate(¦pick(¦swath cv(¦",
    "widest swath(¦give or take(¦degrees of freedom(¦count(¦1 scoop =¦\t¦  ¦\n¦\n¦\n  ",
);
static EACH_WORD: LazyLock<Vec<&str>> = LazyLock::new(|| WORDS.split('¦').collect());

/// Characters that trip programs: wide, combining, invisible, lookalike, at the edges of their encoding.
const ODD: [&str; 16] = [
    "\u{0}",
    "\u{7f}",
    "\u{a0}",
    "\u{feff}",
    "\u{200b}",
    "\u{202e}",
    "\u{301}",
    "é",
    "ß",
    "İ",
    "а",
    "１",
    "👩‍🌾",
    "\u{10ffff}",
    "\r",
    "\r\n",
];

static SHEETS: LazyLock<Vec<(String, String)>> = LazyLock::new(shipped::sheets);

/// Prints a report in every form. The places of its troubles lie inside of its worksheet.
fn survives(sheet: &str, report: Report) -> Result<(), TestCaseError> {
    let look = Look { width: 80, colour: false, plain: false };
    let fails = |error: String| TestCaseError::fail(error);
    let _ = (text::text(&report, &look), markdown::markdown(&report));
    let reports = [report];
    json::array(&reports).map_err(|error| fails(error.to_string()))?;
    csv::csv(&reports).map_err(|error| fails(error.to_string()))?;
    html::html(&reports).map_err(|error| fails(error.to_string()))?;
    let [report] = reports;
    let lines = sheet.split('\n').count();
    for trouble in report.troubles.iter().filter(|trouble| trouble.file.is_none()) {
        prop_assert!((1..=lines).contains(&trouble.line) && trouble.column >= 1, "{sheet:?}\n{trouble:?}");
        prop_assert!(!trouble.says.is_empty(), "{sheet:?}\n{trouble:?}");
    }
    Ok(())
}

/// Words of the notation, one after the other.
fn soup(tape: &mut Tape) -> String {
    let mut soup = String::new();
    while tape.is_left() {
        let space = if tape.chance(75) { " " } else { "" };
        soup += &format!("{}{space}", tape.pick(&EACH_WORD));
    }
    soup
}

/// A shipped worksheet with a few things done to it, and where it stands.
fn damaged(tape: &mut Tape) -> (&'static str, String) {
    let (path, text) = tape.pick(&SHEETS);
    let mut lines: Vec<String> = text.lines().map(str::to_owned).collect();
    for _ in 0..tape.between(1, 6) {
        let (place, other) = (tape.below(lines.len()), tape.below(lines.len()));
        match tape.below(7) {
            0 => lines.swap(place, other),
            1 => lines.push(lines[place].clone()),
            2 if lines.len() > 1 => drop(lines.remove(place)),
            3 => put_in(&mut lines[place], tape.below(200), tape.pick::<&str>(&ODD)),
            4 => cut(&mut lines[place], tape.below(200), tape.between(1, 12)),
            _ => put_in(&mut lines[place], tape.below(200), &format!(" {} ", tape.pick(&EACH_WORD))),
        }
    }
    (path, lines.join("\n"))
}

/// The byte at which a character begins; past the end it counts on from the start.
fn at(line: &str, character: usize) -> usize {
    let count = line.chars().count() + 1;
    line.char_indices().nth(character % count).map_or(line.len(), |(at, _)| at)
}

fn put_in(line: &mut String, character: usize, text: &str) {
    line.insert_str(at(line, character), text);
}

fn cut(line: &mut String, character: usize, count: usize) {
    *line = line.chars().take(character).chain(line.chars().skip(character + count)).collect();
}

proptest! {
    #![proptest_config(config(250))]

    #[test]
    fn no_characters_panic(text in "\\PC{0,120}", odd in prop::collection::vec(prop::sample::select(&ODD[..]), 0..6)) {
        let sheet = format!("{text}{}\n{}{text}", odd.concat(), odd.concat());
        survives(&sheet, worked(&sheet))?;
    }

    #[test]
    fn no_words_panic(mut tape in tapes(120)) {
        let sheet = soup(&mut tape);
        survives(&sheet, worked(&sheet))?;
    }

    #[test]
    fn no_damaged_worksheet_panics(mut tape in tapes(40)) {
        let (path, sheet) = damaged(&mut tape);
        survives(&sheet, worked_at(path, &sheet))?;
    }
}
