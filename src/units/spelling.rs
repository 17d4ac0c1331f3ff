//! How a unit word is told from another: its letters without the dots that end a word, in any case. Yields the bucket of
//! the table in which a word is kept; the program that makes the table uses this file too. Knows no word itself.

/// How many buckets the table has: more than words, so that most hold one or none.
pub const BUCKETS: usize = 1024;

/// The bytes of some words without the dots that end them: `fl. oz.` is `fl oz`.
pub fn bytes(words: &str) -> impl Iterator<Item = u8> + '_ {
    let all = words.as_bytes();
    let ends_word = move |index: usize| index > 0 && all.get(index + 1).is_none_or(|next| *next == b' ');
    all.iter().enumerate().filter(move |(index, byte)| **byte != b'.' || !ends_word(*index)).map(|(_, byte)| *byte)
}

/// The same, in lower case.
pub fn folded(words: &str) -> impl Iterator<Item = u8> + '_ {
    bytes(words).map(|byte| byte.to_ascii_lowercase())
}

/// The bucket of some words, by the FNV-1a hash of their folded form.
pub fn bucket(words: &str) -> usize {
    let mixed = |hash: u32, byte: u8| (hash ^ u32::from(byte)).wrapping_mul(0x0100_0193);
    folded(words).fold(0x811c_9dc5, mixed) as usize % BUCKETS
}
