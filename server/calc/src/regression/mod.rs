//! Curves through measured points by least squares.
//!
//! - [`line`]: the straight line, with the confidence of its slope
//! - [`exponential`]: the exponential that settles at a level, rising or falling

pub mod exponential;
pub mod line;

pub use exponential::{Exponential, Saturation};
pub use line::Line;
