//! `catchwork each` as a process: what goes where, the status it ends with, the order of rows, and how much memory it
//! takes.

use std::fs;
use std::io::Write;
use std::process::{Command, Output, Stdio};
use tempfile::TempDir;

const TEMPLATE: &str = "\
! Keep children away.
bed    : ____ text
length : ____ ft
width  : 4 ft
area   = length * width [ft²]
? large : area at least 20 ft²
";

/// A folder with a template and data.
struct Folder(TempDir);

impl Folder {
    fn with(data: &str) -> Self {
        let folder = Self(TempDir::new().unwrap());
        folder.write("bed.worksheet", TEMPLATE);
        folder.write("beds.csv", data);
        folder
    }

    fn write(&self, name: &str, text: &str) {
        fs::write(self.0.path().join(name), text).unwrap();
    }

    fn read(&self, name: &str) -> String {
        fs::read_to_string(self.0.path().join(name)).unwrap()
    }

    fn command(&self, call: &[&str]) -> Command {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("catchwork"));
        command.arg("each").args(call).current_dir(self.0.path()).stdin(Stdio::null());
        command
    }

    fn run(&self, call: &[&str]) -> Run {
        Run::of(self.command(call).output().unwrap())
    }
}

#[derive(Debug)]
struct Run {
    status: i32,
    stdout: String,
    stderr: String,
}

impl Run {
    fn of(output: Output) -> Self {
        let text = |bytes: Vec<u8>| String::from_utf8(bytes).unwrap();
        let (stdout, stderr) = (text(output.stdout), text(output.stderr));
        Self { status: output.status.code().expect("ended by itself"), stdout, stderr }
    }

    /// Ended with a status, and something or nothing on standard error.
    #[track_caller]
    fn ended(self, status: i32, stderr: &str) -> Self {
        assert_eq!(self.status, status, "{self:#?}");
        assert!(self.stderr.contains(stderr) && self.stderr.is_empty() == stderr.is_empty(), "{self:#?}");
        self
    }
}

pub fn the_status_is_that_of_the_worst_row() {
    let data = |rows: &str| Folder::with(&format!("bed,length (ft)\n{rows}"));
    let each = ["bed.worksheet", "beds.csv"];
    data("north,24\nsouth,12\n").run(&each).ended(0, "");
    let run = data("north,24\nsmall,2\n").run(&each).ended(1, "");
    assert!(run.stdout.lines().nth(2).unwrap().starts_with("small,2,8.0,0.0,no,"), "{run:#?}");
    data("north,24\nlater,\n").run(&each).ended(0, "");
    let says = "1 of 3 rows in trouble, the first of them row 3; their column `trouble` tells why";
    let run = data("small,2\nbad,3 gal\nnorth,24\n").run(&each).ended(2, says);
    assert!(run.stdout.lines().nth(3).unwrap().starts_with("north,24,96.0,0.0,ok,"), "{run:#?}");
    assert!(run.stdout.lines().skip(1).all(|row| row.contains("Keep children away. The product label")), "{run:#?}");
}

pub fn what_fits_no_row_is_told_before_any_is_worked() {
    let folder = Folder::with("bed,lenght (ft)\nnorth,24\n");
    let run = folder.run(&["bed.worksheet", "beds.csv", "--out", "worked.csv"]).ended(2, "beds.csv:1:5");
    assert!(run.stdout.is_empty() && run.stderr.contains("instead: `length (ft)`"), "{run:#?}");
    assert!(!folder.0.path().join("worked.csv").exists());
    folder.run(&["none.worksheet", "beds.csv"]).ended(2, "none.worksheet cannot be read");
    folder.run(&["none", "beds.csv"]).ended(2, "no template inside the program is called `none`");
    folder.run(&["bed.worksheet", "none.csv"]).ended(2, "none.csv cannot be read");
    folder.run(&["bed.worksheet", "."]).ended(2, ". cannot be read");
    folder.run(&["-", "-"]).ended(2, "`-` is given twice");
    folder.write("endless.csv", &format!("\"bed{}", "x".repeat(2 << 20)));
    folder.run(&["bed.worksheet", "endless.csv"]).ended(2, "goes on for more than 1048576 bytes");
}

pub fn a_template_inside_the_program_goes_by_its_name() {
    let folder = Folder::with("tank holds (gal),stays behind (fl oz),rinse water (gal)\n3,4,3/4\n");
    let run = folder.run(&["rinse", "beds.csv"]).ended(0, "");
    assert!(run.stdout.lines().nth(1).unwrap().starts_with("3,4,'3/4,4.0,0.0,"), "{run:#?}");
}

