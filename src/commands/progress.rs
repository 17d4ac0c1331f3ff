//! How far long work has come, on a terminal and nowhere else. It knows nothing of what the work is.

use catchwork::report::letters::clean;
use indicatif::{ProgressBar, ProgressDrawTarget, ProgressStyle};
use std::io::IsTerminal;
use std::path::Path;

/// So many files are worked before anyone begins to wonder.
const MANY: usize = 20;

/// A line that tells how far the work has come.
pub struct Progress(Option<ProgressBar>);

impl Progress {
    /// Over so many files. It stays hidden for a few of them, and where results come out on the same terminal, which
    /// shows as much.
    pub fn over(files: usize, streams: bool) -> Self {
        if files < MANY || streams && std::io::stdout().is_terminal() {
            return Self(None);
        }
        let length = u64::try_from(files).unwrap_or(u64::MAX);
        let bar = ProgressBar::with_draw_target(Some(length), ProgressDrawTarget::stderr());
        if let Ok(style) = ProgressStyle::with_template("{pos} of {len}  {wide_msg}") {
            bar.set_style(style);
        }
        Self(Some(bar))
    }

    /// Over rows of so many bytes, where that is known. It stays hidden where they come out on the same terminal.
    pub fn over_rows(bytes: Option<u64>, streams: bool) -> Self {
        if streams && std::io::stdout().is_terminal() {
            return Self(None);
        }
        let bar = ProgressBar::with_draw_target(bytes, ProgressDrawTarget::stderr());
        let form = if bytes.is_some() { "{msg}  {percent} %  {eta} left" } else { "{msg}" };
        if let Ok(style) = ProgressStyle::with_template(form) {
            bar.set_style(style);
        }
        Self(Some(bar))
    }

    /// So many rows are done, up to that byte.
    pub fn rows(&self, rows: u64, bytes: u64) {
        let Some(bar) = &self.0 else { return };
        let seconds = bar.elapsed().as_secs_f64().max(1e-3);
        #[allow(clippy::cast_precision_loss, reason = "it is shown without decimals")]
        let rate = rows as f64 / seconds;
        bar.set_message(format!("{rows} rows  {rate:.0} rows/s"));
        bar.set_position(bytes);
    }

    /// The next file is begun.
    pub fn next(&self, file: &Path) {
        let Some(bar) = &self.0 else { return };
        bar.set_message(clean(&file.display().to_string()));
        bar.inc(1);
    }

    /// Does something that prints, with the line out of its way.
    pub fn aside<T>(&self, print: impl FnOnce() -> T) -> T {
        match &self.0 {
            Some(bar) => bar.suspend(print),
            None => print(),
        }
    }

    /// Takes the line away.
    pub fn done(&self) {
        self.0.iter().for_each(ProgressBar::finish_and_clear);
    }
}
