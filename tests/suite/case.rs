//! Cases as they are written: a file's cases, and which lines of each are its worksheet. It works nothing.
//!
//! A case is `=== its name` and the lines up to the next. Text before a file's first case is about the file.
//!
//! - `^^^^ kind: says` under a line, its carets under the spot, is a trouble of that line (carets count characters), and
//!   `instead: …` under it what to write instead, `beside: line N` the line of a second place that is shown with it.
//! - `=> …` is what must come out; see `outcome.rs`.
//! - `<= name : value` is an entry set for the run, as `--set` does it.
//! - All other lines are the worksheet's. What cannot be seen is written `\u{a0}`, `\t` or `\r` there; carets stand under
//!   all of such an escape.

use anyhow::{Context, Result, ensure};
use std::path::{Path, PathBuf};

const FOLDER: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/suite");

/// A file of cases.
pub struct CaseFile {
    /// Where it is.
    pub path: PathBuf,
    /// What stands before its first case.
    pub opening: String,
    /// Its cases in order.
    pub cases: Vec<Case>,
}

/// A case.
pub struct Case {
    /// Its name.
    pub name: String,
    /// Its file and line, for messages.
    pub at: String,
    /// All its lines but the first, as they are written.
    pub body: String,
}

/// A line of a case.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Line<'a> {
    /// A line of the worksheet.
    Worksheet(&'a str),
    /// `<= name : value`, without the sign.
    Setting(&'a str),
    /// `^^^^ kind: says`: the kind.
    Trouble(&'a str),
    /// `instead: …` or `beside: line N` under a trouble.
    Instead,
    /// `=> …`, without the sign.
    Asked(&'a str),
}

/// All files of cases, in the order of their paths.
pub fn files() -> Result<Vec<CaseFile>> {
    let mut paths = Vec::new();
    collect(Path::new(FOLDER), &mut paths)?;
    paths.sort();
    paths.into_iter().map(read).collect()
}

fn collect(folder: &Path, paths: &mut Vec<PathBuf>) -> Result<()> {
    for entry in std::fs::read_dir(folder).with_context(|| folder.display().to_string())? {
        let path = entry?.path();
        if path.is_dir() {
            collect(&path, paths)?;
        } else if path.extension().is_some_and(|ending| ending == "cases") {
            paths.push(path);
        }
    }
    Ok(())
}

fn read(path: PathBuf) -> Result<CaseFile> {
    let text = std::fs::read_to_string(&path).with_context(|| path.display().to_string())?;
    let shown = path.strip_prefix(FOLDER).unwrap_or(&path).display().to_string();
    let mut file = CaseFile { path, opening: String::new(), cases: Vec::new() };
    for (index, line) in text.lines().enumerate() {
        if let Some(name) = line.strip_prefix("=== ") {
            let at = format!("{shown}:{}", index + 1);
            file.cases.push(Case { name: name.trim().to_owned(), at, body: String::new() });
        } else {
            let text = file.cases.last_mut().map_or(&mut file.opening, |case| &mut case.body);
            *text += line.trim_end();
            *text += "\n";
        }
    }
    for case in &mut file.cases {
        case.body.truncate(case.body.trim_end().len());
        case.body += "\n";
    }
    ensure!(!file.cases.is_empty(), "{shown} holds no case");
    Ok(file)
}

impl Case {
    /// Its lines and what each of them is.
    pub fn lines(&self) -> Vec<Line<'_>> {
        let mut lines = Vec::new();
        for line in self.body.lines() {
            let is_below_trouble = matches!(lines.last(), Some(Line::Trouble(_) | Line::Instead));
            let is_more = ["instead: ", "beside: line "].into_iter().any(|word| line.trim_start().starts_with(word));
            lines.push(match (line.strip_prefix("=> "), line.strip_prefix("<= "), trouble_kind(line)) {
                (Some(asked), _, _) => Line::Asked(asked),
                (_, Some(setting), _) => Line::Setting(setting),
                (_, _, Some(kind)) => Line::Trouble(kind),
                _ if is_below_trouble && is_more => Line::Instead,
                _ => Line::Worksheet(line),
            });
        }
        lines
    }

    /// The worksheet, with what is written as escapes put in.
    pub fn worksheet(&self) -> String {
        self.lines()
            .iter()
            .filter_map(|line| match line {
                Line::Worksheet(line) => Some(unescaped(line) + "\n"),
                _ => None,
            })
            .collect()
    }

    /// What is set for the run.
    pub fn settings(&self) -> Vec<String> {
        self.lines()
            .iter()
            .filter_map(|line| match line {
                Line::Setting(setting) => Some(unescaped(setting)),
                _ => None,
            })
            .collect()
    }

    /// The kinds of its troubles.
    pub fn kinds(&self) -> Vec<&str> {
        self.lines()
            .into_iter()
            .filter_map(|line| match line {
                Line::Trouble(kind) => Some(kind),
                _ => None,
            })
            .collect()
    }

    /// Whether there is anything in it that could fail.
    pub fn expects_something(&self) -> bool {
        self.lines().iter().any(|line| matches!(line, Line::Trouble(_) | Line::Asked(_)))
    }
}

/// The kind that a line of carets names.
fn trouble_kind(line: &str) -> Option<&str> {
    let marked = line.trim_start().trim_start_matches('^');
    let (kind, _) = marked.strip_prefix(' ')?.split_once(':')?;
    let is_kind = kind.chars().all(|character| character.is_ascii_lowercase() || "-0123456789".contains(character));
    (is_kind && marked.len() < line.trim_start().len()).then_some(kind)
}

/// The characters of a written line, each with how many characters it is written with.
pub fn characters(line: &str) -> Vec<(char, usize)> {
    let mut characters = Vec::new();
    let mut rest = line;
    while let Some(first) = rest.chars().next() {
        let (character, length) = escape(rest).unwrap_or((first, first.len_utf8()));
        let written = rest.get(..length).map_or(1, |written| written.chars().count());
        characters.push((character, written));
        rest = rest.get(length..).unwrap_or_default();
    }
    characters
}

fn unescaped(line: &str) -> String {
    characters(line).into_iter().map(|(character, _)| character).collect()
}

/// The escape at the start of a text, and its length.
fn escape(text: &str) -> Option<(char, usize)> {
    if text.starts_with("\\t") {
        return Some(('\t', 2));
    }
    if text.starts_with("\\r") {
        return Some(('\r', 2));
    }
    let (code, _) = text.strip_prefix("\\u{")?.split_once('}')?;
    let character = char::from_u32(u32::from_str_radix(code, 16).ok()?)?;
    Some((character, code.len() + 4))
}
