//! `catchwork templates`: the templates inside the program, with the job each is for; or written out into a folder.

use super::args::Templates;
use super::writing::create;
use super::{Status, complain};
use anyhow::{Context, Result};
use catchwork::gathered::shipped::TEMPLATES;
use catchwork::report::data::NOTICE;
use catchwork::report::letters::clean;
use catchwork::text::crew_folder::MARK;
use std::io::Write;
use std::path::Path;

/// What a new crew folder's mark says.
const MARK_TEXT: &str = "This file marks a crew folder: worksheets in it may draw on files in it, and on no others.\n";

/// Runs the command.
pub fn run(call: &Templates) -> Result<Status> {
    match &call.into {
        Some(folder) => into(folder, call.replace),
        None => list(),
    }
}

fn list() -> Result<Status> {
    let mut stream = std::io::stdout().lock();
    let width = TEMPLATES.iter().map(|(name, _)| name.len()).max().unwrap_or_default();
    for (name, text) in TEMPLATES {
        writeln!(stream, "{name:width$}  {}", title(text))?;
    }
    writeln!(stream, "\n{NOTICE}")?;
    Ok(Status::Worked)
}

/// The title of a worksheet: the job it is for.
fn title(text: &str) -> &str {
    text.lines().find_map(|line| line.strip_prefix("# ")).unwrap_or("").trim()
}

fn into(folder: &Path, replace: bool) -> Result<Status> {
    std::fs::create_dir_all(folder).with_context(|| format!("{} cannot be made", folder.display()))?;
    let mut status = Status::Worked;
    let sheets = TEMPLATES.iter().map(|(name, text)| (format!("{name}.worksheet"), *text));
    for (name, text) in sheets.chain([(MARK.to_owned(), MARK_TEXT)]) {
        let path = folder.join(&name);
        // A mark that is there already marks the folder, whatever it says.
        if name == MARK && path.exists() {
            continue;
        }
        match create(&path, text.as_bytes(), replace) {
            Ok(()) => writeln!(std::io::stdout().lock(), "{}", clean(&path.display().to_string()))?,
            Err(error) => {
                complain(&format!("{} is not written: {error}", path.display()));
                status = Status::Trouble;
            }
        }
    }
    Ok(status)
}
