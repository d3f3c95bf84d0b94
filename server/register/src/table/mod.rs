//! A file as a table of cells, whatever program wrote it.
mod cell;
mod delimited;
mod kind;
mod ods;
mod rows;
mod text;
mod unpack;
mod unreadable;
mod xlsx;

pub(crate) use cell::plain;
pub use cell::{Cell, Fault};
pub use kind::FileKind;
pub use text::{Encoding, Separator};
pub use unreadable::Unreadable;

use kind::Container;

/// What a file may take up at most. A limit that is passed refuses the whole file.
#[derive(Debug, Clone)]
pub struct Limits {
    /// The file as it was sent, in bytes.
    pub bytes: u64,
    /// Everything a zipped spreadsheet unpacks to, in bytes.
    pub unpacked: u64,
    /// Last row in use, counted from 1.
    pub rows: usize,
    /// Last column in use, counted from 1.
    pub columns: usize,
    /// Cells that take up room: each row up to its last filled cell.
    pub cells: usize,
    /// One cell, in characters. 32,767 is what spreadsheet programs allow.
    pub cell: usize,
    /// All different words together, in bytes.
    pub words: usize,
}

impl Default for Limits {
    fn default() -> Self {
        Self {
            bytes: 200_000_000,
            unpacked: 500_000_000,
            rows: 200_000,
            columns: 200,
            cells: 5_000_000,
            cell: 32_767,
            words: 100_000_000,
        }
    }
}

/// How a person wants a file read where the program cannot know. Whatever is left out is worked out from the file.
#[derive(Debug, Clone, Default, PartialEq, serde::Serialize, serde::Deserialize)]
#[serde(default)]
pub struct Reading {
    /// Name of the sheet; the first visible sheet that holds anything when left out.
    pub sheet: Option<String>,
    pub encoding: Option<Encoding>,
    pub separator: Option<Separator>,
}

/// A sheet of a spreadsheet.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Sheet {
    pub name: String,
    pub hidden: bool,
}

/// Cells joined into one; rows and columns from 0, the last included.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Merged {
    pub first: (usize, usize),
    pub last: (usize, usize),
}

/// A sheet read whole. Row `i` of `rows` is the row that a spreadsheet program numbers `i + 1`.
#[derive(Debug, Clone)]
pub struct Table {
    pub kind: FileKind,
    /// Every sheet of the file, in its order; empty for a text file.
    pub sheets: Vec<Sheet>,
    /// Which of them was read.
    pub sheet: Option<usize>,
    /// Each row up to its last filled cell.
    pub rows: Vec<Vec<Cell>>,
    /// Joined cells among the first rows, where headers stand.
    pub merged: Vec<Merged>,
    /// How a text file was read.
    pub encoding: Option<Encoding>,
    pub separator: Option<Separator>,
    /// What the person should know about the reading, in sentences.
    pub notes: Vec<String>,
}

static EMPTY: Cell = Cell::Empty;

impl Table {
    /// The cell at a row and column counted from 0; empty beyond the edge.
    pub fn cell(&self, row: usize, column: usize) -> &Cell {
        self.rows.get(row).and_then(|cells| cells.get(column)).unwrap_or(&EMPTY)
    }

    /// How many columns the widest row has.
    pub fn width(&self) -> usize {
        self.rows.iter().map(Vec::len).max().unwrap_or(0)
    }
}

/// A column as a spreadsheet letters it: 0 is A, 26 is AA.
///
/// ```
/// assert_eq!(register::table::letter(0), "A");
/// assert_eq!(register::table::letter(27), "AB");
/// ```
pub fn letter(column: usize) -> String {
    let mut letters = Vec::new();
    let mut rest = column + 1;
    while rest > 0 {
        letters.push(b'A' + ((rest - 1) % 26) as u8);
        rest = (rest - 1) / 26;
    }
    letters.iter().rev().map(|&byte| char::from(byte)).collect()
}

/// Reads a file whose kind is told from its content, never from its name.
///
/// # Errors
/// Anything that is no table of cells, and any limit that is passed; [`Unreadable`] says what to do.
pub fn read(bytes: &[u8], reading: &Reading, limits: &Limits) -> Result<Table, Unreadable> {
    if bytes.len() as u64 > limits.bytes {
        return Err(Unreadable::TooManyBytes { limit: limits.bytes });
    }
    match kind::container(bytes)? {
        Container::Text => delimited::read(bytes, reading, limits),
        Container::Zip => {
            let parts = unpack::inspect(bytes, limits)?;
            match parts.kind()? {
                FileKind::Ods => ods::read(bytes, reading, limits),
                _ => xlsx::read(bytes, &parts, reading, limits),
            }
        }
    }
}
