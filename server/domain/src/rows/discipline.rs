//! The disciplines a project begins with. What a specialist records differs from unit to unit: these columns are common
//! practice, without a source, and every project changes them as agreed with its specialists.
use super::{Column, ColumnKind, Meaning};
use ColumnKind::{Choice, Number, Text, Whole};

/// A discipline the program brings.
pub struct Brought {
    pub code: &'static str,
    pub name: &'static str,
    columns: &'static [Short],
}

/// Name, unit, kind, vocabulary, required, meaning, largest number.
type Short = (&'static str, &'static str, ColumnKind, &'static [&'static str], bool, Meaning, Option<f64>);

const SIDES: &[&str] = &["left", "right", "axial", "not known"];
const PLAIN: Meaning = Meaning::Plain;

/// They stand in the order in which pages list them.
pub const BROUGHT: &[Brought] = &[
    Brought {
        code: "pottery",
        name: "Pottery",
        columns: &[
            ("Fabric", "", Text, &[], true, PLAIN, None),
            ("Form", "", Text, &[], false, PLAIN, None),
            (
                "Part",
                "",
                Choice,
                &["rim", "base", "handle", "spout", "body", "profile", "whole vessel"],
                true,
                PLAIN,
                None,
            ),
            ("Count", "", Whole, &[], true, Meaning::Pieces, None),
            ("Weight", "g", Number, &[], true, Meaning::Mass, None),
            ("Rim", "%", Number, &[], false, PLAIN, Some(100.0)),
            ("Rim diameter", "mm", Number, &[], false, PLAIN, Some(2_000.0)),
            ("Family", "", Text, &[], false, PLAIN, None),
            ("Remarks", "", Text, &[], false, PLAIN, None),
        ],
    },
    Brought {
        code: "bone",
        name: "Bone",
        columns: &[
            ("Element", "", Text, &[], true, PLAIN, None),
            ("Side", "", Choice, SIDES, false, PLAIN, None),
            (
                "Portion",
                "",
                Choice,
                &["whole", "proximal", "shaft", "distal", "fragment"],
                false,
                PLAIN,
                None,
            ),
            (
                "Fraction",
                "",
                Choice,
                &["not sieved", "over 10 mm", "5 to 10 mm", "2 to 5 mm", "under 2 mm"],
                false,
                PLAIN,
                None,
            ),
            ("Count", "", Whole, &[], false, Meaning::Pieces, None),
            ("Weight", "g", Number, &[], true, Meaning::Mass, None),
            ("Remarks", "", Text, &[], false, PLAIN, None),
        ],
    },
    Brought {
        code: "building_material",
        name: "Building material",
        columns: &[
            (
                "Type",
                "",
                Choice,
                &["brick", "roof tile", "ridge tile", "floor tile", "flue tile", "drain", "daub", "other"],
                true,
                PLAIN,
                None,
            ),
            ("Fabric", "", Text, &[], false, PLAIN, None),
            ("Thickness", "mm", Number, &[], false, PLAIN, Some(1_000.0)),
            ("Corners", "", Whole, &[], false, PLAIN, None),
            ("Count", "", Whole, &[], true, Meaning::Pieces, None),
            ("Weight", "g", Number, &[], true, Meaning::Mass, None),
            ("Remarks", "", Text, &[], false, PLAIN, None),
        ],
    },
];

impl Brought {
    /// Its columns.
    pub fn columns(&self) -> Vec<Column> {
        let column = |(name, unit, kind, vocabulary, required, meaning, most): &Short| Column {
            code: super::code_of(name),
            name: (*name).into(),
            unit: (*unit).into(),
            kind: *kind,
            vocabulary: vocabulary.iter().map(|word| (*word).into()).collect(),
            required: *required,
            meaning: *meaning,
            most: *most,
        };
        self.columns.iter().map(column).collect()
    }
}
