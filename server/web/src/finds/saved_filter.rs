//! Filters kept by name.
use super::filter_form::FilterForm;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::path::Path;
use domain::ids::FilterId;

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct NameForm {
    name: String,
    query: String,
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<NameForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut errors = Errors::default();
    let name = errors.required("name", &posted.form.name, "Give the filter a name, then keep it.");
    let form: FilterForm = serde_html_form::from_str(&posted.form.query).unwrap_or_default();
    let back = format!("{}?{}", links::finds(&code), form.query());
    if let Some((_, sentence)) = errors.list().first() {
        return Ok(ctx.lead_on(&back, sentence));
    }
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    store::saved_filters::insert(&mut tx, project, ctx.actor.person, (&name, &form.query()), ctx.now).await?;
    ctx.finish(tx, &posted, &back, &format!("The filter “{name}” is kept.")).await
}

#[derive(Debug, Default, serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn remove(
    ctx: Ctx,
    Path((code, filter)): Path<(String, uuid::Uuid)>,
    posted: Posted<Nothing>,
) -> Result<axum::response::Response, AppError> {
    ctx.project(&code)?;
    let mut tx = ctx.write().await?;
    store::saved_filters::delete(&mut tx, ctx.actor.person, FilterId(filter)).await?;
    ctx.finish(tx, &posted, &links::finds(&code), "The filter is forgotten.").await
}
