//! How many instructions four kinds of work take, counted by Valgrind and held against `tests/instructions/counts.tsv`:
//! unlike a time, a count is the same whatever else the machine does, so that a loss of 3 % shows. What is counted is
//! the program as it is built for the tests. `UPDATE=1` writes the counts anew, when a change is worth what it costs.
//! `.ci/run` installs Valgrind; where a machine has none, only `.ci/run` asks for it.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

use std::fmt::Write as _;
use std::fs;
use std::path::Path;
use std::process::{Command, Stdio};

const ROOT: &str = env!("CARGO_MANIFEST_DIR");
const KEPT: &str = concat!(env!("CARGO_MANIFEST_DIR"), "/tests/instructions/counts.tsv");

/// More than so many percent of what is kept is too much.
const MOST_PERCENT: f64 = 103.0;

/// The works, and how each is called for; paths are from the root of the project.
const WORKS: [(&str, &[&str]); 4] = [
    ("26 lines", &["results", "tests/bench/glance.worksheet"]),
    ("1000 lines", &["results", "tests/bench/thousand.worksheet"]),
    ("calibration by template", &["results", "worksheets/example/calibration/green-1-wren-strip.worksheet"]),
    ("each, 100 rows", &["each", "tests/bench/beds.worksheet", "tests/instructions/beds.csv"]),
];

#[test]
fn no_work_takes_more_instructions_than_are_kept() {
    let has_valgrind = Command::new("valgrind").arg("--version").stdout(Stdio::null()).status().is_ok();
    assert!(has_valgrind || std::env::var_os("CI").is_none(), ".ci/run should have installed Valgrind");
    if !has_valgrind {
        return;
    }
    let counts = WORKS.map(|(work, call)| (work, counted(call)));
    let compiler = compiler();
    if std::env::var_os("UPDATE").is_some() {
        fs::create_dir_all(Path::new(KEPT).parent().unwrap()).unwrap();
        fs::write(KEPT, table(&compiler, &counts)).unwrap();
        return;
    }
    let kept = fs::read_to_string(KEPT).unwrap();
    // Another compiler makes other instructions of the same program.
    if !kept.starts_with(&format!("compiler\t{compiler}\n")) {
        eprintln!("counts are kept for another compiler than {compiler}:\n{}", table(&compiler, &counts));
        return;
    }
    let more = counts.iter().filter_map(|(work, count)| too_many(work, *count, kept_of(&kept, work)));
    let more: Vec<String> = more.collect();
    assert!(more.is_empty(), "{}\nUPDATE=1 keeps these, if they are worth it", more.join("\n"));
}

/// What is said of a work that takes more than is kept.
fn too_many(work: &str, count: u64, kept: u64) -> Option<String> {
    let percent = count as f64 * 100.0 / kept as f64;
    let says = || format!("{work}: {count} instructions, {percent:.1} % of the {kept} kept");
    (percent > MOST_PERCENT).then(says)
}

#[test]
fn three_percent_more_is_too_many() {
    assert_eq!(too_many("x", 103, 100), None);
    let says = "x: 104 instructions, 104.0 % of the 100 kept";
    assert_eq!(too_many("x", 104, 100).as_deref(), Some(says));
}

/// The instructions of one run, on one processor so that nothing waits for anything.
fn counted(call: &[&str]) -> u64 {
    let output = Command::new("valgrind")
        .args(["--tool=callgrind", "--callgrind-out-file=/dev/null", env!("CARGO_BIN_EXE_catchwork")])
        .args(call)
        .current_dir(ROOT)
        .env_clear()
        .envs(std::env::var_os("PATH").map(|path| ("PATH", path)))
        .envs([("RAYON_NUM_THREADS", "1"), ("TZ", "UTC"), ("LC_ALL", "C")])
        .stdin(Stdio::null())
        .output()
        .unwrap();
    let said = String::from_utf8_lossy(&output.stderr);
    assert!(matches!(output.status.code(), Some(0 | 1)), "{call:?} ended with {}: {said}", output.status);
    let count = said.lines().find_map(|line| line.split_once("Collected : ")).expect("a count");
    count.1.trim().parse().unwrap()
}

fn compiler() -> String {
    let rustc = std::env::var_os("RUSTC").unwrap_or_else(|| "rustc".into());
    let output = Command::new(rustc).arg("--version").output().unwrap();
    String::from_utf8(output.stdout).unwrap().trim().to_owned()
}

fn table(compiler: &str, counts: &[(&str, u64)]) -> String {
    let mut table = format!("compiler\t{compiler}\n");
    for (work, count) in counts {
        writeln!(table, "{work}\t{count}").unwrap();
    }
    table
}

fn kept_of(kept: &str, work: &str) -> u64 {
    let line = kept.lines().find_map(|line| line.strip_prefix(work)?.strip_prefix('\t'));
    line.unwrap_or_else(|| panic!("{KEPT} has no {work}")).parse().unwrap()
}
