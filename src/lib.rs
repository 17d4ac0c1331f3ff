//! Catchwork: worksheets for people who calibrate hand-carried sprayers and spreaders.

pub mod quantity;
pub mod report;
pub mod syntax;
pub mod text;
pub mod trouble;
pub mod units;
