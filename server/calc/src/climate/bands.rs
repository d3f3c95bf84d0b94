//! The table of climate bands.
use super::{Band, Limits};
use crate::source::Source;

const WAM: Source = Source::seen(
    "Western Australian Museum",
    "2017",
    "Conservation and Care of Collections, Metals: Preventive Conservation",
    "citing Watkinson & Lewis 2004",
);
const UNESCO: Source = Source::seen(
    "UNESCO",
    "2013",
    "Manual for Activities directed at the Underwater Cultural Heritage",
    "p. 300",
);
const FIRST_AID: Source = Source::from_memory("Watkinson & Neal", "1998", "First Aid for Finds, 3rd ed.");
const SCOTT: Source = Source::from_memory("Scott", "1990", "Studies in Conservation 35:193–206");
const HERITAGE_MATERIALS: Source = Source::seen(
    "May & Jones (eds)",
    "2006",
    "Conservation Science: Heritage Materials",
    "glass and ceramics chapter, storage humidity",
);
const KOOB: Source = Source::seen("Koob", "2002", "Conservation DistList 15:80", "message");
const UNATTRIBUTED: Source =
    Source::seen("", "", "unattributed web text on archaeological material of low sensitivity", "");
const GREENSPAN: Source =
    Source::from_memory("Greenspan", "1977", "J. Res. NBS 81A:89–96, for the pure salt");
const STEADY: Source = Source::common_practice("steady humidity for salts");
const PADFIELD: Source =
    Source::seen("Padfield", "", "environmental standard proposal: relative humidity", "citing Ayerst 1969");
const MICHALSKI: Source = Source::seen(
    "Michalski",
    "",
    "Agent of Deterioration: Incorrect Relative Humidity, Canadian Conservation Institute",
    "",
);
const PRACTICE: Source = Source::common_practice("climate of plaster and mortar");

/// What a row says where it is silent.
const SILENT: Band = Band {
    material: "",
    usual_for: &[],
    rh_min_pct: None,
    rh_max_pct: None,
    alert: Limits::none(),
    alarm: Limits::none(),
    t_min_c: None,
    t_max_c: None,
    is_kept_wet: false,
    note: "",
    sources: &[],
    alert_basis: "",
};

