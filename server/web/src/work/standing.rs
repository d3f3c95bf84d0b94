//! Standing authorisations of a project: given, listed, withdrawn.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{ProjectId, StandingId};
use store::journal::{self, Entry};
use store::projects::Material;
use store::work::standing::{self, NewStanding, Standing};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct StandingForm {
    material: String,
    words: String,
    mixture: String,
    stop_point: String,
}

#[derive(Debug, Clone, Default, serde::Deserialize)]
pub(super) struct Nothing {}

#[derive(Template)]
#[template(path = "work/standing.html")]
struct StandingPage {
    chrome: Chrome,
    code: String,
    standing: Vec<Standing>,
    materials: Vec<Material>,
    form: StandingForm,
    errors: Errors,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let page = page(&ctx, &mut ctx.read().await?, &code, StandingForm::default(), Errors::default()).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<StandingForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let materials = store::projects::list_materials(&mut tx, project).await?;
    let new = match parse(&posted.form, project, &materials) {
        Ok(new) => new,
        Err(errors) => {
            return Ok(again(page(&ctx, &mut tx, &code, posted.form, errors).await?).into_response());
        }
    };
    standing::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    let words = format!(
        "gave a standing authorisation: {}, {}, stop-point: {}",
        new.words, new.mixture, new.stop_point
    );
    journal::append(&mut tx, &entry(&ctx, project, words), ctx.now).await?;
    ctx.finish(tx, &posted, &links::standing(&code), "The standing authorisation is in force.").await
}

pub(super) async fn withdraw(
    ctx: Ctx,
    Path((code, id)): Path<(String, uuid::Uuid)>,
    posted: Posted<Nothing>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let all = standing::list(&mut tx, project).await?;
    let old = all.iter().find(|s| s.id == StandingId(id)).ok_or(AppError::NotFound)?;
    standing::update_withdrawn(&mut tx, project, old.id, ctx.actor.person, ctx.now).await?;
    let words = format!("withdrew the standing authorisation: {}", old.words);
    journal::append(&mut tx, &entry(&ctx, project, words), ctx.now).await?;
    ctx.finish(tx, &posted, &links::standing(&code), "The standing authorisation is withdrawn.").await
}

fn entry(ctx: &Ctx, project: ProjectId, words: String) -> Entry {
    Entry {
        project: Some(project),
        verb: "authorised",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    }
}

fn parse(form: &StandingForm, project: ProjectId, materials: &[Material]) -> Result<NewStanding, Errors> {
    let mut errors = Errors::default();
    if !materials.iter().any(|m| m.code == form.material) {
        errors.add("material", "Choose the material group.");
    }
    let new = NewStanding {
        project,
        material: form.material.clone(),
        words: errors.required("words", &form.words, "Name the class: “sound unpainted ceramic”."),
        mixture: errors.required("mixture", &form.mixture, "Say with what: “water”."),
        stop_point: errors.required("stop_point", &form.stop_point, "Say where to stop: “at the slip”."),
    };
    if errors.is_empty() { Ok(new) } else { Err(errors) }
}

async fn page(
    ctx: &Ctx,
    tx: &mut store::Tx,
    code: &str,
    form: StandingForm,
    errors: Errors,
) -> Answer<StandingPage> {
    let project = ctx.project(code)?.project;
    Ok(StandingPage {
        chrome: ctx.chrome_in(project),
        code: code.to_owned(),
        standing: standing::list(tx, project).await?,
        materials: store::projects::list_materials(tx, project).await?,
        form,
        errors,
    })
}
