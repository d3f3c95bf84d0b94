//! A photograph is taken out of sight, or brought back. The file is kept either way.
use super::{show, tell_journal};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::again;
use crate::path::Path;
use axum::response::IntoResponse;
use domain::ids::ImageId;

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct WithdrawalForm {
    reason: String,
    /// `withdraw` or `return`
    to: String,
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<ImageId>, posted: Posted<WithdrawalForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let image = ctx.image(&mut tx, id).await?;
    let back = posted.form.to == "return";
    let mut errors = Errors::default();
    let missing = if back { "Say why it is shown again." } else { "Say why it is withdrawn." };
    let reason = errors.required("reason", &posted.form.reason, missing);
    if !errors.is_empty() {
        let mut page = show::page(&ctx, &mut tx, image).await?;
        page.reason = posted.form.reason;
        page.errors = errors;
        return Ok(again(page).into_response());
    }
    let (at, kept, did, told) = if back {
        (None, "", "brought back", "The photograph is shown again.")
    } else {
        (
            Some(ctx.now),
            reason.as_str(),
            "withdrew",
            "The photograph is withdrawn. Its file is kept and no longer shown.",
        )
    };
    store::images::update_withdrawn(&mut tx, id, at, kept).await?;
    tell_journal(
        &ctx,
        &mut tx,
        &image,
        "withdrawn",
        &format!("{did} the photograph {}: {reason}", image.file_name),
    )
    .await?;
    ctx.finish(tx, &posted, &links::image_page(id), told).await
}
