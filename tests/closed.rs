//! The crew folder is closed: attempts to have the program read or write outside it, or wait for what never comes, each a
//! case of `closed/reading.cases` or `closed/writing.rs`. The built program is called, so that links, devices and pipes
//! are real ones. `UPDATE=1 cargo test --test closed` writes the troubles that each case is refused with.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

#[path = "closed/desk.rs"]
mod desk;
#[path = "closed/reading.rs"]
mod reading;
#[path = "closed/swapping.rs"]
mod swapping;
#[path = "closed/writing.rs"]
mod writing;

use libtest_mimic::{Arguments, Trial};

fn main() -> std::process::ExitCode {
    let arguments = Arguments::from_args();
    let mut trials: Vec<Trial> = reading::cases().into_iter().map(reading::trial).collect();
    let others = writing::TESTS.into_iter().chain(swapping::TESTS);
    trials.extend(others.map(|(name, test)| {
        Trial::test(name, move || {
            test();
            Ok(())
        })
    }));
    libtest_mimic::run(&arguments, trials).exit_code()
}
