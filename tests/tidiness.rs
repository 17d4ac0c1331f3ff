//! The manners of the source itself: every module says what it yields, no stage names a later one, and what is said to
//! people about what is wrong stands in one place.

#![allow(clippy::panic, reason = "a test fails by panicking")]

use std::collections::BTreeSet;
use std::fs;
use std::path::{Path, PathBuf};

const ROOT: &str = env!("CARGO_MANIFEST_DIR");

/// Each folder of the library, and what it may name beside itself. Data flows from text to report; `units`, `quantity`
/// and `trouble` serve them all, and `trouble` knows texts and dates only to say what is wrong with them.
const MAY_NAME: [(&str, &[&str]); 11] = [
    ("text", &[]),
    ("units", &[]),
    ("quantity", &[]),
    ("trouble", &["text", "quantity", "units"]),
    ("syntax", &["text", "trouble", "quantity"]),
    ("gathered", &["text", "trouble", "syntax"]),
    ("checked", &["text", "trouble", "quantity", "units", "syntax", "gathered"]),
    ("worked", &["text", "trouble", "quantity", "units", "syntax", "gathered", "checked"]),
    ("report", &["text", "trouble", "quantity", "units", "syntax", "gathered", "checked", "worked"]),
    ("editing", &["text", "trouble", "quantity", "units", "syntax", "gathered", "checked", "report"]),
    ("filled", &["text", "trouble", "units", "syntax", "gathered", "checked", "report"]),
];

/// All files of Rust below a folder.
fn files(folder: &str) -> Vec<PathBuf> {
    let mut files = Vec::new();
    collect(&Path::new(ROOT).join(folder), &mut files);
    files.sort();
    assert!(!files.is_empty(), "{folder} holds no file of Rust");
    files
}

fn collect(folder: &Path, files: &mut Vec<PathBuf>) {
    let Ok(entries) = fs::read_dir(folder) else { return };
    for path in entries.flatten().map(|entry| entry.path()) {
        if path.is_dir() {
            collect(&path, files);
        } else if path.extension().is_some_and(|ending| ending == "rs") {
            files.push(path);
        }
    }
}

fn read(path: &Path) -> String {
    fs::read_to_string(path).unwrap_or_else(|error| panic!("{}: {error}", path.display()))
}

fn shown(path: &Path) -> String {
    path.strip_prefix(ROOT).unwrap_or(path).display().to_string()
}

#[test]
fn every_module_says_what_it_yields() {
    let silent: Vec<String> = ["src", "tests", "grammar"]
        .into_iter()
        .flat_map(files)
        .filter(|path| !read(path).starts_with("//! "))
        .map(|path| shown(&path))
        .collect();
    assert!(silent.is_empty(), "these modules do not open with `//!`: {silent:#?}");
}

#[test]
fn no_stage_names_a_later_one() {
    let mut wrong = Vec::new();
    for (stage, may_name) in MAY_NAME {
        for path in files(&format!("src/{stage}")) {
            let named = crates_named(&read(&path));
            let later = named.iter().filter(|name| *name != stage && !may_name.contains(&name.as_str()));
            wrong.extend(later.map(|name| format!("{} names crate::{name}", shown(&path))));
        }
    }
    assert!(wrong.is_empty(), "{wrong:#?}");
}

/// The modules that a file names by `crate::`, in a group of imports too.
fn crates_named(text: &str) -> BTreeSet<String> {
    let word =
        |rest: &str| rest.chars().take_while(|letter| letter.is_alphanumeric() || *letter == '_').collect::<String>();
    let mut named = BTreeSet::new();
    for (index, _) in text.match_indices("crate::") {
        let rest = &text[index + "crate::".len()..];
        match rest.strip_prefix('{') {
            Some(group) => named.extend(group.split('}').next().unwrap_or("").split(',').map(|name| word(name.trim()))),
            None => drop(named.insert(word(rest))),
        }
    }
    named.retain(|name| MAY_NAME.iter().any(|(stage, _)| stage == name));
    named
}

