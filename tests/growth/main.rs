//! How time and memory grow with the work: `cargo bench --bench growth` works sheets, tables, folders and chains of
//! results that are ten times as long from one to the next, and prints what each took and how many times the one before
//! that is. What the program takes for an empty sheet is left out of the times. Ten times the work may take eleven times
//! as much.

mod sheets;

use anyhow::{Context, Result, ensure};
use sheets::LAWS;
use std::path::Path;
use std::process::{Command, Stdio};
use std::time::Duration;
use wait4::Wait4;

/// The folder that the sheets are written into.
const SCRATCH: &str = env!("CARGO_TARGET_TMPDIR");

/// Each is worked so many times; the least counts.
const ROUNDS: usize = 3;

/// What a run took.
#[derive(Clone, Copy)]
struct Taken {
    /// Of all processors together.
    time: Duration,
    /// The most memory at once, in KiB.
    memory: u64,
}

fn main() -> Result<()> {
    let words: Vec<String> = std::env::args().skip(1).filter(|word| !word.starts_with('-')).collect();
    let scratch = Path::new(SCRATCH).join("growth");
    let empty = sheets::write(&scratch.join("empty"), "sheet", "one : 1\n")?;
    let nothing = least(&empty)?;
    println!("{:<40} {:>8} {:>12} {:>10} {:>8} {:>8}", "work", "times", "time", "memory", "time ×", "memory ×");
    for law in LAWS.iter().filter(|law| words.is_empty() || words.iter().any(|word| law.work.contains(word.as_str()))) {
        let mut before: Option<Taken> = None;
        for times in law.sizes {
            let folder = scratch.join(law.work.replace(' ', "-")).join(times.to_string());
            let mut taken = least(&(law.make)(&folder, *times)?)?;
            taken.time = taken.time.saturating_sub(nothing.time);
            print(law.work, *times, taken, before);
            before = Some(taken);
        }
    }
    Ok(())
}

fn print(work: &str, times: usize, taken: Taken, before: Option<Taken>) {
    let grown = |own: f64, before: f64| format!("{:.1}", own / before);
    let (time, memory) = before.map_or_else(Default::default, |before| {
        let time = grown(taken.time.as_secs_f64(), before.time.as_secs_f64());
        (time, grown(taken.memory as f64, before.memory as f64))
    });
    let (milliseconds, mebibytes) = (taken.time.as_secs_f64() * 1e3, taken.memory as f64 / 1024.0);
    println!("{work:<40} {times:>8} {milliseconds:>9.1} ms {mebibytes:>6.0} MiB {time:>8} {memory:>8}");
}

/// The least that working a sheet or a folder of sheets takes.
fn least(path: &Path) -> Result<Taken> {
    let taken = (0..ROUNDS).map(|_| worked(path)).collect::<Result<Vec<_>>>()?;
    let time = taken.iter().map(|taken| taken.time).min().context("no round")?;
    let memory = taken.iter().map(|taken| taken.memory).min().context("no round")?;
    Ok(Taken { time, memory })
}

fn worked(path: &Path) -> Result<Taken> {
    let mut child = Command::new(env!("CARGO_BIN_EXE_catchwork"))
        .arg("results")
        .arg(path)
        .stdin(Stdio::null())
        .stdout(Stdio::null())
        .stderr(Stdio::null())
        .spawn()?;
    let ended = child.wait4()?;
    ensure!(ended.status.code().is_some_and(|code| code <= 2), "{} ended with {}", path.display(), ended.status);
    let time = ended.rusage.utime + ended.rusage.stime;
    Ok(Taken { time, memory: ended.rusage.maxrss / 1024 })
}
