//! Checked: names, order, circles, kinds, dimensions and labels settled for the whole sheet before any number is
//! worked, blanks included. It computes no result and reads no file.

pub mod algebra;
pub mod alike;
pub mod answers;
pub mod beside;
pub mod calls;
pub mod charts;
pub mod choices;
pub mod csv_rows;
pub mod data;
pub mod display;
pub mod doubtful;
pub mod drawn;
pub mod fit;
pub mod formulas;
pub mod literals;
pub mod model;
pub mod needs;
pub mod order;
pub mod resting;
pub mod scope;
pub mod sheet;
pub mod tables;
pub mod taken;
pub mod types;
pub mod units;

pub use model::Checked;
pub use sheet::settle;
