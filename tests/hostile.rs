//! Hostile input: no text makes the library panic or hang, whatever it holds. Nothing is said here about what comes out.

#![allow(clippy::expect_used, reason = "a test fails by panicking")]

use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::text::Source;
use catchwork::{Request, syntax};
use proptest::prelude::*;
use proptest::sample::select;
use std::path::Path;
use std::sync::LazyLock;
use std::time::{Duration, Instant};

/// What a text of the longest kind may take; a hundredth of it is usual.
const PATIENCE: Duration = Duration::from_secs(60);

/// What worksheets are made of, and what is nearly that.
const PIECES: [&str; 96] = [
    "tank",
    "strip length",
    "catch",
    "beds",
    "x",
    "to",
    "of",
    "per",
    "within",
    "at most",
    "at least",
    "more than",
    "is",
    "not",
    "and",
    "or",
    "if",
    "then",
    "else",
    "where",
    "by",
    "from",
    "up to",
    "mean(",
    "sum(",
    "give or take(",
    "round up(",
    "swath cv(",
    "interpolate(",
    "pick(",
    "polygon(",
    "date",
    "date and time",
    "yes or no",
    "text",
    "number",
    "yes",
    "no",
    "today",
    "pi",
    "1",
    "0",
    "12",
    "9.5",
    "1/2",
    "1 1/2",
    "½",
    "1e308",
    "1e-308",
    ".5",
    "10 000",
    "1,000",
    "9,5",
    "1:20",
    "2026-04-12",
    "4/12",
    "gal",
    "fl oz",
    "ft²",
    "gal/1000 ft²",
    "%",
    "% v/v",
    "°F",
    "Δ°F",
    "lb of N",
    "of mix",
    "scoop",
    "$",
    "£",
    "±",
    "+/-",
    "(18 df)",
    "____",
    "\"",
    "“",
    "”",
    "(",
    ")",
    "[",
    "]",
    "|",
    ":",
    "=",
    ",",
    ";",
    " -- ",
    "--",
    "–",
    "#",
    "!",
    "?",
    "~",
    "\n",
    "\n  ",
    "\r\n",
    "\t",
];

/// The stack on which the command works, too.
const STACK: usize = 64 * 1024 * 1024;

fn work(text: &str) -> Report {
    with_set(text.as_bytes(), Vec::new())
}

fn with_set(bytes: &[u8], set: Vec<String>) -> Report {
    let today = Moment::parse("2026-04-12").expect("a date");
    let request = Request { set, today, colour: false };
    let bytes = bytes.to_vec();
    let work = move || catchwork::work("hostile.worksheet", bytes, &request);
    let thread = std::thread::Builder::new().stack_size(STACK).spawn(work).expect("a thread");
    thread.join().expect("no panic")
}

/// The worksheets that ship with the program, and those of the suite's cases.
static FIXTURES: LazyLock<Vec<String>> = LazyLock::new(|| {
    let mut fixtures = Vec::new();
    for folder in ["worksheets", "tests"] {
        collect(&Path::new(env!("CARGO_MANIFEST_DIR")).join(folder), &mut fixtures);
    }
    assert!(fixtures.len() > 40, "the worksheets are not where they were");
    fixtures
});

fn collect(folder: &Path, fixtures: &mut Vec<String>) {
    let Ok(entries) = std::fs::read_dir(folder) else { return };
    let mut paths: Vec<_> = entries.flatten().map(|entry| entry.path()).collect();
    paths.sort();
    for path in paths {
        let ending = path.extension().and_then(|ending| ending.to_str()).unwrap_or_default();
        if path.is_dir() {
            collect(&path, fixtures);
        } else if matches!(ending, "worksheet" | "cases") {
            // A few dozen lines of each are mutated, so that many are.
            let text = std::fs::read_to_string(&path).unwrap_or_default();
            let lines: Vec<&str> = text.lines().collect();
            fixtures.extend(lines.chunks(40).map(|lines| lines.join("\n")));
        }
    }
}

