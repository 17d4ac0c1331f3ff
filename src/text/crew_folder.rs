//! The crew folder: the files that a worksheet may draw on, and no others. Everything outside is refused, absolute
//! paths and links that lead out included: files are opened beneath a handle of the folder, never by a path that was
//! checked first.

use cap_std::ambient_authority;
use cap_std::fs::{Dir, OpenOptions, OpenOptionsExt};
use std::collections::HashMap;
use std::io::Read;
use std::path::{Component, Path, PathBuf};
use std::sync::{Arc, Mutex, PoisonError};

/// The file that marks a crew folder, besides a `.git`.
pub const MARK: &str = "crew-folder.txt";
/// The most files that a pattern may match.
pub const MOST_FILES: usize = 100_000;

/// Why a file of the crew folder cannot be had.
#[derive(Debug, Clone, PartialEq, Eq)]
pub enum FolderError {
    /// An absolute path, or one that leads out of the folder.
    Outside,
    /// There is no such file.
    Missing,
    /// A folder, a device or a pipe.
    NotAFile,
    /// More bytes than may be read.
    TooLong,
    /// A pattern that matches nothing.
    NoMatch,
    /// A pattern that matches more than [`MOST_FILES`].
    TooMany,
    /// A pattern that cannot be read.
    BadPattern,
    /// Another reason, as the system gives it.
    System(String),
}

/// A place to read files from. Paths are within the folder, with `/` between their parts.
pub trait Folder: Send + Sync {
    /// The bytes of a file, at most `most` of them.
    ///
    /// # Errors
    /// Why it cannot be had.
    fn read(&self, path: &str, most: u64) -> Result<Vec<u8>, FolderError>;

    /// The files that a pattern matches, in name order.
    ///
    /// # Errors
    /// Why there are none.
    fn matching(&self, pattern: &str) -> Result<Vec<String>, FolderError>;
}

/// No folder at all: for a text that stands alone.
#[derive(Debug, Clone, Copy, Default)]
pub struct Alone;

impl Folder for Alone {
    fn read(&self, _path: &str, _most: u64) -> Result<Vec<u8>, FolderError> {
        Err(FolderError::Missing)
    }

    fn matching(&self, _pattern: &str) -> Result<Vec<String>, FolderError> {
        Err(FolderError::NoMatch)
    }
}

/// Another folder whose files are read once each and kept, for a run that comes back to them.
pub struct Kept {
    folder: Arc<dyn Folder>,
    files: Mutex<HashMap<String, Result<Vec<u8>, FolderError>>>,
}

impl Kept {
    /// The same folder, with nothing read yet.
    pub fn over(folder: Arc<dyn Folder>) -> Self {
        Self { folder, files: Mutex::default() }
    }
}

impl Folder for Kept {
    fn read(&self, path: &str, most: u64) -> Result<Vec<u8>, FolderError> {
        let mut files = self.files.lock().unwrap_or_else(PoisonError::into_inner);
        let file = files.entry(path.to_owned()).or_insert_with(|| self.folder.read(path, most));
        match file {
            // It was read under another limit.
            Ok(bytes) if u64::try_from(bytes.len()).unwrap_or(u64::MAX) > most => Err(FolderError::TooLong),
            file => file.clone(),
        }
    }

    fn matching(&self, pattern: &str) -> Result<Vec<String>, FolderError> {
        self.folder.matching(pattern)
    }
}

/// The folder that a worksheet stands in, as its path has it.
pub fn own_folder(worksheet: &Path) -> &Path {
    worksheet.parent().filter(|parent| !parent.as_os_str().is_empty()).unwrap_or(Path::new("."))
}

/// A worksheet's path within its crew folder, by that of its own folder.
pub fn named_in(within: &Path, worksheet: &Path) -> String {
    let name = worksheet.file_name().map(PathBuf::from).unwrap_or_default();
    within.join(name).to_string_lossy().replace('\\', "/")
}

/// A crew folder on disk.
#[derive(Debug)]
pub struct OnDisk {
    folder: Dir,
    root: PathBuf,
}

impl OnDisk {
    /// The crew folder of a worksheet, and the worksheet's path within it: the nearest folder above that holds `.git`
    /// or a file `crew-folder.txt`, else the worksheet's own.
    ///
    /// # Errors
    /// Where the worksheet's folder cannot be opened.
    pub fn of(worksheet: &Path) -> std::io::Result<(Self, String)> {
        let (folder, within) = Self::over(own_folder(worksheet))?;
        Ok((folder, named_in(&within, worksheet)))
    }

    /// The crew folder of the worksheets in a folder, and that folder's path within it.
    ///
    /// # Errors
    /// Where the folder cannot be opened.
    pub fn over(folder: &Path) -> std::io::Result<(Self, PathBuf)> {
        let own = folder.canonicalize()?;
        let marked = |folder: &&Path| folder.join(".git").exists() || folder.join(MARK).is_file();
        let root = own.ancestors().find(marked).unwrap_or(&own).to_path_buf();
        let folder = Dir::open_ambient_dir(&root, ambient_authority())?;
        let within = own.strip_prefix(&root).unwrap_or(Path::new("")).to_path_buf();
        Ok((Self { folder, root }, within))
    }

