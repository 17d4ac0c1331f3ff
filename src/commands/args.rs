//! The call: every command with its arguments and help, from which the man page and the shell completions come too.

use catchwork::quantity::Moment;
use catchwork::trouble::bad_date;
use clap::builder::Resettable;
use clap::{ArgMatches, Args, FromArgMatches, Parser, Subcommand, ValueEnum};
use std::path::PathBuf;

/// Worksheets for people who calibrate hand-carried sprayers and spreaders
#[derive(Debug, Parser)]
#[command(name = "catchwork", version, max_term_width = 100, arg_required_else_help = true, after_help = AFTER)]
pub struct Call {
    /// What to do
    #[command(subcommand)]
    pub command: Command,
}

const AFTER: &str = "\
Exit status: 0 worked; 1 a check says no; 2 a trouble in a worksheet or in the call.

The product label and local rules decide; this program does not replace a licensed applicator's judgement.";

const RESULTS: &str = "\
Examples:
  catchwork results strip.worksheet
  catchwork results jobs --as csv > season.csv
  catchwork results strip.worksheet --set \"bed area : 2000 ft2\"

Exit status: 0 worked; 1 a check says no, or close under --sure, or something is blank under --complete; \
2 a trouble. With several worksheets the others are still worked.";

const WATCH: &str = "\
Examples:
  catchwork watch strip.worksheet
  catchwork watch jobs
  catchwork watch mix.worksheet --card card.html

Each save of a worksheet, or of a template, CSV file or worksheet that it draws on, prints the results again; what has \
changed stands beside what it was before. A save that cannot be worked is taken for one half written, and told only if \
it stays so. Ctrl-C ends it.

Exit status: 2 a trouble in the call.";

const CARD: &str = "\
Example:
  catchwork card mixes/2026-04-08-weeds.worksheet --out card.html

The card is one page, A4 or Letter, that needs no network: print it, or open it on a telephone. None is written while \
the worksheet is in trouble, or where an amount to measure out is a range.

Exit status: 0 written; 1 a check says no, and the card says so; 2 there is no card.";

const WHY: &str = "\
Examples:
  catchwork why strip.worksheet \"spray volume\"
  catchwork why bed-areas.worksheet \"rectangles.area, north walk\"
  catchwork why strip.worksheet pace

A name stands for an entry, a result, a cell (its table, a point, its column, a comma, its row) or a check.

Exit status: 0 told; 1 it is a check that says no; 2 a trouble, or nothing goes by the name.";

const COMPARE: &str = "\
Examples:
  catchwork compare old/strip.worksheet strip.worksheet
  catchwork compare strip.worksheet@HEAD~1 strip.worksheet

FILE@REVISION is the file as git has it at that revision, with what it drew on then. Values are compared to fifteen \
digits, whatever their units; one that is no different but less sure differs too.

Exit status: 0 compared, whether anything differs or not; 1 a check of NEW says no; 2 a trouble in one of them, or one \
cannot be read.";

const FORMAT: &str = "\
Examples:
  catchwork format strip.worksheet
  catchwork format --check jobs

Only white space is changed, so that a worksheet says the same as before. The worksheets laid out are named; one with \
troubles is left alone. A template's fingerprint changes with its layout: renew what is pinned to it.

Exit status: 0 done; 1 under --check, a worksheet would be changed; 2 a trouble. With several worksheets the others \
are still laid out.";

const BLANKS: &str = "\
Example:
  catchwork blanks worksheets/methods/sprayer-strip.worksheet

Exit status: 0 told; 2 a trouble.";

const FILL: &str = "\
Examples:
  catchwork fill sprayer-strip calibration/green-1.worksheet
  catchwork fill tank-mix mix.worksheet \"bed : north walk\" \"area : 400 ft2\"
  catchwork fill methods/strip.worksheet jobs/strip.worksheet --linked \"passes.walk, first : 21.4 s\"

On a terminal each line that a person fills in is asked for, in the order of the sheet, but for those that the call \
gives: every blank, and every entry whose value may stay. A number alone is in the unit of its blank, words where \
text belongs need no quotes, and what does not belong there is asked for again. Enter leaves a line as it stands, \
____ makes it blank again, < goes back one, Ctrl-D leaves all the rest as it stands. Ctrl-C stops and writes nothing; \
the call that goes on from there is printed.

