//! Object groups: finds that were one thing or belong together.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::path::Path;
use crate::work::enter::find_entry;
use domain::ids::{FindId, GroupId};
use store::{groups, journal};

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct GroupForm {
    name: String,
}

/// Lays a find to a group, which is made when the project has none of that name.
pub(super) async fn join(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<GroupForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let mut errors = Errors::default();
    let name = errors.required("name", &posted.form.name, "Give the group a name: “chest in context 214”.");
    if let Some((_, sentence)) = errors.list().first() {
        return Ok(ctx.lead_on(&links::find(id), sentence));
    }
    let group = match groups::find_by_name(&mut tx, find.project_id, &name).await? {
        Some(group) => group.id,
        None => groups::insert(&mut tx, find.project_id, &name, "", ctx.now).await?,
    };
    groups::insert_member(&mut tx, group, id).await?;
    journal::append(
        &mut tx,
        &find_entry(&ctx, &find, "grouped", format!("laid to the group {name}")),
        ctx.now,
    )
    .await?;
    ctx.finish(tx, &posted, &links::find(id), &format!("{} belongs to {name} now.", find.number)).await
}

#[derive(Debug, Default, serde::Deserialize)]
pub(super) struct Nothing {}

/// Takes a find out of a group.
pub(super) async fn leave(
    ctx: Ctx,
    Path((id, group)): Path<(FindId, GroupId)>,
    posted: Posted<Nothing>,
) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let group = groups::find(&mut tx, group)
        .await?
        .filter(|g| g.project_id == find.project_id)
        .ok_or(AppError::NotFound)?;
    groups::delete_member(&mut tx, group.id, id).await?;
    let entry = find_entry(&ctx, &find, "grouped", format!("taken out of the group {}", group.name));
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(
        tx,
        &posted,
        &links::find(id),
        &format!("{} no longer belongs to {}.", find.number, group.name),
    )
    .await
}
