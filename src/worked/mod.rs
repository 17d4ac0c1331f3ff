//! Worked: every value of a checked sheet, or the blanks it waits on. It meets no unit that has not been checked and
//! words nothing.

pub mod again;
mod bounds;
pub mod conditions;
pub mod engine;
pub mod entries;
pub mod formulas;
pub mod functions;
mod limits;
mod ranges;
pub mod repeated;
pub mod rows;
pub mod showing;
mod straight;
pub mod waiting;

pub use engine::{Worked, work};
pub use repeated::Repeated;
pub use waiting::{Outcome, Stop, Wait, Waits};
