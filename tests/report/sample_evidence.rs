//! What the sample project says of its contexts, row by row and of rings.
use super::sample::{author, date};
use report::interim::{JudgementLine, PartLine, RingsLine, RowsLine, TerminusLine, WordSums};

/// Acceptance story 10 of the trade's own account of the job: pottery 120–160, glass 70–130, coin 270–273 in context 214.
pub fn terminus(context: usize) -> Option<TerminusLine> {
    (context == 214).then(|| TerminusLine {
        post_quem: Some("AD 270".into()),
        set_by: "12, coin, AD 270–273".into(),
        without: "AD 120".into(),
        ante_quem: None,
        conflicts: vec!["Every dated find here ends by AD 160, before AD 270".into()],
    })
}

pub fn judgement() -> JudgementLine {
    JudgementLine {
        find: "13".into(),
        context: "214".into(),
        origin: "residual".into(),
        reason: "worn, with others of its kind in the make-up below".into(),
        by: "Bea Lisle-Okoro".into(),
        on: date(2026, 11, 18),
    }
}

/// Acceptance story 9: three spits of 212, 305 and 98 g.
pub fn spits() -> RowsLine {
    let spit = |part: &str, mass: &str| PartLine {
        find: "8".into(),
        part: part.into(),
        cells: vec!["mixed".into(), String::new(), mass.into()],
    };
    RowsLine {
        discipline: "Bone".into(),
        author: author("Dr Joss Penhallick", "osteologist"),
        version: 2,
        submitted_on: date(2026, 11, 19),
        together: "3 rows, 615 g".into(),
        heads: vec![("Element".into(), false), ("Side".into(), false), ("Weight (g)".into(), true)],
        rows: vec![spit("spit 1", "212"), spit("spit 2", "305"), spit("spit 3", "98")],
        by: vec![WordSums {
            column: "Element".into(),
            lines: vec![["mixed", "3", "", "615"].map(String::from)],
        }],
        differences: vec!["8: 615 g in the rows, 600 g in the register".into()],
        note: String::new(),
    }
}

/// Case H7_ring_mould_match.o01 of tests/cases/rings.json: weights by SciPy's multivariate normal.
pub fn rings() -> RingsLine {
    RingsLine {
        find: "4".into(),
        measured: "11.83, 23.68, 37.31, 50.7 mm".into(),
        by: "Ansel Wrayburn, 14 Sep 2031".into(),
        list: "Casts (Lund 1998, pl. 4)".into(),
        finding: "These diameters cannot separate A and E: a tie.".into(),
        nearest: vec![
            "A, 56.0 % of the weight, scale 0.980".into(),
            "E, 44.0 % of the weight, scale 0.969".into(),
        ],
    }
}
