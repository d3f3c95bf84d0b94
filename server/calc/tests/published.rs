//! Worked examples of other people, each with its source; and what follows from a published rule, with the arithmetic.
use calc::chronology::{Convention, DateRange, Settings, Year, edtf, read};

const THIRDS: Settings = Settings { convention: Convention::Thirds, circa_years: 10 };

fn years(phrase: &str, settings: &Settings) -> (Option<i64>, Option<i64>) {
    let reading = read(phrase, settings).unwrap_or_else(|error| panic!("{phrase}: {error}"));
    (reading.range.lo().map(Year::number), reading.range.hi().map(Year::number))
}

/// Petrovay 2010, "Searching for a Date" (seen): with b the first year of the span (negative before our era), t its
/// length, s the number of segments, q the one wanted, z = 1 or −1 before our era, the part begins at b + z(t/s)(q−1)
/// and ends at (b − z) + z(t/s)q, to the nearest year. Years there have no 0, so the same formula with z = −1 counts
/// from the *near* end; a part counted from the far end, as the language does ("early" is first), is s + 1 − q.
#[test]
fn parts_of_every_century_follow_the_published_formula() {
    let names = [
        (3.0, 1.0, "early"),
        (3.0, 2.0, "mid"),
        (3.0, 3.0, "late"),
        (2.0, 1.0, "first half of the"),
        (2.0, 2.0, "second half of the"),
        (4.0, 1.0, "first quarter of the"),
        (4.0, 2.0, "second quarter of the"),
        (4.0, 3.0, "third quarter of the"),
        (4.0, 4.0, "last quarter of the"),
    ];
    for century in 1..=20_i32 {
        let ordinal = match (century % 10, century) {
            (_, 11..=13) => format!("{century}th"),
            (1, _) => format!("{century}st"),
            (2, _) => format!("{century}nd"),
            (3, _) => format!("{century}rd"),
            _ => format!("{century}th"),
        };
        for (segments, wanted, name) in names {
            let first = f64::from(100 * century - 99);
            let begin = (first + 100.0 / segments * (wanted - 1.0)).round();
            let end = (first - 1.0 + 100.0 / segments * wanted).round();
            let phrase = format!("{name} {ordinal} century AD");
            assert_eq!(years(&phrase, &THIRDS), (Some(begin as i64), Some(end as i64)), "{phrase}");

            // before our era: the far end is 100n BC; a year n BC is astronomically 1 − n
            let far = f64::from(100 * century);
            let begin = (far - 100.0 / segments * (wanted - 1.0)).round();
            let end = (far + 1.0 - 100.0 / segments * wanted).round();
            let phrase = format!("{name} {ordinal} century BC");
            assert_eq!(years(&phrase, &THIRDS), (Some(1 - begin as i64), Some(1 - end as i64)), "{phrase}");
        }
    }
}

/// Thornes, Dorrell and Lie 1999, Introduction to Object ID, "Date or period" (seen): "circa (ca.): ten years on either
/// side of the date"; the example in the same text is "circa 1820".
#[test]
fn circa_is_ten_years_on_either_side() {
    assert_eq!(years("circa 1820", &THIRDS), (Some(1810), Some(1830)));
    assert_eq!(years("1876-1878", &THIRDS), (Some(1876), Some(1878)));
}

/// Baca and others 2006, Cataloging Cultural Objects, 4.2.3.2.1 (seen): "ca. 1610 — earliest 1605, latest 1615",
/// "1821-1826 — earliest 1821, latest 1826", "designed 1911 or 1912 — earliest 1911, latest 1912".
#[test]
fn circa_of_five_years_agrees_with_the_cataloguing_guide() {
    let five = Settings { circa_years: 5, ..THIRDS };
    assert_eq!(years("ca. 1610", &five), (Some(1605), Some(1615)));
    assert_eq!(years("1821-1826", &five), (Some(1821), Some(1826)));
    assert_eq!(years("designed 1911 or 1912", &five), (Some(1911), Some(1912)));
    assert_eq!(years("1944", &five), (Some(1944), Some(1944)));
}

/// Petrovay 2010 (seen): "The n-th century CE will have a beginning year of 100n − 99, and … an ending year of 100n";
/// BCE −100n to −100n + 99, there without a year 0.
#[test]
fn centuries_begin_with_one_and_end_with_a_hundred() {
    assert_eq!(years("2nd century AD", &THIRDS), (Some(101), Some(200)));
    // 4th century BC: −400 to −301 without a year 0, −399 to −300 with one
    assert_eq!(years("4th century BCE", &THIRDS), (Some(-399), Some(-300)));
}

