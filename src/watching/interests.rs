//! Which files are of interest, and which folders must be watched to hear of them.

use glob::{MatchOptions, Pattern};
use notify::RecursiveMode;
use std::collections::{BTreeMap, BTreeSet};
use std::path::{Path, PathBuf};
use walkdir::{DirEntry, WalkDir};

/// As in a shell: a star stays within one folder.
const OPTIONS: MatchOptions =
    MatchOptions { case_sensitive: true, require_literal_separator: true, require_literal_leading_dot: false };

/// The files that somebody wants to hear of. All paths are absolute.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Interests {
    files: BTreeSet<PathBuf>,
    /// Each with the crew folder within which it is meant.
    patterns: BTreeSet<(PathBuf, Pattern)>,
    folders: BTreeSet<PathBuf>,
    roots: BTreeSet<PathBuf>,
}

impl Interests {
    /// A worksheet, in whatever folder, whether it is there or not.
    pub fn add_worksheet(&mut self, path: &Path) {
        let folder = path.parent().filter(|folder| !folder.as_os_str().is_empty()).unwrap_or(Path::new("."));
        if let (Ok(folder), Some(name)) = (folder.canonicalize(), path.file_name()) {
            self.add_file(folder.join(name), folder);
        }
    }

    /// A file in a crew folder, whether it is there or not. Where it is a link, what it leads to counts too.
    pub fn add_file(&mut self, file: PathBuf, root: PathBuf) {
        self.files.extend(file.canonicalize());
        self.files.insert(file);
        self.roots.insert(root);
    }

    /// All files of a crew folder that a pattern matches, those still to come among them.
    pub fn add_pattern(&mut self, pattern: &str, root: PathBuf) {
        self.patterns.extend(Pattern::new(pattern).map(|pattern| (root.clone(), pattern)));
        self.roots.insert(root);
    }

    /// All worksheets below a folder, those still to come among them.
    pub fn add_folder(&mut self, folder: PathBuf) {
        self.folders.insert(folder);
    }

    /// Takes over what another is interested in.
    pub fn add(&mut self, other: &Self) {
        self.files.extend(other.files.iter().cloned());
        self.folders.extend(other.folders.iter().cloned());
        self.roots.extend(other.roots.iter().cloned());
        self.patterns.extend(other.patterns.iter().cloned());
    }

    /// Whether a file is one of those named.
    pub fn has_file(&self, file: &Path) -> bool {
        file.canonicalize().is_ok_and(|file| self.files.contains(&file))
    }

    /// Whether what has happened to one of these paths may change what is drawn on.
    pub fn concern(&self, saved: &BTreeSet<PathBuf>) -> bool {
        saved.iter().any(|path| self.concerns(path))
    }

    /// Whether a path is a file of interest, or a folder on the way to one.
    pub(super) fn concerns(&self, path: &Path) -> bool {
        self.is_of_interest(path) || self.is_on_the_way(path)
    }

    /// All that is of interest: the files named, there or not, and what is found of patterns and folders.
    pub(super) fn all(&self) -> BTreeSet<PathBuf> {
        let deep = self.folders.iter().map(|folder| (folder.clone(), RecursiveMode::Recursive));
        let found = self.bases().chain(deep).flat_map(|(base, mode)| {
            let depth = if is_deep(mode) { usize::MAX } else { 1 };
            WalkDir::new(base).max_depth(depth).into_iter().flatten().map(DirEntry::into_path)
        });
        self.files.iter().cloned().chain(found.filter(|path| self.is_of_interest(path))).collect()
    }

    fn is_of_interest(&self, path: &Path) -> bool {
        let is_worksheet = path.extension().is_some_and(|extension| extension == "worksheet");
        self.files.contains(path)
            || self.patterns.iter().any(|(root, pattern)| {
                path.strip_prefix(root).is_ok_and(|path| pattern.matches_path_with(path, OPTIONS))
            })
            || is_worksheet && self.is_in_folder(path)
    }

    /// Whether a path lies in one of the folders of which all worksheets are of interest.
    pub fn is_in_folder(&self, path: &Path) -> bool {
        self.folders.iter().any(|folder| path.starts_with(folder))
    }

    /// Whether a path is a folder in which something of interest lies, or will.
    fn is_on_the_way(&self, path: &Path) -> bool {
        let mut all = self.files.iter().chain(&self.folders).cloned().chain(self.bases().map(|(base, _)| base));
        all.any(|other| other != path && other.starts_with(path))
            || self.folders.contains(path)
            || path.is_dir() && self.places().iter().any(|(place, mode)| is_deep(*mode) && path.starts_with(place))
    }

    /// Where the matches of each pattern lie, and whether in folders below too.
    fn bases(&self) -> impl Iterator<Item = (PathBuf, RecursiveMode)> + '_ {
        self.patterns.iter().map(|(root, pattern)| {
            let parts: Vec<&str> = pattern.as_str().split('/').collect();
            let plain = parts.iter().take_while(|part| !part.contains(['*', '?', '['])).count();
            let is_deep = plain + 1 < parts.len();
            let mode = if is_deep { RecursiveMode::Recursive } else { RecursiveMode::NonRecursive };
            (parts.iter().take(plain).fold(root.clone(), |base, part| base.join(part)), mode)
        })
    }

    /// The folders to watch: those of the files, since many editors put a new file in the place of the old one, and
    /// those on the way to them from beside the crew folder, since a folder can be renamed too.
    pub(super) fn places(&self) -> BTreeMap<PathBuf, RecursiveMode> {
        let parents = self.files.iter().filter_map(|file| file.parent()).map(Path::to_path_buf);
        let plain = parents.map(|parent| (parent, RecursiveMode::NonRecursive));
        let deep = self.folders.iter().map(|folder| (folder.clone(), RecursiveMode::Recursive));
        let mut places = BTreeMap::new();
        for (place, mode) in plain.chain(self.bases()).chain(deep) {
            let up = self.up_to_root(&place);
            for above in place.ancestors().skip(1).take(up) {
                places.entry(above.to_path_buf()).or_insert(RecursiveMode::NonRecursive);
            }
            let known = places.entry(place).or_insert(mode);
            if is_deep(mode) {
                *known = mode;
            }
        }
        places
    }

    /// How many folders lie above a place up to the one that holds its crew folder.
    fn up_to_root(&self, place: &Path) -> usize {
        let depths = self.roots.iter().filter_map(|root| Some(place.strip_prefix(root).ok()?.components().count()));
        depths.max().unwrap_or(0) + 1
    }
}

fn is_deep(mode: RecursiveMode) -> bool {
    mode == RecursiveMode::Recursive
}
