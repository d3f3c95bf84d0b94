//! Records of work at the bench, holds, lifted gates and standing authorisations. Nothing is overwritten.
//!
//! - [`records`]: what was done
//! - [`assessments`], [`examinations`]: what was seen
//! - [`levels`]: cleaning levels and their authorisation
//! - [`standing`]: a lead's word for a whole class of plain work
//! - [`holds`]: what keeps a find where it is, and lifted gates
pub mod assessments;
pub mod examinations;
pub mod holds;
pub mod levels;
pub mod records;
pub mod standing;
