//! The dry run: every value and every problem, by row and column.
use super::*;
use register::check::{Value, check_contexts, check_finds};
use register::field::ContextField;
use register::matching::propose;
use register::values::{DateOrder, Decimal};

/// The messy register, with both columns of notes joined.
fn messy(file: &str) -> DryRun<FindField> {
    let table = table(file);
    let (row, mut matches) = matched::<FindField>(&table);
    matches[17].field = Some(FindField::Note);
    check_finds(&table, row, &matches, &known(), &settings())
}

#[test]
fn sound_rows_come_out_whole_in_the_units_of_their_fields() {
    use FindField::*;
    for file in ["messy_saved.xlsx", "messy_saved.ods"] {
        let run = messy(file);
        assert_eq!(
            run.rows.iter().map(|row| row.number.as_str()).collect::<Vec<_>>(),
            ["SF 002", "003"],
            "{file}"
        );
        let brooch = &run.rows[0];
        assert_eq!((brooch.row, brooch.material.as_deref()), (7, Some("copper_alloy")));
        assert_eq!((brooch.words(Context), brooch.words(Material)), (Some("215"), Some("Cu alloy")));
        assert_eq!((brooch.whole(Count), brooch.size(WeightG)), (Some(3), Some(25.0)), "text and formula");
        assert_eq!(brooch.day(RecoveredOn), Some(day(2031, 5, 14)));
        assert_eq!((brooch.size(LengthMm), brooch.size(WidthMm)), (Some(45.5), Some(8.0)));
        assert_eq!(brooch.size(CompletenessPct), Some(25.5));
        assert_eq!(brooch.words(Note), Some("pin missing\nsee photograph"));
        let knife = &run.rows[1];
        assert_eq!((knife.whole(Count), knife.size(WeightG)), (Some(5), Some(1234.5)), "{file}");
        assert_eq!((knife.day(RecoveredOn), knife.truth(Restricted)), (Some(day(2031, 5, 5)), Some(false)));
        assert_eq!(
            (knife.words(Description), knife.words(RecoveredBy)),
            (None, None),
            "n/a and - say nothing"
        );
    }
}

#[test]
fn every_problem_is_named_by_row_and_column() {
    let run = messy("messy_saved.xlsx");
    let expected = [
        (6, "A", "Duplicate"),
        (7, "M", "About"),
        (9, "F", "Range"),
        (9, "G", "FormulaError"),
        (9, "H", "NoSuchDay"),
        (9, "J", "NotANumber"),
        (9, "L", "Several"),
        (9, "M", "Limit"),
        (9, "N", "Negative"),
        (9, "O", "NotAShare"),
        (9, "P", "NotOneOf"),
        (9, "A", "Duplicate"),
        (9, "C", "UnknownMaterial"),
        (9, "B", "NoContext"),
        (10, "A", "TurnedIntoDate"),
    ];
    assert_eq!(told(&run.problems), places(&expected));
    assert_eq!((run.stops, run.warnings, run.read, run.stopped_rows()), (14, 1, 5, 3));
    assert!(!run.may_apply());
    assert_eq!(run.duplicates, [("SF 001".to_owned(), vec![6, 9])]);
    let range = run.problems.iter().find(|problem| matches!(problem.trouble, Trouble::Range { .. })).unwrap();
    assert_eq!(range.column.as_deref(), Some("F (Qty)"));
    assert_eq!(range.trouble.to_string(), "“5-7” is a range or a fraction, not one number.");
    assert_eq!(range.trouble.remedy(), "Type one number, and put the rest in the note.");
}

#[test]
fn formulas_without_a_saved_result_stop_their_rows() {
    let run = messy("messy.xlsx");
    let uncalculated: Vec<_> =
        told(&run.problems).into_iter().filter(|(_, _, kind)| kind == "NotCalculated").collect();
    assert_eq!(
        uncalculated,
        places(&[(7, "G", "NotCalculated"), (8, "F", "NotCalculated"), (9, "G", "NotCalculated")])
    );
}

