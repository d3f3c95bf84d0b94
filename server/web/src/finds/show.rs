//! The find page: a lab notebook opened flat.
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters;
use crate::page::{Chrome, ok};
use askama::Template;
use axum::extract::Path;
use axum::response::IntoResponse;
use domain::ids::FindId;
use store::finds::Find;
use store::journal::Line;

/// Journal lines shown on the page.
const LINES: i64 = 100;

#[derive(Template)]
#[template(path = "finds/show.html")]
struct FindPage {
    chrome: Chrome,
    find: Find,
    route: Vec<Step>,
    journal: Vec<Line>,
}

/// One stage of the route with its word.
struct Step {
    stage: &'static str,
    state: &'static str,
    current: bool,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let progress = store::finds::progress::find_progress(&mut tx, id).await?;
    let journal = store::journal::list_of_find(&mut tx, id, LINES).await?;
    let current = progress.current().0;
    let step = |stage| Step { stage: domain::stages::Stage::label(stage), state: progress.state(stage).label(), current: stage == current };
    let route = progress.route.0.iter().map(|s| step(s.stage)).collect();
    let chrome = ctx.chrome_in(find.project_id);
    Ok(ok(FindPage { chrome, find, route, journal }).into_response())
}
