//! The manual as it is written: its examples, and what it says of each. It works nothing.
//!
//! - A fenced block whose first word is `worksheet` is an example. `later` after it says that the program does not take
//!   it yet; a path after it gives it a name that other examples of the same `##` section can draw on.
//! - A block `csv` with a path is a file for the section's examples.
//! - A block `results`, `trouble` or `printed` says what the example above it comes to.
//! - A table headed `| write | get |` holds formulas `= …`, entries `: …` and checks `? …`, worked on top of the last
//!   example above it in its section that is in no trouble; one headed `| not | because | but |` holds what is refused.

use anyhow::{Context, Result, ensure};

/// The manual.
pub struct Page {
    /// All its lines.
    pub lines: Vec<String>,
    /// Its examples in order.
    pub examples: Vec<Example>,
}

/// An example.
#[derive(Clone, Default)]
pub struct Example {
    /// Its section and line, for the name of its test.
    pub name: String,
    /// The worksheet.
    pub sheet: String,
    /// What it is called in its folder.
    pub path: String,
    /// The files of its section, by path.
    pub files: Vec<(String, String)>,
    /// Whether the program does not take it yet.
    pub is_later: bool,
    /// What it comes to.
    pub expected: Vec<Expected>,
}

/// What an example comes to.
#[derive(Clone)]
pub struct Expected {
    /// How that is written.
    pub form: Form,
    /// The index of its first line in the manual.
    pub first: usize,
    /// Its lines.
    pub lines: Vec<String>,
}

/// How the manual writes what comes out.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Form {
    /// A block of results.
    Results,
    /// A block of troubles.
    Troubles,
    /// A block of what the command prints.
    Printed,
    /// A row of a table of what one gets.
    Gets,
    /// A row of a table of what is refused.
    Refused,
}

impl Form {
    /// Whether it says all troubles of the worksheet.
    pub fn is_of_troubles(self) -> bool {
        matches!(self, Self::Troubles | Self::Refused | Self::Printed)
    }
}

/// Reads the manual.
pub fn read(text: &str) -> Result<Page> {
    let lines: Vec<String> = text.lines().map(str::to_owned).collect();
    let mut reader = Reader { lines: &lines, examples: Vec::new(), section: Section::default() };
    let mut index = 0;
    while let Some(line) = lines.get(index) {
        index = reader.line(line, index).with_context(|| format!("line {}: {line}", index + 1))?;
    }
    reader.close_section();
    let examples = reader.examples;
    ensure!(!examples.is_empty(), "the manual has no example");
    Ok(Page { lines, examples })
}

#[derive(Default)]
struct Section {
    title: String,
    first_example: usize,
    files: Vec<(String, String)>,
    /// The table that the next rows belong to.
    table: Option<Form>,
}

struct Reader<'a> {
    lines: &'a [String],
    examples: Vec<Example>,
    section: Section,
}

