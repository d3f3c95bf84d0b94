//! What all tests share. How to write one stands in `tests/README.md`.
#![allow(clippy::unwrap_used, reason = "a test fails by it")]
pub mod browser;
pub mod support;
