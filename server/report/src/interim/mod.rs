//! The interim report: a short factual account of the records on one day.
//!
//! - [`input`](Interim): what it takes
//! - [`tables`]: every number, counted once
//! - [`wording`]: figures, dates and lists as words
//! - [`account`]: sections in order, ready to be shown by either rendering
//!
//! The order follows common practice for a specialist or finds report (no source): summary, numbers, contexts dated by their
//! finds, a chapter per material, rows of specialists, rings, conservation, photographs, what is outstanding, bibliography,
//! catalogue. Quantities by count and weight,
//! named authors with qualification, dates of recording and of reporting: the Chartered Institute for Archaeologists'
//! toolkit for specialist reporting, checklist.
pub mod account;
mod catalogue;
mod chapters;
mod completeness;
mod conservation;
mod dated;
mod input;
mod opinions;
mod register;
mod rings;
mod rows;
mod summary;
pub mod tables;
pub mod wording;

pub use account::{Account, Block, Section};
pub use input::{
    AssessmentLine, Author, ContextLine, DateGiven, DateStatement, Dimension, Dissent, ExaminationLine,
    FindLine, Hold, Interim, JudgementLine, OpinionLine, OutstandingWork, PartLine, Photograph, RingsLine,
    RowsLine, SettlementLine, TerminusLine, TreatmentLine, WordSums, WorkMark,
};
