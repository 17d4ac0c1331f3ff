//! Many hands: one kind of work over many items, shared out over the processors, with what comes of it in the order of
//! the items. It knows nothing of what the work is.

use rayon::prelude::*;
use rayon::{ThreadPool, ThreadPoolBuilder};
use std::hint::black_box;
use std::sync::{Condvar, Mutex, MutexGuard, OnceLock, PoisonError};
use std::thread::{self, ThreadId};

/// Room for the deepest nesting that a worksheet may have, whatever the system gives a thread.
pub const STACK: usize = 64 << 20;

/// Has the calling thread's memory grow by a large piece at once.
///
/// The C library of Linux lets the heap of a thread that is not the first grow by a page at a time, each by a call of
/// the system that other threads wait for: 570 calls and 1.4 of 19 ms for a worksheet of 1000 lines. A piece of this
/// size that was asked for and let go is kept by the thread, without a page of it being taken before it is used; a
/// larger one before it has pieces of this size come from the heap at all. Elsewhere it does nothing.
pub fn make_room() {
    const PIECE: usize = 8 << 20;
    drop(black_box(Vec::<u8>::with_capacity(3 * PIECE)));
    drop(black_box(Vec::<u8>::with_capacity(PIECE)));
}

/// What the work makes of each item, in order. Items fewer than `many` are not worth sharing out.
pub fn over<'i, T: Sync, R: Send>(items: &'i [T], many: usize, work: impl Fn(&'i T) -> R + Sync) -> Vec<R> {
    let hands = if items.len() >= many { hands() } else { None };
    match hands {
        Some(hands) => hands.install(|| items.par_iter().map(&work).collect()),
        None => items.iter().map(work).collect(),
    }
}

/// The same for items that come one after another and are too many to hold: each hand has a desk, on which a part of
/// them is put, worked, and taken away before the next. Parts are put on a desk one at a time, and taken away in the
/// same order. `put` tells whether there was anything left.
///
/// # Errors
/// The first error of either end, at which all stop.
pub fn in_turns<D, E: Send>(
    desk: impl Fn() -> D + Sync,
    put: impl FnMut(&mut D) -> Result<bool, E> + Send,
    work: impl Fn(&mut D) + Sync,
    take: impl FnMut(&mut D) -> Result<(), E> + Send,
) -> Result<(), E> {
    let ends = Ends {
        put: Mutex::new((0, put)),
        take: Mutex::new(Taking { turn: 0, end: Ok(()), take }),
        taken: Condvar::new(),
    };
    let hand = || {
        let mut desk = desk();
        while let Some(turn) = ends.next(&mut desk) {
            work(&mut desk);
            ends.take_away(turn, &mut desk);
        }
    };
    match hands() {
        Some(hands) => drop(hands.broadcast(|_| hand())),
        None => hand(),
    }
    ends.take.into_inner().unwrap_or_else(PoisonError::into_inner).end
}

/// Where parts come from, with how many have come, and where they go.
struct Ends<P, T, E> {
    put: Mutex<(usize, P)>,
    take: Mutex<Taking<T, E>>,
    taken: Condvar,
}

struct Taking<T, E> {
    /// The part whose turn it is.
    turn: usize,
    end: Result<(), E>,
    take: T,
}

impl<P, T, E> Ends<P, T, E> {
    /// The next part, on the desk, and its turn; none where there is no more to do.
    fn next<D>(&self, desk: &mut D) -> Option<usize>
    where
        P: FnMut(&mut D) -> Result<bool, E>,
    {
        let mut put = locked(&self.put);
        if locked(&self.take).end.is_err() {
            return None;
        }
        match put.1(desk) {
            Ok(true) => {
                put.0 += 1;
                Some(put.0 - 1)
            }
            Ok(false) => None,
            Err(error) => {
                self.stop(error);
                None
            }
        }
    }

    /// Takes a part away when its turn has come.
    fn take_away<D>(&self, turn: usize, desk: &mut D)
    where
        T: FnMut(&mut D) -> Result<(), E>,
    {
        let own_turn = |taking: &mut Taking<T, E>| taking.turn != turn && taking.end.is_ok();
        let taking = self.taken.wait_while(locked(&self.take), own_turn);
        let mut taking = taking.unwrap_or_else(PoisonError::into_inner);
        if taking.end.is_ok() {
            taking.end = (taking.take)(desk);
            taking.turn += 1;
        }
        drop(taking);
        self.taken.notify_all();
    }

    fn stop(&self, error: E) {
        let mut taking = locked(&self.take);
        if taking.end.is_ok() {
            taking.end = Err(error);
        }
        drop(taking);
        self.taken.notify_all();
    }
}

/// What is behind a lock; nothing that holds one can leave it half changed.
fn locked<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}

/// The thread that is one of the hands itself.
static OWN_HAND: OnceLock<ThreadId> = OnceLock::new();

/// Makes the calling thread one of the hands, if it is the first that has enough to do for them. All work has to come
/// from it, and it has to last as long as the program. Otherwise it sleeps while they work and has to be woken: 1 of 15
/// ms for a worksheet of 1000 lines.
pub fn lend_a_hand() {
    let _ = OWN_HAND.set(thread::current().id());
}

/// The hands, called together when first there is enough to do; none where the system gives no threads.
fn hands() -> Option<&'static ThreadPool> {
    static HANDS: OnceLock<Option<ThreadPool>> = OnceLock::new();
    let together = || {
        let others = ThreadPoolBuilder::new().stack_size(STACK).start_handler(|_| make_room());
        let is_own = OWN_HAND.get() == Some(&thread::current().id());
        if is_own { others.use_current_thread() } else { others }.build().ok()
    };
    HANDS.get_or_init(together).as_ref()
}