/// What is done to a fixture.
#[derive(Debug, Clone)]
enum Change {
    PutIn(usize, String),
    TakeOut(usize, usize),
    Double(usize, usize),
    Swap(usize, usize),
}

fn change() -> impl Strategy<Value = Change> {
    let at = || 0..4000usize;
    prop_oneof![
        (at(), select(&PIECES[..])).prop_map(|(at, piece)| Change::PutIn(at, piece.to_owned())),
        (at(), any::<char>()).prop_map(|(at, character)| Change::PutIn(at, character.to_string())),
        (at(), 1..12usize).prop_map(|(at, length)| Change::TakeOut(at, length)),
        (at(), 1..40usize).prop_map(|(at, length)| Change::Double(at, length)),
        (at(), at()).prop_map(|(first, second)| Change::Swap(first, second)),
    ]
}

fn changed(text: &str, changes: &[Change]) -> String {
    let mut characters: Vec<char> = text.chars().collect();
    for change in changes {
        let length = characters.len().max(1);
        match change {
            Change::PutIn(at, piece) => {
                let at = at % length;
                characters.splice(at.min(characters.len())..at.min(characters.len()), piece.chars());
            }
            Change::TakeOut(at, count) => {
                let at = (at % length).min(characters.len());
                characters.drain(at..(at + count).min(characters.len()));
            }
            Change::Double(at, count) => {
                let at = (at % length).min(characters.len());
                let copy = characters[at..(at + count).min(characters.len())].to_vec();
                characters.splice(at..at, copy);
            }
            Change::Swap(first, second) if !characters.is_empty() => {
                characters.swap(first % length, second % length);
            }
            Change::Swap(..) => {}
        }
    }
    characters.into_iter().collect()
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, failure_persistence: None, ..ProptestConfig::default() })]

    #[test]
    fn any_characters_are_worked(text in "(?s).{0,200}") {
        work(&text);
    }

    #[test]
    fn any_bytes_are_worked(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        with_set(&bytes, Vec::new());
    }

    #[test]
    fn pieces_of_worksheets_are_worked(pieces in proptest::collection::vec((select(&PIECES[..]), any::<bool>()), 0..60)) {
        let text: String = pieces.iter().map(|(piece, is_apart)| format!("{piece}{}", if *is_apart { " " } else { "" })).collect();
        work(&text);
    }

    #[test]
    fn changed_worksheets_are_worked(
        fixture in select(FIXTURES.as_slice()),
        changes in proptest::collection::vec(change(), 1..12),
    ) {
        work(&changed(&fixture, &changes));
    }

    #[test]
    fn any_setting_is_taken(setting in "(?s).{0,60}") {
        with_set(b"tank : 3 gal\n", vec![setting]);
    }

    #[test]
    fn what_is_laid_out_is_laid_out_once(
        fixture in select(FIXTURES.as_slice()),
        changes in proptest::collection::vec(change(), 0..4),
    ) {
        let text = changed(&fixture, &changes);
        if let Ok(source) = Source::new("hostile.worksheet", text.into_bytes())
            && let Some(laid_out) = syntax::layout::layout(&source)
        {
            let again = Source::new("hostile.worksheet", laid_out.clone().into_bytes()).expect("a text");
            prop_assert_eq!(syntax::layout::layout(&again), Some(laid_out));
        }
    }
}

/// Works a text and holds it to what anyone would wait.
fn in_time(what: &str, text: &str) -> Report {
    let start = Instant::now();
    let report = work(text);
    assert!(start.elapsed() < PATIENCE, "{what}: {:?}", start.elapsed());
    report
}

