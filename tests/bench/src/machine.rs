//! The machine alone: what becomes of a fixed piece of arithmetic that asks nobody for anything. No server on it is steadier.
use crate::measure::{RATE, Times};
use std::hint::black_box;
use std::time::{Duration, Instant};

/// About the time of a page, in ms, when nothing disturbs it.
pub const WORK_MS: f64 = 4.0;

/// Does that much arithmetic at the rate of the open load, for so many seconds; how long each took, in ms.
pub fn steadiness(seconds: usize) -> Times {
    let sample = 100_000;
    let quickest = (0..200).map(|_| timed(sample)).fold(f64::INFINITY, f64::min);
    let rounds = (f64::from(sample) * WORK_MS / quickest) as u32;
    let start = Instant::now();
    let took = (0..seconds * RATE).map(|nth| {
        let due = start + Duration::from_secs_f64(nth as f64 / RATE as f64);
        std::thread::sleep(due.saturating_duration_since(Instant::now()));
        timed(rounds)
    });
    Times::of(took.collect())
}

/// Rounds of a shift register (Marsaglia, "Xorshift RNGs", 2003); in ms.
fn timed(rounds: u32) -> f64 {
    let begun = Instant::now();
    let mut state = black_box(0x9E37_79B9_7F4A_7C15_u64);
    for _ in 0..rounds {
        state ^= state << 13;
        state ^= state >> 7;
        state ^= state << 17;
    }
    black_box(state);
    begun.elapsed().as_secs_f64() * 1e3
}
