//! A project's first page: what it is, what happened lately.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::permission::Action;
use store::journal::{Lately, Told};
use store::projects::Project;

#[derive(Template)]
#[template(path = "projects/show.html")]
struct ProjectPage {
    chrome: Chrome,
    project: Project,
    journal: Vec<Lately>,
    edits: bool,
    edits_routes: bool,
    edits_disciplines: bool,
    uploads: bool,
    authorises: bool,
}

pub(super) async fn show(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let mut tx = ctx.read().await?;
    let project = store::projects::find(&mut tx, member.project).await?.ok_or(AppError::NotFound)?;
    let told = Told {
        finds: member.grants(Action::ListFinds),
        restricted: member.restricted,
        opinions: member.grants(Action::ViewOpinions),
        findspot: member.findspot,
    };
    let journal = store::journal::list_of_project(&mut tx, member.project, told, 20).await?;
    let chrome = ctx.chrome_in(member.project);
    let edits = member.grants(Action::EditProject);
    let edits_routes = member.grants(Action::EditRoutes);
    let edits_disciplines = member.grants(Action::EditDisciplines);
    let uploads = member.grants(Action::UploadImages);
    let authorises = member.grants(Action::AuthoriseWork);
    let page =
        ProjectPage { chrome, project, journal, edits, edits_routes, edits_disciplines, uploads, authorises };
    Ok(ok(page).into_response())
}
