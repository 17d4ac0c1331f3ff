//! Quantities: numbers with doubt, ranges, readings and dates, and their arithmetic. A leaf: it knows no units beyond
//! the SI numbers it is handed, no places and no worksheet.

pub mod date;
pub mod doubt;
pub mod measured;
pub mod range;
pub mod scatter;
pub mod shares;
pub mod shown;
pub mod student;
pub mod value;

pub use date::Moment;
pub use doubt::{Doubt, Key, Source, SourceKind, Sources, Summary};
pub use measured::Measured;
pub use range::Range;
pub use scatter::Scatter;
pub use value::Value;
