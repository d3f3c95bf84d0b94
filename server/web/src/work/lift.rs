//! Lifting a gate: a lead’s decision, with the reason on record.
use super::enter::find_entry;
use super::hold::{ReasonForm, ReasonPage};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{again, ok};
use crate::path::Path;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::stages::Gate;
use store::finds::Find;
use store::journal;
use store::work::holds;

pub(super) async fn new(ctx: Ctx, Path((id, gate)): Path<(FindId, String)>) -> Answer {
    let gate = read(&gate)?;
    let find = ctx.find(&mut ctx.read().await?, id).await?;
    Ok(ok(page(&ctx, &find, gate, String::new(), Errors::default())).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path((id, gate)): Path<(FindId, String)>,
    posted: Posted<ReasonForm>,
) -> Answer {
    let gate = read(&gate)?;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let mut errors = Errors::default();
    let reason = errors.required(
        "reason",
        posted.form.reason(),
        "A gate is lifted with a reason only; it stays on the record.",
    );
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &find, gate, posted.form.reason().to_owned(), errors)).into_response());
    }
    holds::insert_lift(&mut tx, id, gate, &reason, ctx.actor.person, ctx.now).await?;
    let words = format!("lifted the gate “{}”: {reason}", gate.label());
    journal::append(&mut tx, &find_entry(&ctx, &find, "lifted", words), ctx.now).await?;
    ctx.finish(tx, &posted, &links::find(id), "The gate is lifted for this find.").await
}

fn read(word: &str) -> Answer<Gate> {
    word.parse().map_err(|_| AppError::NotFound)
}

fn page(ctx: &Ctx, find: &Find, gate: Gate, reason: String, errors: Errors) -> ReasonPage {
    ReasonPage {
        chrome: ctx.chrome_in(find.project_id),
        title: format!("Lift the gate “{}” for {}", gate.label(), find.number),
        explanation: format!("{} Lifting it opens it for this find only.", gate.sentence()),
        button: "Lift the gate",
        action: links::lift_new(find.id, gate),
        back: links::find(find.id),
        reason,
        errors,
    }
}