#[test]
fn commands_use_the_library_as_an_outsider_would() {
    let mut paths = files("src/commands");
    paths.push(Path::new(ROOT).join("src/main.rs"));
    for path in paths {
        let named = crates_named(&read(&path));
        assert!(named.is_empty(), "{} reaches into the library: {named:?}", shown(&path));
    }
}

/// What a value shows is no trouble.
const SHOWN: &str = "src/quantity/shown.rs";

/// A sentence for people is no business of what finds it wrong: that hands over a kind and its data. (`checked` and
/// `worked` hand over what a value is in words, `a date with an hour`, which are data here.)
#[test]
fn what_is_wrong_is_said_in_one_place() {
    let mut wrong = Vec::new();
    for stage in ["text", "units", "quantity", "syntax"] {
        for path in files(&format!("src/{stage}"))
            .into_iter()
            .filter(|path| !path.ends_with("tests.rs") && shown(path) != SHOWN)
        {
            let text = read(&path);
            let code = text.split("#[cfg(test)]\nmod tests {").next().unwrap_or(&text);
            let sentences = literals(code).into_iter().filter(|literal| plain_words(literal) > 5);
            wrong.extend(sentences.map(|literal| format!("{}: {literal:?}", shown(&path))));
        }
    }
    assert!(wrong.is_empty(), "these belong to src/trouble: {wrong:#?}");
}

/// The string literals of a file; comments, single characters and the reasons of lints aside.
fn literals(code: &str) -> Vec<String> {
    let mut literals = Vec::new();
    let mut rest = code;
    while let Some(start) = rest.find(['"', '/', '\'', '#']) {
        let (opening, after) = (&rest[start..=start], &rest[start + 1..]);
        rest = match opening {
            "/" if after.starts_with('/') => after.split_once('\n').map_or("", |(_, next)| next),
            "#" if after.starts_with('[') || after.starts_with("![") => {
                after.split_once("]\n").map_or("", |(_, next)| next)
            }
            "\'" => after_character(after),
            "\"" => {
                let end = closing_quote(after);
                literals.push(after[..end].to_owned());
                after.get(end + 1..).unwrap_or("")
            }
            _ => after,
        };
    }
    literals
}

/// What follows a single character, or a lifetime's mark.
fn after_character(after: &str) -> &str {
    let length = match after.strip_prefix('\\') {
        Some(escaped) => 1 + escaped.find('\'').unwrap_or(escaped.len()).max(1),
        None => after.chars().next().map_or(0, char::len_utf8),
    };
    match after.get(length..) {
        Some(closed) if closed.starts_with('\'') => &closed[1..],
        _ => after,
    }
}

fn closing_quote(after: &str) -> usize {
    let mut is_escaped = false;
    for (index, character) in after.char_indices() {
        match character {
            _ if is_escaped => is_escaped = false,
            '\\' => is_escaped = true,
            '"' => return index,
            _ => {}
        }
    }
    after.len()
}

/// How many words of letters alone stand in a literal, what is put in by name left out.
fn plain_words(literal: &str) -> usize {
    let mut parts = literal.split('{');
    let first = parts.next().unwrap_or("");
    let others = parts.map(|part| part.split_once('}').map_or("", |(_, rest)| rest));
    std::iter::once(first)
        .chain(others)
        .flat_map(str::split_whitespace)
        .filter(|word| word.chars().any(char::is_alphabetic))
        .filter(|word| word.chars().all(|letter| letter.is_alphabetic() || ".,;:".contains(letter)))
        .count()
}

/// `tests/mutation/unchanged.tsv` says of mutants why they change nothing, each by the line that it is in.
#[test]
fn what_changes_nothing_still_stands() {
    let list = read(&Path::new(ROOT).join("tests/mutation/unchanged.tsv"));
    for row in list.lines().skip(1) {
        let [file, change, line, why] = row.split('\t').collect::<Vec<_>>()[..] else { panic!("four columns: {row}") };
        let source = read(&Path::new(ROOT).join(file));
        assert!(source.lines().any(|own| own.trim() == line), "{file} has no line `{line}`, in which to {change}");
        assert!(!why.is_empty(), "{file}: why does it change nothing to {change}?");
    }
}
