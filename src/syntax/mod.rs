//! Syntax: text to a tree of statements. It looks nothing up: which words are names or units is settled later.

mod characters;
pub mod known;
pub mod layout;
pub mod mistakes;
mod moved;
mod nesting;
pub mod number;
pub mod operators;
pub mod parse;
pub mod prose;
mod rows;
pub mod tree;
pub mod values;

pub use known::Known;
pub use parse::{Parsed, parse};
