//! What holds for every century, every range and every heap of letters.
use calc::chronology::{Convention, DateRange, Settings, Year, edtf, periods, read};
use chance::Chance;

mod chance;

const BOTH: [Settings; 2] = [
    Settings { convention: Convention::Thirds, circa_years: 10 },
    Settings { convention: Convention::Quarters, circa_years: 5 },
];

fn range(phrase: &str, settings: &Settings) -> DateRange {
    read(phrase, settings).unwrap_or_else(|error| panic!("{phrase}: {error}")).range
}

fn tiles(whole: &DateRange, parts: &[DateRange]) -> bool {
    let joins = parts.windows(2).all(|pair| pair[0].hi().map(|year| year.plus(1)) == pair[1].lo());
    let ends = (parts.first().map(DateRange::lo), parts.last().map(DateRange::hi));
    joins && ends == (Some(whole.lo()), Some(whole.hi()))
}

#[test]
fn parts_tile_every_century_without_gap_or_overlap() {
    let sets: [&[&str]; 6] = [
        &["early", "mid", "late"],
        &["first half", "second half"],
        &["earlier", "later"],
        &["first third", "second third", "last third"],
        &["first quarter", "second quarter", "third quarter", "last quarter"],
        &[
            "1st decade",
            "2nd decade",
            "3rd decade",
            "4th decade",
            "5th decade",
            "6th decade",
            "7th decade",
            "8th decade",
            "9th decade",
            "last decade",
        ],
    ];
    for settings in &BOTH {
        for era in ["AD", "BC"] {
            for century in 1..=20 {
                let roman_free = format!("C{century} {era}");
                let whole = range(&roman_free, settings);
                assert_eq!(whole.years(), Some(100));
                for set in sets {
                    let parts: Vec<DateRange> =
                        set.iter().map(|part| range(&format!("{part} {roman_free}"), settings)).collect();
                    assert!(tiles(&whole, &parts), "{set:?} of {roman_free}");
                }
            }
        }
    }
}

#[test]
fn centuries_follow_each_other_across_the_change_of_era() {
    let mut all: Vec<DateRange> = (1..=20).rev().map(|n| range(&format!("C{n} BC"), &BOTH[0])).collect();
    all.extend((1..=20).map(|n| range(&format!("C{n} AD"), &BOTH[0])));
    let whole = DateRange::new(Some(Year::bc(2000).unwrap()), Some(Year::ad(2000).unwrap())).unwrap();
    assert!(tiles(&whole, &all));
    assert_eq!(whole.years(), Some(4000));
}

#[test]
fn years_survive_the_way_to_words_and_notation_and_back() {
    for number in (-3000..2100).step_by(7).chain([-9999, -1, 0, 1, 2, -25_000]) {
        let year = Year::astronomical(number).unwrap();
        assert_eq!(range(&year.to_string(), &BOTH[0]), DateRange::single(year), "{year}");
        assert_eq!(edtf::parse(&year.edtf()).unwrap().lo, Some(year), "{year}");
        assert_eq!(Year::from_cal_bp(year.cal_bp()).unwrap(), year);
    }
}

#[test]
fn a_label_is_a_phrase_that_is_read_as_the_same_range() {
    let mut chance = Chance::new(1);
    for _ in 0..2000 {
        let lo = Year::astronomical(chance.below(4000) as i64 - 2000).unwrap();
        let hi = lo.plus(chance.below(99) as i64);
        for one in [DateRange::new(Some(lo), Some(hi)).unwrap(), DateRange::from(lo), DateRange::until(hi)] {
            assert_eq!(range(&one.to_string(), &BOTH[0]), one, "{one}");
            let back = edtf::parse(&edtf::write(&one, true, false)).unwrap();
            assert_eq!((back.lo, back.hi, back.approximate), (one.lo(), one.hi(), true), "{one}");
        }
    }
}

#[test]
fn every_named_period_is_read_and_runs_forwards() {
    for period in periods::all() {
        for name in period.names() {
            assert_eq!(range(name, &BOTH[0]), period.range().unwrap(), "{name}");
        }
    }
}

