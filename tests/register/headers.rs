//! Which row names the columns, and what each column means.
use super::{matched, table};
use register::field::{ContextField, Field, FindField, Unit};
use register::header::{guess_header_row, headers};
use register::matching::{meaning, propose};

#[test]
fn title_lines_above_the_header_are_passed_over() {
    for file in ["messy.xlsx", "messy_saved.xlsx", "messy_saved.ods"] {
        assert_eq!(guess_header_row::<FindField>(&table(file)), 4, "{file}: row 5 of the sheet");
    }
    assert_eq!(guess_header_row::<ContextField>(&table("contexts.csv")), 0);
}

#[test]
fn joined_repeated_and_empty_headers_get_names_of_their_own() {
    for file in ["messy.xlsx", "messy_saved.ods"] {
        let names: Vec<String> = headers(&table(file), 4).into_iter().map(|header| header.name).collect();
        assert_eq!(
            names[11..14],
            ["Dimensions (mm): L", "Dimensions (mm): W", "Dimensions (mm): Th"],
            "{file}"
        );
        assert_eq!(names[16..], ["Notes", "Notes (2)", "Column S"], "{file}");
    }
}

#[test]
fn every_column_of_a_real_register_finds_its_field() {
    use FindField::*;
    let (_, matches) = matched::<FindField>(&table("messy_saved.xlsx"));
    let fields: Vec<Option<FindField>> = matches.iter().map(|found| found.field).collect();
    let expected = [
        Number,
        Context,
        Material,
        ObjectType,
        Description,
        Count,
        WeightG,
        RecoveredOn,
        RecoveredBy,
        EastingM,
        HeightM,
        LengthMm,
        WidthMm,
        ThicknessMm,
        CompletenessPct,
        Restricted,
        Note,
    ];
    assert_eq!(fields[..17], expected.map(Some));
    assert_eq!(fields[17..], [None, None], "the second “Notes” is the person’s to join");
    assert_eq!((matches[6].unit, matches[11].unit), (Some(Unit::Gram), Some(Unit::Millimetre)));
    let (_, western) = matched::<FindField>(&table("western.csv"));
    assert_eq!(western[4].unit, Some(Unit::Kilogram));
}

#[test]
fn what_was_matched_before_wins_over_the_words_of_the_header() {
    let table = table("western.csv");
    let remembered =
        [("find NO.".to_owned(), FindField::SampleNumber), ("Date".to_owned(), FindField::Period)];
    let matches = propose(&headers(&table, 0), &remembered);
    assert_eq!((matches[0].field, matches[0].remembered), (Some(FindField::SampleNumber), true));
    assert_eq!(matches[5].field, Some(FindField::Period));
    assert_eq!(matches[3].field, Some(FindField::Description));
}

#[test]
fn every_field_is_found_again_by_its_own_label() {
    for field in FindField::all() {
        assert_eq!(meaning::<FindField>(field.label()), Some(*field), "{field:?}");
    }
    for field in ContextField::all() {
        assert_eq!(meaning::<ContextField>(field.label()), Some(*field), "{field:?}");
    }
}
