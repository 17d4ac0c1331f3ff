//! Two pieces of work timed in turn, so that what else the machine does strikes both alike. It knows neither of them.

use anyhow::Result;
use std::hint::black_box;
use std::time::Instant;

/// A loop is repeated until one measurement takes this long, in seconds.
const LONG_ENOUGH: f64 = 2e-3;

/// The medians, in seconds.
pub struct Pair {
    /// Of the floor.
    pub floor: f64,
    /// Of the program's own work.
    pub own: f64,
}

/// Each so many times, after one round that does not count.
///
/// # Errors
/// Where one of them fails.
pub fn in_turn(
    rounds: usize,
    mut floor: impl FnMut() -> Result<()>,
    mut own: impl FnMut() -> Result<()>,
) -> Result<Pair> {
    let (mut floors, mut owns) = (Vec::new(), Vec::new());
    for round in 0..=rounds {
        let times = [timed(&mut floor)?, timed(&mut own)?];
        if round > 0 {
            floors.push(times[0]);
            owns.push(times[1]);
        }
    }
    Ok(Pair { floor: median(floors), own: median(owns) })
}

/// The same for work within this process, repeated as often as a measurement needs.
pub fn loops_in_turn<A, B>(rounds: usize, mut floor: impl FnMut() -> A, mut own: impl FnMut() -> B) -> Pair {
    let (floor_times, own_times) = (repeats(&mut floor), repeats(&mut own));
    let (mut floors, mut owns) = (Vec::new(), Vec::new());
    for _ in 0..rounds {
        floors.push(looped(&mut floor, floor_times));
        owns.push(looped(&mut own, own_times));
    }
    Pair { floor: median(floors), own: median(owns) }
}

/// Has the work done, though nobody looks at it.
pub fn keep<T>(value: T) {
    black_box(value);
}

/// A time with the prefix that suits it.
pub fn shown(seconds: f64) -> String {
    let scales = [(1.0, "s"), (1e-3, "ms"), (1e-6, "µs")];
    let (scale, name) = scales.into_iter().find(|(scale, _)| seconds >= *scale).unwrap_or((1e-9, "ns"));
    format!("{:.3} {name}", seconds / scale)
}

fn timed(work: &mut impl FnMut() -> Result<()>) -> Result<f64> {
    let start = Instant::now();
    work()?;
    Ok(start.elapsed().as_secs_f64())
}

fn looped<T>(work: &mut impl FnMut() -> T, times: u32) -> f64 {
    let start = Instant::now();
    (0..times).for_each(|_| keep(work()));
    start.elapsed().as_secs_f64() / f64::from(times)
}

fn repeats<T>(work: &mut impl FnMut() -> T) -> u32 {
    let mut times = 1;
    while looped(work, times) * f64::from(times) < LONG_ENOUGH {
        times *= 2;
    }
    times
}

fn median(mut times: Vec<f64>) -> f64 {
    times.sort_by(f64::total_cmp);
    times.get(times.len() / 2).copied().unwrap_or(f64::NAN)
}
