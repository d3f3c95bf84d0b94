//! What a spot test holds besides its first words: where it is, what carried the mixture, how it is looked at again.
use crate::Instant;
use crate::ids::ImageId;
use chrono::Duration;

crate::text_enum! {
    /// What brings the mixture to the surface.
    Carrier, "carrier" {
        Swab = "swab", "cotton swab, rolled";
        SwabStill = "swab_still", "cotton swab, laid on";
        Tissue = "tissue", "tissue compress";
        Poultice = "poultice", "poultice";
        Gel = "gel", "gel";
        Sponge = "sponge", "sponge";
        Brush = "brush", "brush";
        Drop = "drop", "drop";
    }
}

/// After how long the spot is looked at again (common practice, no source).
const RECHECK_AFTER: Duration = Duration::hours(24);
/// How much earlier a look still counts, so that yesterday afternoon’s test can be looked at this noon (common practice, no
/// source).
const EARLIER: Duration = Duration::hours(4);

/// A point on a photograph, each coordinate in percent of the picture’s side, from its upper left corner.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Spot {
    pub image: ImageId,
    pub x_pct: f64,
    pub y_pct: f64,
}

/// The trial itself.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Trial {
    /// Names and volume percentages; empty for a dry swab and for words outside the table.
    pub parts: Vec<(String, f64)>,
    pub carrier: Option<Carrier>,
    pub swabs: Option<i64>,
    /// How long the mixture stays at work before it has gone.
    pub working_time_s: Option<i64>,
    pub cleared_with: String,
    pub residue: String,
    pub ph: Option<f64>,
    pub spot: Option<Spot>,
}

/// When a test made now is to be looked at again.
pub fn recheck_due(tested_at: Instant) -> Instant {
    tested_at + RECHECK_AFTER
}

/// The earliest look that counts as that.
pub fn recheck_from(due: Instant) -> Instant {
    due - EARLIER
}
