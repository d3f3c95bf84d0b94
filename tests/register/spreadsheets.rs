//! Workbooks cell by cell, as openpyxl and LibreOffice write them.
use super::{bytes, folder, sheet, table};
use register::table::{Cell, Fault, FileKind, Limits, Reading, Sheet, Table, Unreadable, letter, read};
use serde_json::{Value, json};

/// A cell in the words of `make_files.py`.
fn seen(cell: &Cell) -> Value {
    match cell {
        Cell::Empty => json!(["empty", ""]),
        Cell::Text(text) => json!(["text", &**text]),
        Cell::Number(value) => json!(["number", value]),
        Cell::Shown(both) => json!(["shown", [both.0, both.1]]),
        Cell::Date(date) => json!(["date", date.to_string()]),
        Cell::Truth(truth) => json!(["truth", truth]),
        Cell::Fault(Fault::NotCalculated) => json!(["fault", "not calculated"]),
        Cell::Fault(Fault::Error(error)) => json!(["fault", error]),
    }
}

fn as_floats(mut value: Value) -> Value {
    match &mut value {
        Value::Array(parts) => parts.iter_mut().for_each(|part| *part = as_floats(part.take())),
        Value::Number(number) => value = json!(number.as_f64()),
        _ => {}
    }
    value
}

fn assert_cells(table: &Table, which: &str) {
    let text = std::fs::read_to_string(folder().join("expected.json")).unwrap();
    let expected: Value = serde_json::from_str(&text).unwrap();
    let mut wrong = Vec::new();
    for (place, expected) in expected[which].as_object().unwrap() {
        let (letters, row) = place.split_at(place.find(|c: char| c.is_ascii_digit()).unwrap());
        let column = (0..200).find(|column| letter(*column) == letters).unwrap();
        let seen = as_floats(seen(table.cell(row.parse::<usize>().unwrap() - 1, column)));
        if seen != as_floats(expected.clone()) {
            wrong.push(format!("{place}: {expected} expected, {seen} seen"));
        }
    }
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
    assert_eq!(expected[which].as_object().unwrap().len(), 95);
}

#[test]
fn every_cell_of_a_workbook_saved_by_a_spreadsheet_program_is_seen() {
    assert_cells(&table("messy_saved.xlsx"), "calculated");
}

#[test]
fn every_cell_of_an_opendocument_spreadsheet_is_seen() {
    assert_cells(&table("messy_saved.ods"), "calculated");
}

#[test]
fn a_formula_without_a_saved_result_is_told_from_an_empty_cell() {
    assert_cells(&table("messy.xlsx"), "uncalculated");
}

#[test]
fn sheets_are_listed_and_the_first_visible_one_with_anything_in_it_is_read() {
    let names = ["Read me", "Finds", "Contexts"];
    for file in ["messy.xlsx", "messy_saved.xlsx", "messy_saved.ods"] {
        let found = table(file);
        let listed: Vec<Sheet> =
            names.iter().map(|name| Sheet { name: (*name).into(), hidden: *name == "Read me" }).collect();
        assert_eq!((found.sheets.clone(), found.sheet), (listed, Some(1)), "{file}");
        assert_eq!(sheet(file, "Contexts").cell(1, 1), &Cell::Text("layer".into()));
        assert_eq!(
            sheet(file, "Read me").cell(0, 0),
            &Cell::Text("Internal notes".into()),
            "hidden ones on request"
        );
        let reading = Reading { sheet: Some("Trenches".into()), ..Reading::default() };
        let refused = read(&bytes(file), &reading, &Limits::default()).unwrap_err();
        assert_eq!(refused, Unreadable::NoSuchSheet { name: "Trenches".into() });
    }
    assert_eq!(table("messy_saved.ods").kind, FileKind::Ods);
    assert_eq!(table("messy_saved.xlsx").kind, FileKind::Xlsx);
}