#[test]
fn decimal_commas_and_days_with_full_stops_are_read_by_the_evidence_of_their_columns() {
    use FindField::*;
    let run = check("western.csv");
    assert!(run.may_apply(), "{:?}", run.problems);
    let weights: Vec<_> = run.rows.iter().map(|row| row.size(WeightG)).collect();
    assert_eq!(weights, [Some(125.0), Some(1500.0), Some(1_250_750.0)], "kg in the header, g kept");
    let days: Vec<_> = run.rows.iter().map(|row| row.day(RecoveredOn)).collect();
    assert_eq!(days, [Some(day(2031, 5, 13)), Some(day(2031, 5, 3)), Some(day(2031, 5, 14))]);
    assert_eq!(told(&run.problems), places(&[(0, "F", "ShortYears")]));
    assert_eq!(run.rows[0].words(Description), Some("crème slip – “fine”"));
}

#[test]
fn month_first_dates_and_grouped_thousands_are_recognised() {
    let run = check("american.csv");
    let days: Vec<_> = run.rows.iter().map(|row| row.day(FindField::RecoveredOn)).collect();
    assert_eq!(days, [Some(day(2031, 5, 13)), Some(day(2031, 5, 4)), Some(day(2031, 6, 1))]);
    assert_eq!(run.readings, [("B (Date found)".to_owned(), "Dates are read month first.".to_owned())]);
    let weights: Vec<_> = run.rows.iter().map(|row| row.size(FindField::WeightG)).collect();
    assert_eq!(weights, [Some(1234.0), Some(2000.0), Some(12500.0)]);
    assert_eq!(told(&run.problems), places(&[(0, "B", "ShortYears"), (0, "C", "DecimalAssumed")]));
}

#[test]
fn what_can_be_read_in_two_ways_is_warned_of_and_settled_by_the_person() {
    let table = table("doubtful.csv");
    let (row, mut matches) = matched::<FindField>(&table);
    let run = check_finds(&table, row, &matches, &known(), &settings());
    assert_eq!(told(&run.problems), places(&[(0, "B", "OrderAssumed"), (0, "C", "DecimalAssumed")]));
    assert!(run.may_apply());
    assert_eq!(
        (run.rows[0].day(FindField::RecoveredOn), run.rows[0].size(FindField::WeightG)),
        (Some(day(2031, 5, 4)), Some(1234.0))
    );
    matches[1].dates = Some(DateOrder::MonthFirst);
    matches[2].decimal = Some(Decimal::Comma);
    let run = check_finds(&table, row, &matches, &known(), &settings());
    assert_eq!(run.problems, []);
    assert_eq!(
        (run.rows[0].day(FindField::RecoveredOn), run.rows[0].size(FindField::WeightG)),
        (Some(day(2031, 4, 5)), Some(1.234))
    );
}

#[test]
fn a_column_that_goes_both_ways_stops_only_what_is_not_plain() {
    let run = check("mixed.csv");
    assert_eq!(told(&run.problems), places(&[(4, "B", "UnclearDay"), (4, "C", "UnclearDecimal")]));
    let weights: Vec<_> = run.rows.iter().map(|row| row.size(FindField::WeightG)).collect();
    assert_eq!(weights, [Some(12.5), Some(12.5)]);
    assert_eq!(
        run.rows.iter().map(|row| row.day(FindField::RecoveredOn)).collect::<Vec<_>>(),
        [Some(day(2031, 5, 13)); 2]
    );
}

#[test]
fn a_header_that_is_repeated_on_every_page_is_no_find() {
    let run = check("marked.csv");
    assert_eq!(
        run.rows.iter().map(|row| (row.row, row.number.as_str())).collect::<Vec<_>>(),
        [(2, "1"), (3, "2"), (6, "3")]
    );
    assert_eq!(
        run.rows[1].size(FindField::WeightG),
        Some(1234.0),
        "the column has a decimal point elsewhere"
    );
    assert_eq!(run.rows[0].words(FindField::Note), Some("two lines,\nand a \"quote\""));
}

