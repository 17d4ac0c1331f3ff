//! Reports: plain data about a worked worksheet, and the forms it is printed in. It computes no result.

pub mod data;

pub use data::Report;