pub fn data_may_come_by_standard_input() {
    let folder = Folder::with("");
    let mut child = folder.command(&["bed.worksheet", "-"]);
    let mut child = child.stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    child.stdin.take().unwrap().write_all(b"\xef\xbb\xbfbed,length (m)\r\nnorth,7.62\r\n").unwrap();
    let run = Run::of(child.wait_with_output().unwrap()).ended(0, "");
    assert!(run.stdout.lines().nth(1).unwrap().starts_with("north,7.62,100.0,0.0,ok,"), "{run:#?}");
}

pub fn a_file_is_written_whole_and_none_is_lost() {
    let folder = Folder::with("bed,length (ft)\nnorth,24\nbad,gal\n");
    let each = |more: &[&str]| folder.run(&[&["bed.worksheet", "beds.csv"], more].concat());
    let printed = each(&[]).ended(2, "1 of 2 rows").stdout;
    assert!(each(&["--out", "worked.csv"]).ended(2, "1 of 2 rows").stdout.is_empty());
    assert_eq!(folder.read("worked.csv"), printed);
    folder.write("worked.csv", "kept");
    each(&["--out", "worked.csv"]).ended(2, "is there already; --replace writes over it");
    assert_eq!(folder.read("worked.csv"), "kept");
    each(&["--out", "worked.csv", "--replace"]).ended(2, "1 of 2 rows");
    assert_eq!(folder.read("worked.csv"), printed);
    for read in ["beds.csv", "./bed.worksheet"] {
        each(&["--out", read, "--replace"]).ended(2, "is read, and is not written over");
    }
    each(&["--out", "none/worked.csv"]).ended(2, "none/worked.csv is not written");
    assert_eq!(folder.read("bed.worksheet"), TEMPLATE);
}

/// Many more rows than are worked together, a bad one in their middle.
pub fn rows_come_out_in_their_order() {
    const ROWS: usize = 20_000;
    let rows = (0..ROWS).map(|row| if row == 9_999 { "b9999,many\n".to_owned() } else { format!("b{row},{row}\n") });
    let folder = Folder::with(&format!("bed,length (ft)\n{}", rows.collect::<String>()));
    let run =
        folder.run(&["bed.worksheet", "beds.csv"]).ended(2, "1 of 20000 rows in trouble, the first of them row 10001");
    let lines: Vec<&str> = run.stdout.lines().skip(1).collect();
    assert_eq!(lines.len(), ROWS);
    for (row, line) in lines.iter().enumerate() {
        let begins = if row == 9_999 { "b9999,many,,,".to_owned() } else { format!("b{row},{row},{}.0,0.0,", row * 4) };
        assert!(line.starts_with(&begins), "{line} is no {begins}");
    }
    assert!(lines[9_999].contains(",\"length: a length (ft) belongs here, and this is `many`\""), "{}", lines[9_999]);
}

pub fn a_reader_that_has_seen_enough_is_no_trouble() {
    let rows: String = (0..5_000).map(|row| format!("b{row},{row}\n")).collect();
    let folder = Folder::with(&format!("bed,length (ft)\n{rows}"));
    let mut child = folder.command(&["bed.worksheet", "beds.csv"]);
    let mut child = child.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
    drop(child.stdout.take());
    Run::of(child.wait_with_output().unwrap()).ended(0, "");
}

/// What is read and what is written is more than the memory that may be taken.
#[cfg(target_os = "linux")]
pub fn data_need_not_fit_into_the_memory() {
    const MOST_KB: u64 = 100 << 10;
    const ROWS: u64 = 75_000;
    let folder = Folder::with("");
    let mut child = folder.command(&["bed.worksheet", "-"]);
    let mut child = child.stdin(Stdio::piped()).stdout(Stdio::null()).stderr(Stdio::piped()).spawn().unwrap();
    let mut stdin = child.stdin.take().unwrap();
    let row = format!("{},24\n", "a bed that is long and wide ".repeat(60));
    assert!(ROWS * row.len() as u64 > MOST_KB << 10, "the rows would fit");
    let writer = std::thread::spawn(move || {
        stdin.write_all(b"bed,length (ft)\n").unwrap();
        (0..ROWS).for_each(|_| stdin.write_all(row.as_bytes()).unwrap());
    });
    let peak = || {
        let status = fs::read_to_string(format!("/proc/{}/status", child.id())).unwrap_or_default();
        let line = status.lines().find_map(|line| line.strip_prefix("VmHWM:"));
        line.and_then(|line| line.trim().strip_suffix(" kB")?.parse::<u64>().ok())
    };
    let mut highest = 0;
    while !writer.is_finished() {
        highest = highest.max(peak().unwrap_or_default());
        std::thread::sleep(std::time::Duration::from_millis(5));
    }
    writer.join().unwrap();
    Run::of(child.wait_with_output().unwrap()).ended(0, "");
    assert!((1..MOST_KB).contains(&highest), "{highest} kB");
}

#[cfg(not(target_os = "linux"))]
pub fn data_need_not_fit_into_the_memory() {}
