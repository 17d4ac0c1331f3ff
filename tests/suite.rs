//! The suite of cases: every case of `tests/suite/**/*.cases` comes out as it is written there, one named test a case.
//! It asks the library as an outsider would. `UPDATE=1 cargo test --test suite` writes the files as they come out.
//!
//! ```text
//! === a length and a volume do not add
//! strip length : 60 ft
//! odd          = strip length + tank   [gal]
//!                ^^^^^^^^^^^^^^^^^^^ unit-mismatch: strip length is a length (ft), tank is a volume (gal)
//!                instead: …
//! tank         : 3 gal
//! => tank = 3 gal
//! ```
//!
//! What a case can say is described at `suite/case.rs` and `suite/outcome.rs`.

#[path = "suite/case.rs"]
mod case;
#[path = "suite/limits.rs"]
mod limits;
#[path = "suite/many.rs"]
mod many;
#[path = "suite/outcome.rs"]
mod outcome;

use anyhow::{Context, Result, ensure};
use case::{Case, CaseFile};
use catchwork::checked::drawn::Given;
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::report::data::ReportTrouble;
use catchwork::syntax::layout::layout;
use catchwork::text::{Source, crew_folder::Alone};
use catchwork::trouble::Kind;
use catchwork::{Request, checked, gathered, syntax};
use libtest_mimic::{Arguments, Trial};
use std::collections::{BTreeMap, BTreeSet};
use std::process::ExitCode;
use std::sync::Arc;

/// The day on which every case is worked.
const TODAY: &str = "2026-04-12";
/// A worksheet longer than this is cut at every seventh character only.
const LONG: usize = 200;

fn main() -> Result<ExitCode> {
    let arguments = Arguments::from_args();
    let mut files = case::files()?;
    if std::env::var_os("UPDATE").is_some() {
        update(&files)?;
        files = case::files()?;
    }
    let cases: Vec<Arc<Case>> = files.into_iter().flat_map(|file| file.cases).map(Arc::new).collect();
    let mut trials: Vec<Trial> =
        cases.iter().cloned().map(|case| trial(&case.name.clone(), move || hold(&case))).collect();
    trials.extend(limits::trials());
    trials.extend(many::trials());
    trials.push(trial("the names of the cases are unique", {
        let cases = cases.clone();
        move || names_are_unique(&cases)
    }));
    trials.push(trial("what cannot be tried here says what is wrong", worded_kinds_say_so));
    trials.push(trial("every kind of trouble has a case", move || every_kind_has_a_case(&cases)));
    Ok(libtest_mimic::run(&arguments, trials).exit_code())
}

/// A named test that fails with the whole chain of what went wrong.
fn trial(name: &str, test: impl FnOnce() -> Result<()> + Send + 'static) -> Trial {
    Trial::test(name, move || test().map_err(|error| format!("{error:#}").into()))
}

/// Writes each file of cases as its cases come out.
fn update(files: &[CaseFile]) -> Result<()> {
    for file in files {
        let mut text = file.opening.clone();
        for case in &file.cases {
            text += &format!("=== {}\n{}\n", case.name, outcome::written(case, &worked(case)?));
        }
        std::fs::write(&file.path, text.trim_end().to_owned() + "\n")
            .with_context(|| file.path.display().to_string())?;
    }
    Ok(())
}

/// What holds for every case. What else is to hold for all of them is a line here.
fn hold(case: &Case) -> Result<()> {
    comes_out_as_written(case)?;
    insteads_are_read(case)?;
    is_laid_out_once(case)?;
    survives_cuts(case)
}

/// All troubles and every `=>` line are those written.
fn comes_out_as_written(case: &Case) -> Result<()> {
    ensure!(case.expects_something(), "{}: it has neither a trouble nor a `=>` line", case.at);
    let found = outcome::written(case, &worked(case)?);
    ensure!(found == case.body, "{}: this is written\n\n{}\nand this comes out\n\n{found}", case.at, case.body);
    Ok(())
}

/// What an `instead` has in backticks is read in place of the marked spot, and the trouble is gone.
fn insteads_are_read(case: &Case) -> Result<()> {
    let text = case.worksheet();
    for trouble in worked(case)?.troubles.iter().filter(|trouble| trouble.file.is_none()) {
        for exact in trouble.instead.iter().flat_map(|instead| instead.split('`').skip(1).step_by(2)) {
            let Some(mended) = mended(&text, trouble, exact) else { continue };
            let report = work(mended.clone(), Vec::new())?;
            let is_there = report.troubles.iter().any(|other| {
                let reaches = trouble.column + exact.chars().count();
                let is_unread = is_unread(&mended, other) && other.column <= reaches;
                other.line == trouble.line
                    && (is_unread || other.kind == trouble.kind && other.column == trouble.column)
            });
            ensure!(!is_there, "{}: {} offers `{exact}`, which is in trouble itself", case.at, trouble.kind);
        }
    }
    Ok(())
}

