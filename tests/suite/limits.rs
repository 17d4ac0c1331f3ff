//! Limits of a worksheet as a whole, and bytes that are no text: what no file of cases can hold. Each is tried just
//! under, at and over the limit.

use super::{TODAY, trial};
use anyhow::{Context, Result, ensure};
use catchwork::Request;
use catchwork::quantity::Moment;
use catchwork::report::Report;
use libtest_mimic::Trial;

/// The kinds of trouble that are tried here.
pub const KINDS: [&str; 14] = [
    "not-utf8",
    "file-too-long",
    "too-many-lines",
    "too-deep",
    "formula-too-long",
    "too-many-columns",
    "too-many-measures",
    "too-many-corners",
    "too-many-pans",
    "too-many-doubts",
    "statement-too-long",
    "too-many-doubts-in-all",
    "too-many-waits",
    "too-many-values",
];

/// What 4 MiB are.
const MOST_BYTES: usize = 4_194_304;
const MOST_LINES: usize = 100_000;

/// The tests.
pub fn trials() -> Vec<Trial> {
    vec![
        trial("limits: a worksheet of 4 MiB is read, one byte more is not", bytes),
        trial("limits: a worksheet of 100 000 lines is read, one line more is not", lines),
        trial("limits: a file that is no UTF-8 text", no_text),
        trial("limits: brackets and choices nest 200 deep and no deeper", nesting),
        trial("limits: a formula of 1000 operators", || {
            let sheet = |count: usize| format!("a : 1 ft\nb = a{}\n", " + a".repeat(count));
            at_most(1000, "formula-too-long", sheet)
        }),
        trial("limits: a table of 1000 columns", || {
            let sheet = |count: usize| {
                let heads: String = (0..count).map(|column| format!(" c{column} : ft |")).collect();
                format!("| t |{heads}\n| r |{}\n", " 1 |".repeat(count))
            };
            let rows = |count: usize| Ok(work(sheet(count).into_bytes())?.tables.first().map(|table| table.rows.len()));
            let read: [Result<Option<usize>>; 2] = [rows(1000), rows(1001)];
            ensure!(matches!(read, [Ok(Some(1)), Ok(Some(0))]), "rows read: {read:?}");
            at_most(1000, "too-many-columns", sheet)
        }),
        trial("limits: 1000 measures of the crew's own", || {
            at_most(1000, "too-many-measures", |count| (0..count).map(|own| format!("1 m{own}x = 2 oz\n")).collect())
        }),
        trial("limits: a polygon of 5000 corners", || {
            let sheet = |count: usize| {
                let corner = |row: usize| if row == 0 { (0, 0) } else { (row, row * row) };
                let rows: String = (0..count)
                    .map(|row| (row, corner(row)))
                    .map(|(row, (x, y))| format!("| {row} | {x} | {y} |\n"))
                    .collect();
                format!("| p | x : ft | y : ft |\n{rows}\na = polygon(p.x, p.y)\n")
            };
            at_most(5000, "too-many-corners", sheet)
        }),
        trial("limits: 1001 pans, 500 on either side", || {
            let sheet = |side: usize| {
                let rows: String = (0..=2 * side).map(|pan| format!("| {pan} | 5 |\n")).collect();
                format!("| p | caught : g |\n{rows}\na = widest swath(p.caught, 1 ft, 10 %, \"round and round\")\n")
            };
            at_most(500, "too-many-pans", sheet)
        }),
        trial("limits: doubts of 4 000 000 parts in all", || {
            // Two thousand readings, each a part of its own of what their sum does not know for sure.
            let catch = vec!["9"; 2000].join(", ");
            let sheet = |rows: usize| {
                let rows: String = (0..rows).map(|row| format!("| {row} | 5 |\n")).collect();
                format!("catch : {catch} g ± 1 g at most\n| t | x : g | y = x + sum(catch) |\n{rows}")
            };
            at_most(2000, "too-many-doubts", sheet)
        }),
        trial("limits: a statement of 65 536 bytes", statement),
        trial("limits: doubts of 4 000 000 parts in results", || {
            let catch = vec!["9"; 2000].join(", ");
            let sheet = |count: usize| {
                let results: String = (0..count).map(|own| format!("a{own} = sum(catch) * {}\n", own + 1)).collect();
                format!("catch : {catch} g ± 1 g at most\n{results}")
            };
            at_most(2000, "too-many-doubts-in-all", sheet)?;
            let says = "this depends on so much that was measured by itself that the doubts of all results have more \
                        than 4000000 parts; that is the most";
            says_once(&sheet(2100), says, "a table with one ± for a whole column, and sum(…)")
        }),
        trial("limits: blanks waited on 250 000 times in all", || {
            // A thousand cells wait, each on itself, and every total on all of them.
            let rows: String = (0..1000).map(|row| format!("| {row} | ____ |\n")).collect();
            let sheet = |count: usize| {
                let totals: String = (0..count).map(|own| format!("a{own} = sum(t.x) * {}\n", own + 1)).collect();
                format!("| t | x : g |\n{rows}\n{totals}")
            };
            at_most(249, "too-many-waits", sheet)?;
            let says =
                "this waits on so many blanks that all results together wait on more than 250000; that is the most";
            says_once(&sheet(300), says, "several worksheets")
        }),
        trial("limits: 20 000 000 values gone through", || {
            let rows: String = (0..20_000).map(|row| format!("| {row} | 5 |\n")).collect();
            let sheet = |count: usize| {
                let counts: String = (0..count).map(|own| format!("a{own} = count(t.x)\n")).collect();
                format!("| t | x : g |\n{rows}\n{counts}")
            };
            at_most(1000, "too-many-values", sheet)?;
            let says =
                "all formulas together go through more than 20000000 values of lists and columns, which is the most";
            let instead = "a result on a line of its own for what several formulas need, or several worksheets";
            says_once(&sheet(1001), says, instead)
        }),
    ]
}

