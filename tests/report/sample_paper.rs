//! Labels and bench sheets of the invented project.
use super::sample::{HOSTILE, date, find, jpeg};
use domain::finds::RecoveredState;
use domain::stages::{Stage, StageState};
use report::bench_sheet::{BenchSheet, OpenRecord, RouteStep};
use report::labels::FindLabel;

const CAUTIONS: [&str; 4] = [
    "X-ray before cleaning. Never oven-dry a composite",
    "Keep sooted or encrusted sherds unwashed for sampling",
    "Sharp: cut-resistant gloves, tray not hand. Wet glass stays wet until a drying plan is written",
    "",
];

/// The label of the `n`th find.
pub fn label(n: usize) -> FindLabel {
    let find = find(n);
    FindLabel {
        site_code: "VSQ31".into(),
        number: match n {
            3 => "VSQ31-SF-1042/b trench 3 spit 12 north".into(),
            n => format!("{}", 1000 + n),
        },
        context: find.context,
        material: find.material,
        object: if n == 5 { HOSTILE.into() } else { find.identification },
        date: Some(date(2026, 9, 14)),
        state: [RecoveredState::Dry, RecoveredState::Damp, RecoveredState::Wet, RecoveredState::Unknown]
            [n % 4],
        cautions: vec![CAUTIONS[n % 4].into()],
        url: format!("https://finds.vessenholt.example/q/VSQ31/{}", 1000 + n),
    }
}

/// The bench sheet of the `n`th find.
pub fn bench_sheet(n: usize) -> BenchSheet {
    let find = find(n);
    let stages = [
        Stage::FirstAid,
        Stage::Condition,
        Stage::Xray,
        Stage::DryClean,
        Stage::SpotTest,
        Stage::CleaningLevel,
        Stage::WetClean,
        Stage::Drying,
        Stage::Packing,
        Stage::Review,
        Stage::Report,
    ];
    let states = [
        StageState::Done,
        StageState::Done,
        StageState::NotNeeded,
        StageState::InHand,
        StageState::Ready,
        StageState::Held,
    ];
    let open = |stage: Stage, note: &str| OpenRecord { stage, note: note.into() };
    BenchSheet {
        site_code: "VSQ31".into(),
        number: format!("{}", 1000 + n),
        identification: find.identification,
        description: if n == 3 { HOSTILE.into() } else { find.description },
        context: find.context,
        material: find.material,
        place: Some("Lab 2, bench shelf C".into()),
        pieces: find.pieces,
        state: [RecoveredState::Dry, RecoveredState::Damp, RecoveredState::Wet, RecoveredState::Unknown]
            [n % 4],
        cautions: vec![CAUTIONS[n % 4].into()],
        route: stages
            .iter()
            .enumerate()
            .map(|(place, stage)| RouteStep {
                stage: *stage,
                state: *states.get(place).unwrap_or(&StageState::Waiting),
            })
            .collect(),
        open_records: match n {
            2 => vec![],
            _ => vec![
                open(Stage::DryClean, "Begun 24 Nov 2026. Still lacks: outcome"),
                open(Stage::SpotTest, ""),
                open(Stage::WetClean, "Authorised: water, soft brush; stop at the slip"),
            ],
        },
        thumbnail: (n != 1).then(|| jpeg(600, 400 + 200 * (n as u32 % 3))),
        thumbnail_alt: "The find on a grey ground.".into(),
        url: format!("https://finds.vessenholt.example/q/VSQ31/{}", 1000 + n),
    }
}
