//! What is believed of a find’s figures, typed or imported (common practice, no source).
use std::ops::RangeInclusive;

/// Positions in m.
pub const POSITION_M: RangeInclusive<f64> = -10_000_000.0..=10_000_000.0;
/// Lengths in mm: up to 20 m.
pub const LENGTH_MM: RangeInclusive<f64> = 0.01..=20_000.0;
/// Masses in g: up to 20 t for a bulk.
pub const MASS_G: RangeInclusive<f64> = 0.001..=20_000_000.0;
/// Pieces at most.
pub const MOST_PIECES: i64 = 1_000_000_000;
