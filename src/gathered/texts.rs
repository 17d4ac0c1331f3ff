//! The texts of templates, as read and put into a tree once for all worksheets of a run that fill them.

use crate::syntax::{self, Parsed};
use crate::text::Source;
use crate::trouble::Kind;
use std::collections::HashMap;
use std::sync::{Arc, Mutex, PoisonError};

/// A text with what was read from it.
#[derive(Debug, Clone)]
pub struct Text {
    /// The text.
    pub source: Source,
    /// Its fingerprint.
    pub fingerprint: String,
    /// Its statements. Their places name the text by its number.
    pub parsed: Parsed,
}

/// Where a text stands, what the worksheet calls it, and its number among the worksheet's texts.
type Key = (String, String, u16);

/// The templates that have been read.
#[derive(Debug, Default)]
pub struct Texts(Mutex<HashMap<Key, Arc<Text>>>);

impl Texts {
    /// The text at a path that the worksheet calls `name`; it is read if that has not been done.
    ///
    /// # Errors
    /// Why it cannot be read.
    pub fn text(
        &self,
        path: &str,
        name: &str,
        number: u16,
        read: impl FnOnce() -> Result<Source, Kind>,
    ) -> Result<Arc<Text>, Kind> {
        let key = (path.to_owned(), name.to_owned(), number);
        let known = self.0.lock().unwrap_or_else(PoisonError::into_inner).get(&key).cloned();
        if let Some(text) = known {
            return Ok(text);
        }
        // Nothing is held meanwhile: reading a long text is shared out, and whoever helps may want another.
        let source = read()?;
        let parsed = syntax::parse(&source, number);
        let text = Arc::new(Text { fingerprint: source.fingerprint(), source, parsed });
        let mut texts = self.0.lock().unwrap_or_else(PoisonError::into_inner);
        Ok(texts.entry(key).or_insert(text).clone())
    }
}
