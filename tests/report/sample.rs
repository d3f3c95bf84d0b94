//! An invented project in small: one find of every kind of trouble, and as many more as asked for.
use super::sample_evidence;
use chrono::NaiveDate;
use domain::examination::{Method, Verdict};
use domain::stages::{Stage, StageState};
use report::interim::{
    AssessmentLine, Author, ContextLine, DateGiven, DateStatement, Dimension, Dissent, ExaminationLine,
    FindLine, Hold, Interim, OpinionLine, OutstandingWork, Photograph, SettlementLine, TreatmentLine,
    WorkMark,
};

/// Text that would do harm if any rendering took it for more than words.
pub const HOSTILE: &str = r##"#read("/etc/passwd") <script>alert(1)</script> *x* $y$ @cite `code` #eval("1+1") \ "quote" & [a] // b"##;

pub fn date(year: i32, month: u32, day: u32) -> NaiveDate {
    NaiveDate::from_ymd_opt(year, month, day).unwrap()
}

pub fn author(name: &str, qualification: &str) -> Author {
    Author { name: name.into(), qualification: qualification.into() }
}

fn varnsted() -> Author {
    author("Prof. Ilka Varnsted", "medieval carving")
}

/// A project without a single record.
pub fn empty() -> Interim {
    Interim {
        code: "VSQ31".into(),
        title: "Vessenholt Quay: interim report on the finds".into(),
        site: "Vessenholt Quay".into(),
        client: None,
        repository: None,
        circumstances: String::new(),
        recorded: None,
        reported_on: date(2026, 11, 25),
        prepared_by: vec![],
        groups: vec![],
        contexts: vec![],
        finds: vec![],
        opinions: vec![],
        settlements: vec![],
        judgements: vec![],
        rows: vec![],
        rings: vec![],
        photographs: vec![],
        outstanding: vec![],
        bibliography: vec![],
        completeness: vec![],
        restricted_left_out: 0,
    }
}

const KINDS: [(&str, &str, &str, f64); 8] = [
    ("Iron", "iron", "nail", 12.4),
    ("Ceramic", "pottery", "body sherd", 31.0),
    ("Glass", "glass", "vessel rim", 2.35),
    ("Copper alloy", "copper alloy", "buckle", 8.2),
    ("Waterlogged wood and leather", "leather", "shoe sole", 64.0),
    ("Stone sculpture", "alabaster", "panel fragment", 2_410.0),
    ("Plaster, mortar, building material", "CBM", "roof tile", 340.5),
    ("Worked bone, antler, ivory", "antler", "comb plate", 4.1),
];

/// A find without a history, the `n`th of its project.
pub fn find(n: usize) -> FindLine {
    let (group, material, identification, weight) = KINDS[n % KINDS.len()];
    let stages = [
        Stage::Xray,
        Stage::DryClean,
        Stage::WetClean,
        Stage::Packing,
        Stage::Review,
        Stage::Report,
        Stage::Finished,
    ];
    let stage = stages[n * 5 % stages.len()];
    let mark = |work: Stage, extent: Option<&str>| WorkMark {
        stage: work,
        state: if work < stage {
            StageState::Done
        } else if work == stage {
            StageState::InHand
        } else {
            StageState::Waiting
        },
        extent: extent.map(Into::into),
    };
    let metal = matches!(group, "Iron" | "Copper alloy");
    let mut work = vec![mark(Stage::FirstAid, None), mark(Stage::DryClean, Some("loose soil off"))];
    if metal {
        work.push(mark(Stage::Xray, None));
    } else {
        let extent = if n.is_multiple_of(3) {
            "surface soil off, stop at the slip"
        } else {
            "loose soil off, soil near paint kept"
        };
        work.extend([mark(Stage::SpotTest, None), mark(Stage::WetClean, Some(extent))]);
    }
    work.extend([mark(Stage::Drying, None), mark(Stage::Packing, None)]);
    FindLine {
        number: format!("{}", n + 1),
        context: Some(format!("{}", 200 + n * 7 % 60)),
        group: group.into(),
        material: material.into(),
        identification: identification.into(),
        description: format!(
            "A {identification}, one end lost, covered in a dense crust of soil and corrosion. Edge worn; no trace of coating seen at ×20."
        ),
        bulk: group == "Ceramic",
        pieces: if n % 11 == 10 { None } else { Some(if group == "Ceramic" { 14 } else { 1 }) },
        weight_g: if n % 13 == 12 { None } else { Some(weight + n as f64 * 0.3) },
        dimensions: vec![
            Dimension { of: "L".into(), mm: 42.0 + n as f64 / 10.0 },
            Dimension { of: "W".into(), mm: 11.0 },
        ],
        condition: (n % 9 != 8).then(|| "fair, stable if conditions held".into()),
        assessed: (n % 4 == 1).then(|| AssessmentLine {
            on: date(2026, 11, 2),
            condition: ["good", "fair", "poor"][n % 3].into(),
            stability: if n % 3 == 2 { "unstable" } else { "stable" }.into(),
            seen: vec!["crust, all over, 60 %".into(), "crack, rim".into()],
            risk: if n % 3 == 2 { "loss of surface".into() } else { String::new() },
            recommendation: "keep dry".into(),
        }),
        examined: if metal {
            vec![ExaminationLine {
                on: date(2026, 11, 3),
                method: Method::Xray,
                question: "Is there a core?".into(),
                result: if n.is_multiple_of(2) { Verdict::Positive } else { Verdict::Inconclusive },
                seen: "dense in the middle".into(),
            }]
        } else {
            Vec::new()
        },
        treated: vec![TreatmentLine {
            stage: Stage::DryClean,
            on: date(2026, 11, 4),
            by: "Odile Marchbank".into(),
            method: "soft brush".into(),
            materials: "acrylic copolymer 5 % w/v (batch jar 4)".into(),
            removed: "soil".into(),
            outcome: "loose soil off".into(),
            beyond: if n == 7 { "Crust under the terminal came away.".into() } else { String::new() },
        }],
        date: None,
        parallel: None,
        stage,
        state: if stage == Stage::Finished { StageState::Done } else { StageState::InHand },
        hold: None,
        work,
        catalogued: true,
    }
}

