//! The administrator appoints a manager: of a new project, or of one whose manager has gone.
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::people::invite::{self, Meant};
use askama::Template;
use axum::extract::Query;
use axum::response::IntoResponse;
use domain::ids::ProjectId;
use domain::permission::Role;
use store::Tx;
use store::journal::{self, Entry};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AppointmentForm {
    project: String,
    email: String,
    name: String,
}

#[derive(Template)]
#[template(path = "projects/appointment_new.html")]
struct AppointmentPage {
    chrome: Chrome,
    /// Code and name of every project.
    projects: Vec<(String, String)>,
    form: AppointmentForm,
    errors: Errors,
}

pub(super) async fn new(ctx: Ctx, Query(form): Query<AppointmentForm>) -> Answer {
    Ok(ok(page(&ctx, &mut ctx.read().await?, form, Errors::default()).await?).into_response())
}

pub(super) async fn create(ctx: Ctx, posted: Posted<AppointmentForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let form = posted.form.clone();
    let mut errors = Errors::default();
    let project = store::projects::find_by_code(&mut tx, form.project.trim()).await?;
    if project.is_none() {
        errors.add("project", "Choose one of the list.");
    }
    let meant = invite::read(&mut tx, &form.email, ("name", &form.name), &mut errors).await?;
    let Some(project) = project.filter(|_| errors.is_empty()) else {
        return Ok(again(page(&ctx, &mut tx, form, errors).await?).into_response());
    };
    let place = place_of(&project.name, &project.code);
    let manager = appoint(&ctx, &mut tx, (project.id, &project.code), &place, meant).await?;
    let notice = format!("{manager} manages {} now and is told by a letter.", project.code);
    ctx.finish(tx, &posted, links::PROJECTS, &notice).await
}

/// How letters name a project and the manager's role in it.
pub(super) fn place_of(name: &str, code: &str) -> String {
    format!("{name} ({code}) as {}", Role::Manager.label())
}

/// Makes somebody manager of a project; the name of the person.
pub(super) async fn appoint(
    ctx: &Ctx,
    tx: &mut Tx,
    (project, code): (ProjectId, &str),
    place: &str,
    meant: Meant,
) -> Answer<String> {
    let person = invite::take_in(ctx, tx, meant, place, &links::project(code)).await?;
    store::people::insert_role(tx, project, person.id, Role::Manager).await?;
    let words = format!("appointed {} as {}", person.name, Role::Manager.label());
    let entry = Entry {
        project: Some(project),
        verb: "appointed",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    journal::append(tx, &entry, ctx.now).await?;
    Ok(person.name)
}

async fn page(ctx: &Ctx, tx: &mut Tx, form: AppointmentForm, errors: Errors) -> Answer<AppointmentPage> {
    let projects = store::projects::list(tx).await?.into_iter().map(|p| (p.code, p.name)).collect();
    Ok(AppointmentPage { chrome: ctx.chrome(), projects, form, errors })
}