/// The stack on which the command works, too.
const STACK: usize = 64 << 20;

/// Works a worksheet as the command does.
pub fn work(bytes: Vec<u8>) -> Result<Report> {
    let today = Moment::parse(TODAY).ok().context("the day of the suite is no date")?;
    let request = Request { set: Vec::new(), today, colour: false };
    let work = move || catchwork::work("case.worksheet", bytes, &request);
    std::thread::Builder::new().stack_size(STACK).spawn(work)?.join().map_err(|_| anyhow::anyhow!("it panicked"))
}

/// A worksheet with one entry, filled up with a note to so many bytes.
fn of_bytes(bytes: usize) -> Vec<u8> {
    let mut text = b"tank : 3 gal\n-- ".to_vec();
    text.resize(bytes, b'x');
    text
}

fn of_lines(lines: usize) -> Vec<u8> {
    format!("tank : 3 gal\n{}", "\n".repeat(lines - 1)).into_bytes()
}

fn is_worked(report: &Report) -> Result<()> {
    ensure!(report.troubles.is_empty(), "{:?}", report.troubles);
    ensure!(report.values.iter().any(|value| value.name == "tank"), "the entry is not in the report");
    Ok(())
}

/// A worksheet of so many is worked, one more is one trouble.
pub fn at_most(most: usize, kind: &str, sheet: impl Fn(usize) -> String) -> Result<()> {
    // As the program does: what is nested as deep as it may be needs more than a test's thread has.
    let troubles = |count: usize| -> Result<Vec<String>> {
        let bytes = sheet(count).into_bytes();
        let thread = std::thread::Builder::new().stack_size(64 << 20);
        let kinds = thread.spawn(|| -> Result<Vec<String>> {
            Ok(work(bytes)?.troubles.into_iter().map(|trouble| trouble.kind).collect())
        });
        kinds?.join().map_err(|_| anyhow::anyhow!("a panic"))?
    };
    ensure!(troubles(most)?.is_empty(), "{most} are refused: {:?}", troubles(most)?);
    ensure!(troubles(most + 1)? == [kind], "one more: {:?}", troubles(most + 1)?);
    Ok(())
}

/// One trouble, in these words.
fn says_once(sheet: &str, says: &str, instead: &str) -> Result<()> {
    let report = work(sheet.as_bytes().to_vec())?;
    let [trouble] = report.troubles.as_slice() else { anyhow::bail!("not one trouble: {}", report.troubles.len()) };
    ensure!(trouble.says == says, "{}", trouble.says);
    ensure!(trouble.instead.as_deref() == Some(instead), "{:?}", trouble.instead);
    Ok(())
}