#[test]
fn unknown_materials_and_missing_contexts_are_told_once_and_can_be_settled() {
    let file = "Find,Context,Material\n1,0214,Irn\n2,0214,irn\n3,0214,pottery sherd\n4,214,Bones\n5,300,\n";
    let table = read(file.as_bytes(), &Reading::default(), &Limits::default()).unwrap();
    let run = check_with(&table, &known(), &settings());
    let words: Vec<_> = run
        .unknown_materials
        .iter()
        .map(|m| (m.word.as_str(), m.rows, m.nearest.as_deref(), m.nearest_code.as_deref()))
        .collect();
    assert_eq!(
        words,
        [("Irn", 2, Some("iron"), Some("iron")), ("pottery sherd", 1, Some("pottery"), Some("ceramic"))]
    );
    let contexts: Vec<_> =
        run.missing_contexts.iter().map(|m| (m.word.as_str(), m.rows, m.nearest.as_deref())).collect();
    assert_eq!(contexts, [("0214", 3, Some("214")), ("300", 1, None)]);
    assert_eq!((run.rows.len(), run.stops), (1, 4));
    assert_eq!(run.rows[0].material.as_deref(), Some("animal_bone"), "the plural is understood");
    let mut settled = settings();
    settled.create_contexts = true;
    settled.materials = [("irn".into(), "iron".into()), ("pottery sherd".into(), "unknown".into())].into();
    let run = check_with(&table, &known(), &settled);
    assert!(run.may_apply(), "{:?}", run.problems);
    let materials: Vec<_> = run.rows.iter().map(|row| row.material.as_deref()).collect();
    assert_eq!(materials, [Some("iron"), Some("iron"), Some("unknown"), Some("animal_bone"), None]);
}

#[test]
fn numbers_are_compared_after_they_are_tidied() {
    let file = "Find,Sub no\nSF 1,\nSF  1 ,\nsf1,\nSF 2,1\nSF 2,2\nSF 9,\n1.5E+06,\n,\nSF 07,\n-,3\n";
    let table = read(file.as_bytes(), &Reading::default(), &Limits::default()).unwrap();
    let mut known = known();
    known.finds = ["SF 7".into(), "SF 9".into()].into();
    known.void_finds = ["SF 9".into()].into();
    let run = check_with(&table, &known, &settings());
    let expected = [
        (2, "A", "Duplicate"),
        (3, "A", "Duplicate"),
        (4, "A", "LooksLike"),
        (7, "A", "Void"),
        (8, "A", "Shortened"),
        (10, "A", "LooksLike"),
        (11, "A", "Unnamed"),
    ];
    assert_eq!(told(&run.problems), places(&expected));
    assert_eq!(
        run.rows.iter().map(|row| row.number.as_str()).collect::<Vec<_>>(),
        ["sf1", "SF 2/1", "SF 2/2", "SF 07"]
    );
}

#[test]
fn human_remains_stay_restricted() {
    let file = "Find,Material,Restricted\n1,urn,no\n2,iron,no\n3,cremation,\n";
    let table = read(file.as_bytes(), &Reading::default(), &Limits::default()).unwrap();
    let run = check_with(&table, &known(), &settings());
    assert_eq!(told(&run.problems), places(&[(2, "C", "HumanRemains")]));
    let restricted: Vec<_> = run.rows.iter().map(|row| row.truth(FindField::Restricted)).collect();
    assert_eq!(restricted, [Some(true), Some(false), None]);
}

#[test]
fn a_register_without_its_number_column_or_with_two_is_refused() {
    let table = read(b"Context,Material\n101,iron\n", &Reading::default(), &Limits::default()).unwrap();
    let run = check_with(&table, &known(), &settings());
    assert_eq!(told(&run.problems)[0], (0, String::new(), "NoColumn".into()));
    let table = read(b"Find,SF\n1,2\n", &Reading::default(), &Limits::default()).unwrap();
    let mut matches = propose::<FindField>(&headers(&table, 0), &[]);
    matches[1].field = Some(FindField::Number);
    let run = check_finds(&table, 0, &matches, &known(), &settings());
    assert_eq!(told(&run.problems), places(&[(0, "B", "Twice")]));
}

