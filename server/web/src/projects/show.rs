//! A project's first page: what it is, what happened lately.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::permission::Action;
use store::journal::Lately;
use store::projects::Project;

#[derive(Template)]
#[template(path = "projects/show.html")]
struct ProjectPage {
    chrome: Chrome,
    project: Project,
    journal: Vec<Lately>,
    edits: bool,
    edits_routes: bool,
    uploads: bool,
    authorises: bool,
}

pub(super) async fn show(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let mut tx = ctx.read().await?;
    let project = store::projects::find(&mut tx, member.project).await?.ok_or(AppError::NotFound)?;
    let told = (member.grants(Action::ListFinds), member.restricted);
    let journal = store::journal::list_of_project(&mut tx, member.project, told, 20).await?;
    let chrome = ctx.chrome_in(member.project);
    let edits = member.grants(Action::EditProject);
    let edits_routes = member.grants(Action::EditRoutes);
    let uploads = member.grants(Action::UploadImages);
    let authorises = member.grants(Action::AuthoriseWork);
    Ok(ok(ProjectPage { chrome, project, journal, edits, edits_routes, uploads, authorises }).into_response())
}
