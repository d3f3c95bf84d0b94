//! Registering a find, singly or as bulk.
use super::form::FindForm;
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::finds::RecoveredState;
use domain::ids::{FindId, ProjectId};
use domain::refusal::Refusal;
use store::Tx;
use store::projects::Material;

#[derive(Template)]
#[template(path = "finds/form.html")]
pub(super) struct FormPage {
    pub chrome: Chrome,
    pub title: String,
    pub action: String,
    pub back: String,
    pub button: &'static str,
    pub fixed_number: bool,
    pub form: FindForm,
    pub errors: Errors,
    pub conflict: Option<Conflict>,
    pub materials: Vec<Material>,
    pub states: &'static [RecoveredState],
    /// Whether coordinates are among the fields.
    pub tells_findspot: bool,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>, Asked(mut form): Asked<FindForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    if form.number.is_empty() {
        form.number = store::finds::next_number(&mut tx, project).await?;
    }
    if form.quantity.is_empty() && form.kind != "bulk" {
        form.quantity = "1".into();
    }
    Ok(ok(page(&ctx, &mut tx, project, &code, form).await?).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<FindForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let materials = store::projects::list_materials(&mut tx, project).await?;
    let today = ctx.now.date_naive();
    let mut parsed = posted.form.parse(&mut tx, project, &materials, today).await?;
    if let Ok(new) = &parsed
        && let Some((_, other)) = store::finds::find_alike(&mut tx, project, &new.number).await?
    {
        let mut errors = Errors::default();
        errors.add("number", Refusal::of_number(&new.number, &other).to_string());
        parsed = Err(errors);
    }
    let errors = match parsed {
        Ok(new) => {
            let id = store::finds::insert(&mut tx, project, &new, Some(ctx.actor.person), ctx.now).await?;
            let told = format!("{} is registered.", new.number);
            let (to, told) = within_sight(&ctx, (project, &code), (id, new.restricted), told);
            return ctx.finish(tx, &posted, &to, &told).await;
        }
        Err(errors) => errors,
    };
    let mut page = page(&ctx, &mut tx, project, &code, posted.form).await?;
    page.errors = errors;
    Ok(again(page).into_response())
}

/// Where a saved find is seen, and what is told: whoever may not see it now that it is restricted goes on from the list.
pub(super) fn within_sight(
    ctx: &Ctx,
    (project, code): (ProjectId, &str),
    (find, restricted): (FindId, bool),
    told: String,
) -> (String, String) {
    if !restricted || ctx.actor.sees_restricted(project) {
        return (links::find(find), told);
    }
    let told = format!("{told} It is restricted: only those see it who may see restricted finds.");
    (links::finds(code), told)
}

async fn page(ctx: &Ctx, tx: &mut Tx, project: ProjectId, code: &str, form: FindForm) -> Answer<FormPage> {
    Ok(FormPage {
        chrome: ctx.chrome_in(project),
        title: "Register a find".into(),
        action: links::find_new(code),
        back: links::finds(code),
        button: "Register",
        fixed_number: false,
        form,
        errors: Errors::default(),
        conflict: None,
        materials: store::projects::list_materials(tx, project).await?,
        states: RecoveredState::ALL,
        tells_findspot: true,
    })
}
