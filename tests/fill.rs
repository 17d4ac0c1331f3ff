//! `catchwork fill`, as a person at a terminal and a program without one meet it. Each file of `tests/fill/cases` is a
//! call within a copy of the crew folder `tests/fill/crew`:
//!
//! | a line that begins | is |
//! | --- | --- |
//! | `$` | the call, as a shell takes it; settings of the environment may stand before it |
//! | `>` | what is typed at a question, Enter behind it; `^C` and `^D` are keys by themselves |
//! | `---` | what comes of it, up to the next such line: the exit status; the terminal, or both streams where nothing is typed; every file that is written or changed |
//!
//! `tests/fill/answers.cases` says how an answer stands in the sheet, or why it cannot: a worksheet, what is typed
//! beside its blank (`>`) or given by name in a call (`$`), and what comes of it (`=`).
//!
//! `UPDATE=1 cargo test --test fill` writes what comes of it now.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

#[cfg(unix)]
#[path = "fill/terminal.rs"]
mod terminal;

use catchwork::Request;
use catchwork::book::Book;
use catchwork::filled::{Filling, Template, Whence};
use catchwork::gathered::shipped::{TEMPLATES, template};
use catchwork::quantity::Moment;
use catchwork::report::data::ReportTrouble;
use catchwork::syntax::tree::StatementKind;
use catchwork::text::Source;
use catchwork::text::crew_folder::Alone;
use libtest_mimic::{Arguments, Failed, Trial};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::process::{Command, Stdio};
use std::sync::Arc;
use tempfile::TempDir;
use walkdir::WalkDir;

const CASES: &str = "tests/fill/cases";
const CREW: &str = "tests/fill/crew";
const ANSWERS: &str = "tests/fill/answers.cases";

type Held = Result<(), Failed>;

fn main() -> std::process::ExitCode {
    let arguments = Arguments::from_args();
    let mut trials = vec![
        Trial::test("answers", answers),
        Trial::test("every template is filled with nothing, copied and linked", nothing_filled),
        Trial::test("every template takes the values of its filled twin", twins),
    ];
    for case in files(Path::new(CASES)).into_values() {
        let name = case.file_stem().unwrap().to_string_lossy().replace('-', " ");
        let read = Case::read(&case);
        // Without such terminals there is nothing to type at.
        if cfg!(unix) || read.typed.is_empty() {
            trials.push(Trial::test(name, move || read.holds(&case)));
        }
    }
    #[cfg(unix)]
    trials.extend([
        Trial::test("going on writes what would have been written", terminal::going_on),
        Trial::test("a signal from elsewhere stops it too", terminal::signalled),
        Trial::test("a file made meanwhile is left alone and no answer is lost", terminal::overtaken),
    ]);
    libtest_mimic::run(&arguments, trials).exit_code()
}

/// A call, what is typed, and what comes of it.
struct Case {
    /// As written, the call's `$` and the typed lines' `>` left in.
    told: String,
    settings: Vec<(String, String)>,
    call: Vec<String>,
    typed: Vec<String>,
    expected: String,
}

impl Case {
    fn read(path: &Path) -> Self {
        let text = std::fs::read_to_string(path).unwrap();
        let (told, expected) = text.split_at(text.find("---").unwrap_or(text.len()));
        let call = told.lines().find_map(|line| line.strip_prefix("$ ")).expect("a call");
        let mut words = shlex::split(call).expect("words").into_iter().peekable();
        let mut settings = Vec::new();
        while let Some((name, value)) = words.peek().and_then(|word| word.split_once('=')) {
            settings.push((name.to_owned(), value.to_owned()));
            words.next();
        }
        assert_eq!(words.next().as_deref(), Some("catchwork"), "{}", path.display());
        let typed = told.lines().filter_map(|line| line.strip_prefix('>'));
        Self {
            settings,
            call: words.collect(),
            typed: typed.map(|line| line.strip_prefix(' ').unwrap_or(line).to_owned()).collect(),
            expected: expected.to_owned(),
            told: told.to_owned(),
        }
    }

    fn holds(&self, path: &Path) -> Held {
        let crew = crew();
        let before = contents(crew.path());
        let found = self.found(crew.path(), &before)?;
        if std::env::var_os("UPDATE").is_some() {
            std::fs::write(path, format!("{}{found}", self.told))?;
            return Ok(());
        }
        same(&self.expected, &found, path)
    }

