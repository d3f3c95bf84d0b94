#![allow(clippy::unwrap_used, reason = "a test fails by it")]
mod images;
mod imports;
mod media;
mod people;
mod permissions;
mod report;
mod review;
mod statements;
mod store;
mod work;
