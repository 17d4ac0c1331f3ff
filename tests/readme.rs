//! The README: what it shows is what the program prints, the commands it names are those there are, and its test command
//! is the one that `.ci/run` ends on. DEVELOPERS.md: it names every file. No worksheet's meaning is known here.
//!
//! A block `console` opens with a call; `…` in it stands for lines left out. A block `worksheet` is the file of that name.

use anyhow::{Context, Result, ensure};
use std::collections::BTreeSet;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;
use walkdir::WalkDir;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");
/// The heading under which stands what is planned, as long as something is.
const PLANNED: &str = "### Not there yet";

/// A fenced block: what stands behind its fence, and its lines.
struct Block {
    info: String,
    lines: Vec<String>,
}

#[test]
fn what_it_shows_is_what_the_program_prints() -> Result<()> {
    let readme = readme()?;
    let blocks = blocks(&readme)?;
    let folder = written_out(&blocks)?;
    let mut renewed = readme.clone();
    for block in blocks.iter().filter(|block| block.info == "console") {
        renewed = renewed.replace(&block.lines.join("\n"), &as_printed(block, folder.path())?.join("\n"));
    }
    ensure!(blocks.iter().any(|block| block.info == "console"), "the README shows no output");
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(Path::new(ROOT).join("README.md"), renewed)?;
        return Ok(());
    }
    assert_eq!(readme, renewed, "UPDATE=1 cargo test --test readme writes what the program prints");
    Ok(())
}

#[test]
fn its_worksheets_are_laid_out_as_format_has_them() -> Result<()> {
    let blocks = blocks(&readme()?)?;
    let folder = written_out(&blocks)?;
    for name in blocks.iter().filter_map(|block| block.info.strip_prefix("worksheet ")) {
        let output = catchwork(&["format", "--check", name], folder.path())?;
        // 1 is one that would be laid out otherwise; what is in trouble is left alone.
        ensure!(output.status.code() != Some(1), "{name} would be laid out otherwise");
    }
    Ok(())
}

#[test]
fn it_names_the_commands_that_there_are() -> Result<()> {
    let readme = readme()?;
    let (there, planned) = readme.split_once(PLANNED).unwrap_or((&readme, ""));
    let rows = there.lines().filter_map(|line| line.strip_prefix("| `catchwork "));
    let named: BTreeSet<&str> = rows.filter_map(|row| row.split([' ', '`']).next()).collect();
    let help = printed(&catchwork(&["--help"], Path::new(ROOT))?);
    let commands: BTreeSet<&str> = commands(&help).filter(|command| *command != "help").collect();
    ensure!(named == commands, "the README's table has {named:?}, and the program {commands:?}");
    let planned = planned.split("\n\n").nth(1).unwrap_or_default();
    let planned: BTreeSet<&str> = planned.split('`').skip(1).step_by(2).collect();
    ensure!(planned.is_disjoint(&commands), "planned and there: {planned:?}, {commands:?}");
    Ok(())
}

#[test]
fn its_test_command_is_the_last_of_the_checks() -> Result<()> {
    let checks = std::fs::read_to_string(Path::new(ROOT).join(".ci/run"))?;
    let last = checks.lines().rfind(|line| !line.is_empty()).context(".ci/run is empty")?.to_owned();
    let shell = blocks(&readme()?)?.into_iter().filter(|block| block.info == "sh");
    let tests: Vec<String> =
        shell.flat_map(|block| block.lines).filter(|line| line.starts_with("cargo test")).collect();
    ensure!(tests == [last.clone()], "the README tests by {tests:?}, and .ci/run ends on {last:?}");
    Ok(())
}

