//! The switch of the mutants, which the weaver's copy of the program has beside its other modules. `MUTANT_ON` says
//! which one is on; where none is, `MUTANT_REACH` may name a file that is to say which of them a run comes by.

use std::io::Write;
use std::sync::OnceLock;
use std::sync::atomic::{AtomicBool, AtomicUsize, Ordering};

const MOST: usize = 8192;
const NONE: usize = MOST;
const REACHING: usize = MOST + 1;
const UNREAD: usize = MOST + 2;
/// The mutant that is on.
static ON: AtomicUsize = AtomicUsize::new(UNREAD);
static REACH: OnceLock<Option<std::fs::File>> = OnceLock::new();
static REACHED: [AtomicBool; MOST] = [const { AtomicBool::new(false) }; MOST];

/// Whether the mutant of that number is on.
#[inline]
pub fn on(number: usize) -> bool {
    match ON.load(Ordering::Relaxed) {
        UNREAD => {
            asked();
            on(number)
        }
        REACHING => noted(number),
        on => on == number,
    }
}

/// Looks at the environment once.
#[cold]
fn asked() {
    let number = std::env::var("MUTANT_ON").ok().and_then(|text| text.parse().ok());
    let other = if std::env::var_os("MUTANT_REACH").is_some() { REACHING } else { NONE };
    ON.store(number.unwrap_or(other), Ordering::Relaxed);
}

/// Writes down that a mutant is come by, the first time.
#[cold]
fn noted(number: usize) -> bool {
    if !REACHED[number].swap(true, Ordering::Relaxed) {
        let file = REACH.get_or_init(|| {
            let path = std::env::var_os("MUTANT_REACH")?;
            std::fs::OpenOptions::new().create(true).append(true).open(path).ok()
        });
        if let Some(mut file) = file.as_ref() {
            let _ = file.write_all(format!("{number}\n").as_bytes());
        }
    }
    false
}

/// One of two iterators, which is one type whichever it is.
#[derive(Clone, Debug)]
pub enum Either<L, R> {
    Left(L),
    Right(R),
}

impl<T, L: Iterator<Item = T>, R: Iterator<Item = T>> Iterator for Either<L, R> {
    type Item = T;
    fn next(&mut self) -> Option<T> {
        match self {
            Self::Left(inner) => inner.next(),
            Self::Right(inner) => inner.next(),
        }
    }
    fn size_hint(&self) -> (usize, Option<usize>) {
        match self {
            Self::Left(inner) => inner.size_hint(),
            Self::Right(inner) => inner.size_hint(),
        }
    }
}

impl<T, L: DoubleEndedIterator<Item = T>, R: DoubleEndedIterator<Item = T>> DoubleEndedIterator for Either<L, R> {
    fn next_back(&mut self) -> Option<T> {
        match self {
            Self::Left(inner) => inner.next_back(),
            Self::Right(inner) => inner.next_back(),
        }
    }
}

impl<T, L: ExactSizeIterator<Item = T>, R: ExactSizeIterator<Item = T>> ExactSizeIterator for Either<L, R> {}
