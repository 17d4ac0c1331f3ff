//! Reports: plain data about a worked worksheet, and the forms it is printed in. It computes no result.

pub mod build;
pub mod card;
pub mod chart;
pub mod compared;
pub mod csv;
pub mod data;
pub mod each;
pub mod figures;
pub mod formula;
pub mod html;
pub mod json;
pub mod layout;
pub mod letters;
pub mod markdown;
pub mod remarks;
#[cfg(test)]
mod sample;
pub mod shown;
pub mod spaces;
pub mod svg;
pub mod text;
pub mod versions;
pub mod waits;
pub mod why;

pub use data::Report;
