//! An attachment's bytes, as a file to be saved: no browser is told that it could be a page.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::images::disposition;
use crate::path::Path;
use axum::body::Body;
use axum::http::header;
use axum::response::IntoResponse;
use domain::ids::AttachmentId;
use media::{Checksum, Document, MediaError};
use store::Tx;
use store::attachments::Attachment;

pub(super) async fn show(ctx: Ctx, Path(id): Path<AttachmentId>) -> Answer {
    let kept = load(&ctx, &mut ctx.read().await?, id).await?;
    if kept.withdrawn_at.is_some() {
        return Err(AppError::NotFound);
    }
    let checksum: Checksum = kept.sha256.parse().map_err(AppError::inside)?;
    let kind = Document::of_ending(&kept.kind)
        .ok_or_else(|| AppError::inside("an attachment of an unknown kind"))?;
    let reading = ctx.app.files.read(checksum).await;
    let reading = match reading {
        Err(MediaError::Missing(_)) => return Err(AppError::NotFound),
        other => other.map_err(AppError::inside)?,
    };
    let length = reading.size_bytes;
    let pieces = futures_util::stream::try_unfold(reading, |mut reading| async move {
        Ok::<_, MediaError>(reading.next_chunk().await?.map(|piece| (piece, reading)))
    });
    let headers = [
        (header::CONTENT_TYPE, kind.mime().to_owned()),
        (header::CONTENT_DISPOSITION, disposition(&kept.file_name, &[kind.ending()])),
        (header::CACHE_CONTROL, "private, no-cache".to_owned()),
        (header::CONTENT_LENGTH, length.to_string()),
    ];
    Ok((headers, Body::from_stream(pieces)).into_response())
}

/// Gates 2 and 1 for an attachment.
pub(super) async fn load(ctx: &Ctx, tx: &mut Tx, id: AttachmentId) -> Answer<Attachment> {
    let kept = store::attachments::find_visible(tx, &ctx.actor, id).await?.ok_or(AppError::NotFound)?;
    ctx.allow(kept.project_id)?;
    Ok(kept)
}