Without a terminal nothing is asked: what the call gives is put in, and the rest stays blank, to be filled in later. \
There a number says its unit. A cell is named by its table, column and row. Rows are added to a table, or taken from \
it, in the file itself.

The new worksheet is a whole copy that names its template's fingerprint in a note. Under --linked it holds a line that \
names the template and its fingerprint, and what was filled in; it then has to be in the crew folder of the template, \
unless that is one inside the program.

Exit status: 0 written; 2 a trouble, and nothing is written; 130 stopped by Ctrl-C, and nothing is written.";

const TEMPLATES: &str = "\
Examples:
  catchwork templates
  catchwork templates --into crew

Exit status: 0 done; 2 a file is there already, or cannot be written.";

const UNITS: &str = "\
Examples:
  catchwork units
  catchwork units \"fl oz\"";

const EACH: &str = "\
Examples:
  catchwork each bed.worksheet beds.csv --out worked.csv
  catchwork each rinse tanks.csv > worked.csv

Each column of the data is headed by an entry of the template and its unit, `length (ft)`; cells are written as in a \
worksheet, and an empty one is a blank. The rows come out in their order, with columns added: each result with its \
unit, and one for its ± where it can have one; each check; what the row waits on, remarks, its trouble, and the \
cautions. A result that the template shows to a step, in measures or to the cent stands as it is shown; any other \
number has fifteen digits.

Exit status: 0 worked; 1 a check of a row says no; 2 a row is in trouble, which its column `trouble` tells, or the \
template, the headers or the call are. The other rows are still worked.";

const EDITOR: &str = "\
Example, as an editor is told to start it:
  catchwork editor

and in an editor's settings, here Neovim's, in its init.lua:
  vim.filetype.add({ extension = { worksheet = 'catchwork' } })
  vim.api.nvim_create_autocmd('FileType', { pattern = 'catchwork', callback = function()
    vim.lsp.start({ name = 'catchwork', cmd = { 'catchwork', 'editor' } })
  end })

An editor starts it and speaks the Language Server Protocol with it on standard input and output; at a terminal it \
only waits. It shows troubles as they are typed, each result beside its line, where a value comes from and what its \
doubt is from, and completes names, units and functions. The README says how to set up other editors.

Exit status: 0 the editor ended it as the protocol says; 1 it did not.";

const COMPLETIONS: &str = "\
Example:
  catchwork completions bash > ~/.local/share/bash-completion/completions/catchwork";

const MANUAL: &str = "\
Example:
  catchwork manual > ~/.local/share/man/man1/catchwork.1";

/// The commands.
#[derive(Debug, Subcommand)]
pub enum Command {
    /// Work worksheets and print their results
    #[command(after_help = RESULTS)]
    Results(Late<Results>),
    /// Print the results of worksheets again at every save, beside what they were before
    #[command(after_help = WATCH)]
    Watch(Late<Watch>),
    /// Write a field card: one page to carry, cautions first, then what to look out for and to measure out
    #[command(after_help = CARD)]
    Card(Late<Card>),
    /// Tell how a result comes about: its formula with the numbers put in, down to the entries, and what its doubt is from
    #[command(after_help = WHY)]
    Why(Late<Why>),
    /// Compare two worksheets, or two versions of one: the results that differ, by how much, and the entries behind it
    #[command(after_help = COMPARE)]
    Compare(Late<Compare>),
    /// Put worksheets into their canonical layout: columns in line, spacing, tables; what they say stays the same
    #[command(after_help = FORMAT)]
    Format(Late<Format>),
    /// Tell what is still to be measured, in the order to do it, and what waits on it
    #[command(after_help = BLANKS)]
    Blanks(Late<Blanks>),
    /// Make a worksheet from a template: asks for each blank on a terminal, or takes them from the call
    #[command(after_help = FILL)]
    Fill(Late<Fill>),
    /// Work a template once for each row of a CSV file
    #[command(after_help = EACH)]
    Each(Late<Each>),
    /// Serve an editor: troubles as they are typed, each result beside its line (Language Server Protocol)
    #[command(after_help = EDITOR)]
    Editor,
    /// List the templates inside the program, or write them out to share and adapt
    #[command(after_help = TEMPLATES)]
    Templates(Late<Templates>),
    /// Print the vocabulary of units: each with its other names, its exact size and the source of it
    #[command(after_help = UNITS)]
    Units(Late<Units>),
    /// Print what a shell needs to complete a call
    #[command(after_help = COMPLETIONS)]
    Completions(Late<Completions>),
    /// Print the man page
    #[command(after_help = MANUAL)]
    Manual,
}

