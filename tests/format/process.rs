//! The command as a process: what it prints, the status it ends with, and its manners with files.

use assert_cmd::Command;
use assert_cmd::cargo::cargo_bin_cmd;
use std::fs::{self, Permissions};
use std::os::unix::fs::{MetadataExt, PermissionsExt, symlink};
use std::path::{Path, PathBuf};
use tempfile::TempDir;

const UNTIDY: &str = "length:60ft\nwidth  : 2 ft\n";
const TIDY: &str = "length : 60 ft\nwidth  : 2 ft\n";
const TROUBLED: &str = "length:60ft\nwidth  = lenght\n";

/// A folder with worksheets in it.
struct Folder(TempDir);

impl Folder {
    fn with(files: &[(&str, &str)]) -> Self {
        let folder = Self(TempDir::new().unwrap());
        for (name, text) in files {
            let path = folder.path(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        }
        folder
    }

    fn path(&self, name: &str) -> PathBuf {
        self.0.path().join(name)
    }

    fn text(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// The names of all that lies in it.
    fn names(&self) -> Vec<String> {
        let entries = fs::read_dir(self.0.path()).unwrap();
        let mut names: Vec<String> = entries.map(|entry| entry.unwrap().file_name().into_string().unwrap()).collect();
        names.sort();
        names
    }

    /// The command, called in this folder.
    fn format(&self, words: &[&str]) -> Command {
        let mut command = cargo_bin_cmd!("catchwork");
        command.current_dir(self.0.path()).arg("format").args(words);
        command
    }
}

#[test]
fn a_worksheet_is_laid_out_and_named() {
    let folder = Folder::with(&[("a.worksheet", UNTIDY)]);
    let laid_out = "1 laid out, 0 as they were\n";
    folder.format(&["a.worksheet"]).assert().success().stdout("a.worksheet\n").stderr(laid_out);
    assert_eq!(folder.text("a.worksheet"), TIDY);
    folder.format(&["a.worksheet"]).assert().success().stdout("").stderr("0 laid out, 1 as they were\n");
    assert_eq!(folder.names(), ["a.worksheet"]);
}

#[test]
fn what_is_as_it_should_be_is_not_written() {
    let folder = Folder::with(&[("a.worksheet", TIDY)]);
    let before = fs::metadata(folder.path("a.worksheet")).unwrap();
    folder.format(&["."]).assert().success();
    let after = fs::metadata(folder.path("a.worksheet")).unwrap();
    assert_eq!((before.ino(), before.mtime_nsec()), (after.ino(), after.mtime_nsec()));
}

#[test]
fn check_names_what_would_change_and_changes_nothing() {
    let folder = Folder::with(&[("a.worksheet", UNTIDY), ("b.worksheet", TIDY), ("c.worksheet", UNTIDY)]);
    let assert = folder.format(&["--check", "a.worksheet", "b.worksheet", "c.worksheet"]).assert();
    let counts = "2 would be laid out, 1 as they should be\n";
    assert.code(1).stdout("a.worksheet\nc.worksheet\n").stderr(counts);
    assert_eq!(folder.text("a.worksheet"), UNTIDY);
    folder.format(&["--check", "b.worksheet"]).assert().success().stdout("");
}

#[test]
fn a_worksheet_with_a_trouble_is_left_alone_and_the_others_are_not() {
    let folder = Folder::with(&[("a.worksheet", TROUBLED), ("b.worksheet", UNTIDY), ("c.worksheet", "length:\n")]);
    let assert = folder.format(&["."]).assert().code(2).stdout("./b.worksheet\n");
    let told = String::from_utf8(assert.get_output().stderr.clone()).unwrap();
    assert!(told.contains("a.worksheet:2:"), "{told}");
    assert!(told.contains("c.worksheet:1:"), "{told}");
    assert!(told.ends_with("1 laid out, 0 as they were, 2 left alone\n"), "{told}");
    assert_eq!((folder.text("a.worksheet"), folder.text("b.worksheet")), (TROUBLED.to_owned(), TIDY.to_owned()));
    // A trouble counts more than a worksheet that would be changed.
    fs::write(folder.path("b.worksheet"), UNTIDY).unwrap();
    folder.format(&["--check", "."]).assert().code(2).stdout("./b.worksheet\n");
}

#[test]
fn a_folder_stands_for_its_worksheets() {
    let files = [
        ("jobs/b.worksheet", UNTIDY),
        ("jobs/2026/a.worksheet", UNTIDY),
        ("jobs/note.txt", UNTIDY),
        (".old/c.worksheet", UNTIDY),
    ];
    let folder = Folder::with(&files);
    folder.format(&["."]).assert().success().stdout("./jobs/2026/a.worksheet\n./jobs/b.worksheet\n");
    assert_eq!(folder.text("jobs/2026/a.worksheet"), TIDY);
    assert_eq!((folder.text("jobs/note.txt"), folder.text(".old/c.worksheet")), (UNTIDY.to_owned(), UNTIDY.to_owned()));
}

#[test]
fn what_is_not_there_is_a_trouble() {
    let folder = Folder::with(&[("a.worksheet", UNTIDY)]);
    let assert = folder.format(&["missing.worksheet", "a.worksheet"]).assert();
    let assert = assert.code(2).stdout("a.worksheet\n");
    let told = String::from_utf8(assert.get_output().stderr.clone()).unwrap();
    assert!(told.contains("missing.worksheet"), "{told}");
}

#[test]
fn standard_input_is_printed_laid_out() {
    let folder = Folder::with(&[]);
    folder.format(&["-"]).write_stdin(UNTIDY).assert().success().stdout(TIDY);
    folder.format(&["-"]).write_stdin(TIDY).assert().success().stdout(TIDY);
    folder.format(&["--check", "-"]).write_stdin(UNTIDY).assert().code(1).stdout("");
    folder.format(&["-"]).write_stdin(TROUBLED).assert().code(2).stdout("");
}

#[test]
fn a_link_is_followed_and_kept() {
    let folder = Folder::with(&[("real/a.worksheet", UNTIDY)]);
    symlink("real/a.worksheet", folder.path("link.worksheet")).unwrap();
    folder.format(&["link.worksheet"]).assert().success().stdout("link.worksheet\n");
    assert_eq!(fs::read_link(folder.path("link.worksheet")).unwrap(), Path::new("real/a.worksheet"));
    assert_eq!(folder.text("real/a.worksheet"), TIDY);
    assert!(!fs::symlink_metadata(folder.path("real/a.worksheet")).unwrap().is_symlink());
}

#[test]
fn permissions_are_kept() {
    for mode in [0o600, 0o644, 0o664, 0o755] {
        let folder = Folder::with(&[("a.worksheet", UNTIDY)]);
        fs::set_permissions(folder.path("a.worksheet"), Permissions::from_mode(mode)).unwrap();
        folder.format(&["a.worksheet"]).assert().success();
        assert_eq!(folder.text("a.worksheet"), TIDY);
        assert_eq!(fs::metadata(folder.path("a.worksheet")).unwrap().permissions().mode() & 0o7777, mode);
    }
}

#[test]
fn a_protected_file_is_left_alone() {
    let folder = Folder::with(&[("a.worksheet", UNTIDY), ("b.worksheet", UNTIDY)]);
    fs::set_permissions(folder.path("a.worksheet"), Permissions::from_mode(0o444)).unwrap();
    let told = "error: a.worksheet is as it was, since it cannot be written: it is protected against writing\n\
                1 laid out, 0 as they were, 1 left alone\n";
    folder.format(&["a.worksheet", "b.worksheet"]).assert().code(2).stdout("b.worksheet\n").stderr(told);
    assert_eq!((folder.text("a.worksheet"), folder.text("b.worksheet")), (UNTIDY.to_owned(), TIDY.to_owned()));
}

#[test]
fn a_folder_that_takes_no_file_leaves_its_worksheets_as_they_are() {
    let folder = Folder::with(&[("kept/a.worksheet", UNTIDY)]);
    fs::set_permissions(folder.path("kept"), Permissions::from_mode(0o555)).unwrap();
    // Some accounts may write anywhere; then the worksheet is laid out like any other.
    let takes_files = fs::write(folder.path("kept/probe"), "").is_ok();
    let assert = folder.format(&["kept/a.worksheet"]).assert();
    fs::set_permissions(folder.path("kept"), Permissions::from_mode(0o755)).unwrap();
    if takes_files {
        assert.success();
        assert_eq!(folder.text("kept/a.worksheet"), TIDY);
    } else {
        assert.code(2).stdout("");
        assert_eq!(folder.text("kept/a.worksheet"), UNTIDY);
        assert_eq!(fs::read_dir(folder.path("kept")).unwrap().count(), 1);
    }
}

/// A full disk, played by a limit on the size of files: the worksheet is whole, and nothing lies beside it.
#[test]
fn a_disk_that_is_full_leaves_the_worksheet_as_it_is() {
    let long = format!("{UNTIDY}-- {}\n", "word ".repeat(1000));
    let folder = Folder::with(&[("a.worksheet", &long)]);
    let program = assert_cmd::cargo::cargo_bin!("catchwork").display().to_string();
    let limited = format!("trap '' XFSZ; ulimit -f 1; exec '{program}' format a.worksheet");
    let assert = Command::new("sh").current_dir(folder.0.path()).args(["-c", &limited]).assert().code(2).stdout("");
    let told = String::from_utf8(assert.get_output().stderr.clone()).unwrap();
    assert!(told.starts_with("error: a.worksheet is as it was, since it cannot be written: "), "{told}");
    assert_eq!(folder.text("a.worksheet"), long);
    assert_eq!(folder.names(), ["a.worksheet"]);
}
