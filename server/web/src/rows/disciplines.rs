//! The disciplines of a project with their columns.
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;

#[derive(Template)]
#[template(path = "rows/disciplines.html")]
struct DisciplinesPage {
    chrome: Chrome,
    code: String,
    lines: Vec<Line>,
}

struct Line {
    href: String,
    name: String,
    columns: String,
    state: &'static str,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let all = store::rows::disciplines::list(&mut ctx.read().await?, member.project).await?;
    let line = |one: store::rows::disciplines::Discipline| Line {
        href: links::discipline(&code, &one.code),
        columns: one.columns.iter().map(domain::rows::Column::title).collect::<Vec<_>>().join(", "),
        state: match (one.withdrawn, one.revision) {
            (true, _) => "not offered",
            (false, 0) => "as the program brings it",
            (false, _) => "",
        },
        name: one.name,
    };
    let lines = all.into_iter().map(line).collect();
    let page = DisciplinesPage { chrome: ctx.chrome_in(member.project), code: code.clone(), lines };
    Ok(ok(page).into_response())
}
