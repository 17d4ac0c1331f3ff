//! The command: reads the call, does it, and tells by the exit status how it went.

mod commands;

use catchwork::report::letters::{clean, is_obeyed};
use clap::Parser;
use commands::{Status, args::Call};
use std::io::Write;
use std::process::ExitCode;

fn main() -> ExitCode {
    // The thread ends the program itself, or else its memory would be given back before the first one is woken for that.
    let run = || std::process::exit(u8::from(run()).into());
    if let Ok(run) = std::thread::Builder::new().stack_size(catchwork::hands::STACK).spawn(run) {
        // It comes here only if it has panicked.
        let _ = run.join();
    }
    u8::from(Status::Trouble).into()
}

fn run() -> Status {
    catchwork::hands::make_room();
    catchwork::hands::lend_a_hand();
    let call = match Call::try_parse() {
        Ok(call) => call,
        Err(message) => {
            print(&message);
            return if message.use_stderr() { Status::Trouble } else { Status::Worked };
        }
    };
    match commands::run(call) {
        Ok(status) => status,
        // A reader that has seen enough is no trouble.
        Err(error) if is_broken_pipe(&error) => Status::Worked,
        Err(error) => {
            commands::complain(&format!("{error:#}"));
            Status::Trouble
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
