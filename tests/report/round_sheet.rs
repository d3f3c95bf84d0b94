//! The sheet of a round: fifty packs, each with its code and a box to tick.
use super::outside::{Paper, judge, show, words};
use super::sample::{HOSTILE, date};
use report::round_sheet::{RoundLine, RoundSheet, RoundSheetError, pdf};

fn sheet(packs: usize, readings: bool) -> RoundSheet {
    let line = |at: usize| RoundLine {
        at,
        site_code: "VSQ31".into(),
        number: format!("{}", 100 + at),
        what: if at == 3 { HOSTILE.into() } else { "turnshoe, upper and sole, leather".into() },
        place: "Finds lab › Wet store › Tank 1".into(),
        stands: if at.is_multiple_of(4) {
            "9 days past its limit, look 2 days overdue".into()
        } else {
            "limit 9 Dec 2026, next look 27 Nov 2026".into()
        },
        overdue: at.is_multiple_of(4),
        left_open: if at == 5 { "outer label washed out".into() } else { String::new() },
        url: format!("https://finds.vessenholt.example/finds/{}", 100 + at),
    };
    RoundSheet {
        kind: if readings { "Indicator checks".into() } else { "Wet packs".into() },
        advice: "Under water, dark and cool? Two labels legible?".into(),
        readings,
        lines: (1..=packs).map(line).collect(),
        url: "https://finds.vessenholt.example/rounds/sheets/7".into(),
    }
}

#[test]
fn a_round_of_fifty_is_a_few_pages_that_are_fit_to_be_kept_and_scanned() {
    for readings in [false, true] {
        let paper = pdf(&sheet(50, readings), date(2026, 11, 25)).unwrap();
        show(if readings { "indicators.pdf" } else { "round.pdf" }, &paper);
        judge(&paper);
        let paper = Paper::new(&paper);
        assert!(paper.pages() <= 4, "{} pages", paper.pages());
        let codes = paper.codes();
        assert!(codes.contains(&"https://finds.vessenholt.example/rounds/sheets/7".to_owned()), "{codes:?}");
        assert!(codes.contains(&"https://finds.vessenholt.example/finds/101".to_owned()), "{codes:?}");
        let text = paper.text();
        assert!(text.contains("150") && text.contains("9 days past its limit"), "{text}");
        assert!(text.contains("outer label washed out"), "{text}");
        assert_eq!(text.contains("% RH"), readings);
        assert!(words(&text).contains(&words(HOSTILE)), "words stay words: {text}");
    }
}

#[test]
fn an_address_too_long_for_a_code_is_refused() {
    let endless = RoundSheet { url: "x".repeat(5_000), ..sheet(1, false) };
    assert!(matches!(pdf(&endless, date(2026, 11, 25)), Err(RoundSheetError::Address(_))));
}
