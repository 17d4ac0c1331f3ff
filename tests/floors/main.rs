//! How far the program is from the least that its work could take: `cargo bench --bench floors` prints the table.
//! Each floor is a small program or loop of its own; it and the program's own work are timed in turn, and the medians
//! set against each other, so that the ratio can be taken again on any machine. It checks no result.

// The grammar's generated code names it.
extern crate alloc;

mod by_hand;
mod each;
mod pairs;
mod sheets;
mod tokens;
mod watch;

use anyhow::{Context, Result, ensure};
use catchwork::checked::drawn::Given;
use catchwork::quantity::Moment;
use catchwork::text::Source;
use catchwork::text::crew_folder::Alone;
use catchwork::{checked, gathered, worked};
use pairs::{Pair, in_turn, loops_in_turn};
use std::fs::File;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/bench");
const SCRATCH: &str = env!("CARGO_TARGET_TMPDIR");

/// One line of the table: the work, its floor, how many times the floor it may take, and how to time the two.
struct Row {
    work: &'static str,
    floor: &'static str,
    reach: Option<f64>,
    time: fn(&Desk) -> Result<Pair>,
}

const ROWS: [Row; 10] = [
    Row {
        work: "whole process, 26 lines",
        floor: "a program that reads the file",
        reach: Some(2.0),
        time: |desk| whole_process(desk, "glance"),
    },
    Row {
        work: "whole process, 1000 lines",
        floor: "a program that reads the file",
        reach: Some(6.0),
        time: |desk| whole_process(desk, "thousand"),
    },
    Row {
        work: "text to checked sheet, 1000 lines",
        floor: "pest tokens of its statements",
        reach: Some(1.5),
        time: text_to_checked,
    },
    Row { work: "one working of the 26-line sheet", floor: "plain f64", reach: Some(150.0), time: against_plain },
    Row {
        work: "one working of the 26-line sheet",
        floor: "dimensions and doubt kept by hand",
        reach: None,
        time: against_by_hand,
    },
    Row {
        work: "text to checked sheet, 64 000 lines",
        floor: "64 times 1000 lines",
        reach: Some(1.25),
        time: |desk| many_lines(desk, str::to_owned),
    },
    Row {
        work: "text to checked, 64 000 wrong lines",
        floor: "64 times 1000 wrong lines",
        reach: Some(1.25),
        time: |desk| many_lines(desk, sheets::spoiled),
    },
    Row {
        work: "each, a million rows, six formulas",
        floor: "the same in plain f64, all threads",
        reach: Some(2.5),
        time: each_row,
    },
    Row {
        work: "a folder of 10 000 sheets of 2 KB",
        floor: "walk and read all, two threads",
        reach: Some(25.0),
        time: folder,
    },
    Row {
        work: "watch, a save to printed, 1000 lines",
        floor: "the system telling of a save",
        reach: None,
        time: |desk| watch::saves(Path::new(SCRATCH), &desk.thousand, "60 ft"),
    },
];

/// What the rows work with.
struct Desk {
    glance: String,
    thousand: String,
    reader: PathBuf,
    today: Moment,
}

/// What this program is called with to be the floor of `each`.
const FLOOR_OF_EACH: &str = "floor-of-each";

/// Prints the table, or of it what has one of the words given in its work.
fn main() -> Result<()> {
    let mut arguments = std::env::args_os().skip(1);
    if arguments.next().is_some_and(|first| first == FLOOR_OF_EACH) {
        return each::work(Path::new(&arguments.next().context("no data is named")?));
    }
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let desk = Desk {
        glance: sheets::read(FOLDER, "glance")?,
        thousand: sheets::read(FOLDER, "thousand")?,
        reader: floor_program()?,
        today: Moment::parse("2026-04-12").ok().context("a date")?,
    };
    println!("{:<36} {:<34} {:>10} {:>10} {:>9} {:>6}", "work", "floor", "floor", "own", "ratio", "reach");
    for row in ROWS.iter().filter(|row| words.is_empty() || words.iter().any(|word| row.work.contains(word.as_str()))) {
        row.print(&(row.time)(&desk)?);
    }
    Ok(())
}

impl Row {
    fn print(&self, pair: &Pair) {
        let ratio = pair.own / pair.floor;
        let reach = self.reach.map(|reach| format!("{reach}×")).unwrap_or_default();
        let over = if self.reach.is_some_and(|reach| ratio > reach) { "  over" } else { "" };
        let (floor, own) = (pairs::shown(pair.floor), pairs::shown(pair.own));
        println!("{:<36} {:<34} {floor:>10} {own:>10} {ratio:>8.2}× {reach:>6}{over}", self.work, self.floor);
    }
}