/// A worksheet with the marked spot replaced; none where the spot runs over several lines, or where the offer is not
/// the whole of it.
fn mended(text: &str, trouble: &ReportTrouble, exact: &str) -> Option<String> {
    let mut lines: Vec<String> = text.split('\n').map(str::to_owned).collect();
    let goes_on = lines.get(trouble.line).is_some_and(|next| next.starts_with("  ") || next.starts_with('\t'));
    let line = lines.get_mut(trouble.line.checked_sub(1)?)?;
    let characters: Vec<char> = line.chars().collect();
    let (before, after) =
        (characters.get(..trouble.column - 1)?, characters.get(trouble.column - 1 + trouble.length..)?);
    *line = before.iter().collect::<String>() + exact + &after.iter().collect::<String>();
    (!goes_on && !exact.contains('…')).then(|| lines.join("\n"))
}

/// Whether a trouble is found while reading alone.
fn is_unread(text: &str, trouble: &ReportTrouble) -> bool {
    let Ok(source) = Source::new("mended.worksheet", text.as_bytes().to_vec()) else { return true };
    let spots = syntax::parse(&source, 0).troubles.into_iter().map(|own| source.spot(own.place));
    spots.into_iter().any(|spot| (spot.line, spot.column) == (trouble.line, trouble.column))
}

/// What can be read can be laid out, and what is laid out is not changed the second time.
fn is_laid_out_once(case: &Case) -> Result<()> {
    let source = |text: String| Source::new("case.worksheet", text.into_bytes()).ok().context("a case is no text");
    let written = source(case.worksheet())?;
    if !worked(case)?.troubles.is_empty() {
        return Ok(());
    }
    let Some(laid_out) = layout(&written) else { anyhow::bail!("{}: this cannot be laid out", case.at) };
    ensure!(layout(&source(laid_out.clone())?) == Some(laid_out), "{}: laid out twice, it changes again", case.at);
    Ok(())
}

/// The worksheet is read and checked without a panic wherever it is cut off.
fn survives_cuts(case: &Case) -> Result<()> {
    let text = case.worksheet();
    let step = if text.chars().count() > LONG { 7 } else { 1 };
    for (cut, _) in text.char_indices().step_by(step) {
        let part = Source::new("cut.worksheet", text.as_bytes()[..cut].to_vec()).ok().context("a cut is no text")?;
        let gathered = gathered::gather(part.clone(), "", &Alone, &gathered::Texts::default());
        checked::settle(&gathered, &Given::default(), &[part], &[]);
    }
    Ok(())
}

/// The report of a case.
fn worked(case: &Case) -> Result<Report> {
    work(case.worksheet(), case.settings())
}

fn work(text: String, set: Vec<String>) -> Result<Report> {
    let today = Moment::parse(TODAY).ok().context("the day of the suite is no date")?;
    Ok(catchwork::work("case.worksheet", text.into_bytes(), &Request { set, today, colour: false }))
}

fn names_are_unique(cases: &[Arc<Case>]) -> Result<()> {
    let mut first: BTreeMap<&str, &str> = BTreeMap::new();
    for case in cases {
        let other = first.insert(&case.name, &case.at);
        ensure!(other.is_none(), "`{}` names two cases, {} and {}", case.name, other.unwrap_or_default(), case.at);
    }
    Ok(())
}

fn every_kind_has_a_case(cases: &[Arc<Case>]) -> Result<()> {
    let elsewhere = kinds_of_files()?;
    let elsewhere = elsewhere.iter().map(String::as_str);
    let seen: BTreeSet<&str> = cases
        .iter()
        .flat_map(|case| case.kinds())
        .chain(limits::KINDS)
        .chain(elsewhere)
        .chain(worded().map(|(kind, _, _)| kind.name()).collect::<Vec<_>>())
        .collect();
    let missing: Vec<&str> = Kind::NAMES.iter().copied().filter(|name| !seen.contains(name)).collect();
    ensure!(missing.is_empty(), "{} kinds of trouble have no case: {}", missing.len(), missing.join(", "));
    Ok(())
}

/// The kinds of trouble that the folders of `tests/files` and `tests/each` have, and answers to a template's blanks, each
/// with its whole text there.
fn kinds_of_files() -> Result<Vec<String>> {
    let mut kinds = Vec::new();
    let answers = std::fs::read_to_string("tests/fill/answers.cases")?;
    let answered = answers.lines().filter_map(|line| line.strip_prefix("= ")?.split_once(": ")).map(|(kind, _)| kind);
    kinds.extend(answered.map(str::to_owned));
    for entry in std::fs::read_dir("tests/files")?.chain(std::fs::read_dir("tests/each")?) {
        let text = std::fs::read_to_string(entry?.path().join("expected.txt")).unwrap_or_default();
        let named = text.lines().filter(|line| line.contains(", length ")).filter_map(|line| line.rsplit(": ").next());
        kinds.extend(named.map(str::to_owned));
    }
    Ok(kinds)
}

