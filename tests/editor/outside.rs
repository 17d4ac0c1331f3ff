//! Clients that others have written: a general library's, and the editor Neovim with its own. `.ci/run` installs both;
//! where a machine has neither, only `.ci/run` asks for them.

use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};

/// Where `.ci/run` puts the library.
const LIBRARY: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/target/pygls");
const PROGRAM: &str = env!("CARGO_BIN_EXE_catchwork");

/// Whether what is wanted is there. Under `.ci/run` it has to be.
fn has(what: &str, is_there: bool) -> bool {
    assert!(is_there || std::env::var_os("CI").is_none(), "{what} is missing, and .ci/run should have installed it");
    is_there
}

fn own(name: &str) -> PathBuf {
    Path::new(env!("CARGO_MANIFEST_DIR")).join("tests/editor").join(name)
}

fn crew_folder() -> tempfile::TempDir {
    let folder = tempfile::tempdir().unwrap();
    std::fs::write(folder.path().join("crew-folder.txt"), "").unwrap();
    folder
}

fn said(output: &Output) -> String {
    format!("{}{}", String::from_utf8_lossy(&output.stdout), String::from_utf8_lossy(&output.stderr))
}

#[test]
fn a_general_client_library_finds_that_it_keeps_to_the_protocol() {
    if !has("the Python package pygls", Path::new(LIBRARY).is_dir()) {
        return;
    }
    let folder = crew_folder();
    let mut python = Command::new("python3");
    let python = python.arg(own("library.py")).arg(PROGRAM).arg(folder.path()).env("PYTHONPATH", LIBRARY);
    let output = python.env("PYTHONDONTWRITEBYTECODE", "1").output().unwrap();
    assert!(output.status.success(), "{}", said(&output));
}

/// A mistake is typed in Neovim, and it shows it; it is mended, and Neovim shows the result.
#[test]
fn neovim_shows_a_mistake_and_once_it_is_mended_the_result() {
    if !has("nvim", Command::new("nvim").arg("--version").stdout(Stdio::null()).status().is_ok()) {
        return;
    }
    let folder = crew_folder();
    let home = tempfile::tempdir().unwrap();
    let mut nvim = Command::new("nvim");
    nvim.args(["--headless", "--clean", "-n", "-u"]).arg(own("neovim.lua"));
    nvim.env("PROGRAM", PROGRAM).env("HOME", home.path()).env("XDG_STATE_HOME", home.path()).current_dir(folder.path());
    let output = nvim.stdin(Stdio::null()).output().unwrap();
    let shown = String::from_utf8_lossy(&output.stdout).replace('\r', "");
    let kept = std::fs::read_to_string(own("neovim.txt")).unwrap();
    if std::env::var_os("UPDATE").is_some() {
        std::fs::write(own("neovim.txt"), &shown).unwrap();
        return;
    }
    assert!(output.status.success(), "{}", said(&output));
    assert_eq!(shown.trim(), kept.trim());
}
