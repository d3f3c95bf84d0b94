//! The administrator creates a project and appoints its manager.
use super::appointment::{appoint, place_of};
use super::form::{CONVENTIONS, ProjectForm};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::people::invite;
use askama::Template;
use axum::response::IntoResponse;
use store::journal::{self, Entry};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct NewForm {
    #[serde(flatten)]
    project: ProjectForm,
    email: String,
    manager: String,
}

#[derive(Template)]
#[template(path = "projects/new.html")]
struct NewPage {
    chrome: Chrome,
    form: ProjectForm,
    email: String,
    manager: String,
    conventions: &'static [(&'static str, &'static str)],
    errors: Errors,
}

pub(super) async fn new(ctx: Ctx) -> Answer {
    let form = NewForm { project: ProjectForm::fresh(), ..NewForm::default() };
    Ok(ok(page(&ctx, form, Errors::default())).into_response())
}

pub(super) async fn create(ctx: Ctx, posted: Posted<NewForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let form = posted.form.clone();
    let mut errors = Errors::default();
    let new = form.project.parse(&mut errors);
    if store::projects::find_by_code(&mut tx, &new.code).await?.is_some() {
        errors.add("code", format!("There is a project {} already.", new.code));
    }
    let meant = invite::read(&mut tx, &form.email, ("manager", &form.manager), &mut errors).await?;
    if !errors.is_empty() {
        return Ok(again(page(&ctx, form, errors)).into_response());
    }
    let project = store::projects::insert(&mut tx, &new, ctx.now).await?;
    let words = format!("created the project {} {}", new.code, new.name);
    let entry = Entry {
        project: Some(project),
        verb: "created",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    let manager =
        appoint(&ctx, &mut tx, (project, &new.code), &place_of(&new.name, &new.code), meant).await?;
    let notice = format!("{} is created; {manager} manages it and is told by a letter.", new.code);
    ctx.finish(tx, &posted, links::PROJECTS, &notice).await
}

fn page(ctx: &Ctx, form: NewForm, errors: Errors) -> NewPage {
    NewPage {
        chrome: ctx.chrome(),
        form: form.project,
        email: form.email,
        manager: form.manager,
        conventions: CONVENTIONS,
        errors,
    }
}
