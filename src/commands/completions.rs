//! `catchwork completions`: what a shell needs to complete a call, from the same definitions as the help.

use super::Status;
use super::args::{Call, Completions};
use anyhow::Result;
use clap::CommandFactory;
use std::io::Write;

/// Runs the command.
pub fn run(call: &Completions) -> Result<Status> {
    let mut script = Vec::new();
    clap_complete::generate(call.shell, &mut Call::command(), "catchwork", &mut script);
    std::io::stdout().lock().write_all(&script)?;
    Ok(Status::Worked)
}
