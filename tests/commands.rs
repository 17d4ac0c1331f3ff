//! The built program as a process: what it prints where, and the status it ends with.

use assert_cmd::Command;
use assert_cmd::cargo::cargo_bin_cmd;

fn catchwork() -> Command {
    cargo_bin_cmd!("catchwork")
}

#[test]
fn it_says_its_version() {
    catchwork().arg("--version").assert().success().stdout(concat!("catchwork ", env!("CARGO_PKG_VERSION"), "\n"));
}
