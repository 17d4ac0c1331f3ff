//! Kept consoles: a folder with worksheets and a file `console.txt`, in which each call of the program, behind `$`, is
//! followed by what it prints, what it says on standard error behind `!`, and the status it ends with. `UPDATE=1` writes
//! what it prints now. Whatever a call prints keeps to some laws, looked after here too.

use assert_cmd::cargo::cargo_bin;
use libtest_mimic::{Failed, Trial};
use std::fs;
use std::path::{Path, PathBuf};
use std::process::Command;
use unicode_width::UnicodeWidthStr;

/// The width of a page where there is no terminal.
const WIDTH: usize = 80;

const NOTICE: &str = "The product label and local rules decide";

/// A test for each folder below one of `tests`.
pub fn trials(below: &str) -> Vec<Trial> {
    let root = Path::new(env!("CARGO_MANIFEST_DIR")).join("tests").join(below);
    let entries = fs::read_dir(&root).unwrap_or_else(|error| panic!("{}: {error}", root.display()));
    let mut folders: Vec<PathBuf> = entries.filter_map(|entry| Some(entry.ok()?.path())).collect();
    folders.retain(|folder| folder.join("console.txt").exists());
    folders.sort();
    let name = |folder: &Path| folder.file_name().unwrap_or_default().to_string_lossy().replace('-', " ");
    folders.into_iter().map(|folder| Trial::test(name(&folder), move || holds(&folder))).collect()
}

fn holds(folder: &Path) -> Result<(), Failed> {
    let path = folder.join("console.txt");
    let kept = fs::read_to_string(&path)?;
    let calls: Vec<&str> = kept.lines().filter_map(|line| line.strip_prefix("$ ")).collect();
    let mut printed = String::new();
    for call in calls {
        printed += &format!("$ {call}\n{}\n", answered(folder, call)?);
    }
    if std::env::var_os("UPDATE").is_some_and(|value| value == "1") {
        return Ok(fs::write(&path, printed)?);
    }
    match first_difference(&kept, &printed) {
        None => Ok(()),
        Some(difference) => {
            Err(format!("{}: {difference}\nUPDATE=1 writes what is printed now", path.display()).into())
        }
    }
}

/// What a call prints, and how it ends.
fn answered(folder: &Path, call: &str) -> Result<String, Failed> {
    let words = words(call.strip_prefix("catchwork ").ok_or("a call of catchwork")?);
    let output = Command::new(cargo_bin!("catchwork")).args(&words).current_dir(folder).output()?;
    let (stdout, stderr) = (String::from_utf8(output.stdout)?, String::from_utf8(output.stderr)?);
    keeps_to_the_laws(folder, &words, &stdout).map_err(|law| Failed::from(format!("{call}: {law}\n{stdout}")))?;
    let mut answer = stdout;
    answer.extend(stderr.lines().map(|line| format!("! {line}").trim_end().to_owned() + "\n"));
    Ok(answer + &format!("= {}\n", output.status.code().ok_or("it did not end by itself")?))
}

/// The words of a call; those in double quotes stay together.
fn words(call: &str) -> Vec<String> {
    let parts = call.split('"').enumerate();
    parts
        .flat_map(|(place, part)| match place % 2 {
            1 => vec![part.to_owned()],
            _ => part.split_whitespace().map(str::to_owned).collect(),
        })
        .collect()
}

/// What holds for every page: its width, its letters, ASCII where that was asked for, and before any figure the notice and
/// the cautions of every worksheet that the call names.
fn keeps_to_the_laws(folder: &Path, words: &[String], page: &str) -> Result<(), String> {
    if page.is_empty() {
        return Ok(());
    }
    if let Some(line) = page.lines().find(|line| line.width() > WIDTH || line.ends_with(' ')) {
        return Err(format!("{} columns: `{line}`", line.width()));
    }
    if page.chars().any(|letter| letter.is_control() && letter != '\n') {
        return Err("a control character is printed".to_owned());
    }
    if words.iter().any(|word| word == "--plain") && !page.is_ascii() {
        return Err("it is not plain".to_owned());
    }
    let heading = page.find("──").or(page.find("----")).unwrap_or(page.len());
    let before = flat(page.get(..heading).unwrap_or(page));
    let sheets = words.iter().filter_map(|word| fs::read_to_string(folder.join(word)).ok());
    let cautions: Vec<String> = sheets
        .flat_map(|text| text.lines().filter(|line| line.starts_with("! ")).map(flat).collect::<Vec<_>>())
        .collect();
    let missing = cautions.iter().map(String::as_str).chain([NOTICE]).find(|words| !before.contains(words));
    missing.map_or(Ok(()), |words| Err(format!("`{words}` does not come first")))
}

/// Words with single spaces between them.
fn flat(text: &str) -> String {
    text.split_whitespace().collect::<Vec<_>>().join(" ")
}

/// The first line in which two texts differ.
fn first_difference(kept: &str, printed: &str) -> Option<String> {
    if kept == printed {
        return None;
    }
    let (kept, printed): (Vec<&str>, Vec<&str>) = (kept.split('\n').collect(), printed.split('\n').collect());
    let line = (0..).find(|line| kept.get(*line) != printed.get(*line))?;
    let shown = |lines: &[&str]| lines.get(line).map_or("the end".to_owned(), |line| format!("`{line}`"));
    Some(format!("line {}\n  kept:    {}\n  printed: {}", line + 1, shown(&kept), shown(&printed)))
}