/// Builds `read.rs`, which is no part of the package, with the settings that the program is built with.
fn floor_program() -> Result<PathBuf> {
    let program = Path::new(SCRATCH).join("floor-read");
    let settings = ["opt-level=3", "lto=fat", "codegen-units=1", "panic=abort"];
    let compiler = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let status = Command::new(compiler)
        .args(["--edition", "2024", concat!(env!("CARGO_MANIFEST_DIR"), "/tests/floors/read.rs"), "-o"])
        .arg(&program)
        .args(settings.iter().flat_map(|setting| ["-C", setting]))
        .status()
        .context("rustc")?;
    ensure!(status.success(), "read.rs does not compile");
    Ok(program)
}

/// Runs a program to its end, with what it prints thrown away. It must not end in trouble.
fn run(program: &Path, arguments: &[&Path]) -> Result<()> {
    let mut command = Command::new(program);
    let status = command.args(arguments).stdin(Stdio::null()).stdout(Stdio::null()).stderr(Stdio::null()).status()?;
    ensure!(matches!(status.code(), Some(0 | 1)), "{command:?} ended with {status}");
    Ok(())
}

fn results(path: &Path) -> Result<()> {
    run(Path::new(env!("CARGO_BIN_EXE_catchwork")), &[Path::new("results"), path])
}

fn whole_process(desk: &Desk, sheet: &str) -> Result<Pair> {
    let path = Path::new(FOLDER).join(format!("{sheet}.worksheet"));
    in_turn(201, || run(&desk.reader, &[&path]), || results(&path))
}

fn folder(desk: &Desk) -> Result<Pair> {
    let folder = sheets::folder(Path::new(SCRATCH), &desk.glance)?;
    in_turn(3, || run(&desk.reader, &[&folder]), || results(&folder))
}

/// Both write to a file, as anyone who has a million rows does.
fn each_row(_: &Desk) -> Result<Pair> {
    let data = each::data(Path::new(SCRATCH), 1_000_000)?;
    let (own, floor) = (Path::new(env!("CARGO_BIN_EXE_catchwork")), std::env::current_exe()?);
    let template = Path::new(FOLDER).join("beds.worksheet");
    in_turn(
        5,
        || run_into("floor-each.csv", &floor, &[Path::new(FLOOR_OF_EACH), &data]),
        || run_into("own-each.csv", own, &[Path::new("each"), &template, &data]),
    )
}

/// Runs a program to its end, with what it prints in a file.
fn run_into(file: &str, program: &Path, arguments: &[&Path]) -> Result<()> {
    let out = File::create(Path::new(SCRATCH).join(file))?;
    let mut command = Command::new(program);
    let status = command.args(arguments).stdin(Stdio::null()).stdout(out).stderr(Stdio::null()).status()?;
    ensure!(status.success(), "{command:?} ended with {status}");
    Ok(())
}

fn text_to_checked(desk: &Desk) -> Result<Pair> {
    let pieces = tokens::pieces(&desk.thousand)?;
    let sources = [source(desk.thousand.clone())];
    Ok(loops_in_turn(41, || tokens::read_all(&pieces), || settled(&sources)))
}

/// What grows faster than its text shows in a long one, line for line against a short one.
fn many_lines(desk: &Desk, spoil: fn(&str) -> String) -> Result<Pair> {
    const TIMES: usize = 64;
    let copies = |copies: usize| [source(spoil(&sheets::copied(&desk.glance, copies)))];
    let (short, long) = (copies(sheets::COPIES), copies(sheets::COPIES * TIMES));
    Ok(loops_in_turn(5, || (0..TIMES).for_each(|_| pairs::keep(settled(&short))), || settled(&long)))
}

fn against_plain(desk: &Desk) -> Result<Pair> {
    one_working(desk, || by_hand::plain(&by_hand::measured()))
}

fn against_by_hand(desk: &Desk) -> Result<Pair> {
    one_working(desk, || by_hand::with_doubt(&by_hand::measured()))
}

fn one_working<T>(desk: &Desk, by_hand: impl FnMut() -> T) -> Result<Pair> {
    let sources = [source(desk.glance.clone())];
    let checked = settled(&sources);
    ensure!(checked.troubles.is_empty(), "the sheet is in trouble: {:?}", checked.troubles);
    Ok(loops_in_turn(41, by_hand, || worked::work(&checked, &sources, desk.today)))
}

fn source(text: String) -> Source {
    Source::of_text("floors.worksheet", text)
}

fn settled(sources: &[Source; 1]) -> checked::Checked {
    let gathered = gathered::gather(sources[0].clone(), "", &Alone, &gathered::Texts::default());
    checked::settle(&gathered, &Given::default(), sources, &[])
}
