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
        Stage::FirstAid => {
            const {
                &[
                    words(
                        "laid on foam, bag pierced",
                        "polythene bag, spun-bonded label, polyethylene foam",
                        "safe to store; number inside and out",
                    ),
                    words(
                        "kept as found, supported on a tray",
                        "inert tray, tissue, cling film",
                        "supported, nothing moved",
                    ),
                    words("two bags, water between", "tap water, two labels", "wet, dark and cool"),
                ]
            }
        }
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
        Stage::Packing => {
            const {
                &[
                    words(
                        "cut-out in foam, lid sealed",
                        "polyethylene foam, clip-lid box, silica gel, indicator",
                        "packed and labelled",
                    ),
                    words(
                        "bags by context, box by material",
                        "resealable bags, acid-free box",
                        "packed and labelled",
                    ),
                ]
            }
        }
        _ => const { &[words("", "", "")] },
    }
}

/// Mixtures that are tried, the milder first.
pub const MIXTURES: &[&str] = &["water", "ethanol 50 % in water", "white spirit"];

/// Cleaning levels with their layers to keep and stop-points.
pub const LEVELS: &[(&str, &str, &str)] = &[
    ("loose soil and salts off, the lime skin kept", "lime skin, all paint", "first tint on the swab"),
    (
        "soil off to the original surface",
        "corrosion that bears the surface",
        "first glint of the surface below the crust",
    ),
    ("clean enough to draw", "residues inside", "at the slip"),
];

/// Why a find waits.
pub const HOLDS: &[&str] = &[
    "waits for the X-ray plate",
    "owner asked to see it before cleaning",
    "sampling for radiocarbon first",
    "may have to be reported by law; manager told",
];