/// The arguments of a command, defined only when it is the one called: to define those of all takes a twelfth of the
/// time that a worksheet of 26 lines takes.
#[derive(Debug)]
pub struct Late<T>(pub T);

impl<T: Args> Args for Late<T> {
    fn augment_args(command: clap::Command) -> clap::Command {
        command.defer(defined::<T>)
    }

    fn augment_args_for_update(command: clap::Command) -> clap::Command {
        command.defer(defined::<T>)
    }
}

/// A command with its arguments, about what it was about before.
fn defined<T: Args>(command: clap::Command) -> clap::Command {
    let [about, long_about] = [command.get_about(), command.get_long_about()]
        .map(|about| about.cloned().map_or(Resettable::Reset, Resettable::Value));
    T::augment_args(command).about(about).long_about(long_about)
}

impl<T: Args> FromArgMatches for Late<T> {
    fn from_arg_matches(matches: &ArgMatches) -> Result<Self, clap::Error> {
        T::from_arg_matches(matches).map(Self)
    }

    fn update_from_arg_matches(&mut self, matches: &ArgMatches) -> Result<(), clap::Error> {
        self.0.update_from_arg_matches(matches)
    }
}

/// `catchwork results`
#[derive(Debug, Args)]
pub struct Results {
    /// Worksheets, or folders that stand for all worksheets below them; `-` reads standard input
    #[arg(required = true, value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// The form to print them in
    #[arg(long = "as", value_name = "FORM", value_enum, default_value_t = Form::Text)]
    pub form: Form,
    /// What is set for this run
    #[command(flatten)]
    pub run: Run,
    /// Count `close` as `no`
    #[arg(long)]
    pub sure: bool,
    /// Count what is still blank as `no`
    #[arg(long)]
    pub complete: bool,
    /// Print text in plain ASCII
    #[arg(long)]
    pub plain: bool,
}

/// What a call sets for its run.
#[derive(Debug, Args)]
pub struct Run {
    /// An entry set for this run, as in the worksheet: "walk : 21 s"
    #[arg(long, value_name = "NAME : VALUE")]
    pub set: Vec<String>,
    /// The day that `today` stands for, instead of the computer's
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub today: Option<Moment>,
}

/// `catchwork why`
#[derive(Debug, Args)]
pub struct Why {
    /// A worksheet; `-` reads standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// An entry, a result, a cell, or the label of a check; several words need no quotes
    #[arg(required = true, value_name = "NAME")]
    pub name: Vec<String>,
    /// What is set for this run
    #[command(flatten)]
    pub run: Run,
    /// Print text in plain ASCII
    #[arg(long)]
    pub plain: bool,
}

/// `catchwork compare`
#[derive(Debug, Args)]
pub struct Compare {
    /// The worksheet as it was: a file, FILE@REVISION from git, or `-` for standard input
    #[arg(value_name = "OLD")]
    pub old: PathBuf,
    /// The worksheet as it is, named in the same ways
    #[arg(value_name = "NEW")]
    pub new: PathBuf,
    /// The day that `today` stands for in both, instead of the computer's
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub today: Option<Moment>,
    /// Print text in plain ASCII
    #[arg(long)]
    pub plain: bool,
}

/// `catchwork card`
#[derive(Debug, Args)]
pub struct Card {
    /// A worksheet; `-` reads standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
    /// The page to write
    #[arg(long, value_name = "CARD.html")]
    pub out: PathBuf,
    /// The day that `today` stands for, instead of the computer's
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub today: Option<Moment>,
    /// Write over a page that is there already
    #[arg(long)]
    pub replace: bool,
}

