//! Which row names the columns, and what the columns are called.
use crate::field::Field;
use crate::matching::meaning;
use crate::table::{Cell, Table, letter};
use crate::values::words::one_line;
use std::collections::HashMap;

/// How far down a header is looked for; above it stand titles, dates, names of sites.
const LOOKED_AT: usize = 40;
/// A text joined across more columns than this is a title, not a heading over columns.
const GROUP: usize = 6;

/// A column under its header.
#[derive(Debug, Clone, PartialEq, serde::Serialize, serde::Deserialize)]
pub struct Header {
    /// From 0.
    pub column: usize,
    /// The header as written, on one line; empty when there is none.
    pub written: String,
    /// A heading joined across this column and its neighbours, in the row above.
    pub over: Option<String>,
    /// A name that no other column of the table has: “Column F” where nothing is written, “Weight (2)” for a second.
    pub name: String,
}

impl Header {
    /// The column as a person points at it: “D (Weight)”.
    pub fn place(&self) -> String {
        if self.written.is_empty() {
            letter(self.column)
        } else {
            format!("{} ({})", letter(self.column), self.name)
        }
    }
}

/// The columns that have a header in that row or anything below it. Rows count from 0.
pub fn headers(table: &Table, row: usize) -> Vec<Header> {
    let mut used = vec![false; table.width()];
    for cells in table.rows.iter().skip(row + 1) {
        for (used, cell) in used.iter_mut().zip(cells) {
            *used = *used || !cell.is_blank();
        }
    }
    let mut taken: HashMap<String, usize> = HashMap::new();
    let mut found = Vec::new();
    for (column, used) in used.into_iter().enumerate() {
        let (written, over) = (written(table, row, column), over(table, row, column));
        if written.is_empty() && !used {
            continue;
        }
        let base = match (&over, written.is_empty()) {
            (_, true) => format!("Column {}", letter(column)),
            (Some(over), false) => format!("{over}: {written}"),
            (None, false) => written.clone(),
        };
        let times = taken.entry(base.to_lowercase()).and_modify(|times| *times += 1).or_insert(1);
        let name = if *times == 1 { base } else { format!("{base} ({times})") };
        found.push(Header { column, written, over, name });
    }
    found
}

/// The row that most likely names the columns, from 0: the one with the most known headers, then the most words.
pub fn guess_header_row<F: Field>(table: &Table) -> usize {
    let width = table.width();
    let mut best = (0, 0usize);
    for row in 0..table.rows.len().min(LOOKED_AT) {
        let (mut known, mut words) = (0, 0);
        for column in 0..width {
            let written = written(table, row, column);
            let figures = written.parse::<f64>().is_ok() || !written.contains(char::is_alphabetic);
            if written.is_empty() || (figures && meaning::<F>(&written).is_none()) {
                continue;
            }
            words += 1;
            known += usize::from(meaning::<F>(&written).is_some());
        }
        // one known word in a line is a title (“Finds register”), not a header
        let score = if known > 1 { known * 100 + words } else { words };
        if score > best.1 && (known > 1 || words * 10 >= width * 6) {
            best = (row, score);
        }
    }
    best.0
}

/// The header of a column: its own cell, or the one it is joined with.
fn written(table: &Table, row: usize, column: usize) -> String {
    let own = one_line(&text(table.cell(row, column)));
    if !own.is_empty() {
        return own;
    }
    let joined = table.merged.iter().find(|m| {
        (m.first.0..=m.last.0).contains(&row)
            && (m.first.1..=m.last.1).contains(&column)
            && m.last.1 - m.first.1 < GROUP
    });
    joined.map(|m| one_line(&text(table.cell(m.first.0, m.first.1)))).unwrap_or_default()
}

/// The heading joined across this column and others in the row above.
fn over(table: &Table, row: usize, column: usize) -> Option<String> {
    let above = row.checked_sub(1)?;
    let joined = table.merged.iter().find(|m| {
        m.last.0 == above
            && (m.first.1..=m.last.1).contains(&column)
            && (1..GROUP).contains(&(m.last.1 - m.first.1))
            && m.last.1 - m.first.1 + 1 < table.width()
    })?;
    let heading = one_line(&text(table.cell(joined.first.0, joined.first.1)));
    (!heading.is_empty() && !table.cell(row, column).is_blank()).then_some(heading)
}

fn text(cell: &Cell) -> std::borrow::Cow<'_, str> {
    match cell {
        Cell::Fault(_) => "".into(),
        other => other.shown(),
    }
}
