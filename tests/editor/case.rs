//! How a case is written:
//!
//! ```text
//! === what it shows
//! @ methods/other.worksheet       a file of the crew folder; those without such a line are `sheet.worksheet`
//! …
//! @ sheet.worksheet               the last one is open in the editor, and not saved
//! mix = spray ‸volume * area      the cursor
//! --- hover                       what is asked
//! …                               what comes of it
//! ```

use std::fmt;

/// Where the cursor stands.
pub const CURSOR: char = '‸';

/// A case.
#[derive(Debug, Clone)]
pub struct Case {
    pub name: String,
    /// Paths in the crew folder and texts; the last is open.
    pub files: Vec<File>,
    pub asked: Vec<Asked>,
}

/// A file of the crew folder.
#[derive(Debug, Clone)]
pub struct File {
    /// As its line says it; none where it has no such line.
    pub path: Option<String>,
    pub text: String,
}

/// What is asked, and what comes of it.
#[derive(Debug, Clone)]
pub struct Asked {
    pub what: String,
    pub answer: String,
}

impl File {
    /// Its path in the crew folder.
    pub fn within(&self) -> &str {
        self.path.as_deref().unwrap_or("sheet.worksheet")
    }
}

impl Case {
    /// The text that is open, without the cursor, and the byte at which that stood.
    pub fn open(&self) -> (String, usize) {
        let text = &self.files.last().expect("a case has a worksheet").text;
        let at = text.find(CURSOR).unwrap_or(0);
        (text.replace(CURSOR, ""), at)
    }
}

impl fmt::Display for Case {
    fn fmt(&self, form: &mut fmt::Formatter<'_>) -> fmt::Result {
        writeln!(form, "=== {}", self.name)?;
        for file in &self.files {
            if let Some(path) = &file.path {
                writeln!(form, "@ {path}")?;
            }
            write!(form, "{}", file.text)?;
        }
        for asked in &self.asked {
            writeln!(form, "--- {}", asked.what)?;
            if !asked.answer.is_empty() {
                writeln!(form, "{}", asked.answer)?;
            }
        }
        writeln!(form)
    }
}

/// The cases of a file.
pub fn read(text: &str) -> Vec<Case> {
    let mut cases: Vec<Case> = Vec::new();
    for line in text.lines() {
        if let Some(name) = line.strip_prefix("=== ") {
            cases.push(Case { name: name.to_owned(), files: Vec::new(), asked: Vec::new() });
            continue;
        }
        let case = cases.last_mut().expect("a file begins with a case");
        if let Some(what) = line.strip_prefix("--- ") {
            case.asked.push(Asked { what: what.to_owned(), answer: String::new() });
        } else if let Some(asked) = case.asked.last_mut() {
            asked.answer += &format!("{line}\n");
        } else if let Some(path) = line.strip_prefix("@ ") {
            case.files.push(File { path: Some(path.to_owned()), text: String::new() });
        } else {
            if case.files.is_empty() {
                case.files.push(File { path: None, text: String::new() });
            }
            if let Some(file) = case.files.last_mut() {
                file.text += &format!("{line}\n");
            }
        }
    }
    for asked in cases.iter_mut().flat_map(|case| &mut case.asked) {
        asked.answer = asked.answer.trim_end().to_owned();
    }
    cases
}