/// Each of these texts would be slow, or too deep, for a reader that tries again at each place or calls itself.
#[test]
fn long_texts_take_no_longer_than_their_length() {
    let many = |piece: &str, count: usize| piece.repeat(count);
    for (what, text) in [
        ("open brackets", format!("a = {}", many("(", 100_000))),
        ("open brackets of functions", format!("a = {}", many("mean(", 100_000))),
        ("choices", format!("a = {}1", many("if yes then 1 else ", 50_000))),
        ("halves of choices", format!("a = {}", many("if ", 100_000))),
        ("minus signs", format!("a = {}1", many("- ", 100_000))),
        ("nots", format!("? a : {}yes", many("not ", 100_000))),
        ("a long sum", format!("a = 1{}", many(" + 1", 100_000))),
        ("a long power", format!("a = 1{}", many("^1", 100_000))),
        ("a long unit", format!("a : 1 ft{}", many("·ft", 100_000))),
        ("a long list", format!("a : 1{} ft", many(", 1", 100_000))),
        ("a long list that is no list", format!("a : 1{} ft ;", many(", 1", 100_000))),
        ("a long name", format!("a{} : 1", many(" a", 100_000))),
        ("a long name that is no name", format!("a{} of : 1", many(" a", 100_000))),
        ("a long range", format!("a : 1{}", many(" to 1", 50_000))),
        ("a long compound", format!("a : {}", many("1 ft ", 50_000))),
        ("a long number", format!("a : {}", many("1", 200_000))),
        ("numbers in a row", format!("a : {}", many("1 ", 100_000))),
        ("a long substance", format!("a : 1 lb of{}", many(" seed", 50_000))),
        ("words behind a number", format!("a = 1{} (", many(" word", 50_000))),
        ("open quotes", format!("a : {}", many("\" ", 100_000))),
        ("a long row", format!("| t{}", many(" | a", 100_000))),
        ("a long row of texts", format!("|{}", many(" \"a\" |", 100_000))),
        ("dashes", format!("a : 1 {}", many(" --", 100_000))),
        ("bars and dashes", format!("|{}", many(" a |-- ", 50_000))),
        ("foreign letters", format!("a : {}", many("ж", 100_000))),
        ("foreign lookalikes", format!("a : {}ж", many("о", 100_000))),
        ("brackets of units", format!("a = 1 [{}]", many("ft + ", 50_000))),
        ("displays", format!("a = 1 [ft{}]", many("; ft", 50_000))),
        ("checks with advice", format!("? a : 1 at most 2 else {}", many("else ", 100_000))),
        ("a chart of many", format!("~ a : b{} by c", many(", b", 20_000))),
        ("blanks", format!("a : {}", many("____ ", 50_000))),
        ("doubts", format!("a : 1 {}", many("± 1 ", 50_000))),
    ] {
        in_time(what, &text);
    }
}

/// Many lines in trouble: each is shown with its line, which must not take longer the longer the text is.
#[test]
fn many_lines_in_trouble_are_shown_in_time() {
    for (what, line) in [
        ("decimal commas", "tank : 9,5 gal\n"),
        ("no role", "* tank\n"),
        ("missing names", "x = y + z\n"),
        ("stray lines", "\n  tank : 3 gal\n"),
        ("rows without a head", "| north | 24 |\n\n"),
        ("second titles", "# title\n"),
        ("names defined twice", "tank : 3 gal\n"),
        ("unknown units", "tank : 3 foo\n"),
    ] {
        let report = in_time(what, &line.repeat(20_000));
        assert!(!report.troubles.is_empty(), "{what} are in no trouble");
    }
}

