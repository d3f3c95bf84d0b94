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

/// Why a route will not do.
#[derive(Debug, Clone, PartialEq, Eq, thiserror::Error)]
pub enum RouteFault {
    #[error("A route begins with registration.")]
    NoRegistration,
    #[error("A route needs at least one stage after registration.")]
    NoWork,
    #[error("The stage “{0}” stands on the route twice.")]
    Twice(Stage),
    #[error("“{gate}” at {stage} can only open if {needed} stands before {stage} on the route.")]
    GateWithoutKey { gate: Gate, stage: Stage, needed: Stage },
}

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
    /// Says what is wrong with a route; a sound one has registration first, each stage once, and before every gate the
    /// stage whose record opens it.
    pub fn judge(&self) -> Result<(), RouteFault> {
        if self.0.first().map(|s| s.stage) != Some(Stage::Registration) {
            return Err(RouteFault::NoRegistration);
        }
        if self.0.len() < 2 {
            return Err(RouteFault::NoWork);
        }
        for (position, RouteStage { stage, gates }) in self.0.iter().enumerate() {
            let before = &self.0[..position];
            let stands = |wanted: Stage| before.iter().any(|s| s.stage == wanted);
            if stands(*stage) {
                return Err(RouteFault::Twice(*stage));
            }
            if let Some(gate) = gates.iter().find(|gate| !stands(gate.opened_by())) {
                let needed = gate.opened_by();
                return Err(RouteFault::GateWithoutKey { gate: *gate, stage: *stage, needed });
            }
        }
        Ok(())
    }

    /// The stages that may follow registration, in their usual order.
    pub fn choosable() -> impl Iterator<Item = Stage> {
        Stage::ALL
            .iter()
            .copied()
            .filter(|stage| stage.is_a_stand() && !matches!(stage, Stage::Registration | Stage::Finished))
    }

    /// The route in words: “registration → first-aid packing → wet clean (dry cleaning first)”.
    pub fn words(&self) -> String {
        let stage = |s: &RouteStage| match s.gates.as_slice() {
            [] => s.stage.label().to_owned(),
            gates => {
                let gates: Vec<&str> = gates.iter().map(|gate| gate.label()).collect();
                format!("{} ({})", s.stage.label(), gates.join(", "))
            }
        };
        self.0.iter().map(stage).collect::<Vec<_>>().join(" → ")
    }

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

    /// How many pieces have been through a stage.
    pub fn quantity_done(&self, stage: Stage) -> i64 {
        self.marks.iter().find(|mark| mark.stage == stage).map_or(0, |mark| mark.quantity_done)
    }

    /// Whether wet cleaning has begun on it.
    pub fn was_washed(&self) -> bool {
        matches!(self.state(Stage::WetClean), StageState::InHand | StageState::Done)
    }

    /// Whether the stage is behind the find.
    pub fn is_settled(&self, stage: Stage) -> bool {
        matches!(self.state(stage), StageState::Done | StageState::NotNeeded)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::finds::material::{GROUPS, default_gates};

    fn route(stages: &[(Stage, &[Gate])]) -> Route {
        Route(
            stages.iter().map(|(stage, gates)| RouteStage { stage: *stage, gates: gates.to_vec() }).collect(),
        )
    }

    #[test]
    fn every_default_route_is_sound() {
        for group in GROUPS {
            let stages = group.route.iter();
            let stages =
                stages.map(|&stage| RouteStage { stage, gates: default_gates(group.code, stage) }).collect();
            assert_eq!(Route(stages).judge(), Ok(()), "{}", group.name);
        }
    }

    #[test]
    fn a_gate_that_nothing_on_the_route_could_open_is_refused() {
        let no_xray = route(&[(Stage::Registration, &[]), (Stage::DryClean, &[Gate::XrayFirst])]);
        let fault =
            RouteFault::GateWithoutKey { gate: Gate::XrayFirst, stage: Stage::DryClean, needed: Stage::Xray };
        assert_eq!(no_xray.judge(), Err(fault));
    }

    #[test]
    fn a_route_begins_with_registration_and_names_each_stage_once() {
        assert_eq!(route(&[(Stage::DryClean, &[])]).judge(), Err(RouteFault::NoRegistration));
        assert_eq!(route(&[(Stage::Registration, &[])]).judge(), Err(RouteFault::NoWork));
        let twice = route(&[(Stage::Registration, &[]), (Stage::Packing, &[]), (Stage::Packing, &[])]);
        assert_eq!(twice.judge(), Err(RouteFault::Twice(Stage::Packing)));
    }
}
