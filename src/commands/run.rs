//! What the calls of several commands have in common: what is set for the run, and how a page of text is to look.

use super::args::Run;
use super::colour;
use catchwork::Request;
use catchwork::quantity::Moment;
use catchwork::report::text::Look;
use std::io::{IsTerminal, Stdout};

/// The width of a page of text where there is no terminal to ask.
const WIDTH: usize = 80;

/// The widths of a page on a terminal: narrower it cannot be read, wider the eye loses the line.
const WIDTHS: (usize, usize) = (40, 120);

/// How worksheets are to be worked.
pub fn request(run: &Run) -> Request {
    let today = run.today.unwrap_or_else(|| Moment::Day(jiff::ZonedDateTime::now().date()));
    Request { set: run.set.clone(), today, colour: colour(&std::io::stderr()) }
}

/// How text on standard output is to look.
pub fn look(plain: bool) -> Look {
    let stdout = std::io::stdout();
    Look { width: width(&stdout), colour: colour(&stdout), plain }
}

/// The columns of the terminal that is printed to; what goes elsewhere is the same wherever it is printed from.
fn width(stdout: &Stdout) -> usize {
    let own = stdout.is_terminal().then(|| terminal_size::terminal_size_of(stdout)).flatten();
    own.map_or(WIDTH, |(width, _)| usize::from(width.0).clamp(WIDTHS.0, WIDTHS.1))
}
