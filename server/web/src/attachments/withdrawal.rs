//! An attachment is taken out of reach, or brought back. The file is kept either way.
use super::{file, index};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::again;
use crate::path::Path;
use crate::work::enter::find_entry;
use axum::response::IntoResponse;
use domain::ids::AttachmentId;
use store::finds::Find;
use store::journal::{self, Entry};

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct WithdrawalForm {
    reason: String,
    /// `withdraw` or `return`
    to: String,
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<AttachmentId>, posted: Posted<WithdrawalForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let kept = file::load(&ctx, &mut tx, id).await?;
    let mut finds: Vec<Find> = Vec::new();
    for find in store::attachments::list_finds(&mut tx, id).await? {
        finds.extend(store::finds::find_visible(&mut tx, &ctx.actor, find).await?);
    }
    let back = posted.form.to == "return";
    let mut errors = Errors::default();
    let missing = if back { "Say why it is handed out again." } else { "Say why it is withdrawn." };
    let reason = errors.required("reason", &posted.form.reason, missing);
    if !errors.is_empty() {
        let Some(find) = finds.into_iter().next() else {
            return Err(AppError::Unreadable(missing.into()));
        };
        let mut page = index::page(&ctx, &mut tx, find).await?;
        page.errors = errors;
        return Ok(again(page).into_response());
    }
    let (at, did) = if back { (None, "brought back") } else { (Some(ctx.now), "withdrew") };
    let standing_reason = if back { "" } else { reason.as_str() };
    store::attachments::update_withdrawn(&mut tx, id, at, standing_reason).await?;
    let words = format!("{did} the file {}: {reason}", kept.file_name);
    let mut entries: Vec<Entry> =
        finds.iter().map(|find| find_entry(&ctx, find, "withdrawn", words.clone())).collect();
    if entries.is_empty() {
        let (project, by) = (Some(kept.project_id), Some(ctx.actor.person));
        entries.push(Entry { project, find: None, context: None, verb: "withdrawn", words, by });
    }
    journal::append_all(&mut tx, &entries, ctx.now).await?;
    let to = finds.first().map_or_else(|| links::TODAY.to_owned(), |find| links::attachments(find.id));
    let told = if back { "The file is handed out again." } else { "The file is withdrawn. It is kept." };
    ctx.finish(tx, &posted, &to, told).await
}
