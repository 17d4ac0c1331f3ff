//! A person at a terminal: keys go in when a question stands there, and what is then on the screen comes out, as a
//! terminal of eighty columns shows it.

use super::{Held, contents, crew, same};
use pty_process::blocking::{Command, Pty, open};
use std::io::{Read, Write};
use std::num::NonZero;
use std::path::Path;
use std::process::Child;
use std::sync::mpsc::{Receiver, channel};
use std::time::{Duration, Instant};

/// Room for a whole dialogue.
const ROWS: NonZero<u16> = NonZero::new(1000).unwrap();
const COLUMNS: NonZero<u16> = NonZero::new(80).unwrap();
const PATIENCE: Duration = Duration::from_secs(60);

/// What a dialogue came to.
pub struct Shown {
    pub status: i32,
    pub screen: String,
}

/// Has a call ask, and types a line at each question.
pub fn typed(folder: &Path, settings: &[(String, String)], call: &[String], lines: &[String]) -> Shown {
    let mut terminal = Terminal::begin(folder, settings, call);
    for line in lines {
        terminal.await_question();
        match line.as_str() {
            "^C" => terminal.press("\u{3}"),
            "^D" => terminal.press("\u{4}"),
            line => terminal.press(&format!("{line}\r")),
        }
    }
    terminal.end()
}

struct Terminal {
    child: Child,
    terminal: Pty,
    output: Receiver<Vec<u8>>,
    screen: vt100::Parser,
    /// Whether a line has ended since the last key: what stands there is no longer the question before it.
    has_moved: bool,
}

impl Terminal {
    fn begin(folder: &Path, settings: &[(String, String)], call: &[String]) -> Self {
        let (terminal, pts) = open().unwrap();
        terminal.resize(pty_process::Size::new(ROWS.get(), COLUMNS.get())).unwrap();
        let command = Command::new(assert_cmd::cargo::cargo_bin!("catchwork"))
            .args(call)
            .current_dir(folder)
            .env("NO_COLOR", "1")
            .env("TERM", "xterm")
            .envs(settings.iter().cloned());
        let child = command.spawn(pts).unwrap();
        let (sender, output) = channel();
        let mut reader = std::fs::File::from(std::os::fd::AsFd::as_fd(&terminal).try_clone_to_owned().unwrap());
        std::thread::spawn(move || {
            let mut bytes = [0; 4096];
            // The end of a terminal is an error on some systems.
            while let Ok(length @ 1..) = reader.read(&mut bytes) {
                if sender.send(bytes[..length].to_vec()).is_err() {
                    return;
                }
            }
        });
        Self { child, terminal, output, screen: vt100::Parser::new(ROWS, COLUMNS, 0), has_moved: true }
    }

    fn press(&mut self, keys: &str) {
        self.has_moved = false;
        self.terminal.write_all(keys.as_bytes()).unwrap();
    }

    /// Waits until a question stands at the cursor.
    fn await_question(&mut self) {
        let begun = Instant::now();
        while !(self.has_moved && self.is_asked()) {
            let left = PATIENCE.checked_sub(begun.elapsed());
            let bytes = left.and_then(|left| self.output.recv_timeout(left).ok());
            let Some(bytes) = bytes else { panic!("no question:\n{}", self.screen.screen().contents()) };
            self.take(&bytes);
        }
    }

    fn take(&mut self, bytes: &[u8]) {
        self.has_moved |= bytes.contains(&b'\n');
        self.screen.process(bytes);
    }

    fn is_asked(&self) -> bool {
        let (row, column) = self.screen.screen().cursor_position();
        let line = self.screen.screen().contents_between(row, 0, row, column);
        line.trim_end().ends_with('>') && line.contains(" of ")
    }

    fn end(mut self) -> Shown {
        let status = self.child.wait().unwrap();
        while let Ok(bytes) = self.output.recv_timeout(Duration::from_millis(500)) {
            self.take(&bytes);
        }
        let screen = self.screen.screen().contents();
        let screen: Vec<&str> = screen.lines().map(str::trim_end).collect();
        Shown { status: status.code().expect("ended by itself"), screen: screen.join("\n") }
    }
}

