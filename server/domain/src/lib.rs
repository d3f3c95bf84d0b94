//! The things of a finds lab and the rules they obey. Knows no SQL and no HTTP.
//!
//! - `ids`: one newtype per table
//! - `clocks`: what runs on a find, until when, how often somebody looks
//! - `packing`: boxes as they were sealed, the climate aimed at, how they are lifted
//! - `permission`: roles, the catalogue of actions, who may do what
//! - `refusal`: every reason a rule says no
//! - `runs`: drying and desalination runs, readings pasted from spreadsheets
//! - `letters`: the kinds of letters, which of them one may do without
//! - `dispatch`: objects that leave the house and come back
//! - `finds`: find numbers, materials, states on recovery
//! - `stages`: stages, routes, gates
//! - `shots`: which photographs a find should have
//! - `planning`: how fast, how long still
//! - `people`: accounts
//! - `rings`: ring diameters as people type them
//! - `rows`: rows of specialists in the columns of their discipline
//! - `solvents`: the table of solvents and mixtures by volume
//! - `spot_tests`: where a spot test is and when it is looked at again
//! - `work`: records of work at the bench
//! - `condition`, `examination`: what is seen on a find, and how it was looked at
//! - `treatment`: treatment steps and what a record lacks to be closed
//! - `typed`: numbers as people type them
//! - `words`: folding of words for search
pub mod clocks;
pub mod condition;
pub mod dispatch;
pub mod examination;
pub mod finds;
pub mod ids;
pub mod letters;
pub mod packing;
pub mod people;
pub mod permission;
pub mod planning;
pub mod refusal;
pub mod review;
pub mod rings;
pub mod rows;
pub mod runs;
pub mod shots;
pub mod solvents;
pub mod spot_tests;
pub mod stages;
pub mod text_enum;
pub mod treatment;
pub mod typed;
pub mod words;
pub mod work;

/// The program's name, wherever a person or another program reads it.
pub const PROGRAM: &str = "Findway";
/// The instant a thing happens, cut to microseconds, the finest both engines keep.
pub type Instant = chrono::DateTime<chrono::Utc>;

/// Cuts an instant to microseconds, so that what is read back equals what was written.
pub fn cut(at: Instant) -> Instant {
    use chrono::SubsecRound;
    at.trunc_subsecs(6)
}
