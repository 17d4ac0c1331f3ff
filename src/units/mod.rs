//! Units: the vocabulary, dimensions, substances, and units built of them. A leaf: it knows no places, no worksheet
//! and no value.

pub mod describe;
pub mod dimension;
mod spelling;
pub mod substance;
pub mod unit;
pub mod vocabulary;

pub use describe::{describe, describe_unit, in_si};
pub use dimension::{Base, Dimension};
pub use substance::{Labels, Substance};
pub use unit::{CrewWord, Factor, Unit, Word};
