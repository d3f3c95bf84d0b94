//! Holds: a find stays where it is until the reason is gone.
use super::enter::find_entry;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{FindId, HoldId};
use store::finds::Find;
use store::journal;
use store::work::holds;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(crate) struct ReasonForm {
    reason: String,
}

#[derive(Template)]
#[template(path = "work/reason_new.html")]
pub(crate) struct ReasonPage {
    pub chrome: Chrome,
    pub title: String,
    pub explanation: String,
    pub button: &'static str,
    pub action: String,
    pub back: String,
    pub reason: String,
    pub errors: Errors,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let find = ctx.find(&mut ctx.read().await?, id).await?;
    Ok(ok(page(&ctx, &find, String::new(), Errors::default())).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<ReasonForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let mut errors = Errors::default();
    let reason =
        errors.required("reason", &posted.form.reason, "Say why, so that others know what to wait for.");
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &find, posted.form.reason, errors)).into_response());
    }
    holds::insert(&mut tx, id, &reason, ctx.actor.person, ctx.now).await?;
    journal::append(&mut tx, &find_entry(&ctx, &find, "held", format!("put on hold: {reason}")), ctx.now)
        .await?;
    ctx.finish(tx, &posted, &links::find(id), "The find is on hold.").await
}

pub(super) async fn release(ctx: Ctx, Path(id): Path<HoldId>, posted: Posted<ReasonForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let hold = holds::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    let find = ctx.find(&mut tx, hold.find_id).await?;
    let reason = Errors::default().line("reason", &posted.form.reason);
    holds::update_released(&mut tx, &hold, &reason, ctx.actor.person, ctx.now).await?;
    let because = if reason.is_empty() { String::new() } else { format!(": {reason}") };
    let words = format!("released from hold ({}){because}", hold.reason);
    journal::append(&mut tx, &find_entry(&ctx, &find, "released", words), ctx.now).await?;
    ctx.finish(tx, &posted, &links::find(find.id), "The hold is released.").await
}

fn page(ctx: &Ctx, find: &Find, reason: String, errors: Errors) -> ReasonPage {
    ReasonPage {
        chrome: ctx.chrome_in(find.project_id),
        title: format!("Put {} on hold", find.number),
        explanation:
            "While it is on hold no stage of the find moves on. Whoever may hold finds may release it.".into(),
        button: "Put on hold",
        action: links::hold_new(find.id),
        back: links::find(find.id),
        reason,
        errors,
    }
}

impl ReasonForm {
    pub(crate) fn reason(&self) -> &str {
        &self.reason
    }
}
