//! `catchwork compare`: each folder of `tests/compare` holds worksheets and, in `console.txt`, calls with the whole of
//! what they print; and revisions read from git, in repositories made for the test (`tests/compare/revisions.rs`).

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

#[path = "console.rs"]
mod console;
#[path = "compare/revisions.rs"]
mod revisions;

use libtest_mimic::Arguments;
use std::process::ExitCode;

fn main() -> ExitCode {
    let mut trials = console::trials("compare");
    trials.extend(revisions::trials());
    libtest_mimic::run(&Arguments::from_args(), trials).exit_code()
}
