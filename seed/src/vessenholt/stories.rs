//! The finds of which the acceptance stories tell.

/// A find told one by one.
#[derive(Debug, Clone, Copy)]
pub struct Told {
    pub number: &'static str,
    pub context: &'static str,
    pub material: &'static str,
    pub object: &'static str,
    pub description: &'static str,
    pub state: &'static str,
    pub pieces: i64,
    pub bulk: bool,
    pub mass_g: f64,
    /// Days before today on which it was recovered.
    pub days_ago: i64,
    pub restricted: bool,
}

const TOLD: Told = Told {
    number: "",
    context: "214",
    material: "",
    object: "",
    description: "",
    state: "dry",
    pieces: 1,
    bulk: false,
    mass_g: 0.0,
    days_ago: 40,
    restricted: false,
};

/// The carved panel whose red the water lifts.
pub const PANEL: &str = "88";
/// The shoe that waits too long.
pub const SHOE: &str = "23";

/// Dried to constant mass and sealed with gel.
pub const HINGE: &str = "441";
/// Dries on the bench.
pub const TILE: &str = "442";
/// Dries step by step in a chamber.
pub const COMB: &str = "443";
/// Lies in baths.
pub const POT: &str = "444";

/// Told one by one.
pub const FINDS: &[Told] = &[
    Told {
        number: "1",
        material: "iron",
        object: "hasp",
        description: "Figure-of-eight hasp in a solid crust.",
        mass_g: 182.4,
        ..TOLD
    },
    Told {
        number: "2",
        material: "copper_alloy",
        object: "brooch, penannular",
        description: "Terminals rolled, pin complete.",
        mass_g: 11.2,
        ..TOLD
    },
    Told {
        number: "3",
        material: "glass",
        object: "vessel, rim",
        description: "Fire-rounded rim, pale green, wet in the block.",
        state: "wet",
        mass_g: 6.1,
        days_ago: 6,
        ..TOLD
    },
    Told {
        number: "4",
        material: "ceramic",
        object: "colour-coated beaker, sherds",
        description: "Barbotine scroll; spot date AD 120 to 160.",
        pieces: 12,
        bulk: true,
        mass_g: 148.0,
        ..TOLD
    },
    Told {
        number: "5",
        material: "coin",
        object: "radiate",
        description: "Barbarous radiate, draped bust right.",
        mass_g: 2.4,
        ..TOLD
    },
    Told {
        number: SHOE,
        context: "110",
        material: "wood_leather",
        object: "turnshoe, upper and sole",
        description: "Side-laced, one lace in place.",
        state: "wet",
        mass_g: 96.0,
        days_ago: 23,
        ..TOLD
    },
    Told {
        number: "61",
        context: "105",
        material: "wood_leather",
        object: "knife sheath",
        description: "Embossed lozenges, seam at the back.",
        state: "wet",
        mass_g: 44.0,
        days_ago: 12,
        ..TOLD
    },
    Told {
        number: PANEL,
        context: "208",
        material: "stone",
        object: "panel, alabaster, carved",
        description: "Lower half of a standing figure with a book; red in the lining, gold stars on the ground.",
        mass_g: 7_420.0,
        days_ago: 70,
        ..TOLD
    },
    Told {
        number: "90",
        context: "203",
        material: "glass",
        object: "window glass, one panel",
        description: "Seventeen pieces lifted together from the spread.",
        state: "damp",
        pieces: 17,
        bulk: true,
        mass_g: 41.2,
        days_ago: 60,
        ..TOLD
    },
    Told {
        number: "91",
        context: "302",
        material: "iron",
        object: "nails from the smithy floor",
        description: "Twenty-four, bagged together for one set of plates.",
        pieces: 24,
        bulk: true,
        mass_g: 310.0,
        days_ago: 55,
        ..TOLD
    },
    Told {
        number: "95",
        context: "410",
        material: "cremated_bone",
        object: "urn, spit 1",
        description: "212 g before sieving; no element doubled.",
        mass_g: 212.0,
        restricted: true,
        ..TOLD
    },
    Told {
        number: "96",
        context: "410",
        material: "cremated_bone",
        object: "urn, spit 2",
        description: "305 g before sieving; no element doubled.",
        mass_g: 305.0,
        restricted: true,
        ..TOLD
    },
    Told {
        number: "97",
        context: "410",
        material: "cremated_bone",
        object: "urn, spit 3",
        description: "98 g before sieving; no element doubled.",
        mass_g: 98.0,
        restricted: true,
        ..TOLD
    },
    Told {
        number: HINGE,
        context: "302",
        material: "iron",
        object: "strap hinge",
        description: "Two straps, the pin in place; mineral-preserved wood below.",
        state: "damp",
        mass_g: 172.9,
        days_ago: 48,
        ..TOLD
    },
    Told {
        number: TILE,
        context: "208",
        material: "plaster_cbm",
        object: "floor tile, inlaid",
        description: "Half a tile, white inlay, from the robbed floor of the chapel.",
        state: "damp",
        mass_g: 512.0,
        days_ago: 30,
        ..TOLD
    },
    Told {
        number: COMB,
        context: "110",
        material: "worked_bone",
        object: "comb, double-sided",
        description: "Antler, one end plate lost; damp through.",
        state: "damp",
        mass_g: 31.2,
        days_ago: 34,
        ..TOLD
    },
    Told {
        number: POT,
        context: "105",
        material: "ceramic",
        object: "jar, stamped",
        description: "Lay in the tidal silt; white haze on drying.",
        state: "damp",
        mass_g: 850.0,
        days_ago: 66,
        ..TOLD
    },
];

