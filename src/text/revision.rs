//! A crew folder as it was at a revision, read through the program `git`: what a worksheet of that revision draws on
//! comes from the same revision.

use super::crew_folder::{Folder, FolderError, HIDDEN_APART, MARK, MOST_FILES, within};
use std::collections::BTreeMap;
use std::io::{BufRead, BufReader, Read, Write};
use std::path::{Component, Path, PathBuf};
use std::process::{Child, ChildStdin, ChildStdout, Command, Stdio};
use std::sync::{Mutex, PoisonError};

/// So many links in a row are followed.
const MOST_LINKS: usize = 40;

/// What would lead git to another repository than that of the file.
const OF_ANOTHER: [&str; 6] =
    ["GIT_DIR", "GIT_WORK_TREE", "GIT_INDEX_FILE", "GIT_PREFIX", "GIT_COMMON_DIR", "GIT_OBJECT_DIRECTORY"];

/// Why a revision of a file cannot be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum RevisionError {
    /// There is no git, or it cannot be run.
    NoGit(String),
    /// The file is in no repository.
    NoRepository,
    /// The repository has no such revision.
    NoRevision,
    /// The revision has no such file.
    NotInRevision,
    /// Another reason, as git gives it.
    Failed(String),
}

/// A crew folder as it was at a revision.
#[derive(Debug)]
pub struct AtRevision {
    /// What is in it, by path.
    entries: BTreeMap<String, Entry>,
    contents: Mutex<Contents>,
}

/// Something in the folder.
#[derive(Debug, Clone)]
struct Entry {
    kind: EntryKind,
    /// The name that git has for its contents.
    object: String,
    /// How many bytes it has.
    size: u64,
}

#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum EntryKind {
    File,
    Link,
    Folder,
}

impl AtRevision {
    /// The crew folder of a worksheet at a revision, and the worksheet's path within it: the nearest folder above that
    /// held a file `crew-folder.txt`, else the repository.
    ///
    /// # Errors
    /// Where there is no git, no repository, no such revision, or no such file in it.
    pub fn of(worksheet: &Path, revision: &str) -> Result<(Self, String), RevisionError> {
        let (folder, below) = existing(worksheet);
        let prefix = asked(&folder, &["rev-parse", "--show-prefix"])?;
        let path = format!("{}{below}", prefix.trim_end_matches('\n'));
        let commit = format!("{revision}^{{commit}}");
        let commit = asked(&folder, &["rev-parse", "--verify", "--quiet", "--end-of-options", &commit]);
        let commit = commit.map_err(|error| match error {
            RevisionError::Failed(_) => RevisionError::NoRevision,
            other => other,
        })?;
        let tree = ["ls-tree", "-r", "-t", "-z", "--long", "--full-tree", commit.trim_end()];
        let all = listed(&output(&folder, &tree)?);
        if !all.contains_key(&path) {
            return Err(RevisionError::NotInRevision);
        }
        let root = crew_root(&all, &path);
        let entries = all.into_iter().filter_map(|(path, entry)| Some((path.strip_prefix(&root)?.to_owned(), entry)));
        let contents = Mutex::new(Contents::of(&folder)?);
        let within = path.strip_prefix(&root).unwrap_or(&path).to_owned();
        Ok((Self { entries: entries.collect(), contents }, within))
    }

    /// The file at a path, links followed as they were then.
    fn file(&self, path: &str) -> Result<&Entry, FolderError> {
        let mut path = path.to_owned();
        for _ in 0..MOST_LINKS {
            match self.entries.get(&path) {
                Some(entry) if entry.kind == EntryKind::File => return Ok(entry),
                Some(entry) if entry.kind == EntryKind::Folder => return Err(FolderError::NotAFile),
                _ => {}
            }
            let (link, rest) = self.first_link(&path).ok_or(FolderError::Missing)?;
            let target = self.contents(link, u64::from(u16::MAX))?;
            let target = String::from_utf8(target).map_err(|_| FolderError::Missing)?;
            let at = path.get(..path.len() - rest.len()).unwrap_or(&path);
            path = format!("{}{rest}", within(at, &target)?);
        }
        Err(FolderError::Missing)
    }

    /// The first part of a path that is a link, and what of the path stands behind it.
    fn first_link<'p>(&self, path: &'p str) -> Option<(&Entry, &'p str)> {
        let ends = path.match_indices('/').map(|(end, _)| end).chain([path.len()]);
        ends.filter_map(|end| Some((self.entries.get(path.get(..end)?)?, path.get(end..)?)))
            .find(|(entry, _)| entry.kind == EntryKind::Link)
    }

    fn contents(&self, entry: &Entry, most: u64) -> Result<Vec<u8>, FolderError> {
        if entry.size > most {
            return Err(FolderError::TooLong);
        }
        self.contents
            .lock()
            .unwrap_or_else(PoisonError::into_inner)
            .read(entry)
            .map_err(|error| FolderError::System(error.to_string()))
    }
}

impl Folder for AtRevision {
    fn read(&self, path: &str, most: u64) -> Result<Vec<u8>, FolderError> {
        self.contents(self.file(path)?, most)
    }

    fn matching(&self, pattern: &str) -> Result<Vec<String>, FolderError> {
        let parts = pattern.split('/').map(glob::Pattern::new).collect::<Result<Vec<_>, _>>();
        let parts = parts.map_err(|_| FolderError::BadPattern)?;
        let matches = |path: &&String| {
            let names: Vec<&str> = path.split('/').collect();
            names.len() == parts.len()
                && parts.iter().zip(names).all(|(part, name)| part.matches_with(name, HIDDEN_APART))
        };
        let found: Vec<String> = self.entries.keys().filter(matches).cloned().collect();
        match found.len() {
            0 => Err(FolderError::NoMatch),
            count if count > MOST_FILES => Err(FolderError::TooMany),
            _ => Ok(found),
        }
    }
}

