//! Files as the protocol names them.

use lsp_types::Uri;
use percent_encoding::{AsciiSet, NON_ALPHANUMERIC, percent_decode_str, percent_encode};
use std::path::{Path, PathBuf};
use std::str::FromStr;

/// What is written as it is in a file's name.
const ENCODED: &AsciiSet = &NON_ALPHANUMERIC.remove(b'/').remove(b'-').remove(b'.').remove(b'_').remove(b'~');

/// The file that a client names; none where it is no file.
pub fn file(uri: &Uri) -> Option<PathBuf> {
    let rest =
        uri.as_str().get("file://".len()..).filter(|_| uri.as_str().to_ascii_lowercase().starts_with("file://"))?;
    let path = rest.find('/').and_then(|slash| rest.get(slash..))?;
    let path = path.split(['?', '#']).next().unwrap_or(path);
    let path = percent_decode_str(path).decode_utf8().ok()?;
    // `/c:/crew` on systems that name drives.
    let path = if cfg!(windows) { path.trim_start_matches('/') } else { &path };
    Some(PathBuf::from(path))
}

/// A file as a client knows it.
pub fn uri(file: &Path) -> Option<Uri> {
    let path = file.to_str()?.replace('\\', "/");
    let slash = if path.starts_with('/') { "" } else { "/" };
    Uri::from_str(&format!("file://{slash}{}", percent_encode(path.as_bytes(), ENCODED))).ok()
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    #[cfg(unix)]
    fn names_lead_there_and_back() {
        for path in ["/crew/a.worksheet", "/crew folder/½ bed #2.worksheet", "/crew/100%.worksheet"] {
            let named = uri(Path::new(path)).unwrap_or_else(|| unreachable!("{path} is a file"));
            assert_eq!(file(&named), Some(PathBuf::from(path)), "{named:?}");
        }
    }

    #[test]
    fn what_is_no_file_has_none() {
        let untitled = Uri::from_str("untitled:Untitled-1").unwrap_or_else(|_| unreachable!("it is a name"));
        assert_eq!(file(&untitled), None);
    }
}
