//! The note that travels with objects.
use super::outside::{Paper, judge, show, words};
use super::sample::{HOSTILE, date};
use report::dispatch_note::{DispatchNote, DispatchNoteError, NoteLine, pdf};

fn note(lines: usize) -> DispatchNote {
    let line = |at: usize| NoteLine {
        number: format!("{}", 2 + at),
        what: if at == 2 { HOSTILE.into() } else { "vessel, rim".into() },
        material: "Glass".into(),
        pieces: if at == 3 { 0 } else { 17 },
        mass_g: if at == 4 { None } else { Some(41.2) },
        condition: "fair, stable if conditions are held".into(),
    };
    DispatchNote {
        name: "VSQ31 D4".into(),
        project: "Vessenholt Quay".into(),
        site: "Vessenholt, the old quay and the chapel of the quayside".into(),
        recipient: "Sabine Okafor-Lind".into(),
        address: "4 Weir Lane\nUpper Vessen".into(),
        purpose: "identification and date".into(),
        packing: "foam cut-outs, one layer, cool box".into(),
        carrier: "by hand".into(),
        insurer: String::new(),
        sampling: String::new(),
        sent_on: date(2031, 9, 15),
        due_on: date(2031, 10, 13),
        sent_by: "Bea Lisle-Okoro".into(),
        lines: (1..=lines).map(line).collect(),
        left_out: 0,
        url: "https://finds.vessenholt.example/dispatches/4".into(),
    }
}

#[test]
fn a_note_of_one_line_is_one_page_fit_to_be_kept_scanned_and_signed() {
    let paper = pdf(&note(1), date(2031, 9, 15)).unwrap();
    show("dispatch-note.pdf", &paper);
    judge(&paper);
    let paper = Paper::new(&paper);
    assert_eq!(paper.pages(), 1);
    assert_eq!(paper.codes(), ["https://finds.vessenholt.example/dispatches/4"]);
    let text = words(&paper.text());
    for said in [
        "Dispatch note VSQ31 D4",
        "Vessel, rim",
        "1 find, 17 pieces, 41.2 g",
        "13 October 2031",
        "not permitted",
        "Counted by, Sabine Okafor-Lind",
        "fair, stable if conditions are held",
        "Counted at home by",
        "4 Weir Lane",
    ] {
        assert!(text.contains(&words(said)), "{said}: {text}");
    }
}

#[test]
fn a_long_note_goes_on_and_sums_only_what_was_counted_and_weighed() {
    let paper = pdf(&DispatchNote { left_out: 2, ..note(60) }, date(2031, 9, 15)).unwrap();
    judge(&paper);
    let paper = Paper::new(&paper);
    assert!(paper.pages() <= 5, "{} pages", paper.pages());
    let text = words(&paper.text());
    assert!(text.contains(&words("60 finds")) && !text.contains(&words("60 finds, ")), "{text}");
    assert!(text.contains(&words("2 further lines are not printed here")), "{text}");
    assert!(text.contains(&words(HOSTILE)), "words stay words: {text}");
}

#[test]
fn an_address_too_long_for_a_code_is_refused() {
    let endless = DispatchNote { url: "x".repeat(5_000), ..note(1) };
    assert!(matches!(pdf(&endless, date(2031, 9, 15)), Err(DispatchNoteError::Address(_))));
}