/// A file stands there by its own name; one of a folder within a folder by that folder's, such as `mistakes/`.
#[test]
fn every_file_is_on_the_map_for_developers() -> Result<()> {
    let map = std::fs::read_to_string(Path::new(ROOT).join("DEVELOPERS.md"))?;
    let mut missing = Vec::new();
    for entry in WalkDir::new(Path::new(ROOT).join("src")).sort_by_file_name() {
        let entry = entry?;
        let (path, name) = (entry.path(), entry.file_name().to_string_lossy());
        let is_source = name.ends_with(".rs") && name != "mod.rs" && name != "tests.rs";
        let folder = path.parent().and_then(Path::file_name).unwrap_or_default().to_string_lossy();
        let is_deep = entry.depth() > 2 && map.contains(&format!("`{folder}/`"));
        if is_source
            && !is_deep
            && ![&*name, &format!("{folder}/{name}")].iter().any(|name| map.contains(&format!("`{name}`")))
        {
            missing.push(path.display().to_string());
        }
    }
    ensure!(missing.is_empty(), "DEVELOPERS.md says of none of these what it owns: {missing:#?}");
    Ok(())
}

fn readme() -> Result<String> {
    Ok(std::fs::read_to_string(Path::new(ROOT).join("README.md"))?)
}

fn blocks(text: &str) -> Result<Vec<Block>> {
    let mut blocks = Vec::new();
    let mut lines = text.lines();
    while let Some(line) = lines.next() {
        let Some(info) = line.strip_prefix("```") else { continue };
        let mut block = Block { info: info.to_owned(), lines: Vec::new() };
        loop {
            match lines.next().with_context(|| format!("a block `{info}` is not closed"))? {
                "```" => break,
                line => block.lines.push(line.to_owned()),
            }
        }
        blocks.push(block);
    }
    Ok(blocks)
}

/// A folder with the worksheets that the README holds.
fn written_out(blocks: &[Block]) -> Result<TempDir> {
    let folder = TempDir::new()?;
    for block in blocks {
        if let Some(name) = block.info.strip_prefix("worksheet ") {
            std::fs::write(folder.path().join(name), block.lines.join("\n") + "\n")?;
        }
    }
    Ok(folder)
}

/// The block as its call prints it, the same lines left out.
fn as_printed(block: &Block, folder: &Path) -> Result<Vec<String>> {
    let (call, expected) = block.lines.split_first().context("an empty block")?;
    let words: Vec<&str> = call.strip_prefix("$ catchwork ").context("no call")?.split(' ').collect();
    let is_shipped = words.last().is_some_and(|path| path.starts_with("worksheets/"));
    let printed = printed(&catchwork(&words, if is_shipped { Path::new(ROOT) } else { folder })?);
    let lines: Vec<&str> = printed.lines().collect();
    let kept = kept(expected, &lines).with_context(|| format!("{call} prints:\n{printed}"))?;
    Ok(std::iter::once(call.clone()).chain(kept).collect())
}

/// Of the lines printed those that the README shows: a part behind `…` goes from the line it begins with to the line it
/// ends with, the last one to the end.
fn kept(expected: &[String], lines: &[&str]) -> Result<Vec<String>> {
    let parts: Vec<&[String]> = expected.split(|line| line == "…").collect();
    let place = |line: &String, from: usize| Some(from + lines.iter().skip(from).position(|own| own == line)?);
    let (mut kept, mut from) = (Vec::new(), 0);
    for (number, part) in parts.iter().enumerate() {
        let (Some(first), Some(last)) = (part.first(), part.last()) else { continue };
        if number > 0 {
            from = place(first, from).with_context(|| format!("no line `{first}` behind `…`"))?;
            kept.push("…".to_owned());
        }
        let end = if number + 1 == parts.len() { Some(lines.len()) } else { place(last, from).map(|last| last + 1) };
        let end = end.with_context(|| format!("no line `{last}` before `…`"))?;
        kept.extend(lines.iter().take(end).skip(from).map(|line| (*line).to_owned()));
        from = end;
    }
    Ok(kept)
}

/// What a call prints: results, then troubles.
fn printed(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

fn catchwork(words: &[&str], folder: &Path) -> Result<Output> {
    Ok(Command::new(env!("CARGO_BIN_EXE_catchwork")).args(words).current_dir(folder).output()?)
}

/// The commands that the help lists.
fn commands(help: &str) -> impl Iterator<Item = &str> {
    let list = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let rows = list.take_while(|line| !line.is_empty()).filter_map(|line| line.strip_prefix("  "));
    // What is about a command may take a second line, further in.
    rows.filter(|row| !row.starts_with(' ')).filter_map(|row| row.split(' ').next())
}
