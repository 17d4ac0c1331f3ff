//! `catchwork why`: each folder of `tests/why` holds worksheets and, in `console.txt`, calls with the whole of what they
//! print; and the shares of doubts against an outside library (`tests/why/shares`).

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

#[path = "console.rs"]
mod console;
#[path = "why/shares.rs"]
mod shares;

use libtest_mimic::{Arguments, Trial};
use std::process::ExitCode;

fn main() -> ExitCode {
    let mut trials = console::trials("why");
    assert!(trials.len() >= 7, "the consoles are missing");
    trials.push(Trial::test("shares are those of an outside library", shares::are_those_of_an_outside_library));
    libtest_mimic::run(&Arguments::from_args(), trials).exit_code()
}