#[test]
fn names_of_periods_are_given_once() {
    let mut names: Vec<String> = periods::all().flat_map(|one| one.names()).map(str::to_lowercase).collect();
    let count = names.len();
    names.sort();
    names.dedup();
    assert_eq!(names.len(), count);
}

/// Heaps of the reader's own words and of stray signs: never a panic, never a range that runs backwards, and every
/// suggestion is itself read.
#[test]
fn thousands_of_heaps_of_words_are_read_or_refused() {
    const WORDS: &[&str] = &[
        "late",
        "early",
        "mid",
        "mid-",
        "1st",
        "2nd",
        "third",
        "quarter",
        "half",
        "of the",
        "century",
        "c.",
        "C",
        "C2",
        "LC3",
        "AD",
        "BC",
        "120",
        "43",
        "0",
        "99999999999",
        "9999999999999999999999",
        "–",
        "-",
        "/",
        "to",
        "or",
        "and",
        ",",
        "?",
        "(",
        ")",
        "[",
        "]",
        "~",
        "±",
        "5",
        "+",
        "before",
        "after",
        "between",
        "turn of the",
        "millennium",
        "130s",
        "1800s",
        "Flavian",
        "late Saxon",
        "probably",
        "more likely",
        "II",
        "cal BP",
        "BP",
        "1950",
        "é",
        "½",
        "²",
        "字",
        "'s",
        ".",
        "last",
        "decade",
        "two",
        "onwards",
        "at the latest",
        "until",
        "M",
        "E/",
        "10,000",
        "1.5",
        "\u{301}",
        "\u{0}",
        "ﬀ",
        "İ",
    ];
    let mut chance = Chance::new(7);
    let mut read_count = 0;
    for n in 0..5_000 {
        let mut heap = String::new();
        for _ in 0..=chance.below(7) {
            heap.push_str(WORDS[chance.below(WORDS.len())]);
            heap.push_str(if chance.below(3) == 0 { "" } else { " " });
        }
        let settings = &BOTH[n % 2];
        match read(&heap, settings) {
            Ok(reading) => {
                read_count += 1;
                assert!(
                    reading.range.lo().is_none()
                        || reading.range.hi().is_none()
                        || reading.range.lo() <= reading.range.hi()
                );
                assert!(edtf::parse(&reading.edtf()).is_ok(), "{heap}: {}", reading.edtf());
            }
            Err(error) => {
                for one in error.suggestions() {
                    assert!(read(one, settings).is_ok(), "{heap}: {one}");
                }
            }
        }
    }
    assert!(read_count > 100, "{read_count}");
}

#[test]
fn stray_notation_is_read_or_refused() {
    const SIGNS: &[&str] = &[
        "0", "1", "9", "X", "-", "/", "..", "~", "?", "%", "[", "]", "{", "}", ",", "Y", "E", "S", "T", ":",
        "0117", "-0043", "é", "Z",
    ];
    let mut chance = Chance::new(11);
    for _ in 0..5_000 {
        let heap: String = (0..=chance.below(9)).map(|_| SIGNS[chance.below(SIGNS.len())]).collect();
        if let Ok(found) = edtf::parse(&heap) {
            assert!(found.lo.is_none() || found.hi.is_none() || found.lo <= found.hi, "{heap}");
        }
    }
}

#[test]
fn a_line_that_is_no_question_is_answered_with_its_fault() {
    let lines = "{\"lo\":0,\"hi\":1}\nnonsense\n[1]\n\n{\"lo\":NaN,\"hi\":1}\n{\"lo\":1.5,\"hi\":2}\n{\"lo\":1,\"hi\":1e400}\n{\"lo\":1,\"hi\":2,\"ho\":3}\n";
    let mut out = Vec::new();
    let all = calc::compute::run_lines("inclusive-duration", lines.as_bytes(), &mut out).unwrap();
    let answers: Vec<serde_json::Value> =
        String::from_utf8(out).unwrap().lines().map(|line| serde_json::from_str(line).unwrap()).collect();
    assert!(!all);
    assert_eq!(answers.len(), 7);
    assert_eq!(answers[0]["years_inclusive"], 2);
    let fields: Vec<&str> = answers[1..].iter().map(|one| one["error"]["field"].as_str().unwrap()).collect();
    assert_eq!(fields, ["line", "line", "line", "lo", "line", "ho"]);
}
