#![allow(clippy::unwrap_used, reason = "a test fails by it")]
mod media;
mod report;
mod statements;
mod store;
