//! Which worksheets a call names: files as given, folders for all worksheets below them. It reads no worksheet.

use anyhow::{Result, bail};
use catchwork::text::crew_folder::OnDisk;
use std::collections::{HashMap, HashSet};
use std::path::{Path, PathBuf};
use walkdir::{DirEntry, WalkDir};

/// What a call names.
#[derive(Debug, Default)]
pub struct Named {
    /// The worksheets, each once, in the order of the call and by name in folders.
    pub worksheets: Vec<PathBuf>,
    /// What cannot be worked at all, in words; the worksheets still can.
    pub refused: Vec<String>,
}

/// Files as given; a folder stands for all worksheets below it, hidden folders skipped, in name order.
///
/// # Errors
/// Where standard input is asked for twice.
pub fn named(paths: &[PathBuf]) -> Result<Named> {
    if paths.iter().filter(|path| is_standard_input(path)).count() > 1 {
        bail!("`-` is given twice, and standard input can be read only once");
    }
    let mut named = Named::default();
    for path in paths {
        if path.is_dir() { named.folder(path) } else { named.worksheets.push(path.clone()) }
    }
    if named.worksheets.len() > 1 {
        let (mut met, mut folders) = (HashSet::new(), HashMap::new());
        named.worksheets.retain(|path| met.insert(real(path, &mut folders)));
    }
    Ok(named)
}

/// Where a file really is, links gone after. Most of many stand in the same folders, which `folders` remembers.
fn real(path: &Path, folders: &mut HashMap<PathBuf, Option<PathBuf>>) -> PathBuf {
    let whole = || path.canonicalize().unwrap_or_else(|_| path.to_path_buf());
    let (Some(folder), Some(name), false) = (path.parent(), path.file_name(), path.is_symlink()) else {
        return whole();
    };
    let folder = folders.entry(folder.to_path_buf()).or_insert_with(|| match folder.as_os_str().is_empty() {
        true => Path::new(".").canonicalize().ok(),
        false => folder.canonicalize().ok(),
    });
    folder.as_ref().map_or_else(whole, |folder| folder.join(name))
}

/// Whether a path stands for standard input.
pub fn is_standard_input(path: &Path) -> bool {
    path.as_os_str() == "-"
}

impl Named {
    fn folder(&mut self, folder: &Path) {
        let before = (self.worksheets.len(), self.refused.len());
        for entry in WalkDir::new(folder).sort_by_file_name().into_iter().filter_entry(is_shown) {
            match entry {
                Ok(entry) if is_worksheet(&entry) && leads_out(&entry) => self.refused.push(format!(
                    "{} leads out of the crew folder, and is not gone into with the folder; name the file that it leads to",
                    entry.path().display()
                )),
                Ok(entry) if is_worksheet(&entry) => self.worksheets.push(entry.into_path()),
                Ok(_) => {}
                Err(error) => self.refused.push(format!("a part of the folder cannot be read: {error}")),
            }
        }
        if before == (self.worksheets.len(), self.refused.len()) {
            self.refused.push(format!(
                "{} holds no worksheet: no file in it, or in a folder below it, ends in .worksheet",
                folder.display()
            ));
        }
    }
}

fn is_shown(entry: &DirEntry) -> bool {
    entry.depth() == 0 || !entry.file_name().to_string_lossy().starts_with('.')
}

/// A link to a worksheet is one too.
fn is_worksheet(entry: &DirEntry) -> bool {
    is_worksheet_name(entry.path()) && entry.path().is_file()
}

/// Whether it is a link to what is outside its crew folder: who names a folder does not name what lies elsewhere.
fn leads_out(entry: &DirEntry) -> bool {
    let leads_to = || entry.path().canonicalize().ok();
    let stays = |(folder, _): (OnDisk, String)| leads_to().is_some_and(|file| file.starts_with(folder.root()));
    entry.path_is_symlink() && !OnDisk::of(entry.path()).is_ok_and(stays)
}

/// Whether a file is called as worksheets are.
pub fn is_worksheet_name(path: &Path) -> bool {
    path.extension().is_some_and(|extension| extension == "worksheet")
}
