//! The season of the made-up crew in `worksheets/example`: every sheet is worked and its results kept, what one sheet says
//! of another is so, and the log follows its records.
//!
//! `UPDATE=1 cargo test --test example` writes the kept results in `tests/example`.

#![allow(clippy::unwrap_used, clippy::expect_used, clippy::panic, reason = "a test fails by panicking")]

#[path = "example/copies.rs"]
mod copies;
#[path = "example/kept.rs"]
mod kept;
#[path = "example/log.rs"]
mod log;
#[path = "example/records.rs"]
mod records;
#[path = "example/sheets.rs"]
mod sheets;
