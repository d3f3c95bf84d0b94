//! Registers as outside programs write them. `make_files.py` makes the files at test time with a spreadsheet program
//! run headless and two Python writers; what must be seen in them stands there beside each cell.

mod dry_run;
mod headers;
mod large;
mod refusals;
mod spreadsheets;
mod texts;

use chrono::NaiveDate;
use register::check::{DryRun, Known, Problem, Settings, Trouble};
use register::field::{Field, FindField};
use register::header::{guess_header_row, headers};
use register::matching::{Match, propose};
use register::table::{Limits, Reading, Table, read};
use std::path::{Path, PathBuf};
use std::process::Command;

/// The folder of the files, made once for each state of the script.
fn folder() -> PathBuf {
    let script = concat!(env!("CARGO_MANIFEST_DIR"), "/register/make_files.py");
    let text = std::fs::read(script).unwrap();
    let state = text
        .iter()
        .fold(0xcbf29ce484222325u64, |hash, byte| (hash ^ u64::from(*byte)).wrapping_mul(0x100000001b3));
    let folder = Path::new(env!("CARGO_TARGET_TMPDIR")).join(format!("registers-{state:016x}"));
    let lock = std::fs::File::create(folder.with_extension("lock")).unwrap();
    lock.lock().unwrap();
    if !folder.join("expected.json").exists() {
        let _ = std::fs::remove_dir_all(&folder);
        let made = Command::new(python()).arg(script).arg(&folder).output().unwrap();
        assert!(
            made.status.success(),
            "the registers could not be made (Python with openpyxl and LibreOffice Calc are needed):\n{}",
            String::from_utf8_lossy(&made.stderr)
        );
    }
    folder
}

fn python() -> PathBuf {
    let own = Path::new(env!("CARGO_MANIFEST_DIR")).join(".venv/bin/python");
    match std::env::var_os("FINDWAY_TEST_PYTHON") {
        Some(python) => python.into(),
        None if own.exists() => own,
        None => "python3".into(),
    }
}

fn bytes(name: &str) -> Vec<u8> {
    std::fs::read(folder().join(name)).unwrap()
}

fn table(name: &str) -> Table {
    read(&bytes(name), &Reading::default(), &Limits::default()).unwrap()
}

fn sheet(name: &str, sheet: &str) -> Table {
    let reading = Reading { sheet: Some(sheet.into()), ..Reading::default() };
    read(&bytes(name), &reading, &Limits::default()).unwrap()
}

/// Header row as guessed, columns as proposed.
fn matched<F: Field>(table: &Table) -> (usize, Vec<Match<F>>) {
    let row = guess_header_row::<F>(table);
    (row, propose(&headers(table, row), &[]))
}

fn day(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

fn settings() -> Settings {
    Settings::new(day(2031, 12, 31))
}

/// A project that knows contexts 101, 102, 214, 215 and the starting material groups.
fn known() -> Known {
    let groups = domain::finds::material::GROUPS;
    let words = groups
        .iter()
        .flat_map(|group| group.words.split(',').map(|word| (word.to_owned(), group.code.to_owned())));
    Known {
        materials: words.collect(),
        contexts: ["101", "102", "214", "215"].map(String::from).into(),
        human_remains: ["cremated_bone", "inhumed_bone"].map(String::from).into(),
        ..Known::default()
    }
}

fn check(name: &str) -> DryRun<FindField> {
    check_with(&table(name), &known(), &settings())
}

fn check_with(table: &Table, known: &Known, settings: &Settings) -> DryRun<FindField> {
    let (row, matches) = matched(table);
    register::check::check_finds(table, row, &matches, known, settings)
}

/// Row, column and kind of each problem: `(9, "F", "Range")`.
fn told(problems: &[Problem]) -> Vec<(usize, String, String)> {
    let kind = |trouble: &Trouble| format!("{trouble:?}").split([' ', '{']).next().unwrap().to_owned();
    let letter =
        |column: &Option<String>| column.as_deref().unwrap_or("").split(' ').next().unwrap().to_owned();
    problems
        .iter()
        .map(|problem| (problem.row.unwrap_or(0), letter(&problem.column), kind(&problem.trouble)))
        .collect()
}

fn places(expected: &[(usize, &str, &str)]) -> Vec<(usize, String, String)> {
    expected.iter().map(|(row, column, kind)| (*row, (*column).to_owned(), (*kind).to_owned())).collect()
}