/// ISO 8601-1:2019: year 0000 is 1 BC. Caesar was killed in 44 BC, so in −0043; his calendar began in 45 BC, −0044.
#[test]
fn bc_years_are_one_out_in_the_standard() -> Result<(), calc::CalcError> {
    assert_eq!(Year::bc(44)?.edtf(), "-0043");
    assert_eq!(Year::bc(45)?.edtf(), "-0044");
    assert_eq!(Year::bc(1)?.edtf(), "0000");
    assert_eq!(Year::ad(1)?.edtf(), "0001");
    Ok(())
}

/// Calibrated ages count back from AD 1950 (Stuiver and Polach 1977, from memory): 1993 cal BP is 44 BC, since
/// 1950 − 1993 = −43.
#[test]
fn calibrated_ages_count_from_1950() -> Result<(), calc::CalcError> {
    assert_eq!(Year::from_cal_bp(0)?, Year::ad(1950)?);
    assert_eq!(Year::from_cal_bp(1993)?, Year::bc(44)?);
    assert_eq!(Year::bc(44)?.cal_bp(), 1993);
    assert_eq!(years("1993 cal BP", &THIRDS), (Some(-43), Some(-43)));
    Ok(())
}

/// From 27 BC, when Augustus took the name, to his death in AD 14: 27 + 14 years, both counted, no year 0 between.
#[test]
fn a_reign_across_the_change_of_era_has_no_year_nought() -> Result<(), calc::CalcError> {
    let reign = DateRange::new(Some(Year::bc(27)?), Some(Year::ad(14)?))?;
    assert_eq!(reign.years(), Some(41));
    assert_eq!(read("Augustus", &THIRDS)?.range, reign);
    Ok(())
}

/// Examples of the Library of Congress specification of 4 February 2019 (level 2, significant digits and sets; from
/// memory of the page, the first also seen quoted: "some year between 1900 and 1999").
#[test]
fn examples_of_the_notation_are_read_as_their_specification_says() -> Result<(), calc::CalcError> {
    let read = |text| edtf::parse(text).map(|one| (one.lo.map(Year::number), one.hi.map(Year::number)));
    assert_eq!(read("1950S2")?, (Some(1900), Some(1999)));
    assert_eq!(read("Y171010000S3")?, (Some(171_000_000), Some(171_999_999)));
    assert_eq!(read("Y3388E2S3")?, (Some(338_000), Some(338_999)));
    assert_eq!(read("Y170000002")?, (Some(170_000_002), Some(170_000_002)));
    assert_eq!(read("[..1760-12-03]")?, (None, Some(1760)));
    assert_eq!(read("[1760-12..]")?, (Some(1760), None));
    assert_eq!(read("{..1984}")?, (None, Some(1984)));
    assert_eq!(read("../1985-04-12")?, (None, Some(1985)));
    assert_eq!(read("1985-04-12/")?, (Some(1985), None));
    assert_eq!(read("1560-XX-25")?, (Some(1560), Some(1560)));
    Ok(())
}

/// A general reader of the notation, edtf 5.0.2, as the reference: see the head of edtf_reference.txt.
#[test]
fn the_notation_agrees_with_a_general_reader_of_it() {
    let lines =
        include_str!("edtf_reference.txt").lines().filter(|line| !line.starts_with('#') && !line.is_empty());
    let mut count = 0;
    for line in lines {
        let columns: Vec<&str> = line.split(" | ").collect();
        let found = edtf::parse(columns[0]);
        match columns[1..] {
            ["refused"] => assert!(found.is_err(), "{line}: {found:?}"),
            [lo, hi] => {
                let found = found.unwrap_or_else(|error| panic!("{line}: {error}"));
                let wanted = (lo.parse().ok(), hi.parse().ok());
                assert_eq!((found.lo.map(Year::number), found.hi.map(Year::number)), wanted, "{line}");
            }
            _ => panic!("{line}"),
        }
        count += 1;
    }
    assert!(count > 90);
}

/// Gregorian calendar: 1900 was no leap year, 2000 was one.
#[test]
fn days_that_no_calendar_has_are_refused() {
    for text in
        ["1900-02-29", "2001-02-29", "0150-04-31", "2000-13-01", "2000-00-10", "2000-1-1", "-0000-01-01"]
    {
        assert!(edtf::parse(text).is_err(), "{text}");
    }
    for text in ["2000-02-29", "-0004-02-29", "0000-02-29"] {
        assert!(edtf::parse(text).is_ok(), "{text}");
    }
}
