//! Syntax: text to a tree of statements. It looks nothing up: which words are names or units is settled later.

pub mod layout;
pub mod mistakes;
pub mod number;
pub mod operators;
pub mod parse;
pub mod prose;
pub mod tree;
pub mod values;

pub use parse::{Parsed, parse};
