//! Rows as typed or as a spreadsheet brought them, judged cell by cell.
use super::column::text;
use super::{Column, MOST_ROWS};
use crate::ids::FindId;
use serde::{Deserialize, Serialize};

/// A row exactly as typed.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TypedRow {
    /// Number of the find.
    pub find: String,
    /// Which part of it; empty for the whole.
    pub sub_number: String,
    /// One for each column.
    pub cells: Vec<String>,
}

impl TypedRow {
    /// Whether nothing is said in it: a row that only names its find waits to be filled in.
    pub fn is_blank(&self) -> bool {
        self.sub_number.trim().is_empty() && self.cells.iter().all(|cell| cell.trim().is_empty())
    }
}

/// Rows as typed, with the codes of the columns they were typed into.
#[derive(Debug, Clone, Default, PartialEq, Eq, Serialize, Deserialize)]
pub struct TypedRows {
    pub columns: Vec<String>,
    pub rows: Vec<TypedRow>,
}

impl TypedRows {
    /// The rows in the columns as they are now: what was typed into a column that is gone is left out.
    pub fn in_columns(&self, columns: &[Column]) -> Vec<TypedRow> {
        let places: Vec<Option<usize>> =
            columns.iter().map(|column| self.columns.iter().position(|code| *code == column.code)).collect();
        let cells = |row: &TypedRow| {
            let cell = |place: &Option<usize>| place.and_then(|at| row.cells.get(at)).cloned();
            places.iter().map(|place| cell(place).unwrap_or_default()).collect()
        };
        let row = |row: &TypedRow| TypedRow {
            find: row.find.clone(),
            sub_number: row.sub_number.clone(),
            cells: cells(row),
        };
        self.rows.iter().map(row).collect()
    }
}

/// A find of the assignment, with what the register says of it.
#[derive(Debug, Clone, PartialEq)]
pub struct FindAsked {
    pub id: FindId,
    pub number: String,
    pub pieces: i64,
    pub mass_g: Option<f64>,
}

/// A row that may be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct Row {
    pub find: FindId,
    pub sub_number: String,
    /// One for each column, numbers with a point.
    pub cells: Vec<String>,
}

/// What is wrong with a cell.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Fault {
    /// Position among the typed rows, from 0.
    pub row: usize,
    pub place: Place,
    pub sentence: String,
}

/// Which cell of a row.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Place {
    Find,
    SubNumber,
    /// Position of the column, from 0.
    Column(usize),
}

/// The rows that say something, and everything that is wrong with them.
pub fn check(columns: &[Column], typed: &[TypedRow], finds: &[FindAsked]) -> (Vec<Row>, Vec<Fault>) {
    let (mut rows, mut faults) = (Vec::new(), Vec::new());
    for (at, row) in typed.iter().enumerate().filter(|(_, row)| !row.is_blank()) {
        let mut fault = |place: Place, sentence: String| faults.push(Fault { row: at, place, sentence });
        let find = asked(&row.find, finds).map_err(|words| fault(Place::Find, words)).ok();
        let sub_number =
            text(&row.sub_number).map_err(|words| fault(Place::SubNumber, words)).unwrap_or_default();
        let mut cells = Vec::with_capacity(columns.len());
        for (place, column) in columns.iter().enumerate() {
            let read = column.read(row.cells.get(place).map_or("", String::as_str));
            cells.push(read.map_err(|words| fault(Place::Column(place), words)).unwrap_or_default());
        }
        rows.extend(find.map(|find| Row { find, sub_number, cells }));
    }
    if rows.len() > MOST_ROWS {
        let sentence = format!("There are more than {MOST_ROWS} rows. Send the rest as another assignment.");
        faults.push(Fault { row: MOST_ROWS, place: Place::Find, sentence });
    }
    (rows, faults)
}

fn asked(number: &str, finds: &[FindAsked]) -> Result<FindId, String> {
    let number = number.trim();
    if number.is_empty() {
        return Err("Write the number of the find.".into());
    }
    let find = finds.iter().find(|find| find.number.eq_ignore_ascii_case(number));
    find.map(|find| find.id).ok_or_else(|| format!("There is no find {number} in this assignment."))
}

#[cfg(test)]
mod tests {
    use super::super::BROUGHT;
    use super::*;
    use uuid::Uuid;

    fn typed(find: &str, cells: &[&str]) -> TypedRow {
        TypedRow {
            find: find.into(),
            sub_number: String::new(),
            cells: cells.iter().map(|cell| (*cell).into()).collect(),
        }
    }

    #[test]
    fn each_cell_that_cannot_stand_has_its_sentence_and_a_blank_row_none() {
        let columns = BROUGHT[0].columns();
        let find = FindAsked { id: FindId(Uuid::nil()), number: "12".into(), pieces: 3, mass_g: Some(41.2) };
        let rows = [
            typed("12", &["Q1", "jug", "Rim", "2", "12,5", "15", "120"]),
            typed("12", &[]),
            typed("99", &["", "", "lid", "1.5", "-3", "130"]),
        ];
        let (kept, faults) = check(&columns, &rows, &[find]);
        assert_eq!(kept.len(), 1);
        assert_eq!(kept[0].cells[2..6], ["rim", "2", "12.5", "15"]);
        assert!(faults.iter().all(|fault| fault.row == 2));
        let places: Vec<Place> = faults.iter().map(|fault| fault.place).collect();
        let columns = [0, 2, 3, 4, 5].map(Place::Column);
        assert_eq!(places, [&[Place::Find], &columns[..]].concat());
        assert!(faults[2].sentence.starts_with("“lid” is not among: rim, base"));
    }

    #[test]
    fn what_was_typed_finds_its_column_again_when_columns_change() {
        let mut columns = BROUGHT[1].columns();
        let kept = TypedRows {
            columns: vec!["weight".into(), "gone".into()],
            rows: vec![typed("12", &["212", "x"])],
        };
        columns.truncate(6);
        assert_eq!(kept.in_columns(&columns)[0].cells, ["", "", "", "", "", "212"]);
    }
}