/// Every band, metals first.
pub static BANDS: &[Band] = &[
    Band {
        material: "iron, archaeological, no active chloride",
        rh_max_pct: Some(35.0),
        t_min_c: Some(15.0),
        t_max_c: Some(24.0),
        note: "keep below",
        sources: &[WAM],
        ..SILENT
    },
    Band {
        material: "iron, archaeological, chloride-bearing",
        rh_max_pct: Some(15.0),
        t_min_c: Some(15.0),
        t_max_c: Some(24.0),
        note: "keep at or below",
        sources: &[WAM],
        ..SILENT
    },
    Band {
        material: "iron with akaganeite and ferrous chloride",
        usual_for: &["iron"],
        rh_max_pct: Some(12.0),
        alert: Limits::above(20.0),
        alarm: Limits::above(40.0),
        t_min_c: Some(15.0),
        t_max_c: Some(24.0),
        note: "keep at or below to stop corrosion",
        sources: &[WAM],
        alert_basis: "corrosion negligible at 20, slow to 40 (Watkinson, Rimmer & Emmerson 2019, Stud. Conserv. 64:456–71, abstract); derived",
        ..SILENT
    },
    Band {
        material: "metals, mixed",
        rh_max_pct: Some(45.0),
        t_min_c: Some(15.0),
        t_max_c: Some(24.0),
        note: "most metals below 45",
        sources: &[WAM],
        ..SILENT
    },
    Band {
        material: "metals, archaeological, general store",
        usual_for: &["lead", "silver", "other metal"],
        rh_max_pct: Some(35.0),
        alert: Limits::above(35.0),
        alarm: Limits::above(45.0),
        t_min_c: Some(15.0),
        t_max_c: Some(24.0),
        note: "below 35",
        sources: &[UNESCO],
        alert_basis: "general metals rows of this table; derived",
        ..SILENT
    },
    Band {
        material: "copper alloy, chloride-bearing",
        usual_for: &["copper alloy"],
        rh_max_pct: Some(35.0),
        alert: Limits::above(39.0),
        alarm: Limits::above(46.0),
        note: "below 35; cuprous chloride begins to react at about 42–46 (Scott 1990)",
        sources: &[FIRST_AID, SCOTT],
        alert_basis: "unstable bronze kept below 39, critical above 46 (Scott 1990, JAIC 29:193–206); derived",
        ..SILENT
    },
    Band {
        material: "lead and lead alloy",
        rh_max_pct: Some(45.0),
        note: "moderate RH, no organic acid vapours (wood, some boards)",
        sources: &[FIRST_AID],
        ..SILENT
    },
    Band {
        material: "silver, gold",
        rh_max_pct: Some(45.0),
        note: "moderate RH, sulfur-free enclosure",
        sources: &[FIRST_AID],
        ..SILENT
    },
    Band {
        material: "glass, excavated",
        rh_max_pct: Some(42.0),
        note: "about 42 quoted for excavated glass: treat as 40–44",
        sources: &[HERITAGE_MATERIALS],
        ..SILENT
    },
    Band {
        material: "glass, unstable (crizzling)",
        usual_for: &["glass", "glass, weathered"],
        rh_min_pct: Some(40.0),
        rh_max_pct: Some(44.0),
        alert: Limits::outside(40.0, 44.0),
        alarm: Limits::outside(37.0, 50.0),
        note: "42 ± 2, not below 40; do not open case when room above 55",
        sources: &[KOOB],
        alert_basis: "Koob 2002 and the wider quoted range; derived",
        ..SILENT
    },
    Band {
        material: "glass, hydrated layer, collection practice",
        rh_min_pct: Some(37.0),
        rh_max_pct: Some(42.0),
        note: "Veste Coburg practice",
        sources: &[HERITAGE_MATERIALS],
        ..SILENT
    },
    Band {
        material: "glass, stable, never buried or hydrated",
        rh_max_pct: Some(35.0),
        note: "very low decay rate below 35",
        sources: &[HERITAGE_MATERIALS],
        ..SILENT
    },
    Band {
        material: "Egyptian faience",
        rh_min_pct: Some(35.0),
        rh_max_pct: Some(40.0),
        sources: &[HERITAGE_MATERIALS],
        ..SILENT
    },
    Band {
        material: "ceramic and stone, stable, salt-free",
        usual_for: &["stone", "ceramic"],
        rh_min_pct: Some(30.0),
        rh_max_pct: Some(65.0),
        alert: Limits::outside(30.0, 65.0),
        alarm: Limits::above(75.0),
        note: "weakly sourced web text; wider range tolerated with slow change",
        sources: &[UNATTRIBUTED],
        alert_basis: "mould limit; derived",
        ..SILENT
    },
    Band {
        material: "ceramic or stone with soluble salts",
        note: "hold steady; do not cross the deliquescence RH (sodium chloride 75.5 at 20 C, lower for mixtures)",
        sources: &[GREENSPAN, STEADY],
        ..SILENT
    },
    Band {
        material: "archaeological archive, mixed",
        rh_min_pct: Some(35.0),
        rh_max_pct: Some(70.0),
        t_max_c: Some(15.0),
        note: "around 15 C, 35–70, steadiness first",
        sources: &[UNESCO],
        ..SILENT
    },
    Band {
        material: "bone, ivory, antler (dry)",
        usual_for: &["worked bone", "antler", "ivory"],
        rh_min_pct: Some(45.0),
        rh_max_pct: Some(55.0),
        alert: Limits::outside(40.0, 60.0),
        alarm: Limits::above(65.0),
        t_min_c: Some(18.0),
        t_max_c: Some(22.0),
        note: "dried organic finds",
        sources: &[UNESCO],
        alert_basis: "common practice, no source",
        ..SILENT
    },
    Band {
        material: "leather, textile, wood (dried or conserved)",
        usual_for: &["wood", "leather", "textile"],
        rh_min_pct: Some(45.0),
        rh_max_pct: Some(55.0),
        alert: Limits::outside(40.0, 60.0),
        alarm: Limits::above(65.0),
        t_min_c: Some(18.0),
        t_max_c: Some(22.0),
        note: "dried organic finds",
        sources: &[UNESCO],
        alert_basis: "common practice, no source",
        ..SILENT
    },
    Band {
        material: "waterlogged organic, awaiting treatment",
        usual_for: &["waterlogged wood", "waterlogged leather"],
        rh_min_pct: Some(100.0),
        rh_max_pct: Some(100.0),
        t_min_c: Some(2.0),
        t_max_c: Some(5.0),
        is_kept_wet: true,
        note: "kept wet, dark and cool; not frozen",
        sources: &[FIRST_AID],
        alert_basis: "wet clock instead",
        ..SILENT
    },
    Band {
        material: "composite or laminated object",
        rh_min_pct: Some(25.0),
        rh_max_pct: Some(75.0),
        note: "below 25 risk of splitting even briefly; weeks above 75 risk of mould",
        sources: &[PADFIELD],
        ..SILENT
    },
    Band {
        material: "any material, mould limit",
        rh_max_pct: Some(75.0),
        note: "damp limit 75",
        sources: &[MICHALSKI],
        ..SILENT
    },
    Band {
        material: "human bone (dry)",
        usual_for: &["human bone"],
        rh_min_pct: Some(45.0),
        rh_max_pct: Some(55.0),
        alert: Limits::outside(40.0, 60.0),
        alarm: Limits::above(65.0),
        t_min_c: Some(18.0),
        t_max_c: Some(22.0),
        note: "as bone",
        sources: &[UNESCO],
        alert_basis: "common practice, no source",
        ..SILENT
    },
    Band {
        material: "plaster, mortar, wall painting fragments",
        usual_for: &["plaster", "mortar", "ceramic building material"],
        rh_min_pct: Some(45.0),
        rh_max_pct: Some(60.0),
        alert: Limits::outside(40.0, 65.0),
        alarm: Limits::above(75.0),
        note: "steady; salts as above",
        sources: &[PRACTICE],
        alert_basis: "common practice, no source",
        ..SILENT
    },
    Band {
        material: "shale, jet, amber",
        usual_for: &["amber", "jet", "shale"],
        rh_min_pct: Some(45.0),
        rh_max_pct: Some(55.0),
        alert: Limits::outside(40.0, 60.0),
        alarm: Limits::above(65.0),
        note: "shale cracks on drying: keep damp until treated",
        sources: &[FIRST_AID],
        alert_basis: "common practice, no source",
        ..SILENT
    },
];
