//! The program watching a crew folder: what is saved there, and what is then on its screen.

use std::fs;
use std::io::Read;
use std::process::{Child, Command, Stdio};
use std::sync::{Arc, Mutex};
use std::thread::sleep;
use std::time::{Duration, Instant};
use tempfile::TempDir;

/// So long a save may take to show, on the busiest machine; it takes a thousandth of it.
pub const PATIENCE: Duration = Duration::from_secs(20);

/// A worksheet with a result.
pub fn strip(length: &str) -> String {
    format!("# Strip\n! Water only.\nlength : {length} ft\narea = length * 2 ft [1 ft²]\n")
}

/// A crew folder with a worksheet, and the program watching it.
pub struct Watched {
    /// What holds the crew folder.
    pub folder: TempDir,
    /// The program.
    pub child: Child,
    screen: Arc<Mutex<String>>,
    errors: Arc<Mutex<String>>,
}

impl Drop for Watched {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

fn collected(mut stream: impl Read + Send + 'static) -> Arc<Mutex<String>> {
    let all = Arc::new(Mutex::new(String::new()));
    let own = all.clone();
    std::thread::spawn(move || {
        let mut bytes = [0; 4096];
        let mut read = Vec::new();
        while let Ok(count @ 1..) = stream.read(&mut bytes) {
            read.extend_from_slice(&bytes[..count]);
            *own.lock().unwrap() = String::from_utf8_lossy(&read).into_owned();
        }
    });
    all
}

impl Watched {
    /// Watches what the call names, in a crew folder `crew` with these files.
    pub fn new(files: &[(&str, &str)], call: &[&str]) -> Self {
        Self::by(Command::new(assert_cmd::cargo::cargo_bin!("catchwork")), files, call)
    }

    /// The same, the program begun by another command.
    pub fn by(mut command: Command, files: &[(&str, &str)], call: &[&str]) -> Self {
        let folder = TempDir::new().unwrap();
        fs::create_dir(folder.path().join("crew")).unwrap();
        let write = |name: &str, text: &str| {
            let path = folder.path().join("crew").join(name);
            fs::create_dir_all(path.parent().unwrap()).unwrap();
            fs::write(path, text).unwrap();
        };
        write("crew-folder.txt", "");
        files.iter().for_each(|(name, text)| write(name, text));
        let mut child = command
            .arg("watch")
            .args(call)
            .current_dir(folder.path())
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::piped())
            .spawn()
            .unwrap();
        let (screen, errors) = (collected(child.stdout.take().unwrap()), collected(child.stderr.take().unwrap()));
        let watched = Self { folder, child, screen, errors };
        watched.told("Waiting for saves; Ctrl-C ends it.");
        watched
    }

    /// Watches a worksheet of that name, in a manner that the call may ask for.
    pub fn strip(manner: &[&str]) -> Self {
        let call: Vec<&str> = ["crew/strip.worksheet"].iter().chain(manner).copied().collect();
        let watched = Self::new(&[("strip.worksheet", &strip("60"))], &call);
        watched.shows("area    120");
        watched
    }

    /// A file in the crew folder.
    pub fn path(&self, name: &str) -> std::path::PathBuf {
        self.folder.path().join("crew").join(name)
    }

    /// Saves one.
    pub fn write(&self, name: &str, text: &str) {
        fs::write(self.path(name), text).unwrap();
    }

    /// All that has been printed.
    pub fn screen(&self) -> String {
        self.screen.lock().unwrap().clone()
    }

    fn await_in(stream: &Mutex<String>, words: &str) -> bool {
        let begun = Instant::now();
        while begun.elapsed() < PATIENCE {
            if stream.lock().unwrap().contains(words) {
                return true;
            }
            sleep(Duration::from_millis(5));
        }
        false
    }

    /// Waits until this has been printed.
    #[track_caller]
    pub fn shows(&self, words: &str) {
        let shows = Self::await_in(&self.screen, words);
        assert!(shows, "no {words:?} in\n{}\n{}", self.screen(), self.errors.lock().unwrap());
    }

    /// Waits until this has been said on standard error.
    #[track_caller]
    pub fn told(&self, words: &str) {
        assert!(Self::await_in(&self.errors, words), "no {words:?} in\n{}", self.errors.lock().unwrap());
    }
}
