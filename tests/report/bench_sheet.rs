//! Bench sheets, a page to a find or several to a page.
use super::outside::{Paper, judge, show};
use super::sample::{HOSTILE, date};
use super::sample_paper::bench_sheet;
use report::bench_sheet::{BenchSheet, BenchSheetError, Room, pdf};

fn sheets(count: usize) -> Vec<BenchSheet> {
    (0..count).map(bench_sheet).collect()
}

#[test]
fn a_bench_sheet_tells_the_route_and_asks_for_what_is_open() {
    let paper = pdf(&sheets(1), Room::Page, date(2026, 11, 25)).unwrap();
    let text = Paper::new(&paper).text();
    for words in [
        "1000",
        "Nail",
        "Lab 2, bench shelf C",
        "X-ray\nnot needed",
        "Dry clean\nin hand",
        "Cleaning level\nheld",
    ] {
        assert!(text.contains(words), "{words} is missing from {text}");
    }
    for field in ["Done by", "Date", "Initials", "Method", "Quantity", "Materials, with batch", "Outcome"] {
        assert_eq!(
            text.matches(field).count(),
            3,
            "{field} is asked for by each of three open records: {text}"
        );
    }
    assert_eq!(Paper::new(&paper).pages(), 1, "three open records fit one page");
}

#[test]
fn both_kinds_are_fit_to_be_kept_and_scanned() {
    let sheets = sheets(4);
    for (room, name, on_first_page) in [(Room::Page, "bench.pdf", 1), (Room::Strip, "strips.pdf", 4)] {
        let paper = pdf(&sheets, room, date(2026, 11, 25)).unwrap();
        show(name, &paper);
        judge(&paper);
        let paper = Paper::new(&paper);
        let addresses: Vec<&str> =
            sheets.iter().take(on_first_page).map(|sheet| sheet.url.as_str()).collect();
        assert_eq!(paper.codes(), addresses);
    }
    let text = Paper::new(&pdf(&sheets, Room::Page, date(2026, 11, 25)).unwrap()).text();
    assert!(
        super::outside::words(&text).contains(&super::outside::words(HOSTILE)),
        "words stay words: {text}"
    );
}

#[test]
fn a_thumbnail_that_cannot_be_read_is_left_out() {
    let broken = BenchSheet { thumbnail: Some(b"not a picture".to_vec()), ..bench_sheet(0) };
    judge(&pdf(&[broken], Room::Page, date(2026, 11, 25)).unwrap());
}

#[test]
fn an_address_too_long_for_a_code_is_refused() {
    let endless = BenchSheet { url: "x".repeat(5_000), ..bench_sheet(0) };
    assert!(matches!(pdf(&[endless], Room::Strip, date(2026, 11, 25)), Err(BenchSheetError::Address(_))));
}
