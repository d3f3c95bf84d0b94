//! The statement a specialist invoices from.
use super::outside::{Paper, judge, show, words};
use super::sample::{HOSTILE, date};
use report::statement::{Statement, WorkLine, pdf};

fn statement(lines: usize) -> Statement {
    let line = |at: usize| WorkLine {
        day: format!("{} Sep 2031", 1 + at % 28),
        words: if at == 1 { HOSTILE.into() } else { "photographs sorted, parallels looked up".into() },
        days: "0.5".into(),
    };
    Statement {
        specialist: "Prof. Ilka Varnsted".into(),
        qualification: "medieval carving".into(),
        project: "Vessenholt Quay (VSQ31)".into(),
        asked: "as asked by Petra Dunmoor on 1 Sep 2031".into(),
        question: "What was this a part of?".into(),
        answered: "3 of 4 finds".into(),
        agreed: "4 days at 420.00 EUR".into(),
        lines: (0..lines).map(line).collect(),
        total: "1.25 days".into(),
        due: Some(("525.00 EUR".into(), "1.25 days at 420.00 EUR".into())),
        url: "https://finds.vessenholt.example/assignments/4/statement".into(),
    }
}

#[test]
fn a_statement_is_one_page_with_the_sum_at_its_foot() {
    let paper = pdf(&statement(3), date(2031, 9, 30)).unwrap();
    show("statement.pdf", &paper);
    judge(&paper);
    let paper = Paper::new(&paper);
    assert_eq!(paper.pages(), 1);
    let text = words(&paper.text());
    for said in [
        "Prof. Ilka Varnsted, medieval carving, 30 September 2031",
        "as asked by Petra Dunmoor on 1 Sep 2031",
        "3 of 4 finds",
        "Together 1.25 days.",
        "525.00 EUR, 1.25 days at 420.00 EUR",
        "Taxes and expenses are not in it",
        HOSTILE,
    ] {
        assert!(text.contains(&words(said)), "{said}: {text}");
    }
}

#[test]
fn without_a_fee_there_is_no_sum() {
    let paper =
        pdf(&Statement { due: None, agreed: String::new(), ..statement(60) }, date(2031, 9, 30)).unwrap();
    judge(&paper);
    let text = words(&Paper::new(&paper).text());
    assert!(!text.contains("EUR") && !text.contains("Agreed"), "{text}");
}
