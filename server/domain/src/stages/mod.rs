//! Stages a find goes through, the route that orders them, and the gates that guard them.
//!
//! - [`route`]: which stages, in which order
//! - [`gate`]: what must be on record before a stage may begin: judged here and nowhere else
mod gate;
mod route;

pub use gate::{Attempt, Baths, Facts, Gate};
pub use route::{Progress, Route, RouteFault, RouteStage, StageMark};

crate::text_enum! {
    /// A fine stage. Gates use these; backlog, labels and filters use the [`Headline`].
    Stage, "stage" {
        Registration = "registration", "registration";
        FirstAid = "first_aid", "first-aid packing";
        Condition = "condition", "condition";
        Xray = "xray", "X-ray";
        /// Looking by any other means, at any time: stands on no route.
        Examination = "examination", "examination";
        DryClean = "dry_clean", "dry clean";
        SpotTest = "spot_test", "spot test";
        CleaningLevel = "cleaning_level", "cleaning level";
        WetClean = "wet_clean", "wet clean";
        Drying = "drying", "drying";
        Desalination = "desalination", "desalination";
        Packing = "packing", "packing";
        Review = "review", "specialist review";
        Settlement = "settlement", "settlement";
        Report = "report", "report";
        Retention = "retention", "retention";
        Deposit = "deposit", "deposit";
        /// After the last stage of the route.
        Finished = "finished", "finished";
    }
}

crate::text_enum! {
    /// The six stages people speak of, and the end.
    Headline, "headline stage" {
        Recovery = "recovery", "recovery";
        DryClean = "dry_clean", "dry clean";
        WetClean = "wet_clean", "wet clean";
        Packing = "packing", "packing";
        Review = "review", "specialist review";
        Report = "report", "report";
        Finished = "finished", "finished";
    }
}

crate::text_enum! {
    /// Where one stage of one find stands.
    StageState, "state of a stage" {
        NotNeeded = "not_needed", "not needed";
        Waiting = "waiting", "waiting";
        Ready = "ready", "ready";
        InHand = "in_hand", "in hand";
        Held = "held", "held";
        Done = "done", "done";
    }
}

impl Stage {
    /// The headline it opens from.
    pub const fn headline(self) -> Headline {
        match self {
            Stage::Registration | Stage::FirstAid | Stage::Condition | Stage::Xray | Stage::Examination => {
                Headline::Recovery
            }
            Stage::DryClean => Headline::DryClean,
            Stage::SpotTest
            | Stage::CleaningLevel
            | Stage::WetClean
            | Stage::Drying
            | Stage::Desalination => Headline::WetClean,
            Stage::Packing => Headline::Packing,
            Stage::Review | Stage::Settlement => Headline::Review,
            Stage::Report | Stage::Retention | Stage::Deposit => Headline::Report,
            Stage::Finished => Headline::Finished,
        }
    }

    /// Stages that a record of work at the bench belongs to.
    pub const fn takes_record(self) -> bool {
        matches!(
            self,
            Stage::FirstAid
                | Stage::Condition
                | Stage::Xray
                | Stage::Examination
                | Stage::DryClean
                | Stage::SpotTest
                | Stage::CleaningLevel
                | Stage::WetClean
                | Stage::Drying
                | Stage::Desalination
                | Stage::Packing
        )
    }

    /// Looking at a find is open at any time; it moves the stage of a route that has it.
    pub const fn only_looks(self) -> bool {
        matches!(self, Stage::Condition | Stage::Xray | Stage::Examination)
    }

    /// Whether a find can stand at it.
    pub const fn is_a_stand(self) -> bool {
        !matches!(self, Stage::Examination)
    }
}

impl Headline {
    /// The fine stages it opens to, in order.
    pub fn stages(self) -> impl Iterator<Item = Stage> {
        Stage::ALL.iter().copied().filter(move |stage| stage.is_a_stand() && stage.headline() == self)
    }
}
