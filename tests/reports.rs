//! Kept outputs: every folder of `tests/reports` holds a worksheet and what the built program prints of it in every
//! form, compared whole. `UPDATE=1 cargo test --test reports` writes them anew. Each is worked on one day, in its own
//! folder; a file `options.txt` beside it holds more of the call, an argument a line.

use assert_cmd::cargo::cargo_bin;
use libtest_mimic::{Arguments, Failed, Trial};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use unicode_width::UnicodeWidthStr;

/// The forms, with the ending of the file in which each is kept.
const FORMS: [(&str, &str); 5] =
    [("text", "txt"), ("json", "json"), ("markdown", "md"), ("csv", "csv"), ("html", "html")];

/// The width of a page where there is no terminal.
const WIDTH: usize = 80;

fn main() -> Result<(), std::io::Error> {
    let mut arguments = Arguments::from_args();
    // Two writers of one file are one too many.
    if is_update() {
        arguments.test_threads = Some(1);
    }
    let entries = fs::read_dir(Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/reports"))?;
    let paths = entries.map(|entry| entry.map(|entry| entry.path())).collect::<Result<Vec<PathBuf>, _>>()?;
    let mut folders: Vec<PathBuf> = paths.into_iter().filter(|path| path.is_dir()).collect();
    folders.sort();
    assert!(folders.len() >= 12, "a dozen reports at least");
    libtest_mimic::run(&arguments, folders.iter().flat_map(|folder| trials(folder)).collect()).exit()
}

fn is_update() -> bool {
    std::env::var_os("UPDATE").is_some_and(|value| value == "1")
}

/// The tests of one worksheet: one a form, and what holds for all of them.
fn trials(folder: &Path) -> Vec<Trial> {
    let name = folder.file_name().unwrap_or_default().to_string_lossy().into_owned();
    let trial = |what: &str, test: fn(&Path) -> Result<(), Failed>| {
        let folder = folder.to_path_buf();
        Trial::test(format!("{name}::{what}"), move || test(&folder))
    };
    let mut trials: Vec<Trial> = FORMS
        .map(|(form, ending)| {
            let folder = folder.to_path_buf();
            Trial::test(format!("{name}::{form}"), move || is_as_kept(&folder, form, ending))
        })
        .into();
    trials.push(trial("schema", holds_to_the_schema));
    trials.push(trial("width", keeps_to_the_width));
    trials.push(trial("plain", is_ascii_when_plain));
    trials.push(trial("letters", holds_letters_only));
    trials.push(trial("cautions", says_the_cautions_first));
    trials
}

/// What the program prints, troubles aside.
fn printed(folder: &Path, form: &str, more: &[&str]) -> Result<String, Failed> {
    both_streams(folder, form, more).map(|(results, _)| results)
}

/// What the program prints, and the troubles that it shows.
fn both_streams(folder: &Path, form: &str, more: &[&str]) -> Result<(String, String), Failed> {
    let options = fs::read_to_string(folder.join("options.txt")).unwrap_or_default();
    let mut command = Command::new(cargo_bin!("catchwork"));
    command.current_dir(folder).args(["results", "in.worksheet", "--today", "2026-04-12", "--as", form]);
    let output = command.args(options.lines()).args(more).output()?;
    match output.status.code() {
        Some(0..=2) => Ok((String::from_utf8(output.stdout)?, String::from_utf8(output.stderr)?)),
        _ => Err(format!("ended with {}\n{}", output.status, String::from_utf8_lossy(&output.stderr)).into()),
    }
}

fn is_as_kept(folder: &Path, form: &str, ending: &str) -> Result<(), Failed> {
    let (printed, file) = (printed(folder, form, &[])?, folder.join(format!("out.{ending}")));
    if is_update() {
        return Ok(fs::write(file, printed)?);
    }
    let kept = fs::read_to_string(&file).map_err(|error| format!("{}: {error}", file.display()))?;
    match first_difference(&kept, &printed) {
        None => Ok(()),
        Some(difference) => {
            Err(format!("{}: {difference}\nUPDATE=1 writes what is printed now", file.display()).into())
        }
    }
}

/// The first line in which two texts differ, as it is kept and as it is printed.
fn first_difference(kept: &str, printed: &str) -> Option<String> {
    if kept == printed {
        return None;
    }
    let (kept, printed): (Vec<&str>, Vec<&str>) = (kept.split('\n').collect(), printed.split('\n').collect());
    let line = (0..).find(|line| kept.get(*line) != printed.get(*line))?;
    let shown = |lines: &[&str]| lines.get(line).map_or("the end".to_owned(), |line| format!("`{line}`"));
    Some(format!("line {}\n  kept:    {}\n  printed: {}", line + 1, shown(&kept), shown(&printed)))
}

fn holds_to_the_schema(folder: &Path) -> Result<(), Failed> {
    let schema: serde_json::Value = serde_json::from_str(include_str!("schema/report.schema.json"))?;
    let schema = jsonschema::validator_for(&schema).map_err(|error| error.to_string())?;
    let array: serde_json::Value = serde_json::from_str(&printed(folder, "json", &[])?)?;
    let line: serde_json::Value = serde_json::from_str(&printed(folder, "jsonl", &[])?)?;
    if array[0] != line {
        return Err("the array and the line differ".into());
    }
    let against: Vec<String> = [&array, &line]
        .iter()
        .flat_map(|report| schema.iter_errors(report))
        .map(|error| format!("{}: {error}", error.instance_path()))
        .collect();
    if against.is_empty() { Ok(()) } else { Err(against.join("\n").into()) }
}

/// No line of the text is wider than the page, and no line of it ends in spaces.
fn keeps_to_the_width(folder: &Path) -> Result<(), Failed> {
    for more in [&[][..], &["--plain"]] {
        let text = printed(folder, "text", more)?;
        if let Some(wide) = text.lines().find(|line| line.width() > WIDTH || line.ends_with(' ')) {
            return Err(format!("{} columns: `{wide}`", wide.width()).into());
        }
    }
    Ok(())
}

fn is_ascii_when_plain(folder: &Path) -> Result<(), Failed> {
    let text = printed(folder, "text", &["--plain"])?;
    let odd: String = text.chars().filter(|letter| !letter.is_ascii()).collect();
    if odd.is_empty() { Ok(()) } else { Err(format!("`{odd}` in\n{text}").into()) }
}

/// Nothing that a terminal would obey, and nothing that turns the direction of writing, in any form.
fn holds_letters_only(folder: &Path) -> Result<(), Failed> {
    for (form, _) in FORMS {
        let (results, troubles) = both_streams(folder, form, &[])?;
        let obeyed = |letter: &char| {
            letter.is_control() && *letter != '\n'
                || matches!(letter, '\u{200b}'..='\u{200f}' | '\u{202a}'..='\u{202e}')
        };
        if let Some(letter) = results.chars().chain(troubles.chars()).find(obeyed) {
            return Err(format!("{} in {form}", letter.escape_unicode()).into());
        }
    }
    Ok(())
}

/// The caution lines of the worksheet, those aside that are refused for a letter in them, are all there, and with the
/// notice they stand before its first value in every form.
fn says_the_cautions_first(folder: &Path) -> Result<(), Failed> {
    let json: serde_json::Value = serde_json::from_str(&printed(folder, "json", &[])?)?;
    let sheet = fs::read_to_string(folder.join("in.worksheet"))?;
    let refused = |line: &&str| line.contains(char::is_control);
    let own: Vec<&str> =
        sheet.lines().filter_map(|line| line.strip_prefix("! ")).filter(|line| !refused(line)).collect();
    let cautions: Vec<String> = serde_json::from_value(json[0]["cautions"].clone())?;
    if !own.iter().all(|own| cautions.iter().any(|caution| caution == own)) {
        return Err(format!("{cautions:?} for {own:?}").into());
    }
    for (form, head) in [("text", "  from"), ("markdown", "| name |"), ("html", "<table"), ("csv", "entry,")] {
        let text = printed(folder, form, &[])?;
        let value = text.lines().position(|line| line.contains(head));
        let before = |words: &str| text.lines().position(|line| line.contains(words)) < value;
        if form == "csv" && text.lines().take_while(|line| !line.starts_with("notice,")).count() != 1 + cautions.len() {
            return Err(format!("{form}: the cautions do not come first").into());
        }
        if value.is_some() && !before("The product label and local rules") {
            return Err(format!("{form}: the notice comes after a value").into());
        }
    }
    Ok(())
}
