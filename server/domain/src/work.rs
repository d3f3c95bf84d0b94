//! Records of work at the bench: what each kind adds to the common words, and what is lacking to close it.
use crate::condition::Assessment;
use crate::examination::{Examination, Verdict};
use crate::stages::Stage;
use chrono::NaiveDate;

crate::text_enum! {
    /// What a spot test decided. A test without effect is a result too.
    TestDecision, "decision" {
        Accepted = "accepted", "accepted: may be used on this find";
        Refused = "refused", "refused: not on this find";
    }
}

crate::text_enum! {
    /// What a test did to the original surface.
    EffectOnOriginal, "effect on the original" {
        None = "none", "no visible effect";
        ColourTaken = "colour_taken", "colour on the swab";
        Dulled = "dulled", "surface dulled";
        Softened = "softened", "surface softened";
        SurfaceLost = "surface_lost", "surface lost";
    }
}

/// What a record holds besides done by, method, materials, outcome.
#[derive(Debug, Clone, PartialEq)]
pub enum Detail {
    Plain,
    SpotTest {
        site: String,
        mixture: String,
        dwell_s: Option<i64>,
        effect_on_soiling: String,
        effect_on_original: EffectOnOriginal,
        decision: TestDecision,
    },
    Level {
        level: String,
        layers_to_keep: String,
        stop_point: String,
        decided_by: String,
    },
    WetClean {
        mixture: String,
    },
    /// Masses in g.
    Drying {
        start_mass_g: Option<f64>,
        end_mass_g: Option<f64>,
        end_rule: String,
        checked_by: String,
    },
    Package {
        container: String,
        microclimate: String,
        sealed_on: Option<NaiveDate>,
        next_check_on: Option<NaiveDate>,
    },
    Condition(Box<Assessment>),
    Examination(Box<Examination>),
}

impl Detail {
    /// The mixture used or tested, by its [`key`](crate::solvents::key), where there is one.
    pub fn mixture(&self) -> Option<String> {
        match self {
            Detail::SpotTest { mixture, .. } | Detail::WetClean { mixture } => {
                Some(crate::solvents::key(mixture))
            }
            _ => None,
        }
    }
}

/// A test that harmed the original cannot be accepted (common practice, no source).
pub fn may_accept(effect: EffectOnOriginal) -> bool {
    effect == EffectOnOriginal::None
}

/// The stage a find is marked with after a finished or unfinished record.
///
/// A refused test leaves the stage in hand: another mixture may do. A level waits for its authorisation.
pub fn closes_stage(stage: Stage, finished: bool, detail: &Detail) -> bool {
    match detail {
        Detail::SpotTest { decision, .. } => finished && *decision == TestDecision::Accepted,
        Detail::Level { .. } => false,
        // What could not be carried out opens nothing: a lead lifts the gate, or the stage is marked as not needed.
        Detail::Examination(examination) => finished && examination.verdict != Verdict::NotPossible,
        _ => finished && stage.takes_record(),
    }
}
