//! Records of work at the bench, holds, lifted gates and standing authorisations. Nothing is overwritten.
//!
//! - [`records`]: what was done
//! - [`assessments`], [`examinations`]: what was seen
//! - [`spot_tests`]: where a test was made, with what, and the later looks at it
//! - [`treatments`]: aim, area, times, masses, materials of a step, and what went beyond the level
//! - [`open`]: records that are not closed yet
//! - [`last`]: what a person recorded last
//! - [`levels`]: cleaning levels and their authorisation
//! - [`standing`]: a lead's word for a whole class of plain work
//! - [`holds`]: what keeps a find where it is, and lifted gates
pub mod assessments;
pub mod examinations;
pub mod holds;
pub mod last;
pub mod levels;
pub mod open;
pub mod records;
pub mod spot_tests;
pub mod standing;
pub mod treatments;
