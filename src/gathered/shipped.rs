//! The templates that ship inside the program: the files of `worksheets/methods`, taken in when it is built.

include!(concat!(env!("OUT_DIR"), "/templates.rs"));

/// The text of a template by its name.
pub fn template(name: &str) -> Option<&'static str> {
    let index = TEMPLATES.binary_search_by(|(own, _)| (*own).cmp(name)).ok()?;
    TEMPLATES.get(index).map(|(_, text)| *text)
}

/// Whether a worksheet means a template inside the program: a name without a path.
pub fn is_inside(path: &str) -> bool {
    !path.contains(['/', '.', '\\'])
}
