//! Gates: what must be on record before a stage may begin. Data on the route, judged in this one place.
use super::{Progress, Stage, StageState};
use crate::finds::RecoveredState;

crate::text_enum! {
    /// A rule that can stop a find at a stage.
    Gate, "gate" {
        /// Wet cleaning waits for dry cleaning (common practice, no source).
        DryCleanFirst = "dry_clean_first", "dry cleaning first";
        /// A solvent is first tried on a small hidden spot (common practice, no source).
        TestedMixture = "tested_mixture", "accepted spot test";
        /// No cleaning beyond what was agreed: authorisation is asked of any treatment (Spectrum 5.0, care and conservation).
        AuthorisedLevel = "authorised_level", "authorised cleaning level";
        /// Metal is X-rayed before it is cleaned (English Heritage 2006, guidelines on X-radiography, preface).
        XrayFirst = "xray_first", "X-ray first";
        /// What came damp from the ground, from a bath or from washing is never packed dry before it is dried (common practice,
        /// no source).
        DriedFirst = "dried_first", "finished drying first";
    }
}

/// What the records of one find say, as far as gates ask.
#[derive(Debug, Clone, PartialEq)]
pub struct Facts {
    pub progress: Progress,
    pub recovered_state: RecoveredState,
    /// Mixtures with an accepted spot test on this find and no later refused one, by their [`key`](crate::solvents::key).
    pub accepted_mixtures: Vec<String>,
    /// Whether a cleaning level with a stop-point has been authorised and stands.
    pub level_authorised: bool,
    /// Gates a lead has lifted on this find, with a reason on record.
    pub lifted: Vec<Gate>,
    pub baths: Baths,
}

/// Whether a find lay in desalination baths: it leaves them as wet as it may have left the ground.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Baths {
    Never,
    Before,
    Now,
}

/// What somebody is about to do.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Attempt {
    pub stage: Stage,
    /// The mixture to be used, by its [`key`](crate::solvents::key), where one is used.
    pub mixture: Option<String>,
    /// The mixture of a standing authorisation that names this class of find, by its key, where one is called upon.
    pub standing_mixture: Option<String>,
    /// Pieces of a bulk find that are to go through; `None` is all of it.
    pub pieces: Option<i64>,
}

impl Gate {
    /// What is missing, in a sentence.
    pub const fn sentence(self) -> &'static str {
        match self {
            Gate::DryCleanFirst => {
                "Wet cleaning waits until dry cleaning is done, or marked as not needed with a reason."
            }
            Gate::TestedMixture => {
                "This mixture has no accepted spot test on this find. Test it on a hidden spot first."
            }
            Gate::AuthorisedLevel => "No cleaning level with a stop-point has been authorised for this find.",
            Gate::XrayFirst => "This find is X-rayed before it is cleaned.",
            Gate::DriedFirst => {
                "This find left the ground, a bath or its washing damp or wet: finish its drying before it is packed."
            }
        }
    }

    /// The stage whose record opens the gate.
    pub const fn opened_by(self) -> Stage {
        match self {
            Gate::DryCleanFirst => Stage::DryClean,
            Gate::TestedMixture => Stage::SpotTest,
            Gate::AuthorisedLevel => Stage::CleaningLevel,
            Gate::XrayFirst => Stage::Xray,
            Gate::DriedFirst => Stage::Drying,
        }
    }

    /// The stages a route may set it at.
    pub const fn guards(self) -> &'static [Stage] {
        match self {
            Gate::DryCleanFirst | Gate::TestedMixture => &[Stage::WetClean],
            Gate::AuthorisedLevel => &[Stage::DryClean, Stage::WetClean],
            Gate::XrayFirst => &[Stage::DryClean, Stage::WetClean, Stage::Desalination],
            Gate::DriedFirst => &[Stage::Packing],
        }
    }

    /// Whether the gate stands open for this attempt.
    pub fn is_open(self, facts: &Facts, attempt: &Attempt) -> bool {
        if facts.lifted.contains(&self) {
            return true;
        }
        let progress = &facts.progress;
        match self {
            Gate::DryCleanFirst => {
                progress.is_settled(Stage::DryClean) || attempt.is_ahead_of(progress, Stage::DryClean)
            }
            Gate::TestedMixture => match (&attempt.mixture, &attempt.standing_mixture) {
                (Some(mixture), Some(standing)) if mixture == standing => true,
                (Some(mixture), _) => facts.accepted_mixtures.contains(mixture),
                (None, _) => !facts.accepted_mixtures.is_empty(),
            },
            // A standing authorisation names a mixture: it speaks of washing.
            Gate::AuthorisedLevel => {
                facts.level_authorised
                    || attempt.stage == Stage::WetClean && attempt.standing_mixture.is_some()
            }
            Gate::XrayFirst => progress.is_settled(Stage::Xray),
            Gate::DriedFirst => match (facts.recovered_state, facts.baths) {
                (_, Baths::Now) => false,
                _ if attempt.is_ahead_of(progress, Stage::Drying) => true,
                (RecoveredState::Dry | RecoveredState::Unknown, Baths::Never) => {
                    !progress.was_washed() || progress.is_settled(Stage::Drying)
                }
                _ => progress.state(Stage::Drying) == StageState::Done,
            },
        }
    }
}

impl Attempt {
    /// An attempt at a stage where no mixture plays a part.
    pub fn plain(stage: Stage) -> Self {
        Self { stage, mixture: None, standing_mixture: None, pieces: None }
    }

    /// Whether more pieces have been through an earlier stage than through this one, so many as are to go through now.
    fn is_ahead_of(&self, progress: &Progress, earlier: Stage) -> bool {
        self.pieces.is_some_and(|pieces| {
            progress.quantity_done(earlier) - progress.quantity_done(self.stage) >= pieces
        })
    }

    /// The gates of the route that stop this attempt, all of them.
    pub fn stopped_by(&self, facts: &Facts) -> Vec<Gate> {
        let gates = facts.progress.route.gates(self.stage).iter().copied();
        gates.filter(|gate| !gate.is_open(facts, self)).collect()
    }

    /// How this attempt goes beyond what was agreed: the gates about mixture and level that only a lift lets it through.
    pub fn beyond(&self, facts: &Facts) -> Vec<&'static str> {
        let unlifted = Facts { lifted: Vec::new(), ..facts.clone() };
        let word = |gate| match gate {
            Gate::AuthorisedLevel => Some("No cleaning level was authorised: the gate had been lifted."),
            Gate::TestedMixture => {
                Some("The mixture had no accepted test on this find: the gate had been lifted.")
            }
            _ => None,
        };
        self.stopped_by(&unlifted).into_iter().filter_map(word).collect()
    }
}
