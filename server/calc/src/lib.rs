//! Computations of the laboratory, pure: no clock, no files, no database, no async.
//!
//! Every computation says its rule, its source ([`source::Source`]) and its limits, and refuses what it cannot answer
//! ([`error::CalcError`]) instead of returning a silent default.
//!
//! - [`chronology`]: years without a year nought, date ranges, dates as specialists write them, the standard date notation
//! - [`compute`]: the same computations over JSON lines, for the command line and for checking

pub mod chronology;
pub mod compute;
pub mod error;
pub mod source;

pub use error::CalcError;
pub use source::{Evidence, Source};
