//! Commands: each reads its call, calls the library, and prints. They compute nothing.

pub mod args;
pub mod asking;
pub mod blanks;
pub mod card;
pub mod compare;
pub mod completions;
pub mod each;
pub mod editor;
pub mod fill;
pub mod format;
pub mod manual;
pub mod paths;
pub mod progress;
pub mod reading;
pub mod results;
pub mod templates;
pub mod units;
pub mod watch;
pub mod why;
pub mod writing;

use anyhow::Result;
use args::{Call, Command, Late};
use std::io::{IsTerminal, Write};

/// What a run came to, as the exit status tells it.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum Status {
    /// 0: worked.
    Worked,
    /// 1: a check says `no`, or something is still blank under `--complete`.
    No,
    /// 2: a trouble.
    Trouble,
    /// 130: stopped by the person at the terminal.
    Stopped,
}

/// The exit status of what is stopped by Ctrl-C.
const STOPPED: u8 = 130;

impl From<Status> for u8 {
    fn from(status: Status) -> Self {
        match status {
            Status::Worked => 0,
            Status::No => 1,
            Status::Trouble => 2,
            Status::Stopped => STOPPED,
        }
    }
}

/// Does what the call asks.
///
/// # Errors
/// Where the call cannot be worked; the message is for the person who made it.
pub fn run(call: Call) -> Result<Status> {
    match call.command {
        Command::Results(Late(results)) => results::run(&results),
        Command::Why(Late(why)) => why::run(&why),
        Command::Compare(Late(compare)) => compare::run(&compare),
        Command::Watch(Late(watch)) => watch::run(&watch),
        Command::Card(Late(card)) => card::run(&card),
        Command::Format(Late(format)) => format::run(&format),
        Command::Blanks(Late(blanks)) => blanks::run(&blanks),
        Command::Fill(Late(fill)) => fill::run(&fill),
        Command::Each(Late(each)) => each::run(&each),
        Command::Editor => editor::run(),
        Command::Templates(Late(templates)) => templates::run(&templates),
        Command::Units(Late(units)) => units::run(&units),
        Command::Completions(Late(completions)) => completions::run(&completions),
        Command::Manual => manual::run(),
    }
}

/// Says what is wrong with a call. Where nobody listens any more there is nothing left to do about it.
pub fn complain(about: &str) {
    let about = catchwork::report::letters::clean(about);
    let _ = writeln!(std::io::stderr().lock(), "error: {about}");
}

/// Whether a stream takes colour.
fn colour(stream: &impl IsTerminal) -> bool {
    stream.is_terminal() && std::env::var_os("NO_COLOR").is_none_or(|value| value.is_empty())
}
