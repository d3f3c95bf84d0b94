//! Cells gathered into rows, within the limits.
use super::{Cell, Limits, Merged, Unreadable};
use std::collections::HashSet;
use std::sync::Arc;

/// Words up to this many bytes are looked up and shared; longer ones seldom repeat.
const SHARED: usize = 40;
/// Different short words remembered at most.
const REMEMBERED: usize = 100_000;
/// Joined cells matter where headers stand.
const MERGED_ROWS: usize = 60;

/// Rows as they grow.
pub(super) struct Rows<'a> {
    limits: &'a Limits,
    rows: Vec<Vec<Cell>>,
    merged: Vec<Merged>,
    words: HashSet<Arc<str>>,
    word_bytes: usize,
    cells: usize,
}

impl<'a> Rows<'a> {
    pub fn new(limits: &'a Limits) -> Self {
        Self { limits, rows: Vec::new(), merged: Vec::new(), words: HashSet::new(), word_bytes: 0, cells: 0 }
    }

    /// Puts a cell at a row and column counted from 0. Empty cells take no room.
    pub fn put(&mut self, row: usize, column: usize, cell: Cell) -> Result<(), Unreadable> {
        if cell.is_blank() {
            return Ok(());
        }
        if row >= self.limits.rows {
            return Err(Unreadable::TooManyRows { limit: self.limits.rows });
        }
        if column >= self.limits.columns {
            return Err(Unreadable::TooManyColumns { limit: self.limits.columns });
        }
        if row >= self.rows.len() {
            if let Some(last) = self.rows.last_mut() {
                last.shrink_to_fit();
            }
            self.rows.resize_with(row + 1, Vec::new);
        }
        let cells = &mut self.rows[row];
        if column >= cells.len() {
            self.cells += column + 1 - cells.len();
            cells.resize(column + 1, Cell::Empty);
        }
        cells[column] = cell;
        if self.cells > self.limits.cells {
            Err(Unreadable::TooManyCells { limit: self.limits.cells })
        } else {
            Ok(())
        }
    }

    /// A text cell for that place. Words that stood before are shared.
    pub fn text(&mut self, row: usize, column: usize, text: &str, quoted: bool) -> Result<Cell, Unreadable> {
        let limit = self.limits.cell;
        if text.len() > limit && text.chars().count() > limit {
            return Err(Unreadable::TooLongCell { row: row + 1, column, limit, quoted });
        }
        if text.trim().is_empty() {
            return Ok(Cell::Empty);
        }
        if let Some(word) = self.words.get(text) {
            return Ok(Cell::Text(word.clone()));
        }
        let word: Arc<str> = text.into();
        self.word_bytes += text.len();
        if self.word_bytes > self.limits.words {
            return Err(Unreadable::TooManyWords { limit: self.limits.words });
        }
        if text.len() <= SHARED && self.words.len() < REMEMBERED {
            self.words.insert(word.clone());
        }
        Ok(Cell::Text(word))
    }

    /// Whether something stands at that place.
    pub fn holds(&self, row: usize, column: usize) -> bool {
        self.rows.get(row).and_then(|cells| cells.get(column)).is_some_and(|cell| *cell != Cell::Empty)
    }

    /// Notes joined cells when they stand where headers do.
    pub fn merge(&mut self, first: (usize, usize), last: (usize, usize)) {
        if first.0 < MERGED_ROWS && first != last && self.merged.len() < 1_000 {
            self.merged.push(Merged { first, last });
        }
    }

    pub fn is_empty(&self) -> bool {
        self.rows.is_empty()
    }

    /// The rows, down to the last that holds anything, and the joined cells.
    pub fn finish(mut self) -> (Vec<Vec<Cell>>, Vec<Merged>) {
        self.rows.shrink_to_fit();
        (self.rows, self.merged)
    }
}
