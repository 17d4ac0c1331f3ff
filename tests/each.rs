//! One worked row for each row of data: each folder under `tests/each` has a template and data, and beside them in
//! `expected.csv` what must come out, or in `expected.txt` why no row can be worked, with the whole text of each trouble.
//! `UPDATE=1 cargo test --test each` writes what comes of them now. `process.rs` beside them runs the built program.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

#[path = "each/process.rs"]
mod process;

use catchwork::Request;
use catchwork::book::Book;
use catchwork::each::{Data, Each, Tally};
use catchwork::quantity::Moment;
use catchwork::report::data::ReportTrouble;
use catchwork::text::Source;
use catchwork::text::crew_folder::OnDisk;
use libtest_mimic::{Arguments, Failed, Trial};
use std::path::{Path, PathBuf};
use std::sync::Arc;

fn main() -> std::process::ExitCode {
    let arguments = Arguments::from_args();
    let mut folders: Vec<PathBuf> =
        std::fs::read_dir("tests/each").unwrap().map(|entry| entry.unwrap().path()).collect();
    folders.sort();
    let mut trials: Vec<Trial> = folders
        .into_iter()
        .filter(|folder| folder.is_dir())
        .map(|folder| {
            let name = folder.file_name().unwrap().to_string_lossy().replace('-', " ");
            Trial::test(name, move || holds(&folder))
        })
        .collect();
    trials.push(Trial::test("a row that never ends is cut off and told", a_row_that_never_ends));
    trials.push(Trial::test("what cannot be read to its end is an error", what_cannot_be_read));
    trials.push(Trial::test("what rows wait on does not add up", what_rows_wait_on));
    trials.push(Trial::test("doubts that no row changes count in every row", doubts_that_no_row_changes));
    trials.extend(PROCESSES.map(|(name, test)| {
        Trial::test(name, move || {
            test();
            Ok(())
        })
    }));
    libtest_mimic::run(&arguments, trials).exit_code()
}

const PROCESSES: [(&str, fn()); 8] = [
    ("the status is that of the worst row", process::the_status_is_that_of_the_worst_row),
    ("what fits no row is told before any is worked", process::what_fits_no_row_is_told_before_any_is_worked),
    ("a template inside the program goes by its name", process::a_template_inside_the_program_goes_by_its_name),
    ("data may come by standard input", process::data_may_come_by_standard_input),
    ("a file is written whole and none is lost", process::a_file_is_written_whole_and_none_is_lost),
    ("rows come out in their order", process::rows_come_out_in_their_order),
    ("a reader that has seen enough is no trouble", process::a_reader_that_has_seen_enough_is_no_trouble),
    ("data need not fit into the memory", process::data_need_not_fit_into_the_memory),
];

fn holds(folder: &Path) -> Result<(), Failed> {
    let data = std::fs::read(folder.join("data.csv"))?;
    let (found, kept, other) = match worked(&template(folder), &data) {
        Ok((csv, _)) => (csv, "expected.csv", "expected.txt"),
        Err(troubles) => (told(&troubles), "expected.txt", "expected.csv"),
    };
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(folder.join(kept), &found)?;
    }
    let expected = std::fs::read_to_string(folder.join(kept)).unwrap_or_default();
    match found == expected && !folder.join(other).exists() {
        true => Ok(()),
        false => Err(format!("{kept} has\n{expected}\nand what comes of it is\n{found}").into()),
    }
}

fn request() -> Request {
    Request { set: Vec::new(), today: Moment::parse("2026-04-12").unwrap(), colour: false }
}

/// A template, and the folder it stands in.
fn template(folder: &Path) -> PathBuf {
    folder.join("template.worksheet")
}

/// The rows that come out, and their tally; or why none can be worked.
fn worked(template: &Path, data: &[u8]) -> Result<(String, Tally), Vec<ReportTrouble>> {
    let (crew_folder, within) = OnDisk::of(template).unwrap();
    let source = Source::new(&within, std::fs::read(template).unwrap()).unwrap();
    let settled = Book::new(Arc::new(crew_folder), request()).settle(source, &within);
    let mut data = Data::new(data);
    let headers = data.headers().unwrap();
    let each = Each::new(settled, &request(), "data.csv", &headers)?;
    let mut out = Vec::new();
    let tally = each.run(&mut data, &mut out, |_| {}).unwrap();
    Ok((String::from_utf8(out).unwrap(), tally))
}

