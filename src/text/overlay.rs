//! A crew folder with texts laid over its files: what an editor holds and has not saved stands in the place of what is
//! on disk, and a file that is not saved at all is there too.

use super::crew_folder::{Folder, FolderError, HIDDEN_APART, MOST_FILES};
use std::collections::BTreeMap;
use std::path::{Path, PathBuf};
use std::sync::{Arc, PoisonError, RwLock};

/// Texts that are open in an editor, by the path of the file of each.
#[derive(Debug, Clone, Default)]
pub struct OpenTexts(Arc<RwLock<BTreeMap<PathBuf, Arc<str>>>>);

impl OpenTexts {
    /// Lays a text over a file.
    pub fn put(&self, path: &Path, text: Arc<str>) {
        self.0.write().unwrap_or_else(PoisonError::into_inner).insert(path.to_owned(), text);
    }

    /// Takes it away again.
    pub fn take(&self, path: &Path) {
        self.0.write().unwrap_or_else(PoisonError::into_inner).remove(path);
    }

    fn get(&self, path: &Path) -> Option<Arc<str>> {
        self.0.read().unwrap_or_else(PoisonError::into_inner).get(path).cloned()
    }

    /// The paths within a folder that texts are laid over.
    fn within(&self, root: &Path) -> Vec<String> {
        let texts = self.0.read().unwrap_or_else(PoisonError::into_inner);
        let within = |path: &PathBuf| Some(path.strip_prefix(root).ok()?.to_str()?.replace('\\', "/"));
        texts.keys().filter_map(within).collect()
    }
}

/// A folder with such texts over it.
pub struct Overlaid {
    folder: Arc<dyn Folder>,
    root: PathBuf,
    texts: OpenTexts,
}

impl Overlaid {
    /// Over the folder that stands at `root`.
    pub fn over(folder: Arc<dyn Folder>, root: PathBuf, texts: OpenTexts) -> Self {
        Self { folder, root, texts }
    }
}

impl Folder for Overlaid {
    fn read(&self, path: &str, most: u64) -> Result<Vec<u8>, FolderError> {
        match self.texts.get(&self.root.join(path)) {
            Some(text) if u64::try_from(text.len()).unwrap_or(u64::MAX) > most => Err(FolderError::TooLong),
            Some(text) => Ok(text.as_bytes().to_vec()),
            None => self.folder.read(path, most),
        }
    }

    fn matching(&self, pattern: &str) -> Result<Vec<String>, FolderError> {
        let wanted = glob::Pattern::new(pattern).map_err(|_| FolderError::BadPattern)?;
        let mut found = match self.folder.matching(pattern) {
            Err(FolderError::NoMatch) => Vec::new(),
            found => found?,
        };
        found.extend(self.texts.within(&self.root).into_iter().filter(|path| wanted.matches_with(path, HIDDEN_APART)));
        found.sort_unstable();
        found.dedup();
        match found.len() {
            0 => Err(FolderError::NoMatch),
            count if count > MOST_FILES => Err(FolderError::TooMany),
            _ => Ok(found),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::text::crew_folder::Alone;

    fn overlaid(path: &str, text: &str) -> Overlaid {
        let texts = OpenTexts::default();
        texts.put(Path::new(path), text.into());
        Overlaid::over(Arc::new(Alone), PathBuf::from("/crew"), texts)
    }

    #[test]
    fn a_text_that_is_not_saved_is_there() {
        let folder = overlaid("/crew/jobs/a.worksheet", "length : 3 ft\n");
        assert_eq!(folder.read("jobs/a.worksheet", 100), Ok(b"length : 3 ft\n".to_vec()));
        assert_eq!(folder.read("jobs/a.worksheet", 3), Err(FolderError::TooLong));
        assert_eq!(folder.read("jobs/b.worksheet", 100), Err(FolderError::Missing));
    }

    #[test]
    fn patterns_match_it_too_but_not_across_folders() {
        let folder = overlaid("/crew/jobs/a.worksheet", "");
        assert_eq!(folder.matching("jobs/*.worksheet"), Ok(vec!["jobs/a.worksheet".to_owned()]));
        assert_eq!(folder.matching("*.worksheet"), Err(FolderError::NoMatch));
    }

    #[test]
    fn what_stands_elsewhere_is_no_part_of_it() {
        let folder = overlaid("/elsewhere/a.worksheet", "");
        assert_eq!(folder.matching("*.worksheet"), Err(FolderError::NoMatch));
    }
}
