//! What fuzzing holds every text to, tried without a fuzzer: on the texts kept under `fuzz/seeds`, on all worksheets of this
//! repository, and on a few thousand changes of them. `fuzz/run` tries others until it is stopped.

#![allow(
    clippy::unwrap_used,
    clippy::expect_used,
    clippy::panic,
    clippy::indexing_slicing,
    reason = "tests fail by panicking"
)]

#[path = "fuzz/splice.rs"]
mod splice;
#[path = "fuzz/stock.rs"]
mod stock;
#[path = "fuzz/targets.rs"]
mod targets;

use fastrand::Rng;
use targets::{TARGETS, Target};

/// So many changes of texts are tried for each target, the same in every run.
const CHANGES: u32 = 300;

/// Of the worksheets of this repository, which other tests work, every one of so many.
const STEP: usize = 7;

fn holds(target: &Target, text: &[u8]) {
    if let Err(found) = (target.holds)(text) {
        panic!("{}: {found}\nof the text\n{}", target.name, String::from_utf8_lossy(text));
    }
}

fn tried(name: &str) {
    let target = TARGETS.iter().find(|target| target.name == name).unwrap();
    let texts = stock::beginnings(target).unwrap();
    assert!(texts.len() > 20, "only {} texts", texts.len());
    stock::kept(target).unwrap().iter().chain(texts.iter().step_by(STEP)).for_each(|text| holds(target, text));
    let lines = stock::lines().unwrap();
    let mut random = Rng::with_seed(1);
    for _ in 0..CHANGES {
        holds(target, &splice::changed(&texts[random.usize(..texts.len())], &lines, &mut random));
    }
}

#[test]
fn what_is_worked_is_whole() {
    tried("work");
}

#[test]
fn what_is_laid_out_says_the_same() {
    tried("format");
}

#[test]
fn what_draws_on_data_is_worked() {
    tried("csv");
}

#[test]
fn what_is_typed_is_what_is_opened() {
    tried("editor");
}

#[test]
fn what_is_printed_can_be_read_again() {
    tried("report");
}
