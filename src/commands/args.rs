//! The call: every command with its arguments and help, from which the man page and the shell completions come too.

use clap::{Args, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Worksheets for people who calibrate hand-carried sprayers and spreaders
#[derive(Debug, Parser)]
#[command(name = "catchwork", version, max_term_width = 100, after_help = AFTER)]
pub struct Call {
    /// What to do
    #[command(subcommand)]
    pub command: Command,
}

const AFTER: &str =
    "The product label and local rules decide; this program does not replace a licensed applicator's judgement.";

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Work worksheets and print their results
    #[command(
        after_help = "Example:\n  catchwork results worksheets/example/sprayer-strip.worksheet\n\nExit status: 0 worked; 1 a check says no, or a blank is left under --complete; 2 a trouble."
    )]
    Results(Results),
    /// Print the vocabulary of units
    #[command(after_help = "Example:\n  catchwork units \"fl oz\"")]
    Units(Units),
}

/// `catchwork results`
#[derive(Debug, Args)]
pub struct Results {
    /// Worksheets, or folders of them; `-` reads standard input
    #[arg(required = true, value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// The form to print them in
    #[arg(long = "as", value_name = "FORM", value_enum, default_value_t = Form::Text)]
    pub form: Form,
    /// An entry set for this run, as in the worksheet: "walk : 21 s"
    #[arg(long, value_name = "NAME : VALUE")]
    pub set: Vec<String>,
    /// The day that `today` stands for, instead of the computer's
    #[arg(long, value_name = "DATE")]
    pub today: Option<String>,
    /// Count `close` as `no`
    #[arg(long)]
    pub sure: bool,
    /// Count what is still blank as `no`
    #[arg(long)]
    pub complete: bool,
    /// Print in plain ASCII
    #[arg(long)]
    pub plain: bool,
}

/// The forms of output.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub enum Form {
    /// Tables for a terminal
    Text,
    /// Markdown tables
    Markdown,
    /// Comma-separated values
    Csv,
    /// A JSON array
    Json,
    /// One JSON object a line
    Jsonl,
    /// One page that needs no network
    Html,
}

/// `catchwork units`
#[derive(Debug, Args)]
pub struct Units {
    /// A unit, or a part of its name; all of them without
    pub word: Vec<String>,
}
