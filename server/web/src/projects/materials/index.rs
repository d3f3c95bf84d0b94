//! The material groups of a project with their routes.
use crate::context::Ctx;
use crate::error::Answer;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;

#[derive(Template)]
#[template(path = "projects/materials.html")]
struct MaterialsPage {
    chrome: Chrome,
    code: String,
    lines: Vec<Line>,
}

struct Line {
    code: String,
    name: String,
    words: String,
    caution: String,
    /// The stages in order, gates in brackets.
    route: String,
}

pub(crate) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let mut tx = ctx.read().await?;
    let routes = store::projects::list_routes(&mut tx, member.project).await?;
    let groups = store::materials::list(&mut tx, member.project).await?;
    let lines = groups.into_iter().map(|group| Line {
        route: routes.get(&group.code).map(domain::stages::Route::words).unwrap_or_default(),
        words: group.words.replace(',', ", "),
        code: group.code,
        name: group.name,
        caution: group.caution,
    });
    let page = MaterialsPage {
        chrome: ctx.chrome_in(member.project),
        code: member.code.clone(),
        lines: lines.collect(),
    };
    Ok(ok(page).into_response())
}
