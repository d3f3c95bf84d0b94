//! The material groups a new project starts with. A project edits its own copy afterwards.
//!
//! Groups and their routes: common practice, no source; the X-ray before cleaning of metal follows the English Heritage
//! guidelines on X-radiography (2006), the caution words the usual advice of the lab, always below local rules.
use crate::stages::{Gate, Stage};

/// A material group with its default route.
#[derive(Debug, Clone, Copy)]
pub struct MaterialGroup {
    /// Stored word, stable.
    pub code: &'static str,
    pub name: &'static str,
    /// Words by which registers call it, folded, separated by commas.
    pub words: &'static str,
    /// Shown wherever such a find is handled; empty when there is nothing special.
    pub caution: &'static str,
    pub route: &'static [Stage],
}

/// The group of finds whose material nobody has said yet.
pub const UNKNOWN: &str = "unknown";

/// Whether a group holds human remains: restricted unless somebody says otherwise.
pub fn is_human_remains(code: &str) -> bool {
    matches!(code, "cremated_bone" | "inhumed_bone")
}

use Stage::*;
const CLEANED_WET: &[Stage] = &[
    Registration,
    FirstAid,
    Condition,
    DryClean,
    SpotTest,
    CleaningLevel,
    WetClean,
    Drying,
    Packing,
    Review,
    Settlement,
    Report,
    Retention,
    Deposit,
];
const WASHED: &[Stage] = &[
    Registration,
    FirstAid,
    DryClean,
    SpotTest,
    CleaningLevel,
    WetClean,
    Drying,
    Packing,
    Review,
    Settlement,
    Report,
    Retention,
    Deposit,
];
const METAL: &[Stage] = &[
    Registration,
    FirstAid,
    Condition,
    Xray,
    DryClean,
    Drying,
    Packing,
    Review,
    Settlement,
    Report,
    Retention,
    Deposit,
];
const IRON: &[Stage] = &[
    Registration,
    FirstAid,
    Condition,
    Xray,
    DryClean,
    Drying,
    Desalination,
    Packing,
    Review,
    Settlement,
    Report,
    Retention,
    Deposit,
];
const KEPT_DRY: &[Stage] = &[
    Registration,
    FirstAid,
    Condition,
    DryClean,
    Drying,
    Packing,
    Review,
    Settlement,
    Report,
    Retention,
    Deposit,
];

const fn group(
    code: &'static str,
    name: &'static str,
    words: &'static str,
    caution: &'static str,
    route: &'static [Stage],
) -> MaterialGroup {
    MaterialGroup { code, name, words, caution, route }
}

/// Every group, in the order of the lab's shelves.
pub const GROUPS: &[MaterialGroup] = &[
    group(
        "stone",
        "Stone sculpture",
        "stone,sculpture,alabaster,marble,limestone,sandstone,carved stone,slate",
        "Heavy: plan the lift. Keep the soil near paint until it has been looked at.",
        CLEANED_WET,
    ),
    group(
        "glass",
        "Glass",
        "glass,vessel glass,window glass",
        "Sharp: cut-resistant gloves, tray not hand. Wet glass stays wet until a drying plan is written.",
        CLEANED_WET,
    ),
    group(
        "copper_alloy",
        "Copper alloy",
        "copper alloy,cu alloy,copper,bronze,brass,cua",
        "Active pale-green spots: isolate. Look for preserved textile before cleaning.",
        METAL,
    ),
    group("iron", "Iron", "iron,fe,ferrous", "X-ray before cleaning. Never oven-dry a composite.", IRON),
    group(
        "lead",
        "Lead and pewter",
        "lead,pewter,pb,tin lead",
        "White corrosion products are poisonous: gloves, no dry brushing, wash hands.",
        METAL,
    ),
    group(
        "silver_gold",
        "Silver and gold",
        "silver,gold,ag,au,silver gilt",
        "May have to be reported by law: tell the project manager.",
        METAL,
    ),
    group(
        "coin",
        "Coins",
        "coin,coins,jetton,token",
        "A hoard is lifted together. May have to be reported by law.",
        METAL,
    ),
    group(
        "ceramic",
        "Ceramic",
        "ceramic,ceramics,pottery,pot,sherd,sherds,clay pipe",
        "Keep sooted or encrusted sherds unwashed for sampling.",
        WASHED,
    ),
    group(
        "plaster_cbm",
        "Plaster, mortar, building material",
        "cbm,brick,tile,plaster,wall plaster,mortar,daub,building material",
        "Paint is never washed. Trays are heavy: plan the lift.",
        WASHED,
    ),
    group(
        "worked_bone",
        "Worked bone, antler, ivory",
        "worked bone,antler,ivory,horn",
        "No soaking. Damp pieces first.",
        KEPT_DRY,
    ),
    group(
        "wood_leather",
        "Waterlogged wood and leather",
        "wood,leather,waterlogged wood,cork,basketry",
        "Keep wet, dark and cool. Biocide only on a conservator’s advice.",
        CLEANED_WET,
    ),
    group(
        "textile",
        "Textile",
        "textile,cloth,fibre,rope,wool,silk,linen",
        "No unfolding without the conservator. Rinsing loses fibres.",
        KEPT_DRY,
    ),
    group(
        "cremated_bone",
        "Cremated bone",
        "cremated bone,cremation,urn",
        "Human remains: licence conditions, dignity, restricted access and images.",
        KEPT_DRY,
    ),
    group(
        "inhumed_bone",
        "Inhumed bone",
        "human bone,inhumation,skeleton,hsr",
        "Human remains: licence conditions, dignity, restricted access and images.",
        KEPT_DRY,
    ),
    group(
        "animal_bone",
        "Animal bone and shell",
        "animal bone,bone,shell,antler waste,oyster shell",
        "",
        WASHED,
    ),
    group(
        "amber_jet_shale",
        "Amber, jet and shale",
        "amber,jet,shale,lignite",
        "To the conservator at once. Solvents attack amber (from memory; check before use).",
        KEPT_DRY,
    ),
    group(
        "composite",
        "Composite",
        "composite,mixed",
        "Treat for the weakest part. No oven. X-ray first.",
        METAL,
    ),
    group(UNKNOWN, "Material not said", "unknown,unidentified", "", KEPT_DRY),
];

/// The gates that guard a stage on the default route of a group.
pub fn default_gates(code: &str, stage: Stage) -> Vec<Gate> {
    let metal = matches!(code, "iron" | "copper_alloy" | "lead" | "silver_gold" | "coin" | "composite");
    match stage {
        DryClean if metal => vec![Gate::XrayFirst],
        WetClean if metal => {
            vec![Gate::XrayFirst, Gate::DryCleanFirst, Gate::TestedMixture, Gate::AuthorisedLevel]
        }
        WetClean => vec![Gate::DryCleanFirst, Gate::TestedMixture, Gate::AuthorisedLevel],
        Packing => vec![Gate::DriedFirst],
        _ => Vec::new(),
    }
}
