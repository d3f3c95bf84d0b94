//! What a find is: its number, material and state as it left the ground.
pub mod limits;
pub mod material;
pub mod number;

crate::text_enum! {
    /// How wet a find left the ground.
    RecoveredState, "state on recovery" {
        Unknown = "unknown", "not recorded";
        Dry = "dry", "dry";
        Damp = "damp", "damp";
        Wet = "wet", "wet";
    }
}
