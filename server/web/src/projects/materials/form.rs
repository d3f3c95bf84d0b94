//! The form of a material group: its words, and its route as ticks and positions that work without script.
use crate::form::Errors;
use domain::stages::{Gate, Route, RouteStage, Stage};
use domain::words::fold;
use store::materials::{Group, GroupWords};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(crate) struct GroupForm {
    pub revision: String,
    pub take: String,
    pub name: String,
    pub words: String,
    pub caution: String,
    pub licence: String,
    /// Codes of the stages on the route.
    pub stage: Vec<String>,
    /// A position for each stage that may stand on a route, in their usual order; empty where none was given.
    pub position: Vec<String>,
    /// Gates as `stage:gate`.
    pub gate: Vec<String>,
}

/// A stage as the form shows it.
pub(super) struct StageRow {
    pub code: &'static str,
    pub label: &'static str,
    pub on: bool,
    pub position: String,
    pub gates: Vec<GateTick>,
}

/// A gate that may be set at a stage.
pub(super) struct GateTick {
    pub value: String,
    pub label: &'static str,
    pub ticked: bool,
}

impl GroupForm {
    /// An empty form whose route is the one of a group nobody knows more about.
    pub(super) fn fresh(route: &Route) -> Self {
        Self { revision: "0".into(), ..Self::default() }.with_route(route)
    }

    pub(super) fn of(group: &Group, route: &Route) -> Self {
        let form = Self {
            revision: group.revision.to_string(),
            name: group.name.clone(),
            words: group.words.replace(',', ", "),
            caution: group.caution.clone(),
            licence: group.licence.clone(),
            ..Self::default()
        };
        form.with_route(route)
    }

    pub(super) fn with_route(self, route: &Route) -> Self {
        let on = |wanted: Stage| route.0.iter().position(|s| s.stage == wanted);
        let gates = route
            .0
            .iter()
            .flat_map(|s| s.gates.iter().map(|gate| format!("{}:{}", s.stage.code(), gate.code())));
        Self {
            stage: route.0.iter().map(|s| s.stage.code().to_owned()).collect(),
            position: Route::choosable().map(|s| on(s).map_or(String::new(), |at| at.to_string())).collect(),
            gate: gates.collect(),
            ..self
        }
    }

    pub(super) fn rows(&self) -> Vec<StageRow> {
        let row = |(at, stage): (usize, Stage)| StageRow {
            code: stage.code(),
            label: stage.label(),
            on: self.has(stage),
            position: self.position.get(at).cloned().unwrap_or_default(),
            gates: Gate::ALL
                .iter()
                .filter(|g| g.guards().contains(&stage))
                .map(|g| self.tick(stage, *g))
                .collect(),
        };
        Route::choosable().enumerate().map(row).collect()
    }

    pub(super) fn parse_words(&self, errors: &mut Errors) -> GroupWords {
        let words: Vec<String> =
            self.words.split([',', ';', '\n']).map(fold).filter(|word| !word.is_empty()).collect();
        let words = words.join(",");
        if words.chars().count() > crate::form::TEXT {
            errors.add("words", "These are too many words. Keep those that your registers use.");
        }
        GroupWords {
            name: errors.required("name", &self.name, "Write the name of the group."),
            words,
            caution: errors.text("caution", &self.caution),
            licence: errors.text("licence", &self.licence),
        }
    }

    /// The route ticked in the form, in the order of its positions; stages without one follow in their usual order.
    pub(super) fn parse_route(&self, errors: &mut Errors) -> Route {
        let mut on: Vec<(i64, Stage)> = Vec::new();
        for (at, stage) in Route::choosable().enumerate().filter(|(_, stage)| self.has(*stage)) {
            let typed = self.position.get(at).map_or("", String::as_str);
            let position = errors.whole("route", typed, 1).unwrap_or(i64::MAX);
            on.push((position, stage));
        }
        on.sort_by_key(|(position, _)| *position);
        let first = RouteStage { stage: Stage::Registration, gates: Vec::new() };
        let rest = on.into_iter().map(|(_, stage)| RouteStage { stage, gates: self.gates(stage) });
        let route = Route(std::iter::once(first).chain(rest).collect());
        if let Err(fault) = route.judge() {
            errors.add("route", fault.to_string());
        }
        route
    }

    /// What is compared when two people save: the route counts as one field, told in words.
    pub(super) fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        let route = self.parse_route(&mut Errors::default());
        vec![
            ("name", "Name", self.name.clone()),
            ("words", "Words of registers", self.words.clone()),
            ("caution", "Caution", self.caution.clone()),
            ("licence", "Licence", self.licence.clone()),
            ("whole_route", "Route", route.words()),
        ]
    }

    /// Takes the field asked for over from the kept version; what is sent next starts from that.
    pub(super) fn take_over(&mut self, kept: &GroupForm) {
        match std::mem::take(&mut self.take).as_str() {
            "name" => self.name.clone_from(&kept.name),
            "words" => self.words.clone_from(&kept.words),
            "caution" => self.caution.clone_from(&kept.caution),
            "licence" => self.licence.clone_from(&kept.licence),
            "whole_route" => {
                self.stage.clone_from(&kept.stage);
                self.position.clone_from(&kept.position);
                self.gate.clone_from(&kept.gate);
            }
            _ => {}
        }
        self.revision.clone_from(&kept.revision);
    }

    fn has(&self, stage: Stage) -> bool {
        self.stage.iter().any(|code| code == stage.code())
    }

    fn tick(&self, stage: Stage, gate: Gate) -> GateTick {
        let value = format!("{}:{}", stage.code(), gate.code());
        GateTick { ticked: self.gate.contains(&value), label: gate.label(), value }
    }

    fn gates(&self, stage: Stage) -> Vec<Gate> {
        let set = |gate: &&Gate| gate.guards().contains(&stage) && self.tick(stage, **gate).ticked;
        Gate::ALL.iter().filter(set).copied().collect()
    }
}
