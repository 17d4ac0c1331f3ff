//! Nothing that a worksheet, a file's name or a word of the call holds is obeyed by a terminal: every command is called with
//! names and texts that would clear the screen, change its title, or turn the writing round, and what it prints on both
//! streams is letters and line ends.

#![cfg(unix)]
#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "tests say what must hold by failing")]

use catchwork::report::letters::is_obeyed;
use std::ffi::{OsStr, OsString};
use std::fs;
use std::os::unix::ffi::{OsStrExt, OsStringExt};
use std::process::{Command, Output, Stdio};
use std::time::Duration;
use tempfile::TempDir;

/// What a terminal would obey, as bytes, since a file's name need be no text.
const SEQUENCES: [&[u8]; 10] = [
    b"\x1b[2Jcleared",
    b"\x1b]0;title\x07",
    b"\x1b]8;;mailto:x\x1b\\link\x1b]8;;\x1b\\",
    b"\x1bP$q\"p\x1b\\",
    b"over\rwritten",
    b"two\nlines",
    b"back\x08\x08\x08\x7f",
    "\u{9b}31mred".as_bytes(),
    "\u{202e}turned\u{2066}\u{200f}".as_bytes(),
    b"\xff\xfe\x9b2J\x1b[2J",
];

const SHEET: &str = "\
# Title TEXT
! Caution TEXT
-- Note TEXT
## Section TEXT
tank TEXT : 3 gal TEXT -- remark TEXT
site : \"site TEXT\"
width : 28 in
scale : ____ in -- blank TEXT
area = width * 2 ft [ft²] -- area TEXT
double = area * 2 TEXT
away from \"TEXT.worksheet\"
| beds TEXT | length TEXT : ft | kind : text |
| north TEXT | 3 | \"cell TEXT\" |
| plots from \"TEXT.csv\" | length : ft |
? label TEXT : width more than 40 in else advice TEXT
~ chart TEXT : beds.length by beds.length
from \"TEXT\"
";

/// A worksheet that is in no trouble, with the text where it is taken as it is.
const SOUND: &str = "! Caution\nwidth : 28 in -- remark\nscale : ____ in\narea = width * 2 ft [ft²]\n";

/// A crew folder with worksheets and data called by a sequence and holding it.
struct Desk {
    folder: TempDir,
    sequence: &'static [u8],
}

impl Desk {
    fn new(sequence: &'static [u8]) -> Self {
        let desk = Self { folder: TempDir::new().unwrap(), sequence };
        let hostile = [SHEET.split("TEXT").map(str::as_bytes).collect::<Vec<_>>().join(sequence)].concat();
        desk.write("crew-folder.txt".as_ref(), b"");
        desk.write(&desk.name(b"hostile", b".worksheet"), &hostile);
        desk.write(&desk.name(b"sound", b".worksheet"), SOUND.as_bytes());
        desk.write(&desk.name(b"other", b".worksheet"), SOUND.replace("28", "30").as_bytes());
        let data = [b"\"width (in)\",\"" as &[u8], sequence, b"\"\n30,\"", sequence, b"\"\n"].concat();
        desk.write(&desk.name(b"data", b".csv"), &data);
        desk.write(&desk.name(b"good", b".csv"), b"width (in)\n30\n");
        fs::create_dir(desk.folder.path().join(desk.name(b"folder", b""))).unwrap();
        desk
    }

    fn name(&self, before: &[u8], after: &[u8]) -> OsString {
        OsString::from_vec([before, self.sequence, after].concat())
    }

    fn write(&self, name: &OsStr, bytes: &[u8]) {
        fs::write(self.folder.path().join(name), bytes).unwrap();
    }

    fn command(&self, call: &[&OsStr]) -> Command {
        let mut command = Command::new(assert_cmd::cargo::cargo_bin!("catchwork"));
        command.args(call).current_dir(self.folder.path());
        command.stdin(Stdio::null()).stdout(Stdio::piped()).stderr(Stdio::piped());
        command
    }

    /// Calls the program with words of which those in capitals stand for names and texts with the sequence in them.
    fn call(&self, call: &str) {
        let words: Vec<OsString> = call.split(' ').map(|word| self.word(word)).collect();
        let words: Vec<&OsStr> = words.iter().map(OsString::as_os_str).collect();
        self.holds(call, &self.command(&words).output().unwrap());
    }