/// Troubles in lines that a person can read.
fn told(troubles: &[ReportTrouble]) -> String {
    let mut lines = Vec::new();
    for trouble in troubles {
        let file = trouble.file.clone().unwrap_or_else(|| "template".to_owned());
        let (line, column, length) = (trouble.line, trouble.column, trouble.length);
        lines.push(format!("{file}, line {line}, column {column}, length {length}: {}", trouble.kind));
        lines.push(format!("  {}", trouble.says));
        lines.extend(trouble.instead.iter().map(|instead| format!("  instead: {instead}")));
    }
    lines.join("\n") + "\n"
}

fn a_row_that_never_ends() -> Result<(), Failed> {
    let mut data = "bed,length (ft),width (ft)\nnorth,24,4\n\"south,12,6\n".to_owned();
    data.push_str(&"east,20,5\n".repeat(200_000));
    let (csv, tally) = worked(&template(Path::new("tests/each/rows")), data.as_bytes()).unwrap();
    assert_eq!((tally.rows, tally.in_trouble, tally.first_in_trouble), (2, 1, Some(3)));
    assert!(csv.lines().nth(1).unwrap().starts_with("north,24,4,96.0,"), "{csv}");
    let says = "row 3: this row goes on for more than 1048576 bytes, and what follows it cannot be told apart; \
                instead: the quotation mark closed that opens one of its cells";
    assert!(csv.lines().nth(2).unwrap().contains(says), "{csv}");
    Ok(())
}

/// In each of 250 rows 100 results wait on 12 blanks: 250 000 are the most that one sheet may wait on.
fn what_rows_wait_on() -> Result<(), Failed> {
    let blanks: String = (0..12).map(|own| format!("b{own} : ____ ft\n")).collect();
    let sum = (0..12).map(|own| format!("b{own}")).collect::<Vec<_>>().join(" + ");
    let sums: String = (0..100).map(|own| format!("s{own} = {sum}\n")).collect();
    let headers = (0..12).map(|own| format!("b{own} (ft)")).collect::<Vec<_>>().join(",");
    let data = format!("{headers}\n{}", ",,,,,,,,,,,\n".repeat(250));
    let (csv, tally) = worked_alone(&format!("{blanks}{sums}"), data.as_bytes())?;
    assert_eq!((tally.rows, tally.in_trouble), (250, 0), "{}", csv.lines().last().unwrap_or_default());
    Ok(())
}

/// A column of 1998 cells has 2000 parts of doubt in each, and each result of a row as many: two of them make up the
/// 4 000 000 that one sheet may have.
fn doubts_that_no_row_changes() -> Result<(), Failed> {
    let catch = vec!["9"; 2000].join(", ");
    let beds: String = (0..1998).map(|row| format!("| {row} | 5 |\n")).collect();
    let shared = format!("length : ____\ncatch : {catch} g ± 1 g at most\n| t | x : g | y = x + sum(catch) |\n{beds}");
    for (results, in_trouble) in [(2, 0), (3, 2)] {
        let results: String = (0..results).map(|own| format!("r{own} = sum(catch) * length\n")).collect();
        let (csv, tally) = worked_alone(&format!("{shared}\n{results}"), b"length\n2\n3\n")?;
        assert_eq!((tally.rows, tally.in_trouble), (2, in_trouble), "{csv}");
        let says = "the doubts of all results have more than 4000000 parts";
        assert_eq!(csv.matches(says).count() as u64, in_trouble, "{csv}");
    }
    Ok(())
}

/// The same of a template that stands alone.
fn worked_alone(template: &str, data: &[u8]) -> Result<(String, Tally), Failed> {
    let folder = tempfile::TempDir::new()?;
    let path = folder.path().join("template.worksheet");
    std::fs::write(&path, template)?;
    worked(&path, data).map_err(|troubles| told(&troubles).into())
}

/// A file that breaks off.
struct Broken(&'static [u8]);

impl std::io::Read for Broken {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        match self.0.is_empty() {
            true => Err(std::io::Error::other("the disk was taken away")),
            false => self.0.read(buffer),
        }
    }
}

fn what_cannot_be_read() -> Result<(), Failed> {
    let template = template(Path::new("tests/each/rows"));
    let (crew_folder, within) = OnDisk::of(&template)?;
    let source = Source::new(&within, std::fs::read(&template)?).unwrap();
    let settled = Book::new(Arc::new(crew_folder), request()).settle(source, &within);
    let mut data = Data::new(Broken(b"bed,length (ft),width (ft)\nnorth,24,4\nsou"));
    let each = Each::new(settled, &request(), "data.csv", &data.headers()?).map_err(|troubles| told(&troubles))?;
    let error = each.run(&mut data, &mut Vec::new(), |_| {}).expect_err("half a row was taken for one");
    assert_eq!(error.to_string(), "the disk was taken away");
    Ok(())
}
