//! Find labels, scanned as they come from the printer.
use super::outside::{Paper, judge, show, words};
use super::sample::date;
use super::sample_paper::label;
use report::labels::{FindLabel, LabelError, Sheet, SheetProblem, pdf};

fn labels(count: usize) -> Vec<FindLabel> {
    (0..count).map(label).collect()
}

#[test]
fn every_code_on_a_sheet_opens_its_find() {
    let labels = labels(24);
    let paper = pdf(&labels, &Sheet::default(), date(2026, 11, 25)).unwrap();
    show("labels.pdf", &paper);
    let mut addresses: Vec<String> = labels.into_iter().map(|label| label.url).collect();
    addresses.sort();
    assert_eq!(Paper::new(&paper).codes(), addresses);
}

#[test]
fn a_label_says_what_the_next_hand_must_know() {
    let text = Paper::new(&pdf(&labels(4), &Sheet::default(), date(2026, 11, 25)).unwrap()).text();
    for said in ["1000", "Nail", "Iron · 14 Sep 2026", "VSQ31 · Context 200", "DRY. X-ray before cleaning."]
    {
        assert!(words(&text).contains(&words(said)), "{said} is missing from {text}");
    }
    assert!(!text.contains("UNKNOWN"), "a state nobody recorded is not printed");
}

#[test]
fn labels_are_fit_to_be_kept_and_read_aloud() {
    judge(&pdf(&labels(30), &Sheet { used: 2, ..Sheet::default() }, date(2026, 11, 25)).unwrap());
}

#[test]
fn places_already_used_stay_empty() {
    let day = date(2026, 11, 25);
    assert_eq!(Paper::new(&pdf(&labels(24), &Sheet::default(), day).unwrap()).pages(), 1);
    assert_eq!(
        Paper::new(&pdf(&labels(24), &Sheet { used: 1, ..Sheet::default() }, day).unwrap()).pages(),
        2
    );
}

#[test]
fn labels_that_cannot_be_printed_are_refused_with_a_reason() {
    let day = date(2026, 11, 25);
    let wide = Sheet { label_width_mm: 90.0, ..Sheet::default() };
    assert!(matches!(pdf(&labels(1), &wide, day), Err(LabelError::Sheet(SheetProblem::BeyondPage))));
    let endless = FindLabel { url: "x".repeat(5_000), ..label(1) };
    assert!(
        matches!(pdf(&[endless], &Sheet::default(), day), Err(LabelError::Address(number)) if number == "1001")
    );
}

#[test]
fn a_sheet_without_labels_is_an_empty_page() {
    judge(&pdf(&[], &Sheet::default(), date(2026, 11, 25)).unwrap());
}