/// `catchwork watch`
#[derive(Debug, Args)]
pub struct Watch {
    /// Worksheets, or folders that stand for all worksheets below them, new ones too
    #[arg(required = true, value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// What is set for this run
    #[command(flatten)]
    pub run: Run,
    /// Print in plain ASCII
    #[arg(long)]
    pub plain: bool,
    /// Keep a field card of the one worksheet watched fresh beside it
    #[arg(long, value_name = "CARD.html")]
    pub card: Option<PathBuf>,
    /// Let the card take the place of a page that is there already
    #[arg(long, requires = "card")]
    pub replace: bool,
    /// Look at the files every so many seconds instead of being told of saves: for a folder on another computer
    #[arg(long, value_name = "SECONDS", value_parser = clap::value_parser!(u64).range(1..=3600))]
    pub look: Option<u64>,
}

/// A day, as worksheets write it.
fn day(text: &str) -> Result<Moment, String> {
    match Moment::parse(text) {
        Ok(day) if day.has_hour() => Err("a day has no hour here: write it as 2026-04-12".to_owned()),
        Ok(day) => Ok(day),
        Err(error) => Err(bad_date(&error).says()),
    }
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

/// `catchwork each`
#[derive(Debug, Args)]
pub struct Each {
    /// A worksheet, its entries blank or with defaults; or the name of a template inside the program
    #[arg(value_name = "TEMPLATE")]
    pub template: PathBuf,
    /// A CSV file whose first row names entries; `-` reads standard input
    #[arg(value_name = "DATA.csv")]
    pub data: PathBuf,
    /// The file to write to, whole or not at all, instead of standard output
    #[arg(long, value_name = "FILE")]
    pub out: Option<PathBuf>,
    /// Write over a file that is there already
    #[arg(long, requires = "out")]
    pub replace: bool,
    /// The day that `today` stands for, instead of the computer's
    #[arg(long, value_name = "DATE", value_parser = day)]
    pub today: Option<Moment>,
}

/// `catchwork format`
#[derive(Debug, Args)]
pub struct Format {
    /// Worksheets, or folders that stand for all worksheets below them; `-` reads standard input and prints it laid out
    #[arg(required = true, value_name = "PATH")]
    pub paths: Vec<PathBuf>,
    /// Name the worksheets that would be changed, and change none
    #[arg(long)]
    pub check: bool,
}

/// `catchwork units`
#[derive(Debug, Args)]
pub struct Units {
    /// A unit, or a part of its name; all of them without
    pub word: Vec<String>,
}

/// `catchwork completions`
#[derive(Debug, Args)]
pub struct Completions {
    /// The shell
    #[arg(value_enum)]
    pub shell: clap_complete::Shell,
}

/// `catchwork blanks`
#[derive(Debug, Args)]
pub struct Blanks {
    /// A worksheet; `-` reads standard input
    #[arg(value_name = "FILE")]
    pub file: PathBuf,
}

/// `catchwork fill`
#[derive(Debug, Args)]
pub struct Fill {
    /// A worksheet to fill in; a name without a path is a template inside the program
    #[arg(value_name = "TEMPLATE")]
    pub template: PathBuf,
    /// The worksheet to write
    #[arg(value_name = "NEW")]
    pub new: PathBuf,
    /// What to fill in, as in the worksheet: "walk : 21 s"
    #[arg(value_name = "NAME : VALUE")]
    pub values: Vec<String>,
    /// Link the worksheet to the template as it is now, instead of copying it
    #[arg(long)]
    pub linked: bool,
    /// Write over a file that is there already
    #[arg(long)]
    pub replace: bool,
}

/// `catchwork templates`
#[derive(Debug, Args)]
pub struct Templates {
    /// A folder to write them to, with a crew-folder.txt
    #[arg(long, value_name = "FOLDER")]
    pub into: Option<PathBuf>,
    /// Write over files that are there already
    #[arg(long, requires = "into")]
    pub replace: bool,
}
