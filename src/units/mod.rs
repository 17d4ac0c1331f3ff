//! Units: the vocabulary, dimensions, substances, and units built of them. A leaf: it knows no places, no worksheet
//! and no value.

pub mod dimension;
pub mod substance;
pub mod unit;
pub mod vocabulary;

pub use dimension::{Base, Dimension};
pub use substance::{Labels, Substance};
pub use unit::{CrewWord, Factor, Unit, Word};
