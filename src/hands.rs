//! Many hands: one kind of work over many items, shared out over the processors, with what comes of it in the order of
//! the items. It knows nothing of what the work is.

use rayon::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};
use std::sync::OnceLock;

/// Room for the deepest nesting that a worksheet may have, whatever the system gives a thread.
pub const STACK: usize = 64 << 20;

/// What the work makes of each item, in order. Items fewer than `many` are not worth sharing out.
pub fn over<T: Sync, R: Send>(items: &[T], many: usize, work: impl Fn(&T) -> R + Sync) -> Vec<R> {
    let hands = if items.len() >= many { hands() } else { None };
    match hands {
        Some(hands) => hands.install(|| items.par_iter().map(&work).collect()),
        None => items.iter().map(work).collect(),
    }
}

/// The hands, called together when first there is enough to do; none where the system gives no threads.
fn hands() -> Option<&'static ThreadPool> {
    static HANDS: OnceLock<Option<ThreadPool>> = OnceLock::new();
    HANDS.get_or_init(|| ThreadPoolBuilder::new().stack_size(STACK).build().ok()).as_ref()
}
