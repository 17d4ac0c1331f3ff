//! Files and folders that are exchanged for links while the program reads: what it checks and what it reads is one thing.

use crate::desk::Desk;
use std::fs;
use std::os::unix::fs::symlink;
use std::path::Path;
use std::sync::atomic::{AtomicBool, Ordering};

pub const TESTS: [(&str, fn()); 3] = [
    ("a file exchanged for a link while it is read", a_file),
    ("a folder exchanged for a link while it is gone through", a_folder),
    ("a file exchanged for a pipe while it is read", a_pipe),
];

/// So many calls run beside the exchanges.
const CALLS: usize = 60;

const TABLE: &str = "| beds from \"beds.csv\" | length : ft |\n";

/// Calls the program while something is exchanged for something else and back, as fast as that goes.
fn beside(desk: &Desk, name: &str, exchange: impl Fn(&Path) + Sync) {
    let is_done = AtomicBool::new(false);
    std::thread::scope(|scope| {
        scope.spawn(|| {
            while !is_done.load(Ordering::Relaxed) {
                exchange(&desk.path(name));
            }
        });
        let called = std::panic::catch_unwind(std::panic::AssertUnwindSafe(|| {
            for _ in 0..CALLS {
                desk.call(&["results", "crew/sheet.worksheet"], false);
            }
        }));
        is_done.store(true, Ordering::Relaxed);
        called.unwrap();
    });
}

/// Puts what stands beside a name under another name in its place.
fn put_in_place(path: &Path, make: impl Fn(&Path)) {
    let beside = path.with_extension("next");
    make(&beside);
    fs::rename(&beside, path).unwrap();
}

fn a_file() {
    let desk = Desk::new(TABLE, &["write crew/beds.csv: beds,length (ft)"]);
    beside(&desk, "crew/beds.csv", |path| {
        put_in_place(path, |beside| symlink("../secret.csv", beside).unwrap());
        put_in_place(path, |beside| fs::write(beside, "beds,length (ft)\nnorth,3\n").unwrap());
    });
}

fn a_folder() {
    let put = ["folder crew/deep", "folder crew/other", "copy crew/deep/inside.csv from crew/crew-folder.txt"];
    let desk = Desk::new("| log from \"deep/*.worksheet\" | secret : ft |\n", &put);
    beside(&desk, "crew/deep", |path| {
        // A folder cannot be renamed over one that is not empty, so that it is moved aside for a moment.
        let aside = path.with_extension("aside");
        fs::rename(path, &aside).unwrap();
        symlink("..", path).unwrap();
        fs::remove_file(path).unwrap();
        fs::rename(&aside, path).unwrap();
    });
}

fn a_pipe() {
    let desk = Desk::new(TABLE, &["write crew/beds.csv: beds,length (ft)", "pipe crew/pipe"]);
    beside(&desk, "crew/beds.csv", |path| {
        put_in_place(path, |beside| fs::hard_link(path.with_file_name("pipe"), beside).unwrap());
        put_in_place(path, |beside| fs::write(beside, "beds,length (ft)\nnorth,3\n").unwrap());
    });
}
