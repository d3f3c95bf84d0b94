//! The way of a find: the stages of its route and how far it has come.
use super::{Gate, Stage, StageState};

/// One stage of a route with the gates that guard it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct RouteStage {
    pub stage: Stage,
    pub gates: Vec<Gate>,
}

/// Stages in order.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Route(pub Vec<RouteStage>);

/// What is recorded of one stage of one find; a stage without a mark is waiting.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct StageMark {
    pub stage: Stage,
    pub state: StageState,
    /// How many pieces of a bulk find have been through it.
    pub quantity_done: i64,
    pub reason: String,
}

/// A route with the marks a find has earned on it.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Progress {
    pub route: Route,
    pub marks: Vec<StageMark>,
}

impl Route {
    /// The gates guarding a stage; none when it is not on the route.
    pub fn gates(&self, stage: Stage) -> &[Gate] {
        self.0.iter().find(|s| s.stage == stage).map_or(&[], |s| &s.gates)
    }

    /// Whether the stage is on the route.
    pub fn has(&self, stage: Stage) -> bool {
        self.0.iter().any(|s| s.stage == stage)
    }

    /// The stage a newly registered find waits for: the first after registration.
    pub fn first_after_registration(&self) -> Stage {
        self.0.iter().map(|s| s.stage).find(|s| *s != Stage::Registration).unwrap_or(Stage::Finished)
    }
}

impl Progress {
    /// The recorded state of a stage, registration being done by being registered.
    pub fn state(&self, stage: Stage) -> StageState {
        match self.marks.iter().find(|m| m.stage == stage) {
            Some(mark) => mark.state,
            None if stage == Stage::Registration => StageState::Done,
            None if !self.route.has(stage) => StageState::NotNeeded,
            None => StageState::Waiting,
        }
    }

    /// The first stage that is neither done nor not needed, and its state.
    pub fn current(&self) -> (Stage, StageState) {
        self.route
            .0
            .iter()
            .map(|s| (s.stage, self.state(s.stage)))
            .find(|(_, state)| !matches!(state, StageState::Done | StageState::NotNeeded))
            .unwrap_or((Stage::Finished, StageState::Done))
    }

    /// Whether the stage is behind the find.
    pub fn is_settled(&self, stage: Stage) -> bool {
        matches!(self.state(stage), StageState::Done | StageState::NotNeeded)
    }
}
