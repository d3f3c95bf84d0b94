//! A hundred thousand rows.
use super::{bytes, check_with, day, known, settings, table};
use register::field::FindField::*;
use register::table::{Limits, Reading, read};

#[test]
fn a_hundred_thousand_rows_are_read_and_checked_whole_from_text_and_from_both_spreadsheet_formats() {
    let table = table("large.csv");
    assert_eq!(table.rows.len(), 100_001);
    let mut settings = settings();
    settings.create_contexts = true;
    let text = check_with(&table, &known(), &settings);
    assert!(text.may_apply(), "{:?}", &text.problems[..text.problems.len().min(5)]);
    assert_eq!((text.rows.len(), text.fields.len(), text.missing_contexts.len()), (100_000, 15, 58));
    // the last row by the rule in make_files.py: 100,000 divided by 60, 5, 9, 5,000, 200, 1,000 and 90
    let last = &text.rows[99_999];
    assert_eq!((last.number.as_str(), last.row, last.words(Context)), ("SF 100000", 100_001, Some("140")));
    assert_eq!(
        (last.material.as_deref(), last.whole(Count), last.size(WeightG)),
        (Some("iron"), Some(2), Some(0.0))
    );
    assert_eq!(
        (last.day(RecoveredOn), last.size(EastingM), last.size(HeightM)),
        (Some(day(2031, 4, 1)), Some(512300.0), Some(2.1))
    );
    for name in ["large.xlsx", "large.ods"] {
        let table = read(&bytes(name), &Reading::default(), &Limits::default()).unwrap();
        let run = check_with(&table, &known(), &settings);
        assert!(run.rows == text.rows, "{name}");
    }
}

/// Reading and memory figures of a release build; run alone by `cargo nextest run --release --run-ignored all`.
#[test]
#[ignore = "measures a release build"]
fn a_hundred_thousand_rows_are_read_in_three_seconds_within_150_mb() {
    for name in ["large.csv", "large.xlsx", "large.ods"] {
        let file = bytes(name);
        let before = resident("VmRSS:");
        let start = std::time::Instant::now();
        let table = read(&file, &Reading::default(), &Limits::default()).unwrap();
        let read_in = start.elapsed();
        let held = resident("VmRSS:") - before;
        let start = std::time::Instant::now();
        let run = check_with(&table, &known(), &settings());
        println!(
            "{name}: read {read_in:?}, {held} kB held, peak {} kB, check {:?}, {}",
            resident("VmHWM:"),
            start.elapsed(),
            run.read
        );
        assert!(read_in.as_secs_f64() < 3.0 && held < 150_000, "{name}: {read_in:?}, {held} kB");
    }
}

/// A line of the memory table that Linux keeps of a process, in kB.
fn resident(line: &str) -> i64 {
    let status = std::fs::read_to_string("/proc/self/status").unwrap();
    let found = status.lines().find(|other| other.starts_with(line)).unwrap();
    found.split_whitespace().nth(1).unwrap().parse().unwrap()
}