impl Reader<'_> {
    /// Reads what begins at this line, and gives the index after it.
    fn line(&mut self, line: &str, index: usize) -> Result<usize> {
        if let Some(title) = line.strip_prefix("## ") {
            self.close_section();
            self.section =
                Section { title: title.to_owned(), first_example: self.examples.len(), ..Section::default() };
        }
        if let Some(info) = line.strip_prefix("```") {
            return self.block(info, index + 1);
        }
        match line.starts_with('|') {
            true => self.row(line, index)?,
            false => self.section.table = None,
        }
        Ok(index + 1)
    }

    /// The section's files are for all its examples.
    fn close_section(&mut self) {
        for example in self.examples.iter_mut().skip(self.section.first_example) {
            example.files = self.section.files.clone();
        }
    }

    fn block(&mut self, info: &str, first: usize) -> Result<usize> {
        let length = self.lines.iter().skip(first).position(|line| line == "```").context("a block is not closed")?;
        let lines: Vec<String> = self.lines.iter().skip(first).take(length).cloned().collect();
        let words: Vec<&str> = info.split_whitespace().collect();
        match words.as_slice() {
            ["worksheet", rest @ ..] => self.worksheet(rest, first, &lines)?,
            ["csv", path] => self.section.files.push(((*path).to_owned(), lines.join("\n") + "\n")),
            ["results"] => self.expect(Form::Results, first, lines)?,
            ["trouble"] => self.expect(Form::Troubles, first, lines)?,
            ["printed"] => self.expect(Form::Printed, first, lines)?,
            _ => ensure!(false, "no block is called `{info}`"),
        }
        Ok(first + length + 1)
    }

    fn worksheet(&mut self, words: &[&str], first: usize, lines: &[String]) -> Result<()> {
        let paths: Vec<&&str> = words.iter().filter(|word| **word != "later").collect();
        ensure!(paths.len() < 2, "an example has one path");
        let text = lines.join("\n") + "\n";
        let path = match paths.first() {
            Some(path) => {
                self.section.files.push(((**path).to_owned(), text.clone()));
                (**path).to_owned()
            }
            None => "example.worksheet".to_owned(),
        };
        self.examples.push(Example {
            name: format!("{}, line {first}", self.section.title),
            sheet: text,
            path,
            is_later: words.contains(&"later"),
            ..Example::default()
        });
        Ok(())
    }

    fn expect(&mut self, form: Form, first: usize, lines: Vec<String>) -> Result<()> {
        let in_section = self.examples.len() > self.section.first_example;
        let example = self.examples.last_mut().filter(|_| in_section).context("no example stands above this")?;
        ensure!(!lines.is_empty(), "the block is empty");
        example.expected.push(Expected { form, first, lines });
        Ok(())
    }

    fn row(&mut self, line: &str, index: usize) -> Result<()> {
        match line {
            _ if line.starts_with("| write | get |") => self.section.table = Some(Form::Gets),
            _ if line.starts_with("| not | because | but |") => self.section.table = Some(Form::Refused),
            _ if line.starts_with("| ---") => {}
            _ => {
                if let Some(form) = self.section.table {
                    self.example_of_row(form, line, index)?;
                }
            }
        }
        Ok(())
    }

    fn example_of_row(&mut self, form: Form, line: &str, index: usize) -> Result<()> {
        let cells = cells(line);
        let text = cells.first().context("a row without cells")?.trim_matches('`').replace("\\|", "|");
        let statement = match text.chars().next() {
            Some(':' | '=') => format!("example {text}"),
            Some('?') => format!("? example : {}", text.trim_start_matches('?').trim_start()),
            _ => text,
        };
        let above = self.examples.iter().skip(self.section.first_example).rev();
        let base = above.filter(|example| example.is_base()).map(|example| example.sheet.as_str()).next();
        self.examples.push(Example {
            name: format!("{}, line {}", self.section.title, index + 1),
            sheet: base.unwrap_or_default().to_owned() + &statement + "\n",
            path: "example.worksheet".to_owned(),
            expected: vec![Expected { form, first: index, lines: vec![line.to_owned()] }],
            ..Example::default()
        });
        Ok(())
    }
}

impl Example {
    /// Whether rows of a table are worked on top of it.
    fn is_base(&self) -> bool {
        let asks_results = self.expected.iter().any(|expected| expected.form == Form::Results);
        let is_refused = self.expected.iter().any(|expected| expected.form.is_of_troubles());
        asks_results && !is_refused && !self.is_later
    }
}

/// The cells of a row, trimmed; a bar within a cell is written `\|`.
pub fn cells(line: &str) -> Vec<String> {
    let inner = line.trim().trim_start_matches('|').replace("\\|", "\u{0}");
    let inner = inner.strip_suffix('|').unwrap_or(&inner).to_owned();
    inner.split('|').map(|cell| cell.trim().replace('\u{0}', "\\|")).collect()
}
