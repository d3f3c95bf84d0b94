//! Rows of a specialist: one for each find, or for each part of it by sub-number, in the columns of the discipline.
//!
//! - `column`: what a column takes in
//! - `discipline`: the columns a project begins with
//! - `check`: rows as typed, judged cell by cell
//! - `sums`: pieces and mass of the rows against the register
mod check;
mod column;
mod discipline;
mod sums;

pub use check::{Fault, FindAsked, Place, Row, TypedRow, TypedRows, check};
pub use column::{Column, ColumnKind, Meaning, code_of};
pub use discipline::{BROUGHT, Brought};
pub use sums::{Difference, Sum, WordSum, differences, sum, sums_by};

/// Most columns of a discipline.
pub const MOST_COLUMNS: usize = 30;
/// Most rows of one list: a day's work of a spreadsheet, not of a page.
pub const MOST_ROWS: usize = 10_000;
/// Most rows that are typed into a page; beyond, the spreadsheet serves better.
pub const MOST_TYPED: usize = 400;