    /// What comes of it, as a case says it.
    fn found(&self, crew: &Path, before: &BTreeMap<String, String>) -> Result<String, Failed> {
        let (status, streams) = self.run(crew);
        let mut found = format!("--- status {status}\n");
        for (name, text) in streams.iter().filter(|(_, text)| !text.is_empty()) {
            found += &format!("--- {name}\n{}\n", text.trim_end_matches('\n'));
        }
        let after = contents(crew);
        if status != 0 && after != *before {
            return Err("it failed, and files are not as they were".into());
        }
        for (name, text) in after.iter().filter(|(name, text)| before.get(*name) != Some(*text)) {
            found += &format!("--- {name}\n{text}");
            works(crew, name)?;
        }
        Ok(found)
    }

    #[cfg(unix)]
    fn run(&self, crew: &Path) -> (i32, Vec<(&'static str, String)>) {
        if self.typed.is_empty() {
            return self.without_terminal(crew);
        }
        let shown = terminal::typed(crew, &self.settings, &self.call, &self.typed);
        (shown.status, vec![("terminal", shown.screen)])
    }

    #[cfg(not(unix))]
    fn run(&self, crew: &Path) -> (i32, Vec<(&'static str, String)>) {
        self.without_terminal(crew)
    }

    fn without_terminal(&self, crew: &Path) -> (i32, Vec<(&'static str, String)>) {
        let mut command = program(crew);
        let output = command.envs(self.settings.clone()).args(&self.call).stdin(Stdio::null()).output().unwrap();
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        let streams = vec![("standard output", text(output.stdout)), ("standard error", text(output.stderr))];
        (output.status.code().expect("ended by itself"), streams)
    }
}

fn same(expected: &str, found: &str, path: &Path) -> Held {
    match expected == found {
        true => Ok(()),
        false => Err(format!("{} has\n{expected}\nand what comes of it is\n{found}", path.display()).into()),
    }
}

fn program(folder: &Path) -> Command {
    let mut command = Command::new(assert_cmd::cargo::cargo_bin!("catchwork"));
    command.current_dir(folder).env("NO_COLOR", "1");
    command
}

/// A worksheet that is written is laid out and without troubles.
fn works(folder: &Path, name: &str) -> Held {
    let status = |call: &[&str]| program(folder).args(call).output().unwrap().status.code();
    match (status(&["results", name]), status(&["format", "--check", name])) {
        (Some(0 | 1), Some(0)) => Ok(()),
        (results, format) => Err(format!("{name} is written: results ends with {results:?}, format {format:?}").into()),
    }
}

/// A copy of the crew folder.
fn crew() -> TempDir {
    let copy = TempDir::new().unwrap();
    for (name, path) in files(Path::new(CREW)) {
        let to = copy.path().join(name);
        std::fs::create_dir_all(to.parent().unwrap()).unwrap();
        std::fs::copy(path, to).unwrap();
    }
    copy
}

/// All files below a folder, by their paths within it.
fn files(folder: &Path) -> BTreeMap<String, PathBuf> {
    let files = WalkDir::new(folder).into_iter().map(|entry| entry.unwrap().into_path()).filter(|path| path.is_file());
    files.map(|path| (path.strip_prefix(folder).unwrap().to_string_lossy().replace('\\', "/"), path)).collect()
}

fn contents(folder: &Path) -> BTreeMap<String, String> {
    files(folder).into_iter().map(|(name, path)| (name, std::fs::read_to_string(path).unwrap())).collect()
}

fn request() -> Request {
    Request { set: Vec::new(), today: Moment::parse("2026-04-12").unwrap(), colour: false }
}

fn begun(text: String) -> Result<Filling, Failed> {
    let book = Book::new(Arc::new(Alone), request());
    Filling::begin(book, "new.worksheet", "new.worksheet", text)
        .map_err(|report| format!("{:#?}", report.troubles).into())
}

/// Each case is a worksheet, then answers to its first line that is filled in; what comes of each stands below it.
fn answers() -> Held {
    let text = std::fs::read_to_string(ANSWERS)?;
    let mut found = String::new();
    for block in text.split_inclusive("\n\n") {
        let is_sheet = |line: &&str| line.starts_with("===") || !line.starts_with(['>', '$', '=']);
        let lines: Vec<&str> = block.lines().filter(|line| !line.is_empty()).collect();
        let sheet: Vec<&str> = lines.iter().copied().take_while(is_sheet).collect();
        let body: Vec<&str> = sheet.iter().copied().filter(|line| !line.starts_with("===")).collect();
        for line in &sheet {
            found += &format!("{line}\n");
        }
        for line in lines.iter().filter(|line| line.starts_with(['>', '$'])) {
            let mut filling = begun(format!("{}\n", body.join("\n")))?;
            let (sign, given) = line.split_once(' ').unwrap_or((line, ""));
            let number = filling.questions().iter().position(|question| question.is_asked).ok_or("no blank")?;
            let answered = match sign {
                ">" => filling.answer(number, given),
                _ => filling.answer_all(&[given.to_owned()]),
            };
            found += &format!("{line}\n{}", outcome(&filling, number, answered.err()));
        }
        found.push('\n');
    }
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(ANSWERS, &found)?;
        return Ok(());
    }
    same(&text, &found, Path::new(ANSWERS))
}

fn outcome(filling: &Filling, number: usize, troubles: Option<Vec<ReportTrouble>>) -> String {
    let Some(troubles) = troubles else {
        let line = filling.answer_of(number).map_or("stays as it is", |_| "");
        return format!("= {}{line}\n", if line.is_empty() { filling.line(number).unwrap() } else { String::new() });
    };
    let mut lines = String::new();
    for trouble in troubles {
        let width = trouble.column + trouble.length - 1;
        lines += &format!("= {}: {} [{} to {width}]\n", trouble.kind, trouble.says, trouble.column);
        lines += &trouble.instead.map(|instead| format!("  instead: {instead}\n")).unwrap_or_default();
    }
    lines
}

fn shipped(name: &str) -> Template {
    let text = template(name).unwrap().to_owned();
    Template { source: Source::of_text(name, text), whence: Whence::Program }
}

fn nothing_filled() -> Held {
    for (name, text) in TEMPLATES {
        let copied = begun(shipped(name).copied("new.worksheet"))?.text().map_err(|_| "in trouble")?;
        let note = copied.lines().find(|line| line.starts_with("-- From the template")).ok_or("no note")?;
        // Nothing else is changed.
        same(text, &copied.replacen(&format!("{note}\n\n"), "", 1), Path::new(name))?;
        let linked = shipped(name).linked("new.worksheet").map_err(|kind| kind.says())?;
        same(&linked.clone(), &begun(linked)?.text().map_err(|_| "in trouble")?, Path::new(name))?;
    }
    Ok(())
}

/// What a person has written into a sheet, by the names by which it is filled in.
fn written(source: Source) -> BTreeMap<String, String> {
    let gathered = catchwork::gathered::gather(source, "", &Alone, &catchwork::gathered::Texts::default());
    let text = |place| gathered.sources[0].slice(place).to_owned();
    let mut written = BTreeMap::new();
    for statement in &gathered.statements {
        if let StatementKind::Entry(name, literal) = &statement.kind {
            written.insert(name.key.clone(), text(literal.place));
        }
    }
    for run in &gathered.runs {
        for row in &run.rows {
            for (column, cell) in run.head.columns.iter().zip(row.cells.iter().skip(1)) {
                let name = format!("{}.{}, {}", run.head.name.key, column.name.key, text(row.cells[0]).to_lowercase());
                written.insert(name, text(*cell));
            }
        }
    }
    written
}

/// The example's sheets say which template they fill: what stands in them is given to it, line by line, and all that
/// can be given comes to the same.
fn twins() -> Held {
    let mut count = 0;
    for (name, path) in files(Path::new("worksheets/example")) {
        let Ok(text) = std::fs::read_to_string(&path) else { continue };
        let Some(rest) = text.split_once("-- The template ").map(|(_, rest)| rest) else { continue };
        let template = rest.split([',', ' ', '\n']).next().unwrap_or_default();
        let entries = written(Source::of_text(&name, text.clone()));
        let mut filling = begun(shipped(template).copied("new.worksheet"))?;
        let questions = filling.questions().to_vec();
        for (number, question) in questions.iter().enumerate() {
            let value = entries.get(&question.name.to_lowercase()).filter(|value| !value.is_empty());
            let Some(value) = value else { continue };
            if let Err(troubles) = filling.answer(number, value) {
                // The twin has rows of its own, which only its own text can name.
                if troubles.iter().all(|trouble| trouble.kind == "no-such-row") {
                    continue;
                }
                return Err(format!("{name}, {}: {value}: {troubles:#?}", question.name).into());
            }
            if filling.answer_of(number).is_some() {
                same(value, filling.answer_of(number).unwrap(), &path)?;
            }
            count += 1;
        }
    }
    if count < 200 { Err(format!("only {count} values were found").into()) } else { Ok(()) }
}