/// A project of `count` finds over 60 contexts, with opinions, a settlement, photographs and hostile words.
pub fn project(count: usize) -> Interim {
    let mut finds: Vec<FindLine> = (0..count).map(find).collect();
    finds.reverse();
    if let Some(odd) = finds.iter_mut().find(|find| find.number == "6") {
        odd.identification = "panel with standing figure".into();
        odd.description = HOSTILE.into();
        odd.date = Some(DateStatement {
            words: "late C14–mid C15".into(),
            range: Some("AD 1368–1467".into()),
            rule: None,
        });
        odd.parallel = Some("Lund 1998, no. 14, fig. 3".into());
        odd.hold = Some(Hold {
            reason: "pigment found: sampling to be agreed with the owner".into(),
            since: date(2026, 10, 2),
        });
    }
    Interim {
        client: Some("Vessenholt Harbour Trust".into()),
        repository: Some("Vessenholt Museum, accession 2026.41".into()),
        circumstances: "The quay was opened in trenches 1 to 4 before new piling.\nFinds came from the silted slip and from the floor of a workshop behind it. Wet deposits were kept wet from the trench on.".into(),
        recorded: Some((date(2026, 3, 2), date(2026, 11, 24))),
        prepared_by: vec![author("Odile Marchbank", "accredited conservator"), author("Petra Dunmoor", "")],
        groups: KINDS.iter().map(|kind| kind.0.into()).collect(),
        contexts: (200..260).map(context).collect(),
        finds,
        opinions: opinions(),
        settlements: vec![settlement()],
        judgements: vec![sample_evidence::judgement()],
        rows: vec![sample_evidence::spits()],
        rings: vec![sample_evidence::rings()],
        photographs: photographs(),
        outstanding: outstanding(),
        bibliography: vec!["Lund, A. 1998. Carved panels of the northern harbours. Vessenholt: Quay Press.".into()],
        completeness: vec!["Soil samples from contexts 214 and 219 are not yet processed".into()],
        restricted_left_out: 2,
        ..empty()
    }
}

fn context(number: usize) -> ContextLine {
    let thought = [
        "silt of the slip",
        "workshop floor",
        "make-up below floor",
        "pit fill",
        "robber trench, modern disturbance along its eastern edge",
    ];
    ContextLine {
        number: number.to_string(),
        phase: (!number.is_multiple_of(9)).then(|| format!("{}", 1 + number % 4)),
        interpretation: thought[number % thought.len()].into(),
        dated: sample_evidence::terminus(number),
    }
}

fn made(words: &str, range: &str, rule: Option<&str>) -> DateGiven {
    let date =
        DateStatement { words: words.into(), range: Some(range.into()), rule: rule.map(str::to_owned) };
    DateGiven { kind: "Made".into(), date }
}