    fn word(&self, word: &str) -> OsString {
        match word {
            "HOSTILE" => self.name(b"hostile", b".worksheet"),
            "SOUND" => self.name(b"sound", b".worksheet"),
            "OTHER" => self.name(b"other", b".worksheet"),
            "DATA" => self.name(b"data", b".csv"),
            "GOOD" => self.name(b"good", b".csv"),
            "FOLDER" => self.name(b"folder", b""),
            "MISSING" => self.name(b"none", b".worksheet"),
            "NEW" => self.name(b"new", b".worksheet"),
            "CARD" => self.name(b"card", b".html"),
            "ROWS" => self.name(b"rows", b".csv"),
            "WORD" => self.name(b"", b""),
            "SETTING" => self.name(b"width : 3 in", b""),
            "NONE" => self.name(b"no/folder", b"/card.html"),
            "REVISION" => self.name(b"sound.worksheet@", b""),
            word => word.into(),
        }
    }

    fn holds(&self, call: &str, output: &Output) {
        for (stream, bytes) in [("standard output", &output.stdout), ("standard error", &output.stderr)] {
            let text = String::from_utf8_lossy(bytes);
            let obeyed = text.chars().find(|letter| is_obeyed(*letter) && *letter != '\n');
            assert!(
                obeyed.is_none(),
                "`{call}` with {:?} has {obeyed:?} on {stream}:\n{text:?}",
                OsStr::from_bytes(self.sequence)
            );
            let is_one_line = stream == "standard error" || !text.contains("two\nlines");
            assert!(is_one_line, "`{call}` breaks a line in two:\n{text}");
        }
    }
}

const CALLS: [&str; 55] = [
    "results HOSTILE",
    "results HOSTILE --plain",
    "results HOSTILE --as markdown",
    "results HOSTILE --as csv",
    "results HOSTILE --as json",
    "results HOSTILE --as jsonl",
    "results HOSTILE --as html",
    "results HOSTILE SOUND OTHER",
    "results SOUND",
    "results SOUND --set SETTING",
    "results SOUND --set WORD",
    "results SOUND --today WORD",
    "results SOUND --as WORD",
    "results .",
    "results FOLDER",
    "results MISSING",
    "results WORD",
    "blanks HOSTILE",
    "blanks SOUND",
    "blanks MISSING",
    "why HOSTILE area",
    "why SOUND area",
    "why SOUND WORD",
    "why MISSING WORD",
    "compare SOUND OTHER",
    "compare HOSTILE SOUND",
    "compare MISSING SOUND",
    "compare REVISION SOUND",
    "each SOUND DATA",
    "each SOUND GOOD",
    "each HOSTILE DATA",
    "each SOUND MISSING",
    "each MISSING GOOD",
    "each SOUND GOOD --out ROWS",
    "each SOUND GOOD --out ROWS",
    "each SOUND GOOD --out SOUND --replace",
    "card HOSTILE --out CARD",
    "card SOUND --out CARD",
    "card SOUND --out CARD",
    "card SOUND --out NONE",
    "card SOUND --out SOUND --replace",
    "format HOSTILE --check",
    "format SOUND OTHER HOSTILE",
    "format MISSING",
    "format FOLDER",
    "fill SOUND NEW WORD",
    "fill SOUND NEW SETTING",
    "fill WORD NEW SETTING",
    "fill HOSTILE NEW SETTING",
    "templates --into FOLDER",
    "templates --into FOLDER",
    "units WORD",
    "completions WORD",
    "WORD",
    "results --WORD WORD",
];

#[test]
fn no_command_prints_what_a_terminal_obeys() {
    for sequence in SEQUENCES {
        let desk = Desk::new(sequence);
        CALLS.iter().for_each(|call| desk.call(call));
    }
}

/// It prints until it is stopped.
#[test]
fn neither_does_watching() {
    for sequence in SEQUENCES {
        let desk = Desk::new(sequence);
        for sheet in ["HOSTILE", "SOUND", "MISSING"] {
            let words = ["watch".into(), desk.word(sheet)];
            let words: Vec<&OsStr> = words.iter().map(OsString::as_os_str).collect();
            let mut child = desk.command(&words).spawn().unwrap();
            std::thread::sleep(Duration::from_millis(200));
            let _ = child.kill();
            desk.holds(&format!("watch {sheet}"), &child.wait_with_output().unwrap());
        }
    }
}
