//! A photograph's bytes. Never a page: the type is one of three kinds of picture, and browsers are told not to guess.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::path::Path;
use axum::body::{Body, Bytes};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Response};
use domain::ids::ImageId;
use media::{Checksum, Kind, MediaError, Variant};
use store::images::Image;

/// Prints never change, but permissions may: they are kept for an hour.
const KEEP_PRINT: &str = "private, max-age=3600, immutable";
/// Originals are asked for anew each time: who may have which copy can change.
const ASK_AGAIN: &str = "private, no-cache";

pub(super) async fn show(ctx: Ctx, Path((id, size)): Path<(ImageId, String)>, headers: HeaderMap) -> Answer {
    let image = ctx.image(&mut ctx.read().await?, id).await?;
    if image.withdrawn_at.is_some() {
        return Err(AppError::NotFound);
    }
    let checksum: Checksum = image.sha256.parse().map_err(AppError::inside)?;
    let whole = ctx.actor.sees_findspot(image.project_id);
    let tag = match size.as_str() {
        "original" if whole => format!("\"{checksum}\""),
        "original" => format!("\"{checksum}-bare-{}\"", image.revision),
        size => format!("\"{checksum}-{size}\""),
    };
    let same = headers.get(header::IF_NONE_MATCH).is_some_and(|known| known == tag.as_str());
    match (size.as_str(), Variant::of_name(&size)) {
        ("original", _) if same => Ok(unchanged(tag, ASK_AGAIN)),
        ("original", _) if whole => original(&ctx, &image, checksum, tag).await,
        ("original", _) => bare(&ctx, &image, checksum, tag).await,
        (_, Some(_)) if same => Ok(unchanged(tag, KEEP_PRINT)),
        (_, Some(variant)) => print(&ctx, checksum, variant, tag).await,
        _ => Err(AppError::NotFound),
    }
}

/// The print for a screen.
pub(crate) async fn screen(ctx: &Ctx, checksum: Checksum, headers: &HeaderMap) -> Answer {
    let tag = format!("\"{checksum}-{}\"", Variant::Screen.name());
    if headers.get(header::IF_NONE_MATCH).is_some_and(|known| known == tag.as_str()) {
        return Ok(unchanged(tag, KEEP_PRINT));
    }
    print(ctx, checksum, Variant::Screen, tag).await
}

fn unchanged(tag: String, keep: &'static str) -> Response {
    (StatusCode::NOT_MODIFIED, [(header::ETAG, tag), (header::CACHE_CONTROL, keep.to_owned())])
        .into_response()
}

async fn print(ctx: &Ctx, checksum: Checksum, variant: Variant, tag: String) -> Answer {
    let jpeg = jpeg(ctx, checksum, variant).await?;
    let headers = [
        (header::CONTENT_TYPE, Kind::Jpeg.mime().to_owned()),
        (header::CONTENT_DISPOSITION, "inline".to_owned()),
        (header::CACHE_CONTROL, KEEP_PRINT.to_owned()),
        (header::ETAG, tag),
    ];
    Ok((headers, jpeg).into_response())
}

/// A print, made anew where it was lost, as after a restore without prints.
pub(crate) async fn jpeg(ctx: &Ctx, checksum: Checksum, variant: Variant) -> Answer<Bytes> {
    let files = &ctx.app.files;
    match files.derived(checksum, variant).await {
        Err(MediaError::Missing(_)) => {
            ctx.app.darkroom.develop(files, checksum).await.map_err(AppError::inside)?;
            files.derived(checksum, variant).await.map_err(AppError::inside)
        }
        other => other.map_err(AppError::inside),
    }
}

/// The file byte for byte, piece by piece.
async fn original(ctx: &Ctx, image: &Image, checksum: Checksum, tag: String) -> Answer {
    let reading = ctx.app.files.read(checksum).await.map_err(AppError::inside)?;
    let length = reading.size_bytes;
    let pieces = futures_util::stream::try_unfold(reading, |mut reading| async move {
        Ok::<_, MediaError>(reading.next_chunk().await?.map(|piece| (piece, reading)))
    });
    let kind = [Kind::Jpeg, Kind::Png, Kind::Tiff].into_iter().find(|kind| kind.mime() == image.media_type);
    let kind = kind.ok_or_else(|| AppError::inside("a photograph of an unknown kind"))?;
    let mut response = (attachment(image, kind, tag), Body::from_stream(pieces)).into_response();
    response.headers_mut().insert(header::CONTENT_LENGTH, length.into());
    Ok(response)
}

/// The same pixels without the metadata that tell the findspot.
async fn bare(ctx: &Ctx, image: &Image, checksum: Checksum, tag: String) -> Answer {
    let copy =
        ctx.app.darkroom.strip(&ctx.app.files, checksum, &image.credit).await.map_err(AppError::inside)?;
    Ok((attachment(image, copy.kind, tag), copy.bytes).into_response())
}

fn attachment(image: &Image, kind: Kind, tag: String) -> [(header::HeaderName, String); 4] {
    [
        (header::CONTENT_TYPE, kind.mime().to_owned()),
        (header::CONTENT_DISPOSITION, disposition(&image.file_name, endings(kind))),
        (header::CACHE_CONTROL, ASK_AGAIN.to_owned()),
        (header::ETAG, tag),
    ]
}

/// How the name of a picture of that kind may end; the first where it ends otherwise.
pub fn endings(kind: Kind) -> &'static [&'static str] {
    match kind {
        Kind::Jpeg => &["jpg", "jpeg"],
        Kind::Png => &["png"],
        Kind::Tiff => &["tif", "tiff"],
    }
}

/// The header that names a file, in both spellings (RFC 6266, RFC 8187); the ending is that of the real kind.
pub fn disposition(name: &str, endings: &[&'static str]) -> String {
    let ending = name.rsplit_once('.').map(|(_, ending)| ending.to_ascii_lowercase()).unwrap_or_default();
    let fits = endings.contains(&ending.as_str());
    let name = if fits {
        name.to_owned()
    } else {
        format!("{name}.{}", endings.first().copied().unwrap_or_default())
    };
    let plain: String =
        name.chars().map(|c| if c.is_ascii_alphanumeric() || ".-_ ".contains(c) { c } else { '_' }).collect();
    let spelled: String = name
        .bytes()
        .map(|b| {
            if b.is_ascii_alphanumeric() || b".-_".contains(&b) {
                char::from(b).to_string()
            } else {
                format!("%{b:02X}")
            }
        })
        .collect();
    format!("attachment; filename=\"{plain}\"; filename*=UTF-8''{spelled}")
}