#[test]
fn problems_beyond_the_limit_are_counted_and_not_told() {
    let mut settings = settings();
    settings.most_problems = 2;
    let table = read(b"Find,Qty\n1,a\n2,b\n3,c\n4,c. 5\n", &Reading::default(), &Limits::default()).unwrap();
    let run = check_with(&table, &known(), &settings);
    assert_eq!(
        (run.problems.len(), run.stops, run.warnings),
        (3, 3, 1),
        "a flood of one kind hides none of the other"
    );
}

#[test]
fn contexts_are_read_with_their_relations() {
    let table = table("contexts.csv");
    let (row, matches) = matched::<ContextField>(&table);
    let known = Known { contexts: ["102".into()].into(), ..Known::default() };
    let run = check_contexts(&table, row, &matches, &known, &settings());
    let expected =
        [(4, "D", "Opposite"), (5, "G", "RunOfNumbers"), (6, "D", "ToItself"), (6, "", "NoContext")];
    assert_eq!(told(&run.problems), places(&expected));
    assert_eq!(run.rows.iter().map(|row| row.number.as_str()).collect::<Vec<_>>(), ["101", "102"]);
    let first = &run.rows[0];
    assert_eq!(first.numbers(ContextField::Above), ["102", "103"]);
    assert_eq!(first.numbers(ContextField::CutBy), ["110"]);
    assert_eq!(
        (first.words(ContextField::Kind), first.words(ContextField::Area)),
        (Some("layer"), Some("A"))
    );
    assert_eq!(first.value(ContextField::Description), Some(&Value::Words("dark brown\nsilt".into())));
}

#[test]
fn days_are_understood_in_the_ways_people_write_them() {
    let rows = [
        ("2031-05-03", "Day"),
        ("20310503", "Day"),
        ("3 May 2031", "Day"),
        ("3rd of May, 2031", "Day"),
        ("May 3, 2031", "Day"),
        ("Sat 3-May-31", "Day"),
        ("3/5/2031 14:30", "Day"),
        ("2031-05-03T14:30:00", "Day"),
        ("03.05.31", "Day"),
        ("47971", "Day"),
        ("May 2031", "NoDay"),
        ("2031", "NoDay"),
        ("3 May", "NoYear"),
        ("3-5 May 2031", "DayRange"),
        ("Tuesday", "NotADay"),
        ("30 Feb 2031", "NoSuchDay"),
        ("tbc", "Nothing"),
        ("3 May 2032", "Future"),
    ];
    let file: String =
        rows.iter().enumerate().map(|(at, (written, _))| format!("{at}\t{written}\n")).collect();
    let table = read(format!("Find\tDate found\n{file}").as_bytes(), &Reading::default(), &Limits::default())
        .unwrap();
    let run = check_with(&table, &known(), &settings());
    for (at, (written, expected)) in rows.iter().enumerate() {
        let found = run
            .rows
            .iter()
            .find(|row| row.number == at.to_string())
            .and_then(|row| row.day(FindField::RecoveredOn));
        let trouble =
            told(&run.problems).into_iter().find(|(row, ..)| *row == at + 2).map(|(_, _, kind)| kind);
        match *expected {
            // 47,971 days after 30 December 1899: Python, date(1899, 12, 30) + timedelta(47971)
            "Day" => assert_eq!((found, trouble), (Some(day(2031, 5, 3)), None), "{written}"),
            "Nothing" => assert_eq!((found, trouble), (None, None), "{written}"),
            "Future" => {
                assert_eq!((found, trouble.as_deref()), (Some(day(2032, 5, 3)), Some("Future")), "{written}")
            }
            kind => assert_eq!((found, trouble.as_deref()), (None, Some(kind)), "{written}"),
        }
    }
}