    /// Where the folder is.
    pub fn root(&self) -> &Path {
        &self.root
    }
}

impl Folder for OnDisk {
    fn read(&self, path: &str, most: u64) -> Result<Vec<u8>, FolderError> {
        let mut options = OpenOptions::new();
        // A pipe must not keep the program waiting for a writer.
        options.read(true).custom_flags(NON_BLOCKING);
        let file = self.folder.open_with(path, &options).map_err(|error| reason(&error))?;
        let metadata = file.metadata().map_err(|error| reason(&error))?;
        if !metadata.is_file() {
            return Err(FolderError::NotAFile);
        }
        if metadata.len() > most {
            return Err(FolderError::TooLong);
        }
        let mut bytes = Vec::new();
        file.take(most + 1).read_to_end(&mut bytes).map_err(|error| reason(&error))?;
        match u64::try_from(bytes.len()) {
            Ok(length) if length <= most => Ok(bytes),
            _ => Err(FolderError::TooLong),
        }
    }

    fn matching(&self, pattern: &str) -> Result<Vec<String>, FolderError> {
        let parts: Vec<&str> = pattern.split('/').collect();
        let mut found = Vec::new();
        self.collect(&parts, String::new(), &mut found)?;
        found.sort_unstable();
        if found.is_empty() { Err(FolderError::NoMatch) } else { Ok(found) }
    }
}

/// `O_NONBLOCK`, as every Linux and Apple system has it.
#[cfg(target_os = "linux")]
const NON_BLOCKING: i32 = 0o4000;
#[cfg(all(unix, not(target_os = "linux")))]
const NON_BLOCKING: i32 = 0x4;

impl OnDisk {
    fn collect(&self, parts: &[&str], before: String, found: &mut Vec<String>) -> Result<(), FolderError> {
        let Some((part, rest)) = parts.split_first() else { return Ok(()) };
        let pattern = glob::Pattern::new(part).map_err(|_| FolderError::BadPattern)?;
        let folder = if before.is_empty() { "." } else { before.as_str() };
        let entries = match self.folder.read_dir(folder) {
            Ok(entries) => entries,
            Err(error) if error.kind() == std::io::ErrorKind::NotFound => return Ok(()),
            Err(error) => return Err(reason(&error)),
        };
        let mut names = Vec::new();
        for entry in entries {
            let entry = entry.map_err(|error| reason(&error))?;
            // A name that is no UTF-8 cannot be written in a worksheet either.
            if let Ok(name) = entry.file_name().into_string()
                && pattern.matches_with(&name, HIDDEN_APART)
            {
                names.push(name);
            }
        }
        names.sort_unstable();
        for name in names {
            let path = if before.is_empty() { name } else { format!("{before}/{name}") };
            if found.len() >= MOST_FILES {
                return Err(FolderError::TooMany);
            }
            if rest.is_empty() {
                found.push(path);
            } else if self.folder.metadata(&path).is_ok_and(|metadata| metadata.is_dir()) {
                self.collect(rest, path, found)?;
            }
        }
        Ok(())
    }
}

/// Hidden files match only a pattern that says the point.
pub const HIDDEN_APART: glob::MatchOptions =
    glob::MatchOptions { case_sensitive: true, require_literal_separator: true, require_literal_leading_dot: true };

fn reason(error: &std::io::Error) -> FolderError {
    match error.kind() {
        std::io::ErrorKind::NotFound => FolderError::Missing,
        // What leads out of the folder is told by the handle as a want of permission.
        std::io::ErrorKind::PermissionDenied if error.raw_os_error().is_none() => FolderError::Outside,
        std::io::ErrorKind::IsADirectory => FolderError::NotAFile,
        _ => match error.raw_os_error() {
            // EXDEV: the system itself kept the path beneath the folder.
            Some(18) => FolderError::Outside,
            _ => FolderError::System(error.to_string()),
        },
    }
}

/// A path as a worksheet names it, from the worksheet's own path, as a path within the crew folder.
///
/// # Errors
/// Where it is absolute or leads out.
pub fn within(worksheet: &str, named: &str) -> Result<String, FolderError> {
    let has_drive = named.as_bytes().get(1) == Some(&b':');
    if named.starts_with(['/', '\\', '~']) || has_drive || named.contains('\0') || named.contains('\\') {
        return Err(FolderError::Outside);
    }
    let own = Path::new(worksheet).parent().unwrap_or(Path::new(""));
    let mut parts: Vec<String> = Vec::new();
    for component in own.join(named).components() {
        match component {
            Component::Normal(part) => parts.push(part.to_string_lossy().into_owned()),
            Component::ParentDir => {
                parts.pop().ok_or(FolderError::Outside)?;
            }
            Component::CurDir => {}
            Component::RootDir | Component::Prefix(_) => return Err(FolderError::Outside),
        }
    }
    if parts.is_empty() { Err(FolderError::NotAFile) } else { Ok(parts.join("/")) }
}
