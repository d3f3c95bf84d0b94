//! Four hundred date phrases answered by hand from the convention (phrases.txt): the first sheaf before the reader was
//! written, the later ones before it was asked.
use calc::CalcError;
use calc::chronology::{Convention, DateRange, Reading, Settings, Year, read};

struct Row {
    phrase: &'static str,
    columns: Vec<&'static str>,
}

fn rows() -> Vec<Row> {
    let lines = include_str!("phrases.txt").lines();
    lines
        .filter(|line| !line.is_empty() && !line.starts_with('#'))
        .map(|line| {
            let mut columns: Vec<&str> = line.split(" | ").map(str::trim).collect();
            let phrase = columns.remove(0);
            Row { phrase, columns }
        })
        .collect()
}

fn settings(convention: Convention) -> Settings {
    Settings { convention, circa_years: 10 }
}

fn year(text: &str) -> Option<Year> {
    let number = |digits: &str| digits.parse::<i64>().expect("a number in the table");
    match (text.strip_prefix("AD "), text.strip_suffix(" BC")) {
        (Some(digits), _) => Some(Year::ad(number(digits)).expect("a year")),
        (_, Some(digits)) => Some(Year::bc(number(digits)).expect("a year")),
        _ => {
            assert!(text.is_empty(), "{text}");
            None
        }
    }
}

fn range(text: &str) -> DateRange {
    let (lo, hi) = text.split_once("..").expect("two ends");
    DateRange::new(year(lo), year(hi)).expect("a range")
}

fn flags(reading: &Reading) -> String {
    let flags = [(reading.approximate, "~"), (reading.uncertain, "?")];
    let text: String = flags.into_iter().filter(|(is_set, _)| *is_set).map(|(_, sign)| sign).collect();
    if text.is_empty() { "-".to_owned() } else { text }
}

/// What is wrong with the answer to a row, if anything.
fn fault(row: &Row, convention: Convention) -> Option<String> {
    let answer = read(row.phrase, &settings(convention));
    let name = convention.name();
    match (row.columns[0], answer) {
        ("refused", Err(error)) => suggestion_fault(row, &error),
        ("refused", Ok(reading)) => {
            Some(format!("{}: must be refused, read as {}", row.phrase, reading.label()))
        }
        (_, Err(error)) => Some(format!("{} ({name}): refused: {error}", row.phrase)),
        (thirds, Ok(reading)) => {
            let wanted = match convention {
                Convention::Quarters if row.columns[1] != "=" => row.columns[1],
                _ => thirds,
            };
            let wanted = range(wanted);
            let right = reading.range == wanted && flags(&reading) == row.columns[2];
            let found = format!("{} {}", reading.label(), flags(&reading));
            (!right)
                .then(|| format!("{} ({name}): want {wanted} {}, got {found}", row.phrase, row.columns[2]))
        }
    }
}

fn suggestion_fault(row: &Row, error: &CalcError) -> Option<String> {
    let wanted = row.columns[1];
    let found = error.suggestions().join(" | ");
    let is_right = wanted == "-" || found.contains(wanted);
    (!is_right).then(|| format!("{}: suggestion wants “{wanted}”, got [{found}]: {error}", row.phrase))
}

#[test]
fn phrases_of_specialists_are_read_as_they_were_by_hand() {
    let faults: Vec<String> = rows()
        .iter()
        .flat_map(|row| [Convention::Thirds, Convention::Quarters].map(|convention| fault(row, convention)))
        .flatten()
        .collect();
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

#[test]
fn every_reading_says_how_it_was_made_and_what_stands_behind_it() {
    for row in rows() {
        if let Ok(reading) = read(row.phrase, &Settings::default()) {
            assert!(!reading.sources.is_empty(), "{}", row.phrase);
            let is_plain = reading.rule.is_empty();
            assert!(!is_plain || row.phrase.contains(|one: char| one.is_ascii_digit()), "{}", row.phrase);
        }
    }
}

#[test]
fn every_suggestion_would_itself_be_read() {
    for row in rows() {
        if let Err(error) = read(row.phrase, &Settings::default()) {
            for one in error.suggestions() {
                assert!(read(one, &Settings::default()).is_ok(), "{} suggests {one}", row.phrase);
            }
        }
    }
}
