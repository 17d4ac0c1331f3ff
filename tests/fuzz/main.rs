//! The fuzzer: one program for all targets, of which the environment names one (`TARGET=format`). `run` beside it builds
//! and starts it. How texts are changed is `splice.rs`, what must hold of them `targets.rs`, which the tests share.

#![no_main]

#[path = "splice.rs"]
mod splice;
#[path = "stock.rs"]
mod stock;
#[path = "targets.rs"]
mod targets;

use libfuzzer_sys::{fuzz_mutator, fuzz_target, fuzzer_mutate};
use std::sync::LazyLock;
use targets::Target;

static TARGET: LazyLock<Target> = LazyLock::new(|| {
    let name = std::env::var("TARGET").expect("TARGET names no target");
    let target = targets::TARGETS.into_iter().find(|target| target.name == name);
    target.unwrap_or_else(|| panic!("there is no target {name}"))
});

static STOCK: LazyLock<Vec<String>> = LazyLock::new(|| stock::lines().expect("the worksheets are not where they were"));

fuzz_target!(
    init: {
        // A folder named in FRESH gets the texts to begin with, and nothing more is done.
        if let Some(folder) = std::env::var_os("FRESH") {
            stock::write_out(&TARGET, folder.as_ref()).expect("the texts to begin with are not written");
            std::process::exit(0);
        }
    },
    |bytes: &[u8]| if let Err(found) = (TARGET.holds)(bytes) {
        panic!("{found}");
    }
);

fuzz_mutator!(|data: &mut [u8], size: usize, max_size: usize, seed: u32| {
    let mut random = fastrand::Rng::with_seed(u64::from(seed));
    // The fuzzer's own changes of single bytes find what lies between words, ours what lies between statements.
    if random.u8(..10) < 4 {
        return fuzzer_mutate(data, size, max_size);
    }
    let changed = splice::changed(&data[..size], &STOCK, &mut random);
    let length = changed.len().min(max_size);
    data[..length].copy_from_slice(&changed[..length]);
    length
});