/// Sheets that would be slow, or fill the memory, if every value carried all that it comes from, every formula went
/// through every row, or every misspelt word was held against every other: a quarter of what a sheet may hold.
#[test]
fn heavy_sheets_are_worked_or_refused_in_time() {
    let lines = |count: usize, line: &dyn Fn(usize) -> String| (0..count).map(line).collect::<String>();
    let word = " abcdefg".repeat(50);
    for (what, kind, text) in [
        (
            "a running total",
            "too-many-doubts-in-all",
            lines(12_000, &|i| {
                format!(
                    "x{i} : 1 ft ± 0.1 ft\na{i} = {} + x{i}\n",
                    if i == 0 { "0 ft".to_owned() } else { format!("a{}", i - 1) }
                )
            }),
        ),
        (
            "a running total of blanks",
            "too-many-waits",
            lines(12_000, &|i| {
                format!(
                    "x{i} : ____ ft\na{i} = {} + x{i}\n",
                    if i == 0 { "0 ft".to_owned() } else { format!("a{}", i - 1) }
                )
            }),
        ),
        ("totals of blanks", "too-many-waits", {
            let totals = lines(500, &|i| format!("n{i} = sum(t.a) * 2\n? c{i} : sum(t.a) at most 2 ft\n"));
            format!("| t | a : ft |\n{}\n{totals}", lines(25_000, &|i| format!("| r{i} | ____ |\n")))
        }),
        ("choices of rows", "too-many-values", {
            let totals = lines(500, &|i| format!("n{i} = sum(t.a where a at most {i} ft)\n"));
            format!("| t | a : ft |\n{}\n{totals}", lines(25_000, &|i| format!("| r{i} | 3 |\n")))
        }),
        ("cells picked", "", {
            let picked = lines(25_000, &|i| format!("n{i} = pick(t.a, \"r{i}\")\n"));
            format!("| t | a : ft |\n{}\n{picked}", lines(25_000, &|i| format!("| r{i} | 3 |\n")))
        }),
        ("rows that are not there", "no-such-row", {
            let picked = lines(12_000, &|i| format!("n{i} = pick(t.a, \"s{i}\")\n"));
            format!("| t | a : ft |\n{}\n{picked}", lines(25_000, &|i| format!("| r{i} | 3 |\n")))
        }),
        ("many tables", "", lines(20_000, &|i| format!("| t{i} | a : ft |\n| 1 | 3 |\n\n"))),
        ("unknown units", "unknown-unit", lines(25_000, &|i| format!("a{i} : 3 foo{i}\n"))),
        ("long names that are missing", "missing-name", lines(2000, &|i| format!("x{i} = n{i}{word} * 2\n"))),
        ("one result used everywhere", "", {
            format!("x : 1 ft ± 0.1 ft\ny = x * 2\n{}", lines(25_000, &|i| format!("b{i} = y * 3\n")))
        }),
        ("a sum of ten thousand sources", "", {
            format!("| t | a : ft |\n{}\ns = sum(t.a)\n", lines(10_000, &|i| format!("| r{i} | 3 ± 0.1 |\n")))
        }),
        ("a long list", "statement-too-long", format!("a : 1{} ft\nb = mean(a)\n", ", 1".repeat(300_000))),
        ("a long power", "statement-too-long", format!("a = 1{}\n", "^1".repeat(500_000))),
        ("a long unit", "statement-too-long", format!("a : 1 ft{}\n", "/ft".repeat(300_000))),
        ("a chart of many", "statement-too-long", format!("b : 1, 2 ft\n~ a : b{} by b\n", ", b".repeat(300_000))),
    ] {
        let report = in_time(what, &text);
        let kinds: std::collections::BTreeSet<&str> =
            report.troubles.iter().map(|trouble| trouble.kind.as_str()).collect();
        match kind {
            "" => assert!(kinds.is_empty(), "{what}: {kinds:?}"),
            kind => assert!(kinds.contains(kind), "{what}: {kinds:?}"),
        }
    }
}

/// Brackets and `if`s nest 200 deep and no deeper.
#[test]
fn nesting_is_counted() {
    for (what, nested) in [
        ("brackets", (|depth| format!("a = {}1{}", "(".repeat(depth), ")".repeat(depth))) as fn(usize) -> String),
        ("functions", |depth| format!("a = {}1{}", "abs(".repeat(depth), ")".repeat(depth))),
        ("choices", |depth| format!("a = {}1", "if yes then 1 else ".repeat(depth))),
        ("choices in brackets", |depth| {
            format!("a = {}1{}", "(if yes then 1 else ".repeat(depth / 2), ")".repeat(depth / 2))
        }),
        ("columns", |depth| format!("| t | a = {}1{} |", "(".repeat(depth), ")".repeat(depth))),
    ] {
        let deep = |depth: usize| {
            let kinds: Vec<String> = work(&nested(depth)).troubles.into_iter().map(|trouble| trouble.kind).collect();
            kinds.contains(&"too-deep".to_owned())
        };
        assert!(!deep(200), "{what}: 200 deep is refused");
        assert!(deep(202), "{what}: 202 deep is not refused");
    }
}
