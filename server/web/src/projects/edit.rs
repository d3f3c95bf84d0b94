//! Changing a project; two people at once are shown both versions.
use super::form::{CONVENTIONS, ProjectForm};
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use store::Tx;
use store::journal::{self, Entry};
use store::projects::Project;

#[derive(Template)]
#[template(path = "projects/edit.html")]
struct EditPage {
    chrome: Chrome,
    code: String,
    form: ProjectForm,
    conventions: &'static [(&'static str, &'static str)],
    errors: Errors,
    conflict: Option<Conflict>,
}

pub(super) async fn edit(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let project = load(&ctx, &mut ctx.read().await?, &code).await?;
    Ok(ok(page(&ctx, &project, ProjectForm::of(&project))).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(code): Path<String>, posted: Posted<ProjectForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let project = load(&ctx, &mut tx, &code).await?;
    let kept = ProjectForm::of(&project);
    let mut form = ProjectForm { code: kept.code.clone(), ..posted.form.clone() };
    if !form.take.is_empty() || form.revision != kept.revision {
        form.take_over(&kept);
        let conflict = Some(Conflict::between(&form.fields(), &kept.fields()));
        let page = EditPage { conflict, ..page(&ctx, &project, form) };
        return Ok((StatusCode::CONFLICT, ok(page)).into_response());
    }
    let mut errors = Errors::default();
    let new = form.parse(&mut errors);
    if !errors.is_empty() {
        let page = EditPage { errors, ..page(&ctx, &project, form) };
        return Ok(again(page).into_response());
    }
    store::projects::update(&mut tx, project.id, &new, project.revision).await?;
    let pairs = kept.fields().into_iter().zip(form.fields());
    let changed: Vec<&str> = pairs.filter(|(old, new)| old.2 != new.2).map(|(old, _)| old.1).collect();
    let words = match changed.as_slice() {
        [] => "saved the project without a change".to_owned(),
        some => format!("changed the project: {}", some.join(", ").to_lowercase()),
    };
    let entry = Entry {
        project: Some(project.id),
        verb: "changed",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(tx, &posted, &links::project(&project.code), "The project is saved.").await
}

async fn load(ctx: &Ctx, tx: &mut Tx, code: &str) -> Answer<Project> {
    let project = ctx.project(code)?.project;
    store::projects::find(tx, project).await?.ok_or(AppError::NotFound)
}

fn page(ctx: &Ctx, project: &Project, form: ProjectForm) -> EditPage {
    EditPage {
        chrome: ctx.chrome_in(project.id),
        code: project.code.clone(),
        form,
        conventions: CONVENTIONS,
        errors: Errors::default(),
        conflict: None,
    }
}
