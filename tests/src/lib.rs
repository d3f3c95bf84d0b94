//! What all tests share. How to write one stands in `tests/README.md`.
#![cfg(not(doctest))] // no examples here
#![allow(clippy::unwrap_used, reason = "a test fails by it")]
pub mod browser;
pub mod judged;
pub mod support;
