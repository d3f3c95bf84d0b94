//! The tray: finds laid together to be treated in one entry, kept until the entry is made.
use super::show::laid;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::links;
use domain::ids::FindId;
use store::Tx;
use store::finds::Find;

/// Finds that a tray holds: as many as one record covers.
const MOST: usize = 200;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct TrayForm {
    find: String,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn create(ctx: Ctx, posted: Posted<TrayForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id_of(&posted.form)?).await?;
    let words = match lay(&ctx, &mut tx, &find).await? {
        Ok(words) | Err(words) => words,
    };
    ctx.finish(tx, &posted, &links::bench("tray"), &words).await
}

pub(super) async fn remove(ctx: Ctx, posted: Posted<TrayForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    store::tray::delete(&mut tx, ctx.actor.person, id_of(&posted.form)?).await?;
    ctx.finish(tx, &posted, &links::bench("tray"), "Taken off the tray.").await
}

pub(super) async fn empty(ctx: Ctx, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    store::tray::delete_all(&mut tx, ctx.actor.person).await?;
    ctx.finish(tx, &posted, &links::bench("tray"), "The tray is empty.").await
}

fn id_of(form: &TrayForm) -> Answer<FindId> {
    form.find.parse().map_err(|_| AppError::Unreadable("Say which find; go back and choose it again.".into()))
}

/// Lays a find on the tray of this person; what came of it, or why it stays off.
pub(super) async fn lay(ctx: &Ctx, tx: &mut Tx, find: &Find) -> Answer<Result<String, String>> {
    if find.void_at.is_some() {
        return Ok(Err(format!("{} is void and takes no work.", find.number)));
    }
    if laid(ctx, tx).await?.len() >= MOST {
        return Ok(Err(format!("The tray holds {MOST} finds. Record those first.")));
    }
    let others = laid(ctx, tx).await?.into_iter().find(|other| other.project_id != find.project_id);
    let fresh = store::tray::insert(tx, ctx.actor.person, find.id, ctx.now).await?;
    let there = laid(ctx, tx).await?.len();
    let held = if find.held { " It is on hold." } else { "" };
    let mind = others.map_or(String::new(), |other| {
        format!(
            " Mind the project: {} belongs to {}, other finds on the tray to {}.",
            find.number, find.project_code, other.project_code
        )
    });
    Ok(Ok(match fresh {
        true => format!("{} is on the tray; {there} lie there.{held}{mind}", find.number),
        false => format!("{} lay on the tray already.{held}{mind}", find.number),
    }))
}
