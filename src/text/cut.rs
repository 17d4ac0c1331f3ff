//! Parts of a text by bytes; nothing where a byte lies outside of it, or within a character.

/// Up to a byte.
pub fn until(text: &str, end: usize) -> &str {
    text.get(..end).unwrap_or("")
}

/// From a byte on.
pub fn since(text: &str, start: usize) -> &str {
    text.get(start..).unwrap_or("")
}

/// From one byte up to another.
pub fn between(text: &str, start: usize, end: usize) -> &str {
    text.get(start..end).unwrap_or("")
}
