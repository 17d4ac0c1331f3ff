//! Writing of files, whole or not at all: a new file beside the old one, then renamed over it. It knows nothing of what
//! is written.

use std::fs::{File, Metadata, Permissions};
use std::io::{Error, ErrorKind, Result, Write};
use std::path::Path;
use tempfile::NamedTempFile;

/// Puts new contents in the place of those that a file had when it was read. Its permissions are kept; a link to it is
/// followed and stays one.
///
/// # Errors
/// Where the file may not be written, its folder takes no other, or somebody has saved it meanwhile; the file then is as it
/// was, and nothing is beside it.
pub fn rewrite(path: &Path, contents: &[u8], read: &[u8]) -> Result<()> {
    rewrite_with(path, |file| {
        file.write_all(contents)?;
        // The new file is on the disk before the old one is looked at again, so that no more than a rename comes between.
        file.sync_all()?;
        match std::fs::read(path)? == read {
            true => Ok(()),
            false => Err(Error::other("it has been saved meanwhile")),
        }
    })
}

fn rewrite_with<T>(path: &Path, write: impl FnOnce(&mut File) -> Result<T>) -> Result<T> {
    let file = path.canonicalize()?;
    let before = file.metadata()?;
    // Its folder alone decides whether a file can be renamed over, so that a protected one has to be told here.
    if before.permissions().readonly() {
        return Err(Error::new(ErrorKind::PermissionDenied, "it is protected against writing"));
    }
    let (beside, written) = beside(&file, write, Some(before.permissions()))?;
    keep_owner(beside.as_file(), &before);
    beside.as_file().set_permissions(before.permissions())?;
    beside.persist(&file)?;
    Ok(written)
}

/// Makes a file that is not there yet, whole or not at all; one that is there is written over only where `replace` is
/// said.
///
/// # Errors
/// Where it is there already, or cannot be written.
pub fn create(path: &Path, contents: &[u8], replace: bool) -> Result<()> {
    create_with(path, replace, |file| file.write_all(contents))
}

/// The same for contents that are written little by little.
///
/// # Errors
/// The same, and where they come to no end.
pub fn create_with<T>(path: &Path, replace: bool, write: impl FnOnce(&mut File) -> Result<T>) -> Result<T> {
    let there =
        || Error::new(ErrorKind::AlreadyExists, "a file of that name is there already; --replace writes over it");
    match (path.exists(), replace) {
        (true, true) => return rewrite_with(path, write),
        // It is told before the work is done.
        (true, false) => return Err(there()),
        (false, _) => {}
    }
    let (beside, written) = beside(path, write, None)?;
    match beside.persist_noclobber(path) {
        Ok(_) => Ok(written),
        Err(error) if error.error.kind() == ErrorKind::AlreadyExists => Err(there()),
        Err(error) => Err(error.error),
    }
}

/// A new file with the contents, all of them on the disk; it goes away by itself unless it is renamed. It is never more
/// open than the file whose place it takes, and a new one as open as the person's umask lets it be.
fn beside<T>(
    file: &Path,
    write: impl FnOnce(&mut File) -> Result<T>,
    permissions: Option<Permissions>,
) -> Result<(NamedTempFile, T)> {
    let folder = file.parent().unwrap_or(Path::new("."));
    let folder = if folder.as_os_str().is_empty() { Path::new(".") } else { folder };
    let mut builder = tempfile::Builder::new();
    builder.prefix(".catchwork-");
    #[cfg(unix)]
    builder.permissions(permissions.unwrap_or(std::os::unix::fs::PermissionsExt::from_mode(0o666)));
    let mut beside = builder.tempfile_in(folder)?;
    // By the file itself, whose errors do not name a file that nobody asked for.
    let written = write(beside.as_file_mut())?;
    beside.as_file().sync_all()?;
    Ok((beside, written))
}

/// Gives a file the owner and group of another, as far as the person who runs this may: a crew's folder has a group.
#[cfg(unix)]
fn keep_owner(file: &File, before: &Metadata) {
    use std::os::unix::fs::{MetadataExt, fchown};
    let _ = fchown(file, None, Some(before.gid()));
    let _ = fchown(file, Some(before.uid()), None);
}

#[cfg(not(unix))]
fn keep_owner(_: &File, _: &Metadata) {}

#[cfg(test)]
#[allow(clippy::unwrap_used)]
mod tests {
    use super::*;

    #[test]
    fn what_somebody_saves_meanwhile_is_not_lost() {
        let folder = tempfile::TempDir::new().unwrap();
        let path = folder.path().join("sheet.worksheet");
        std::fs::write(&path, "tank:4 gal\n").unwrap();
        let error = rewrite(&path, b"tank : 3 gal\n", b"tank:3 gal\n").unwrap_err();
        assert_eq!(error.to_string(), "it has been saved meanwhile");
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "tank:4 gal\n");
        assert_eq!(std::fs::read_dir(folder.path()).unwrap().count(), 1);
        rewrite(&path, b"tank : 4 gal\n", b"tank:4 gal\n").unwrap();
        assert_eq!(std::fs::read_to_string(&path).unwrap(), "tank : 4 gal\n");
    }
}