fn strip(typed: &[&str]) -> (tempfile::TempDir, Shown) {
    let crew = crew();
    let call = ["fill", "methods/strip.worksheet", "jobs/a worker's.worksheet"].map(str::to_owned);
    let typed: Vec<String> = typed.iter().map(|line| (*line).to_owned()).collect();
    let shown = self::typed(crew.path(), &[], &call, &typed);
    (crew, shown)
}

const FIRST: [&str; 4] = ["2026-03-18", "Wren's \"helper\" $HOME `date` \\ !", "yes", "60"];
const REST: [&str; 3] = ["28 ± 1", "1 to 1 1/2", "^D"];

/// The call that is printed at Ctrl-C is put into a shell, and the rest is typed then.
pub fn going_on() -> Held {
    let (whole, _) = strip(&[&FIRST[..], &REST[..]].concat());
    let (part, stopped) = strip(&[&FIRST[..], &["^C"]].concat());
    assert_eq!(stopped.status, 130);
    assert_eq!(contents(part.path()), contents(crew().path()), "something is written");
    let printed = stopped.screen.split("go on from here:").nth(1).expect("how to go on").replace('\n', "");
    // The shell takes the words apart, and the last of them hands them back.
    let call = printed.replacen("catchwork", "printf '%s\\n'", 1);
    let words = std::process::Command::new("sh").args(["-c", &call]).output().unwrap();
    let words: Vec<String> = String::from_utf8(words.stdout).unwrap().lines().map(str::to_owned).collect();
    let rest: Vec<String> = REST.iter().map(|line| (*line).to_owned()).collect();
    let gone_on = typed(part.path(), &[], &words, &rest);
    assert_eq!(gone_on.status, 0, "{}", gone_on.screen);
    let written = |crew: &Path| contents(crew).remove("jobs/a worker's.worksheet").unwrap();
    same(&written(whole.path()), &written(part.path()), Path::new("the worksheet"))
}

fn with_one_answer() -> (tempfile::TempDir, Terminal) {
    let crew = crew();
    let call = ["fill", "methods/strip.worksheet", "new.worksheet"].map(str::to_owned);
    let mut terminal = Terminal::begin(crew.path(), &[], &call);
    terminal.await_question();
    terminal.press("2026-03-18\r");
    terminal.await_question();
    (crew, terminal)
}

/// A signal that comes from no key of this terminal.
pub fn signalled() -> Held {
    let (crew, terminal) = with_one_answer();
    let kill = std::process::Command::new("kill").args(["-INT", &terminal.child.id().to_string()]).status()?;
    assert!(kill.success());
    let shown = terminal.end();
    assert_eq!(shown.status, 130, "{}", shown.screen);
    assert!(shown.screen.contains("catchwork fill methods/strip.worksheet new.worksheet 'test date : 2026-03-18'"));
    assert!(!crew.path().join("new.worksheet").exists());
    Ok(())
}

/// A file that someone else makes while the questions are asked is left alone, and no answer is lost.
pub fn overtaken() -> Held {
    let (crew, mut terminal) = with_one_answer();
    std::fs::write(crew.path().join("new.worksheet"), "another's")?;
    terminal.press("\u{4}");
    let shown = terminal.end();
    assert_eq!(shown.status, 2, "{}", shown.screen);
    let told = "error: new.worksheet is not written: a file of that name is there already; --replace writes over it\n\
                To go on from here:\n\n\
                catchwork fill methods/strip.worksheet new.worksheet 'test date : 2026-03-18'";
    assert!(
        shown.screen.replace("\n --replace", " --replace").replace("replace\nwrites", "replace writes").contains(told),
        "{}",
        shown.screen
    );
    assert_eq!(std::fs::read_to_string(crew.path().join("new.worksheet"))?, "another's");
    Ok(())
}
