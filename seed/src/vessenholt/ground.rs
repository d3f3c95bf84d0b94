//! The contexts of the quay: four areas, each from the topsoil down.

/// One context of the column of an area.
#[derive(Debug, Clone, Copy)]
pub struct Layer {
    pub kind: &'static str,
    pub phase: &'static str,
    pub interpretation: &'static str,
    pub soil: &'static str,
    /// Whether it cuts what lies below rather than lying on it.
    pub cuts: bool,
}

const fn layer(
    kind: &'static str,
    phase: &'static str,
    interpretation: &'static str,
    soil: &'static str,
) -> Layer {
    Layer { kind, phase, interpretation, soil, cuts: false }
}

const fn cut(phase: &'static str, interpretation: &'static str) -> Layer {
    Layer { kind: "cut", phase, interpretation, soil: "", cuts: true }
}

/// An area with its name, its first context number and its column.
pub struct Area {
    pub name: &'static str,
    pub first: u32,
    pub column: &'static [Layer],
}

/// The areas of the quay.
pub const AREAS: &[Area] = &[
    Area { name: "A, quay front", first: 101, column: QUAY },
    Area { name: "B, chapel", first: 201, column: CHAPEL },
    Area { name: "C, yard", first: 301, column: YARD },
    Area { name: "D, cemetery edge", first: 401, column: CEMETERY },
];

/// Neighbours in a column that lie beside each other, between what is above and what is below both.
pub const BESIDE: &[(u32, u32)] = &[(105, 106), (110, 111), (208, 209), (310, 311)];
/// Relations drawn in the field that others say already.
pub const SAID_TWICE: &[(&str, &str)] = &[("101", "105"), ("201", "206"), ("305", "307"), ("402", "408")];
/// A context with the year by which it was there, and how that is known.
pub const FIXED: (&str, i64, &str) =
    ("206", 1430, "the altar was hallowed upon this floor in that year, harbour accounts folio 12");

const QUAY: &[Layer] = &[
    layer("layer", "6, modern", "tarmac bedding", "crushed brick"),
    layer("layer", "5, post-medieval", "harbour levelling", "grey silt with coal"),
    cut("5, post-medieval", "drain trench"),
    layer("fill", "5, post-medieval", "fill of the drain trench", "black silt"),
    layer("layer", "4, late medieval", "dump behind the third revetment", "organic silt, wet"),
    layer("structure", "4, late medieval", "third timber revetment", "oak"),
    layer("layer", "4, late medieval", "foreshore below the third revetment", "gravelly silt"),
    layer("layer", "3, medieval", "dump behind the second revetment", "peaty silt, wet"),
    layer("structure", "3, medieval", "second timber revetment", "oak"),
    layer("layer", "3, medieval", "leather waste from a cobbler", "peaty silt, wet"),
    layer("layer", "3, medieval", "quay surface", "rammed gravel"),
    layer("layer", "2, early medieval", "first foreshore hard", "flint cobbles"),
    layer("layer", "2, early medieval", "brushwood mat", "hazel in silt"),
    layer("layer", "1, Roman", "washed dump with Roman pottery", "sandy silt"),
    layer("layer", "1, Roman", "riverside bank", "clay"),
    layer("layer", "0, natural", "alluvium", "blue clay"),
];

const CHAPEL: &[Layer] = &[
    layer("layer", "6, modern", "garden soil", "dark loam"),
    layer("layer", "5, post-medieval", "demolition of the chapel", "mortar and stone"),
    layer("layer", "5, post-medieval", "spread of window glass and lead", "mortar, loose"),
    cut("5, post-medieval", "robber trench of the east wall"),
    layer("fill", "5, post-medieval", "fill of the robber trench", "mortary loam"),
    layer("layer", "4, late medieval", "last floor of the chancel", "tile bedding"),
    layer("layer", "4, late medieval", "make-up of the chancel floor", "sandy mortar"),
    layer("structure", "4, late medieval", "altar base", "limestone rubble"),
    layer("layer", "4, late medieval", "plaster fallen from the north wall", "painted plaster"),
    layer("structure", "3, medieval", "east wall", "limestone"),
    layer("layer", "3, medieval", "first floor of the nave", "rammed chalk"),
    cut("3, medieval", "foundation trench of the nave"),
    layer("fill", "3, medieval", "packing of the foundation trench", "flint and chalk"),
    layer("fill", "1, Roman", "fill of a pit below the chapel", "dark silt, damp"),
    cut("1, Roman", "rubbish pit"),
    layer("layer", "0, natural", "river gravel", "gravel"),
];

const YARD: &[Layer] = &[
    layer("layer", "6, modern", "yard surface", "concrete"),
    layer("layer", "5, post-medieval", "smithy floor", "hammerscale, hard"),
    layer("layer", "5, post-medieval", "charcoal spread", "charcoal"),
    cut("5, post-medieval", "quenching pit"),
    layer("fill", "5, post-medieval", "fill of the quenching pit", "iron pan, wet"),
    layer("layer", "4, late medieval", "cobbled yard", "cobbles"),
    cut("4, late medieval", "cess pit"),
    layer("fill", "4, late medieval", "upper fill of the cess pit", "organic, damp"),
    layer("fill", "4, late medieval", "lower fill of the cess pit", "organic, wet"),
    layer("layer", "3, medieval", "bone and horn working waste", "silt with bone"),
    layer("layer", "3, medieval", "hearth", "burnt clay"),
    layer("layer", "3, medieval", "house floor", "clay"),
    layer("layer", "2, early medieval", "plough soil", "loam"),
    cut("1, Roman", "boundary ditch"),
    layer("fill", "1, Roman", "fill of the boundary ditch", "silty clay"),
    layer("layer", "0, natural", "brickearth", "brickearth"),
];

const CEMETERY: &[Layer] = &[
    layer("layer", "6, modern", "turf", "loam"),
    layer("layer", "5, post-medieval", "path", "gravel"),
    layer("layer", "4, late medieval", "grave earth", "loam with bone"),
    cut("4, late medieval", "grave 1"),
    layer("fill", "4, late medieval", "fill of grave 1", "loam"),
    cut("3, medieval", "grave 2"),
    layer("fill", "3, medieval", "fill of grave 2", "loam"),
    layer("layer", "3, medieval", "boundary bank", "chalky loam"),
    cut("1, Roman", "urn pit"),
    layer("fill", "1, Roman", "fill of the urn pit", "charcoal and bone"),
    layer("layer", "1, Roman", "burnt spread", "charcoal"),
    cut("1, Roman", "post-hole"),
    layer("fill", "1, Roman", "fill of the post-hole", "silty loam"),
    layer("layer", "0, natural", "chalk", "chalk"),
];
