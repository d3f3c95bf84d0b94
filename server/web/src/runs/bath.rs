//! Baths of a desalination run.
use super::form::RunForm;
use super::weighing::look;
use super::{Known, show};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::{show_measure, show_moment};
use crate::form::{Errors, Posted};
use crate::links;
use crate::path::Path;
use domain::clocks::ClockKind;
use domain::ids::{BathId, RunId};
use domain::runs::RunKind;
use store::Tx;
use store::runs::baths;

pub(super) async fn create(ctx: Ctx, Path(id): Path<RunId>, posted: Posted<RunForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = desalination(&ctx, &mut tx, id).await?;
    let standing: Vec<baths::Bath> =
        baths::list(&mut tx, id).await?.into_iter().filter(|bath| bath.withdrawn_why.is_none()).collect();
    let new = match posted.form.bath(&ctx, &known, standing.last().map(|bath| bath.read_at)) {
        Ok(new) => new,
        Err(errors) => return show::wrong(&ctx, &mut tx, &known, posted.form, errors.into()).await,
    };
    baths::insert(&mut tx, id, &new, ctx.actor.person, ctx.now).await?;
    look(&ctx, &mut tx, &known, (ClockKind::Wet, new.read_at)).await?;
    let words = format!(
        "read bath {}: {} µS/cm, blank {} µS/cm, {} L",
        standing.len() + 1,
        show_measure(new.reading_us_cm),
        show_measure(new.blank_us_cm),
        show_measure(new.volume_l)
    );
    known.tell(&ctx, &mut tx, &words).await?;
    ctx.finish(tx, &posted, &links::run(id), "The bath is on record.").await
}

pub(super) async fn withdraw(ctx: Ctx, Path(id): Path<BathId>, posted: Posted<RunForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let run = baths::find_run(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    let known = desalination(&ctx, &mut tx, run).await?;
    let mut errors = Errors::default();
    known.closed_to(&ctx, &mut errors, "baths");
    let why = errors.required("baths", &posted.form.reason, "Say why the bath is withdrawn.");
    if !errors.is_empty() {
        return show::wrong(&ctx, &mut tx, &known, posted.form, errors.into()).await;
    }
    let all = baths::list(&mut tx, run).await?;
    if baths::update_withdrawn(&mut tx, id, &why).await?
        && let Some(bath) = all.iter().find(|bath| bath.id == id)
    {
        let about = format!("{} µS/cm on {}", show_measure(bath.reading_us_cm), show_moment(bath.read_at));
        known.tell(&ctx, &mut tx, &format!("withdrew the bath of {about}: {why}")).await?;
    }
    ctx.finish(tx, &posted, &links::run(run), "The bath is withdrawn; it stays on record.").await
}

async fn desalination(ctx: &Ctx, tx: &mut Tx, id: RunId) -> Answer<Known> {
    Known::of_kind(ctx, tx, (id, RunKind::Desalination)).await
}
