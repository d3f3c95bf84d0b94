//! Every number of the report, counted once and shown by both renderings.
//!
//! - [`tally`](Tally): finds, pieces and grams of any set of finds
//! - [`quantities`]: by material and stage, by phase, by context
//! - [`care`]: what assessments, examinations and treatment steps say
//! - [`work`]: what the working records say
pub mod care;
pub mod quantities;
mod tally;
pub mod work;

pub use tally::{Tally, grams, weight_cells};

use serde::Serialize;

/// A table as it is shown: captions, heads and cells are words already.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Table {
    /// Its number in the document, in reading order; given when the document is put together.
    pub number: usize,
    pub caption: String,
    pub columns: Vec<Column>,
    /// The first cell of a row names it.
    pub rows: Vec<Vec<String>>,
    pub total: Option<Vec<String>>,
    /// What a reader must know to read the cells.
    pub notes: Vec<String>,
}

/// A column of a table.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Column {
    pub head: String,
    pub holds: Holds,
}

/// What a column holds, which decides its alignment and width.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
#[serde(rename_all = "snake_case")]
pub enum Holds {
    /// Figures, set flush right.
    Figures,
    /// A few words, never broken if it can be helped.
    Words,
    /// Running text, which takes the room that is left.
    Text,
}

impl Column {
    /// Whether it holds figures, which are set flush right.
    pub fn is_figures(&self) -> bool {
        self.holds == Holds::Figures
    }
}

impl Table {
    /// An empty table with its heads.
    pub fn new(caption: impl Into<String>, columns: &[(&str, Holds)]) -> Self {
        let columns = columns.iter().map(|(head, holds)| Column { head: (*head).to_owned(), holds: *holds });
        Self {
            number: 0,
            caption: caption.into(),
            columns: columns.collect(),
            rows: Vec::new(),
            total: None,
            notes: Vec::new(),
        }
    }
}
