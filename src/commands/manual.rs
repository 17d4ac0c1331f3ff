//! `catchwork manual`: the man page, from the same definitions as the help. One page holds all commands.

use super::Status;
use super::args::Call;
use anyhow::Result;
use clap::{Command, CommandFactory};
use clap_mangen::Man;
use std::io::Write;

/// Runs the command.
pub fn run() -> Result<Status> {
    let mut call = Call::command().disable_help_subcommand(true);
    call.build();
    let mut page = Vec::new();
    let man = Man::new(call.clone());
    man.render_title(&mut page)?;
    man.render_name_section(&mut page)?;
    man.render_synopsis_section(&mut page)?;
    man.render_description_section(&mut page)?;
    for command in call.get_subcommands() {
        page.extend(section(command)?.into_bytes());
    }
    man.render_extra_section(&mut page)?;
    man.render_version_section(&mut page)?;
    let page = String::from_utf8(page)?.replace("\n.SH EXTRA\n", "\n.SH NOTICE\n");
    std::io::stdout().lock().write_all(page.as_bytes())?;
    Ok(Status::Worked)
}

/// A command's own section: how it is called, what it does, its options, its example.
fn section(command: &Command) -> Result<String> {
    let man = Man::new(command.clone());
    let mut parts = Vec::new();
    man.render_synopsis_section(&mut parts)?;
    man.render_description_section(&mut parts)?;
    man.render_options_section(&mut parts)?;
    man.render_extra_section(&mut parts)?;
    // The sections of a page of its own are parts of this one.
    let parts = String::from_utf8(parts)?.replace(".SH EXTRA\n", ".SH NOTES\n").replace(".SH ", ".SS ");
    let lines = parts.lines().map(unfilled);
    Ok(format!(".SH CATCHWORK {}\n{}", command.get_name().to_uppercase(), lines.collect::<String>()))
}

/// The line of an example stays as it is; others are filled.
fn unfilled(line: &str) -> String {
    if line.starts_with("  ") { format!(".nf\n{line}\n.fi\n") } else { format!("{line}\n") }
}
