//! What is written in the records of the bench, by stage.
use domain::stages::Stage;

/// The words of one record.
#[derive(Debug, Clone, Copy)]
pub struct Words {
    pub method: &'static str,
    pub materials: &'static str,
    pub outcome: &'static str,
}

const fn words(method: &'static str, materials: &'static str, outcome: &'static str) -> Words {
    Words { method, materials, outcome }
}

/// What a record of a stage says; several ways, to be chosen among.
pub const fn of(stage: Stage) -> &'static [Words] {
    match stage {
        Stage::DryClean => {
            const {
                &[
                    words(
                        "soft brush under the lamp, bench suction",
                        "squirrel brush, wooden stick",
                        "loose soil off, a sample kept",
                    ),
                    words(
                        "scalpel and pin vice at ×10",
                        "scalpel no. 15, magnifier",
                        "soil off to the crust; nothing of the surface touched",
                    ),
                    words("smoke sponge, dry", "vulcanised rubber sponge", "greyness taken, colour steady"),
                ]
            }
        }
        Stage::WetClean => {
            const {
                &[
                    words(
                        "damp swabs rolled once, cleared and dried",
                        "cotton swabs, deionised water",
                        "clean to the agreed level, stopped there",
                    ),
                    words("soft toothbrush, running water, tray", "tap water", "clean; breaks left to dry"),
                ]
            }
        }
        Stage::Drying => {
            const {
                &[
                    words("open tray, 55 % to 45 %, watched daily", "tray, tissue", "dry, no crack"),
                    words("constant mass on the bench balance", "balance to 0.01 g", "dry by constant mass"),
                ]
            }
        }
        Stage::Desalination => {
            const {
                &[words(
                    "still baths, changed weekly",
                    "deionised water, lidded tub",
                    "readings level off; no flake lost",
                )]
            }
        }
        _ => const { &[words("", "", "")] },
    }
}

/// What a record of first-aid packing says of a find recovered wet, damp or dry.
pub fn first_aid(state: &str) -> &'static [Words] {
    match state {
        "wet" => FIRST_AID_WET,
        "damp" => FIRST_AID_DAMP,
        _ => FIRST_AID_DRY,
    }
}

const FIRST_AID_WET: &[Words] = &[
    words("two bags, water between", "tap water, two labels", "wet, dark and cool"),
    words("laid under water in a lidded tub", "tap water, inert net, two labels", "covered with water, cool"),
];
const FIRST_AID_DAMP: &[Words] = &[
    words("kept as found, supported on a tray", "inert tray, tissue, cling film", "supported, nothing moved"),
    words(
        "laid flat, bag pierced",
        "polythene bag, spun-bonded label, polyethylene foam",
        "damp and cool; number inside and out",
    ),
];
const FIRST_AID_DRY: &[Words] = &[
    words(
        "laid on foam, bag pierced",
        "polythene bag, spun-bonded label, polyethylene foam",
        "safe to store; number inside and out",
    ),
    words(
        "padded all round",
        "polyethylene foam, acid-free tissue, two labels",
        "supported; nothing presses on it",
    ),
];

/// In what a find is packed on arrival, and how that is kept.
pub fn first_package(state: &str, bulk: bool, mass_g: f64) -> (&'static str, &'static str) {
    match state {
        "wet" => ("two resealable bags, lidded tub", "under water, dark and cool"),
        "damp" => ("pierced bag on a lidded tray", "damp, dark and cool"),
        _ if bulk => ("resealable bag in a box by context", "steady humidity"),
        _ if mass_g > 3_000.0 => ("padded crate with a lid", "steady humidity"),
        _ => ("clip-lid box, foam", "steady humidity"),
    }
}

/// What a record of packing says, with gel or without.
pub fn packing(sealed: bool) -> &'static [Words] {
    if sealed { PACKED_WITH_GEL } else { PACKED_OPEN }
}

const PACKED_WITH_GEL: &[Words] = &[
    words(
        "cut-out in foam, lid sealed",
        "polyethylene foam, clip-lid box, silica gel, indicator",
        "packed and labelled",
    ),
    words(
        "pierced bag on foam, lid sealed",
        "perforated bag, polyethylene foam, clip-lid box, silica gel, indicator",
        "packed and labelled",
    ),
];
const PACKED_OPEN: &[Words] = &[
    words("cut-out in foam, one layer", "polyethylene foam, acid-free box", "packed and labelled"),
    words("bags by context, box by material", "resealable bags, acid-free box", "packed and labelled"),
];

/// Mixtures that are tried, the milder first.
pub const MIXTURES: &[&str] = &["water", "ethanol 50 % in water", "white spirit"];

/// A cleaning level with its layers to keep and its stop-point, the sign at which work stops.
pub type Level = (&'static str, &'static str, &'static str);

/// The levels that a material is cleaned to.
pub fn levels_of(material: &str) -> &'static [Level] {
    match material {
        "ceramic" => CERAMIC_LEVELS,
        "plaster_cbm" => PLASTER_LEVELS,
        "glass" => GLASS_LEVELS,
        "stone" => STONE_LEVELS,
        "wood_leather" => WOOD_LEVELS,
        "animal_bone" | "worked_bone" => BONE_LEVELS,
        _ => OTHER_LEVELS,
    }
}

const CERAMIC_LEVELS: &[Level] = &[
    ("clean enough to draw", "slip and glaze, residues inside", "the slip"),
    ("soil off outside, the inside left for sampling", "soot and residues", "the edge of the soot"),
];
const PLASTER_LEVELS: &[Level] = &[
    ("loose soil off the face and the breaks", "all paint, limewash, straw marks", "first tint on the swab"),
    ("clean enough to count and to join", "mortar on the broken edges", "the mortar"),
];
const GLASS_LEVELS: &[Level] = &[
    ("soil off, the crust left", "weathering crust, all paint", "first flake of the crust on the swab"),
    ("clean enough to read the paint", "paint lines, grozed edges", "first loss of shine"),
];
const STONE_LEVELS: &[Level] = &[
    ("loose soil and salts off, tooling clear", "limewash, all paint", "first tint on the swab"),
    ("soil off the carving, the deepest folds left", "paint and gold, tool marks", "the first loose grain"),
];
const WOOD_LEVELS: &[Level] = &[
    ("silt off, stitching and tool marks clear", "grain, thread, all finish", "first fibre on the brush"),
    ("clean enough to draw", "deposits in the seams", "the seams"),
];
const BONE_LEVELS: &[Level] = &[
    ("loose soil off, the lime skin kept", "lime skin, cut marks", "the lime skin"),
    ("clean enough to identify", "residues in the breaks", "the first soft edge"),
];
const OTHER_LEVELS: &[Level] =
    &[("soil off to the original surface", "layers that bear the surface", "the original surface")];

/// Why a find waits.
pub const HOLDS: &[&str] = &[
    "waits for the X-ray plate",
    "owner asked to see it before cleaning",
    "sampling for radiocarbon first",
    "may have to be reported by law; manager told",
];