/// Kinds whose limits are too large to try in every run, or that only a folder of the system's or a call brings about,
/// with their whole text.
fn worded() -> impl Iterator<Item = (Kind, &'static str, Option<&'static str>)> {
    let file = || "beds.csv".to_owned();
    [
        (
            Kind::CannotRead { file: file(), why: "permission denied".to_owned() },
            "beds.csv cannot be read: permission denied",
            None,
        ),
        (Kind::FileOfFolderTooLong { file: file() }, "beds.csv is longer than a file may be", None),
        (
            Kind::TooManyFiles { pattern: "jobs/*".to_owned(), most: 100_000 },
            "more than 100000 files match jobs/*, which is the most",
            Some("a pattern for fewer"),
        ),
        (
            Kind::BadPattern { pattern: "jobs/[".to_owned() },
            "jobs/[ is no pattern: `*` stands for any part of one name",
            None,
        ),
        (
            Kind::TooManyRows { file: file(), most: 5_000_000 },
            "beds.csv has more than 5000000 rows, which is the most",
            Some("split it"),
        ),
        (Kind::FilledTwice { name: "walk".to_owned() }, "`walk` is given twice", Some("one of them")),
        (
            Kind::MeasureOfTemplate { name: "1 scoop".to_owned() },
            "the size of 1 scoop stands in the template, and a worksheet that is linked to it cannot give it",
            Some("a whole copy, without --linked"),
        ),
        (
            Kind::TemplateElsewhere { file: file() },
            "beds.csv is not in the crew folder of the new worksheet, which can be linked to no other",
            Some("a whole copy, without --linked; or both in one folder, which a file crew-folder.txt marks"),
        ),
        (
            Kind::FileNotNamed { file: file() },
            "beds.csv holds quotation marks of both kinds or a line break, so that no worksheet can name it",
            Some("another name for the file"),
        ),
        (
            Kind::RowTooLong { most: 1_048_576 },
            "this row goes on for more than 1048576 bytes, and what follows it cannot be told apart",
            Some("the quotation mark closed that opens one of its cells"),
        ),
        (Kind::RowOfData { found: 3, wanted: 4 }, "this row has 3 cells, and the headers are 4", None),
        (Kind::CellNoText, "this is no UTF-8 text", Some("the file saved as UTF-8")),
        (
            Kind::MoreTroubles { count: 7 },
            "7 more troubles follow from here on and are not told one by one",
            Some("mend those before them first"),
        ),
        (
            Kind::NothingCalled { name: "spray volum".to_owned(), near: "`spray volume`".to_owned() },
            "no entry, result, cell or check is called `spray volum`",
            Some("`spray volume`"),
        ),
        (
            Kind::WholeAsked {
                name: "beds.area".to_owned(),
                what: "column".to_owned(),
                cell: "beds.area, north walk".to_owned(),
            },
            "`beds.area` is a whole column, and one cell is told of at a time",
            Some("`beds.area, north walk`"),
        ),
        (Kind::NothingWorked, "nothing of the worksheet could be worked, so that nothing comes about", None),
        (
            Kind::InTroubleItself { name: "mix".to_owned() },
            "`mix` is in trouble itself, so that it comes to nothing",
            None,
        ),
    ]
    .into_iter()
    .chain(of_revisions())
}

/// Kinds that only git brings about.
fn of_revisions() -> [(Kind, &'static str, Option<&'static str>); 5] {
    let (file, revision) = (|| "strip.worksheet".to_owned(), || "HEAD~1".to_owned());
    [
        (
            Kind::GitMissing { why: "no such file".to_owned() },
            "an earlier revision is read by the program git, which cannot be run: no such file",
            None,
        ),
        (Kind::NoRepository { file: file() }, "strip.worksheet is in no folder whose revisions git keeps", None),
        (
            Kind::NoRevision { file: file(), revision: revision() },
            "the repository of strip.worksheet has no revision HEAD~1",
            Some("one that git log shows, or HEAD for the last"),
        ),
        (
            Kind::NotInRevision { file: file(), revision: revision() },
            "revision HEAD~1 has no file strip.worksheet",
            Some("its path and name as they were then"),
        ),
        (
            Kind::GitFailed { file: file(), why: "bad object".to_owned() },
            "git cannot read an earlier revision of strip.worksheet: bad object",
            None,
        ),
    ]
}

fn worded_kinds_say_so() -> Result<()> {
    for (kind, says, instead) in worded() {
        ensure!(kind.says() == says && kind.instead().as_deref() == instead, "{}: {}", kind.name(), kind.says());
    }
    Ok(())
}
