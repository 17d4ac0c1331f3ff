//! How long it takes from a save until `catchwork watch` has printed what came of it, against how long the system
//! takes to tell of a save. Both are asked for one save at a time, and the next comes when the first has been told.

use crate::pairs::{Pair, in_turn};
use anyhow::{Context, Result, ensure};
use notify::{Event, EventKind, RecursiveMode, Watcher, recommended_watcher};
use std::io::{BufRead, BufReader, Read};
use std::path::{Path, PathBuf};
use std::process::{Child, ChildStdout, Command, Stdio};
use std::sync::mpsc::{Receiver, channel};
use std::thread::sleep;
use std::time::Duration;

/// So many saves are timed of each.
const SAVES: usize = 101;

/// Between two saves, so that each is one of its own.
const PAUSE: Duration = Duration::from_millis(10);

/// What the last line of a page of text has, and no other.
const LAST_LINE: &str = "; checks: ";

/// Times saves of a worksheet, each of which changes one entry of it.
pub fn saves(scratch: &Path, text: &str, entry: &str) -> Result<Pair> {
    let told = Told::new(&scratch.join("watch-floor"))?;
    let mut own = Own::new(&scratch.join("watch-own"), text)?;
    let mut length = 0;
    in_turn(
        SAVES,
        || told.save(text),
        || {
            length = (length + 1) % 50;
            own.save(&text.replacen(entry, &format!("{} ft", 60 + length), 1))
        },
    )
}

/// The system telling of a file.
struct Told {
    path: PathBuf,
    events: Receiver<notify::Result<Event>>,
    _watcher: notify::RecommendedWatcher,
}

impl Told {
    fn new(folder: &Path) -> Result<Self> {
        std::fs::create_dir_all(folder)?;
        let (sender, events) = channel();
        let mut watcher = recommended_watcher(sender)?;
        watcher.watch(folder, RecursiveMode::NonRecursive)?;
        Ok(Self { path: folder.join("sheet.worksheet"), events, _watcher: watcher })
    }

    fn save(&self, text: &str) -> Result<()> {
        std::fs::write(&self.path, text)?;
        // The last that is told of a file written in place is that it has been closed.
        while !matches!(self.events.recv()??.kind, EventKind::Access(_)) {}
        Ok(())
    }
}

/// `catchwork watch` over one worksheet.
struct Own {
    path: PathBuf,
    program: Child,
    printed: BufReader<ChildStdout>,
}

impl Own {
    fn new(folder: &Path, text: &str) -> Result<Self> {
        std::fs::create_dir_all(folder)?;
        let path = folder.join("sheet.worksheet");
        std::fs::write(&path, text)?;
        let mut program = Command::new(env!("CARGO_BIN_EXE_catchwork"))
            .arg("watch")
            .arg(&path)
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()?;
        let printed = BufReader::new(program.stdout.take().context("what it prints")?);
        let mut own = Self { path, program, printed };
        own.page()?;
        own.waits()?;
        Ok(own)
    }

    /// Reads what it says when it has begun to wait for saves.
    fn waits(&mut self) -> Result<()> {
        let said = self.program.stderr.as_mut().context("what it says")?;
        ensure!(said.read(&mut [0; 256])? > 0, "it has ended");
        sleep(PAUSE);
        Ok(())
    }

    fn save(&mut self, text: &str) -> Result<()> {
        std::fs::write(&self.path, text)?;
        self.page()
    }

    /// Reads to the end of a page.
    fn page(&mut self) -> Result<()> {
        let mut line = String::new();
        while !line.contains(LAST_LINE) {
            line.clear();
            ensure!(self.printed.read_line(&mut line)? > 0, "it has ended");
        }
        Ok(())
    }
}

impl Drop for Own {
    fn drop(&mut self) {
        let _ = self.program.kill();
        let _ = self.program.wait();
    }
}