/// The nearest folder above a file that is there today, and the file's path below it.
fn existing(file: &Path) -> (PathBuf, String) {
    let file = std::path::absolute(file).unwrap_or_else(|_| file.to_path_buf());
    let folder = file.ancestors().skip(1).find_map(|folder| Some((folder, folder.canonicalize().ok()?)));
    let Some((folder, real)) = folder else { return (PathBuf::from("."), file.to_string_lossy().into_owned()) };
    let below = file.strip_prefix(folder).unwrap_or(&file);
    let mut names: Vec<String> = Vec::new();
    for part in below.components() {
        match part {
            Component::Normal(name) => names.push(name.to_string_lossy().into_owned()),
            Component::ParentDir => drop(names.pop()),
            _ => {}
        }
    }
    (real, names.join("/"))
}

/// A call of git in a folder. It reads what is there and asks no network.
fn git(folder: &Path) -> Command {
    let mut git = Command::new("git");
    git.arg("-C").arg(folder).args(["-c", "protocol.allow=never"]).env("LC_ALL", "C").stdin(Stdio::null());
    for name in OF_ANOTHER {
        git.env_remove(name);
    }
    git
}

/// What git prints.
fn output(folder: &Path, call: &[&str]) -> Result<Vec<u8>, RevisionError> {
    let output = git(folder).args(call).output().map_err(|error| RevisionError::NoGit(error.to_string()))?;
    if output.status.success() {
        return Ok(output.stdout);
    }
    let says = String::from_utf8_lossy(&output.stderr);
    let says = says.lines().next().unwrap_or_default().trim_start_matches("fatal: ");
    Err(match says.contains("not a git repository") {
        true => RevisionError::NoRepository,
        false => RevisionError::Failed(says.to_owned()),
    })
}

fn asked(folder: &Path, call: &[&str]) -> Result<String, RevisionError> {
    Ok(String::from_utf8_lossy(&output(folder, call)?).into_owned())
}

/// Entries as `git ls-tree -z --long` lists them: mode, type, object and size, a tab, the path. A name that is no
/// UTF-8 cannot be written in a worksheet, and another repository within this one is not gone into.
fn listed(list: &[u8]) -> BTreeMap<String, Entry> {
    let entry = |line: &[u8]| {
        let (about, path) = std::str::from_utf8(line).ok()?.split_once('\t')?;
        let mut words = about.split_whitespace();
        let (mode, kind, object, size) = (words.next()?, words.next()?, words.next()?, words.next()?);
        let kind = match (kind, mode) {
            ("tree", _) => EntryKind::Folder,
            ("blob", "120000") => EntryKind::Link,
            ("blob", _) => EntryKind::File,
            _ => return None,
        };
        Some((path.to_owned(), Entry { kind, object: object.to_owned(), size: size.parse().unwrap_or_default() }))
    };
    list.split(|byte| *byte == 0).filter_map(entry).collect()
}

/// The crew folder of a file: empty for the whole repository, else with a `/` at its end.
fn crew_root(all: &BTreeMap<String, Entry>, path: &str) -> String {
    let mut folders = path.match_indices('/').map(|(end, _)| path.get(..=end).unwrap_or_default()).rev();
    folders.find(|folder| all.contains_key(&format!("{folder}{MARK}"))).unwrap_or_default().to_owned()
}

/// A git that hands out the contents of what it is asked for, one after the other.
#[derive(Debug)]
struct Contents {
    git: Child,
    asks: Option<ChildStdin>,
    answers: Option<BufReader<ChildStdout>>,
}

impl Contents {
    fn of(folder: &Path) -> Result<Self, RevisionError> {
        let mut call = git(folder);
        call.args(["cat-file", "--batch"]).stdin(Stdio::piped()).stdout(Stdio::piped()).stderr(Stdio::null());
        let mut git = call.spawn().map_err(|error| RevisionError::NoGit(error.to_string()))?;
        let (asks, answers) = (git.stdin.take(), git.stdout.take().map(BufReader::new));
        Ok(Self { git, asks, answers })
    }

    /// The answer is a line that ends in the size, then so many bytes, then the end of a line.
    fn read(&mut self, entry: &Entry) -> std::io::Result<Vec<u8>> {
        let broken = || std::io::Error::from(std::io::ErrorKind::UnexpectedEof);
        let (Some(asks), Some(answers)) = (&mut self.asks, &mut self.answers) else { return Err(broken()) };
        writeln!(asks, "{}", entry.object)?;
        asks.flush()?;
        let mut head = String::new();
        answers.read_line(&mut head)?;
        let size: u64 = head.trim_end().rsplit(' ').next().and_then(|size| size.parse().ok()).ok_or_else(broken)?;
        let mut bytes = Vec::new();
        answers.take(size + 1).read_to_end(&mut bytes)?;
        match bytes.pop() {
            Some(b'\n') if u64::try_from(bytes.len()).is_ok_and(|length| length == size) => Ok(bytes),
            _ => Err(broken()),
        }
    }
}

impl Drop for Contents {
    fn drop(&mut self) {
        // Without more to be asked for it ends by itself.
        self.asks = None;
        self.answers = None;
        let _ = self.git.wait();
    }
}
