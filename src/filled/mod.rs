//! Filled: a new worksheet made from a template, value by value, each held against its blank and the whole worked
//! before it is kept. What it yields is a text. It asks nobody, prints nothing and writes no file: a command, a card or
//! an editor brings the answers.

mod edits;
pub mod filling;
mod lines;
pub mod news;
pub mod questions;
pub mod template;

pub use filling::Filling;
pub use news::News;
pub use questions::{Prose, Question};
pub use template::{Template, Whence};
