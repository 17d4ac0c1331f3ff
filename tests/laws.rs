//! Laws that hold for every worksheet, tried on sheets that proptest makes: what does not change a value, what shown
//! figures keep to, what is refused either way round, and that nothing panics.

#![allow(clippy::panic)]

#[path = "laws/compare.rs"]
mod compare;
#[path = "laws/figures.rs"]
mod figures;
#[path = "laws/formulas.rs"]
mod formulas;
#[path = "laws/judging.rs"]
mod judging;
#[path = "laws/measures.rs"]
mod measures;
#[path = "laws/moving.rs"]
mod moving;
#[path = "laws/quantity.rs"]
mod quantity;
#[path = "laws/refusing.rs"]
mod refusing;
#[path = "laws/repeating.rs"]
mod repeating;
#[path = "laws/rewriting.rs"]
mod rewriting;
#[path = "laws/sheets.rs"]
mod sheets;
#[path = "laws/shipped.rs"]
mod shipped;
#[path = "laws/showing.rs"]
mod showing;
#[path = "laws/surviving.rs"]
mod surviving;
#[path = "laws/tape.rs"]
mod tape;
#[path = "laws/telling.rs"]
mod telling;
#[path = "laws/turning.rs"]
mod turning;

use catchwork::book::Book;
use catchwork::quantity::Moment;
use catchwork::report::Report;
use catchwork::text::crew_folder::OnDisk;
use catchwork::{Request, work};
use proptest::test_runner::{Config, RngSeed};
use std::path::Path;
use std::sync::Arc;

/// So many cases, the same in every run; `PROPTEST_CASES` and `PROPTEST_RNG_SEED` make others.
fn config(cases: u32) -> Config {
    let given = |name: &str| std::env::var(name).ok().and_then(|text| text.parse::<u64>().ok());
    Config {
        cases: given("PROPTEST_CASES").map_or(cases, |cases| cases as u32),
        rng_seed: RngSeed::Fixed(given("PROPTEST_RNG_SEED").unwrap_or(20_260_412)),
        failure_persistence: None,
        max_shrink_iters: 20_000,
        ..Config::default()
    }
}

fn request() -> Request {
    let today = Moment::parse("2026-04-12").unwrap_or_else(|error| panic!("{error:?}"));
    Request { set: Vec::new(), today, colour: false }
}

/// A worksheet that stands alone, worked, whatever comes of it.
fn worked(text: &str) -> Report {
    work("law.worksheet", text.as_bytes().to_vec(), &request())
}

/// A text worked as if it stood at a path, with the files that it draws on.
fn worked_at(path: &str, text: &str) -> Report {
    let (folder, within) = OnDisk::of(Path::new(path)).unwrap_or_else(|error| panic!("{path}: {error}"));
    Book::new(Arc::new(folder), request()).report(path, &within, text.as_bytes().to_vec())
}
