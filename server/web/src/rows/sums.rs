//! Rows together, in words.
use crate::filters::show_measure;
use domain::rows::{Column, ColumnKind, Row, Sum, WordSum, sums_by};

/// Different words of a column that are still worth a table of sums.
const MOST_WORDS: usize = 40;

/// The rows by the words of one column.
pub(crate) struct By {
    pub title: String,
    /// Word, rows, pieces, mass.
    pub lines: Vec<[String; 4]>,
}

/// “1 row”, “24 rows”.
pub(crate) fn rows_words(rows: usize) -> String {
    if rows == 1 { "1 row".to_owned() } else { format!("{rows} rows") }
}

/// “24 rows, 118 pieces, 1240.5 g”.
pub(crate) fn sum_words(sum: Sum) -> String {
    let pieces = sum.pieces.map(|n| format!("{} pieces", show_measure(n)));
    let mass = sum.mass_g.map(|g| format!("{} g", show_measure(g)));
    [Some(rows_words(sum.rows)), pieces, mass].into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// Sums by every column of words that repeats its words.
pub(crate) fn by_words(columns: &[Column], rows: &[Row]) -> Vec<By> {
    let show = |value: Option<f64>| value.map(show_measure).unwrap_or_default();
    let line = |one: WordSum| {
        let word = if one.word.is_empty() { "not said".to_owned() } else { one.word };
        [word, one.sum.rows.to_string(), show(one.sum.pieces), show(one.sum.mass_g)]
    };
    let worded = columns.iter().enumerate().filter(|(_, column)| match column.kind {
        ColumnKind::Text | ColumnKind::Choice => true,
        ColumnKind::Whole | ColumnKind::Number => false,
    });
    let by = worded.map(|(at, column)| (column.title(), sums_by(columns, rows, at)));
    let telling = by.filter(|(_, sums)| sums.len() > 1 && sums.len() < rows.len().min(MOST_WORDS));
    telling.map(|(title, sums)| By { title, lines: sums.into_iter().map(line).collect() }).collect()
}
