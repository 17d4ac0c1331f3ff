//! The README and the tour of the example: what they show is what the program prints. The README: the commands it names
//! are those there are, and its test command is the one that `.ci/run` ends on. DEVELOPERS.md: it names every file. No
//! worksheet's meaning is known here.
//!
//! A block `console` opens with a call; `…` in it stands for lines left out. A block `worksheet` is the file of that name.

#[path = "readme/shown.rs"]
mod shown;

use anyhow::{Context, Result, ensure};
use shown::{Block, blocks, catchwork, printed, renewed};
use std::collections::BTreeSet;
use std::path::Path;
use tempfile::TempDir;
use walkdir::WalkDir;

const ROOT: &str = env!("CARGO_MANIFEST_DIR");
/// The heading under which stands what is planned, as long as something is.
const PLANNED: &str = "### Not there yet";

#[test]
fn what_it_shows_is_what_the_program_prints() -> Result<()> {
    let readme = readme()?;
    hold("README.md", &readme, written_out(&blocks(&readme)?)?.path())
}

/// The tour's commands are called one after another in a copy of the example, so that one may write what another reads.
#[test]
fn what_the_tour_shows_is_what_the_program_prints() -> Result<()> {
    let (copy, example) = (TempDir::new()?, Path::new(ROOT).join("worksheets/example"));
    for entry in WalkDir::new(&example) {
        let entry = entry?;
        let to = copy.path().join(entry.path().strip_prefix(&example)?);
        match entry.file_type().is_dir() {
            true => std::fs::create_dir_all(to)?,
            false => std::fs::copy(entry.path(), to).map(|_| ())?,
        }
    }
    let tour = std::fs::read_to_string(example.join("TOUR.md"))?;
    let calls = blocks(&tour)?.iter().filter(|block| block.info == "console").count();
    ensure!(calls == 10, "{calls} commands, where the tour promises ten");
    hold("worksheets/example/TOUR.md", &tour, copy.path())
}

/// Holds a page to what the program prints, or writes it.
fn hold(name: &str, page: &str, folder: &Path) -> Result<()> {
    let renewed = renewed(page, folder)?;
    if std::env::var_os("UPDATE").is_some() {
        return Ok(std::fs::write(Path::new(ROOT).join(name), renewed)?);
    }
    assert_eq!(page, renewed, "UPDATE=1 cargo test --test readme writes what the program prints");
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

/// The commands that the help lists.
fn commands(help: &str) -> impl Iterator<Item = &str> {
    let list = help.lines().skip_while(|line| *line != "Commands:").skip(1);
    let rows = list.take_while(|line| !line.is_empty()).filter_map(|line| line.strip_prefix("  "));
    // What is about a command may take a second line, further in.
    rows.filter(|row| !row.starts_with(' ')).filter_map(|row| row.split(' ').next())
}
