//! What can be drawn, under which word, and how large it usually is.
use super::bench::Bench;
use super::objects::*;

macro_rules! kinds {
    ($($(#[$meta:meta])* $name:ident = $code:literal, ($w:literal, $h:literal), $draw:path;)+) => {
        /// What can be drawn.
        #[derive(Debug, Clone, Copy, PartialEq, Eq, Hash)]
        pub enum Kind { $($(#[$meta])* $name),+ }

        impl Kind {
            /// Everything that can be drawn.
            pub const ALL: &'static [Kind] = &[$(Kind::$name),+];

            /// Its word.
            pub const fn code(self) -> &'static str { match self { $(Kind::$name => $code),+ } }

            /// Usual width and height as it lies, in mm.
            pub const fn usual_mm(self) -> (f32, f32) { match self { $(Kind::$name => ($w, $h)),+ } }

            pub(super) fn lay(self, bench: &mut Bench) { match self { $(Kind::$name => $draw(bench)),+ } }
        }
    };
}

kinds! {
    /// A carved panel with a draped figure, its head lost, traces of red in the folds.
    AlabasterPanel = "alabaster_panel", (176.0, 252.0), stone::alabaster_panel;
    /// A length of moulded limestone.
    MouldedStone = "moulded_stone", (230.0, 150.0), stone::moulded_stone;
    /// A rim fragment of a glass vessel.
    GlassRim = "glass_rim", (52.0, 40.0), glass::rim;
    /// A pane of window glass with painted lines.
    Quarry = "quarry", (74.0, 92.0), glass::quarry;
    /// A shapeless piece of vessel or window glass.
    GlassShard = "glass_shard", (34.0, 30.0), glass::shard;
    /// A ring brooch with its pin.
    RingBrooch = "ring_brooch", (42.0, 42.0), copper::ring_brooch;
    /// A brooch with a bow and a wide head.
    BowBrooch = "bow_brooch", (34.0, 62.0), copper::bow_brooch;
    Buckle = "buckle", (60.0, 36.0), copper::buckle;
    DressPin = "dress_pin", (68.0, 8.0), copper::dress_pin;
    Nail = "nail", (86.0, 24.0), iron::nail;
    Knife = "knife", (150.0, 30.0), iron::knife;
    Key = "key", (104.0, 42.0), iron::key;
    /// Something within a concretion: only the X-ray tells.
    Lump = "lump", (90.0, 70.0), iron::lump;
    LeadCame = "lead_came", (120.0, 60.0), lead::came;
    LeadWeight = "lead_weight", (40.0, 40.0), lead::weight;
    RimSherd = "rim_sherd", (104.0, 76.0), pottery::rim_sherd;
    BodySherd = "body_sherd", (78.0, 64.0), pottery::body_sherd;
    RedGlossSherd = "red_gloss_sherd", (72.0, 52.0), pottery::red_gloss_sherd;
    WallPlaster = "wall_plaster", (120.0, 96.0), building::wall_plaster;
    Brick = "brick", (190.0, 112.0), building::brick;
    FloorTile = "floor_tile", (118.0, 118.0), building::floor_tile;
    RoofTile = "roof_tile", (168.0, 220.0), building::roof_tile;
    Comb = "comb", (112.0, 48.0), bone::comb;
    BonePin = "bone_pin", (92.0, 9.0), bone::pin;
    AnimalBone = "animal_bone", (170.0, 48.0), bone::animal_bone;
    OysterShell = "oyster_shell", (82.0, 74.0), bone::oyster_shell;
    ShoeSole = "shoe_sole", (250.0, 92.0), organic::shoe_sole;
    Bowl = "bowl", (182.0, 182.0), wood::bowl;
    Textile = "textile", (92.0, 72.0), organic::textile;
    /// Cremation: a lidded urn, nothing more.
    Urn = "urn", (190.0, 236.0), urn::urn;
    /// Human remains are shown as the closed box that holds them.
    ClosedBox = "closed_box", (300.0, 200.0), urn::closed_box;
    RomanCoin = "roman_coin", (21.0, 21.0), coin::radiate;
    PennyCoin = "penny_coin", (19.0, 19.0), coin::long_cross;
    FingerRing = "finger_ring", (23.0, 25.0), coin::finger_ring;
    AmberBead = "amber_bead", (17.0, 15.0), bead::amber;
    JetBead = "jet_bead", (18.0, 14.0), bead::jet;
    /// An iron blade in a bone handle.
    HandledKnife = "handled_knife", (176.0, 26.0), iron::handled_knife;
}