fn opinions() -> Vec<OpinionLine> {
    let opinion = |find: &str, author: Author, preliminary: bool| OpinionLine {
        find: find.into(),
        authors: vec![author],
        submitted_on: date(2026, 11, 14),
        version: 2,
        preliminary,
        seen_as: if preliminary { "images".into() } else { "the object".into() },
        entered: None,
        confidence: Some("probable".into()),
        origin: None,
        negative_findings: String::new(),
        significance: String::new(),
        recommendations: vec![],
        covers: vec![],
        identification: "panel with a standing figure, perhaps a bishop".into(),
        dates: vec![made("late C14–mid C15", "AD 1368–1467", Some("thirds of a century"))],
        material: Some("alabaster".into()),
        parallels: vec![
            "Lund 1998, no. 14, fig. 3 (form and drapery; dated there by its inscription)".into(),
        ],
        basis: "Drapery folds and the cut of the base; raking light shows tool marks of a flat chisel."
            .into(),
    };
    let mut second = opinion("6", author("Dr Anselm Roke", "architectural stone"), true);
    second.dates = vec![made("AD 1417–1461", "AD 1417–1461", None)];
    second.version = 1;
    let mut bone = opinion("8", author("Dr Joss Penhallick", "osteologist"), false);
    bone.identification = HOSTILE.into();
    bone.material = Some("red deer antler".into());
    vec![opinion("6", varnsted(), true), second, bone, opinion("14", varnsted(), false)]
}

fn settlement() -> SettlementLine {
    SettlementLine {
        find: "6".into(),
        outcome: "majority".into(),
        identification: "panel with a standing figure".into(),
        date: Some(DateStatement {
            words: "AD 1417–1461".into(),
            range: Some("AD 1417–1461".into()),
            rule: None,
        }),
        reason: "Both ranges agree on these years; no closer date is claimed until the object has been seen"
            .into(),
        settled_by: author("Petra Dunmoor", "project manager"),
        settled_on: date(2026, 11, 20),
        reopened: None,
        dissent: vec![Dissent {
            author: varnsted(),
            words: "The drapery allows a start in the fourteenth century.".into(),
        }],
    }
}

fn photographs() -> Vec<Photograph> {
    let sizes = [(600, 400), (400, 600), (500, 500), (800, 300), (450, 600)];
    let picture = |(n, (width, height)): (usize, (u32, u32))| Photograph {
        name: format!("picture-{n}"),
        jpeg: jpeg(width, height),
        caption: [
            "before cleaning, raking light from the left",
            "after dry cleaning",
            "detail of tool marks, scale 50 mm",
            "ultraviolet, with pigment seen as orange along the lower edge of the drapery",
            HOSTILE,
        ][n % 5]
            .into(),
        credit: "Ansel Wrayburn".into(),
        finds: vec![["6", "14", "8", "22", "10"][n % 5].into()],
        alt: if n == 2 { String::new() } else { "The fragment on a grey ground with a scale bar.".into() },
    };
    sizes.into_iter().enumerate().map(picture).collect()
}

/// A plain picture: a lump on a pale ground with a scale bar.
pub fn jpeg(width: u32, height: u32) -> Vec<u8> {
    let ground = image::RgbImage::from_fn(width, height, |x, y| {
        let (dx, dy) = (x as f32 / width as f32 - 0.5, y as f32 / height as f32 - 0.48);
        let shade = (dx * 11.0).sin() * 14.0 + (dy * 17.0).cos() * 12.0;
        let bar = y > height - height / 12
            && y < height - height / 16
            && x > width / 10
            && x < width / 10 + width / 4;
        match dx * dx * 1.6 + dy * dy * 2.2 {
            _ if bar => image::Rgb([30, 30, 30]),
            inside if inside < 0.16 + 0.02 * (dx * 23.0).sin() => {
                image::Rgb([(150.0 + shade) as u8, (128.0 + shade) as u8, (104.0 + shade) as u8])
            }
            _ => image::Rgb([222, 220, 215]),
        }
    });
    let (width, height) = (width as usize, height as usize);
    pictures::jpeg(&pictures::Picture { width, height, rgb: ground.into_raw() }, 75, None)
}

fn outstanding() -> Vec<OutstandingWork> {
    let work = |find: Option<&str>, what: &str, who: Option<&str>, due_on| OutstandingWork {
        find: find.map(Into::into),
        what: what.into(),
        who: who.map(Into::into),
        due_on,
    };
    vec![
        work(Some("10"), "X-ray before cleaning", Some("Odile Marchbank"), Some(date(2026, 12, 1))),
        work(Some("2"), "opinion on the fabric", Some("Prof. Ilka Varnsted"), Some(date(2026, 11, 10))),
        work(None, "phase plan", None, None),
    ]
}
