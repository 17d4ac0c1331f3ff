//! A folder with a crew folder in it, secrets beside that, and the program called there.

use std::collections::BTreeMap;
use std::fs;
use std::os::unix::fs::{FileTypeExt, symlink};
use std::os::unix::net::UnixListener;
use std::path::{Path, PathBuf};
use std::process::{Command, Output, Stdio};
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// What no output may hold.
pub const SECRET: &str = "7919";

/// What anyone would wait, on a machine that does much else.
const PATIENCE: Duration = Duration::from_secs(20);

/// The program may not take more than so many KiB, its threads' stacks included.
const ROOM: u32 = 1_500_000;

pub struct Desk {
    folder: TempDir,
    /// What is outside the crew folder, as it was.
    outside: BTreeMap<PathBuf, String>,
}

impl Desk {
    /// A crew folder with a worksheet, after so many things have been put there.
    pub fn new(sheet: &str, put: &[&str]) -> Self {
        let mut desk = Self { folder: TempDir::new().unwrap(), outside: BTreeMap::new() };
        desk.write("secret.worksheet", &format!("secret : {SECRET} ft\n"));
        desk.write("secret.csv", &format!("beds,length (ft)\nsecret bed,{SECRET}\n"));
        fs::create_dir(desk.path("crew")).unwrap();
        desk.write("crew/crew-folder.txt", "");
        put.iter().for_each(|put| desk.put(put));
        desk.write(
            "crew/sheet.worksheet",
            &sheet.replace("{outside}", desk.path("").display().to_string().trim_end_matches('/')),
        );
        desk.outside = desk.found_outside();
        desk
    }

    pub fn path(&self, name: &str) -> PathBuf {
        self.folder.path().join(name)
    }

    pub fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    pub fn read(&self, name: &str) -> String {
        fs::read_to_string(self.path(name)).unwrap()
    }

    /// `link crew/a to ../b`, `copy crew/a from b`, `write crew/a: its text`, `folder crew/a`, `pipe crew/a`,
    /// `socket crew/a`, `huge crew/a`; a line end in a name is `\n`.
    fn put(&self, put: &str) {
        let put = put.replace("{outside}", &self.folder.path().display().to_string()).replace("\\n", "\n");
        let (what, rest) = put.split_once(' ').unwrap();
        match what {
            "link" => {
                let (link, target) = rest.split_once(" to ").unwrap();
                symlink(target, self.path(link)).unwrap();
            }
            "copy" => {
                let (copy, from) = rest.split_once(" from ").unwrap();
                fs::copy(self.path(from), self.path(copy)).unwrap();
            }
            "write" => {
                let (file, text) = rest.split_once(": ").unwrap();
                self.write(file, &format!("{text}\n"));
            }
            "folder" => fs::create_dir(self.path(rest)).unwrap(),
            "pipe" => assert!(Command::new("mkfifo").arg(self.path(rest)).status().unwrap().success()),
            "socket" => drop(UnixListener::bind(self.path(rest)).unwrap()),
            "huge" => fs::File::create(self.path(rest)).unwrap().set_len(1_000_000_000_000).unwrap(),
            what => panic!("nobody knows how to put a {what}"),
        }
    }

    /// Everything outside the crew folder: files with what is in them, links with where they lead.
    fn found_outside(&self) -> BTreeMap<PathBuf, String> {
        let mut found = BTreeMap::new();
        collect(self.folder.path(), &self.path("crew"), &mut found);
        found
    }

    /// Calls the program, which must end soon, tell no secret unless it is `open`, and leave all outside as it was.
    pub fn call(&self, call: &[&str], is_open: bool) -> Output {
        let limited = format!("ulimit -v {ROOM}; exec \"$0\" \"$@\"");
        let mut command = Command::new("sh");
        command.args(["-c", &limited]).arg(assert_cmd::cargo::cargo_bin!("catchwork")).args(call);
        command.current_dir(self.folder.path()).stdin(Stdio::null());
        let mut child = command.stdout(Stdio::piped()).stderr(Stdio::piped()).spawn().unwrap();
        let begun = Instant::now();
        // What it prints in a case fits into a pipe, so that it never waits for being read.
        while child.try_wait().unwrap().is_none() {
            if begun.elapsed() > PATIENCE {
                child.kill().unwrap();
                panic!("it does not end");
            }
            std::thread::sleep(Duration::from_millis(2));
        }
        let output = child.wait_with_output().unwrap();
        let tells =
            [&output.stdout, &output.stderr].into_iter().any(|said| String::from_utf8_lossy(said).contains(SECRET));
        assert_eq!(tells, is_open, "{}", said(&output));
        assert_eq!(self.found_outside(), self.outside, "something outside is not as it was");
        output
    }
}

fn collect(folder: &Path, but: &Path, found: &mut BTreeMap<PathBuf, String>) {
    for entry in fs::read_dir(folder).unwrap() {
        let path = entry.unwrap().path();
        let kind = fs::symlink_metadata(&path).unwrap().file_type();
        if path == but {
            continue;
        }
        if kind.is_dir() {
            found.insert(path.clone(), "a folder".to_owned());
            collect(&path, but, found);
        } else if kind.is_symlink() {
            found.insert(path.clone(), fs::read_link(&path).unwrap().display().to_string());
        } else if !kind.is_fifo() && !kind.is_socket() {
            found.insert(path.clone(), fs::read_to_string(&path).unwrap());
        }
    }
}

pub fn said(output: &Output) -> String {
    let text = |bytes: &[u8]| String::from_utf8_lossy(bytes).into_owned();
    format!("{:?}\n{}\n{}", output.status, text(&output.stdout), text(&output.stderr))
}
