//! The command: reads the call, does it, and tells by the exit status how it went.

mod commands;

use catchwork::report::letters::{clean, is_obeyed};
use clap::Parser;
use commands::{Status, args::Call};
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    let run = std::thread::Builder::new().stack_size(catchwork::hands::STACK).spawn(run);
    match run.map(std::thread::JoinHandle::join) {
        Ok(Ok(status)) => status,
        Ok(Err(_)) | Err(_) => Status::Trouble.into(),
    }
}

fn run() -> ExitCode {
    catchwork::hands::make_room();
    let call = match Call::try_parse() {
        Ok(call) => call,
        Err(message) => {
            print(&message);
            return if message.use_stderr() { Status::Trouble.into() } else { Status::Worked.into() };
        }
    };
    match commands::run(call) {
        Ok(status) => status.into(),
        // A reader that has seen enough is no trouble.
        Err(error) if is_broken_pipe(&error) => Status::Worked.into(),
        Err(error) => {
            commands::complain(&format!("{error:#}"));
            Status::Trouble.into()
        }
    }
}

/// Prints what is to be said about the call itself, which may quote words of it that a terminal would obey.
fn print(message: &clap::Error) {
    let plain = message.render().to_string();
    let is_obeyed = |letter| is_obeyed(letter) && letter != '\n';
    let _ = match plain.contains(is_obeyed) {
        true => writeln!(std::io::stderr().lock(), "{}", plain.lines().map(clean).collect::<Vec<_>>().join("\n")),
        false => message.print(),
    };
}

fn is_broken_pipe(error: &anyhow::Error) -> bool {
    error.chain().any(|cause| {
        cause.downcast_ref::<std::io::Error>().is_some_and(|error| error.kind() == std::io::ErrorKind::BrokenPipe)
    })
}
