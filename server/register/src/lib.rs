//! Registers as units keep them, read from a file and checked to the last cell before anything is stored.
//! Pure: no SQL, no HTTP, no clock, no files; bytes go in, rows and problems come out.
//!
//! - `table`: a file as a table of cells, whatever program wrote it
//! - `header`: which row names the columns
//! - `field`: what a column can mean, for finds and for contexts
//! - `matching`: which column means what
//! - `values`: one cell as a number, a date, a word
//! - `check`: the dry run, with every problem by row and column
pub mod check;
pub mod field;
pub mod header;
pub mod matching;
pub mod table;
pub mod values;