/// Judged residual where it lies, and why.
pub const RESIDUAL: (&str, &str) =
    (POT, "edges rolled, the only piece of its date in a dump of leather and late jugs");

/// An opinion told one by one.
#[derive(Debug, Clone, Copy)]
pub struct Said {
    pub number: &'static str,
    /// Local part of the author's address.
    pub author: &'static str,
    pub identification: &'static str,
    pub date_words: &'static str,
    /// The range, as the words read under the default thirds: worked by hand.
    pub years: (i64, i64),
    pub material: &'static str,
    pub parallels: &'static str,
    pub basis: &'static str,
    pub is_final: bool,
}

/// Told one by one.
pub const OPINIONS: &[Said] = &[
    Said {
        number: PANEL,
        author: super::cast::ILKA,
        identification: "panel of an altarpiece, Saint with a book",
        date_words: "late C14–mid C15",
        years: (1368, 1467),
        material: "alabaster",
        parallels: "none found with the star pattern complete",
        basis: "drapery and the cut of the hem, from two raking shots",
        is_final: false,
    },
    Said {
        number: PANEL,
        author: super::cast::MAREN,
        identification: "panel of an altarpiece, Saint John",
        date_words: "AD 1417–1461",
        years: (1417, 1461),
        material: "alabaster",
        parallels: "the workshop’s standing figures, by the fold at the knee",
        basis: "carving of the hand and the book",
        is_final: false,
    },
    Said {
        number: "3",
        author: super::cast::SABINE,
        identification: "cup with fire-rounded rim",
        date_words: "AD 70–130",
        years: (70, 130),
        material: "blue-green glass",
        parallels: "common form, no close parallel needed",
        basis: "rim form and colour",
        is_final: true,
    },
    Said {
        number: "4",
        author: super::cast::SABINE,
        identification: "colour-coated hunt cup",
        date_words: "AD 120–160",
        years: (120, 160),
        material: "fine cream fabric",
        parallels: "none found with this scroll",
        basis: "fabric and decoration",
        is_final: true,
    },
    Said {
        number: "5",
        author: super::cast::SABINE,
        identification: "irregular radiate",
        date_words: "AD 270–273",
        years: (270, 273),
        material: "debased silver",
        parallels: "none found",
        basis: "type and module",
        is_final: false,
    },
    // Later than the year by which the floor above lay: a conflict for somebody to look into.
    Said {
        number: TILE,
        author: super::cast::SABINE,
        identification: "floor tile of the late inlaid series",
        date_words: "AD 1450–1500",
        years: (1450, 1500),
        material: "red fabric, white inlay",
        parallels: "none found with this corner",
        basis: "thickness and the coarse inlay",
        is_final: true,
    },
    Said {
        number: POT,
        author: super::cast::SABINE,
        identification: "jar, stamped, of early medieval kind",
        date_words: "7th century",
        years: (601, 700),
        material: "granitic fabric, handmade",
        parallels: "none found with this stamp",
        basis: "fabric and stamp",
        is_final: true,
    },
    Said {
        number: "95",
        author: super::cast::JOSS,
        identification: "adult, one individual so far",
        date_words: "",
        years: (0, 0),
        material: "cremated bone",
        parallels: "none",
        basis: "215 fragments looked at; no element doubled",
        is_final: false,
    },
];
