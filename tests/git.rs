//! What the README says of git, done in a repository of its own: results beside the text in `git diff`, and a hook.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

use std::fs;
use std::path::Path;
use std::process::{Command, Output};
use tempfile::TempDir;

const OLD: &str = "\
! Water only.
strip length : 60 ft
spray width  : 28 in
strip area   = strip length * spray width  [ft²]
? wide : spray width at least 30 in
";

/// A repository with the program on its path and both settings made, as the README has them.
fn repository() -> TempDir {
    let folder = TempDir::new().unwrap();
    run(&folder, "git init --quiet . && git config user.name Wren && git config user.email wren@example.invalid");
    let readme = fs::read_to_string(Path::new(env!("CARGO_MANIFEST_DIR")).join("README.md")).unwrap();
    let (_, chapter) = readme.split_once("## With git\n").unwrap();
    let (chapter, _) = chapter.split_once("\n## ").unwrap();
    let settings: Vec<&str> =
        chapter.split("```sh\n").skip(1).map(|block| block.split("```").next().unwrap()).collect();
    assert_eq!(settings.len(), 2, "two settings");
    settings.iter().for_each(|setting| assert!(run(&folder, setting).status.success()));
    folder
}

fn run(folder: &TempDir, script: &str) -> Output {
    let program = Path::new(assert_cmd::cargo::cargo_bin!("catchwork")).parent().unwrap();
    let path = format!("{}:{}", program.display(), std::env::var("PATH").unwrap());
    Command::new("sh").args(["-c", script]).current_dir(folder.path()).env("PATH", path).output().unwrap()
}

fn printed(output: &Output) -> String {
    String::from_utf8_lossy(&output.stdout).into_owned() + &String::from_utf8_lossy(&output.stderr)
}

#[test]
fn a_difference_shows_the_results_beside_the_text() {
    let folder = repository();
    fs::write(folder.path().join("strip.worksheet"), OLD).unwrap();
    let committed = run(&folder, "git add . && git commit --quiet -m strip");
    assert!(committed.status.success(), "{}", printed(&committed));
    fs::write(folder.path().join("strip.worksheet"), OLD.replace("60 ft", "50 ft")).unwrap();
    let difference = printed(&run(&folder, "git --no-pager diff"));
    for line in [
        "-strip length : 60 ft\n",
        "+strip length : 50 ft\n",
        "-  strip area    140.0  ft^2  worked\n",
        "+  strip area    116.7  ft^2  worked\n",
        " !  Water only.\n",
    ] {
        assert!(difference.contains(line), "no {line:?} in\n{difference}");
    }
}

#[test]
fn the_hook_takes_what_is_laid_out_and_nothing_else() {
    let folder = repository();
    let sheet = folder.path().join("north walk.worksheet");
    fs::write(&sheet, OLD.replace("spray width  :", "spray width:")).unwrap();
    let refused = run(&folder, "git add . && git commit --quiet -m strip");
    assert!(!refused.status.success());
    assert!(printed(&refused).contains("north walk.worksheet"), "{}", printed(&refused));
    fs::write(&sheet, OLD.replace("28 in", "28 lb")).unwrap();
    let refused = run(&folder, "git add . && git commit --quiet -m strip");
    assert!(!refused.status.success());
    assert!(printed(&refused).contains("trouble: "), "{}", printed(&refused));
    fs::write(&sheet, OLD).unwrap();
    let taken = run(&folder, "git add . && git commit --quiet -m strip");
    assert!(taken.status.success(), "{}", printed(&taken));
    // Where no worksheet is committed there is nothing to look at.
    let other = run(&folder, "echo notes > notes.txt && git add . && git commit --quiet -m notes");
    assert!(other.status.success(), "{}", printed(&other));
}
