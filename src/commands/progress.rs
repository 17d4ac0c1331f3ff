//! How far long work has come, on a terminal and nowhere else. It knows nothing of what the work is.

use catchwork::report::letters::clean;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::path::Path;

/// So many files are worked before anyone begins to wonder.
const MANY: usize = 20;

/// A line that tells how far the work has come.
pub struct Progress(ProgressBar);

impl Progress {
    /// Over so many files. It stays hidden for a few of them, and where results come out on the same terminal, which
    /// shows as much.
    pub fn over(files: usize, streams: bool) -> Self {
        if files < MANY || streams && std::io::stdout().is_terminal() {
            return Self(ProgressBar::hidden());
        }
        let length = u64::try_from(files).unwrap_or(u64::MAX);
        let bar = ProgressBar::with_draw_target(Some(length), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{pos} of {len}  {wide_msg}") {
            bar.set_style(style);
        }
        Self(bar)
    }

    /// The next file is begun.
    pub fn next(&self, file: &Path) {
        self.0.set_message(clean(&file.display().to_string()));
        self.0.inc(1);
    }

    /// Does something that prints, with the line out of its way.
    pub fn aside<T>(&self, print: impl FnOnce() -> T) -> T {
        self.0.suspend(print)
    }

    /// Takes the line away.
    pub fn done(&self) {
        self.0.finish_and_clear();
    }
}
