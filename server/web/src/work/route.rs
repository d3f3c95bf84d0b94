//! The route of one find, where it differs from that of its material.
use super::enter::find_entry;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::stages::{Progress, Route, RouteStage, Stage, StageState};
use store::Tx;
use store::finds::{Find, progress};
use store::journal;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct RouteForm {
    /// Codes of the stages on the route.
    stage: Vec<String>,
    /// A position for each stage that may stand on a route, in their usual order; empty where none was given.
    position: Vec<String>,
    reason: String,
    /// Which of the two buttons was pressed: `own`, or `material` to go back to the route of the material.
    choice: String,
}

/// A stage as the form shows it.
struct StageRow {
    code: &'static str,
    label: &'static str,
    on: bool,
    position: String,
    /// What is recorded of it already, in a word.
    state: &'static str,
}

#[derive(Template)]
#[template(path = "work/route.html")]
struct RoutePage {
    chrome: Chrome,
    number: String,
    action: String,
    back: String,
    material: String,
    /// The route of the material in words.
    usual: String,
    own: bool,
    rows: Vec<StageRow>,
    reason: String,
    errors: Errors,
}

/// The route as it is and as the material would have it, with what is recorded of each stage.
struct Ways {
    usual: Route,
    now: Progress,
}

pub(super) async fn edit(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let routes = load(&mut tx, &find).await?;
    let form = RouteForm::of(&routes.now.route, find.own_route_reason.clone().unwrap_or_default());
    Ok(ok(page(&ctx, &find, &routes, form, Errors::default())).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<RouteForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let routes = load(&mut tx, &find).await?;
    let mut errors = Errors::default();
    let reason = errors.required("reason", &posted.form.reason, "Say why this find goes another way.");
    let own =
        if posted.form.choice == "material" { None } else { Some(posted.form.parse(&routes, &mut errors)) };
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &find, &routes, posted.form, errors)).into_response());
    }
    store::finds::update_own_route(&mut tx, id, own.as_ref().map(|route| (route, reason.as_str()))).await?;
    progress::refresh(&mut tx, id, ctx.now).await?;
    let (to, before) = (own.as_ref().unwrap_or(&routes.usual), &routes.now.route);
    let words = format!("changed the route to {}, before {}: {reason}", to.words(), before.words());
    journal::append(&mut tx, &find_entry(&ctx, &find, "route", words), ctx.now).await?;
    ctx.finish(tx, &posted, &links::find(id), "The route is changed.").await
}

async fn load(tx: &mut Tx, find: &Find) -> Answer<Ways> {
    Ok(Ways {
        usual: store::projects::find_route(tx, find.project_id, &find.material).await?,
        now: progress::find_progress(tx, find.id).await?,
    })
}

impl RouteForm {
    fn of(route: &Route, reason: String) -> Self {
        let place = |stage| route.0.iter().position(|s| s.stage == stage);
        Self {
            stage: route.0.iter().map(|s| s.stage.code().to_owned()).collect(),
            position: Route::choosable()
                .map(|s| place(s).map_or(String::new(), |at| at.to_string()))
                .collect(),
            reason,
            choice: String::new(),
        }
    }

    fn has(&self, stage: Stage) -> bool {
        self.stage.iter().any(|code| code == stage.code())
    }

    /// The stages ticked, in the order of their positions, each with the gates its material gives it. A stage with work
    /// on it stays.
    fn parse(&self, routes: &Ways, errors: &mut Errors) -> Route {
        let mut on: Vec<(i64, Stage)> = Vec::new();
        for (at, stage) in Route::choosable().enumerate() {
            if self.has(stage) {
                let typed = self.position.get(at).map_or("", String::as_str);
                on.push((errors.whole("route", typed, 1).unwrap_or(i64::MAX), stage));
            } else if matches!(routes.now.state(stage), StageState::Done | StageState::InHand)
                && routes.now.route.has(stage)
            {
                errors.add("route", format!("Work is recorded on {}: it stays on the route.", stage.label()));
            }
        }
        on.sort_by_key(|(position, _)| *position);
        let stages = std::iter::once(Stage::Registration).chain(on.into_iter().map(|(_, stage)| stage));
        let gates = |stage| routes.usual.gates(stage).to_vec();
        let route = Route(stages.map(|stage| RouteStage { stage, gates: gates(stage) }).collect());
        if let Err(fault) = route.judge() {
            errors.add("route", fault.to_string());
        }
        route
    }

    fn rows(&self, routes: &Ways) -> Vec<StageRow> {
        let row = |(at, stage): (usize, Stage)| StageRow {
            code: stage.code(),
            label: stage.label(),
            on: self.has(stage),
            position: self.position.get(at).cloned().unwrap_or_default(),
            state: if routes.now.route.has(stage) { routes.now.state(stage).label() } else { "" },
        };
        Route::choosable().enumerate().map(row).collect()
    }
}

fn page(ctx: &Ctx, find: &Find, routes: &Ways, form: RouteForm, errors: Errors) -> RoutePage {
    RoutePage {
        chrome: ctx.chrome_in(find.project_id),
        number: find.number.clone(),
        action: links::find_route(find.id),
        back: links::find(find.id),
        material: find.material_name.clone(),
        usual: routes.usual.words(),
        own: find.own_route.is_some(),
        rows: form.rows(routes),
        reason: form.reason,
        errors,
    }
}
