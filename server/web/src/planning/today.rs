//! Today: what waits for this person, most urgent first.
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::page::{Chrome, ProjectName, ok};
use askama::Template;
use axum::response::{IntoResponse, Redirect};
use domain::permission::Action;

#[derive(Template)]
#[template(path = "planning/today.html")]
struct TodayPage {
    chrome: Chrome,
    projects: Vec<ProjectName>,
}

/// Leads to the page this person starts from.
pub(super) async fn start(ctx: Ctx) -> Redirect {
    let only_specialist = ctx.actor.may_somewhere(Action::WriteOpinion) && !ctx.actor.may_somewhere(Action::ViewProject);
    Redirect::to(if only_specialist { links::MY_FINDS } else { links::TODAY })
}

pub(super) async fn show(ctx: Ctx) -> Answer {
    let chrome = ctx.chrome();
    let projects = chrome.projects.clone();
    Ok(ok(TodayPage { chrome, projects }).into_response())
}