/// A statement that is no prose is refused past 65 536 bytes; a note is not.
fn statement() -> Result<()> {
    let sheet = |bytes: usize| format!("a : \"{}\"\ntank : 3 gal\n", "x".repeat(bytes - 6));
    at_most(65_536, "statement-too-long", sheet)?;
    let says = "this has 65537 bytes in one piece; 65536 is the most of a line or a cell";
    says_once(&sheet(65_537), says, "several lines, or a table")?;
    is_worked(&work(format!("-- {}\ntank : 3 gal\n", "x".repeat(100_000)).into_bytes())?)
}

/// One trouble, in line 1, with nothing worked.
fn is_refused(report: &Report, kind: &str, says: &str, instead: &str) -> Result<()> {
    ensure!(report.values.is_empty(), "something is worked all the same");
    let [trouble] = report.troubles.as_slice() else { anyhow::bail!("not one trouble: {:?}", report.troubles) };
    ensure!((trouble.line, trouble.column) == (1, 1), "at {}, {}", trouble.line, trouble.column);
    ensure!(trouble.kind == kind, "{}", trouble.kind);
    ensure!(trouble.says == says, "{}", trouble.says);
    ensure!(trouble.instead.as_deref() == Some(instead), "{:?}", trouble.instead);
    Ok(())
}

fn bytes() -> Result<()> {
    is_worked(&work(of_bytes(MOST_BYTES - 1))?)?;
    is_worked(&work(of_bytes(MOST_BYTES))?)?;
    let says = "the worksheet has 4194305 bytes; 4194304 (4 MiB) is the most";
    is_refused(&work(of_bytes(MOST_BYTES + 1))?, "file-too-long", says, "split it into several worksheets")
}

fn lines() -> Result<()> {
    is_worked(&work(of_lines(MOST_LINES - 1))?)?;
    is_worked(&work(of_lines(MOST_LINES))?)?;
    let says = "the worksheet has 100001 lines; 100000 is the most";
    is_refused(&work(of_lines(MOST_LINES + 1))?, "too-many-lines", says, "split it into several worksheets")
}

fn no_text() -> Result<()> {
    let says = "this file is no UTF-8 text: byte 13, in line 1, belongs to no character";
    is_refused(&work(b"tank : 3 gal\xff\n".to_vec())?, "not-utf8", says, "save it as UTF-8 text")
}

/// A line that nests too deep is refused at the bracket that is one too many, and its twin is worked.
fn nesting() -> Result<()> {
    let nested = |depth: usize| format!("a = {}1{}\ntank : 3 gal\n", "(".repeat(depth), ")".repeat(depth));
    is_worked(&work(nested(199).into_bytes())?)?;
    is_worked(&work(nested(200).into_bytes())?)?;
    let report = work(nested(201).into_bytes())?;
    let [trouble] = report.troubles.as_slice() else { anyhow::bail!("not one trouble: {:?}", report.troubles) };
    ensure!((trouble.line, trouble.column, trouble.length) == (1, 205, 1), "at {}", trouble.column);
    ensure!(trouble.kind == "too-deep", "{}", trouble.kind);
    ensure!(trouble.says == "brackets and `if`s stand more than 200 deep here, which is the most", "{}", trouble.says);
    let chosen = |depth: usize| format!("a = {}1\ntank : 3 gal\n", "if yes then 1 else ".repeat(depth));
    is_worked(&work(chosen(200).into_bytes())?)?;
    let report = work(chosen(201).into_bytes())?;
    let kinds: Vec<&str> = report.troubles.iter().map(|trouble| trouble.kind.as_str()).collect();
    ensure!(kinds == ["too-deep"], "{kinds:?}");
    // A list of readings is no formula.
    is_worked(&work(format!("a : 1{} gal/min\ntank : 3 gal\n", ", -1".repeat(3000)).into_bytes())?)?;
    // What closes leaves room: brackets beside each other do not nest.
    is_worked(&work(format!("a = 1{}\ntank : 3 gal\n", " + (1)".repeat(300)).into_bytes())?)
}
