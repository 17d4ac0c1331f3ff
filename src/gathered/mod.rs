//! Gathered: a worksheet put together with the templates it fills, as one list of statements, tables and values that
//! fill blanks. It knows no unit and no type: whether a value fits its blank is settled later.

pub mod rows;
pub mod shipped;
pub mod templates;
pub mod texts;

pub use rows::RowRun;
pub use templates::{Fill, Gathered, TemplateUse, gather, gather_read};
pub use texts::Texts;
