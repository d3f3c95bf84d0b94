//! A photograph's page: the picture, what is known of it, what it shows.
use super::index::visible_finds;
use super::picture::Picture;
use super::words::WordsForm;
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::{self, show_count, show_moment};
use crate::form::Errors;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::ImageId;
use domain::permission::Action;
use store::Tx;
use store::images::Image;

#[derive(Template)]
#[template(path = "images/show.html")]
pub(super) struct ImagePage {
    chrome: Chrome,
    trail: (String, &'static str),
    title: String,
    image: Image,
    picture: Picture,
    facts: Vec<(&'static str, String)>,
    finds: Vec<FindLine>,
    pub form: WordsForm,
    pub numbers: String,
    pub reason: String,
    pub errors: Errors,
    pub conflict: Option<Conflict>,
    may_edit: bool,
    /// Whether the file this person gets is the original to the byte.
    gets_original: bool,
}

/// A find the photograph shows.
struct FindLine {
    href: String,
    number: String,
    words: String,
    gallery: String,
    removal: String,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<ImageId>) -> Answer {
    let mut tx = ctx.read().await?;
    let image = ctx.image(&mut tx, id).await?;
    if image.withdrawn_at.is_some() && !ctx.actor.may(Action::UploadImages, image.project_id) {
        return Err(AppError::NotFound);
    }
    Ok(ok(page(&ctx, &mut tx, image).await?).into_response())
}

pub(super) async fn page(ctx: &Ctx, tx: &mut Tx, image: Image) -> Answer<ImagePage> {
    let finds = visible_finds(ctx, tx, &image).await?;
    let numbers: Vec<&str> = finds.iter().map(|find| find.number.as_str()).collect();
    let title = if numbers.is_empty() {
        image.file_name.clone()
    } else {
        format!("Photograph of {}", numbers.join(", "))
    };
    let gets_original = ctx.actor.sees_findspot(image.project_id);
    Ok(ImagePage {
        chrome: ctx.chrome_in(image.project_id),
        trail: ctx.trail_of_finds(image.project_id, &image.project_code),
        picture: Picture::of(&image, &numbers.join(", ")),
        facts: facts(&image, gets_original),
        form: WordsForm::of(&image),
        numbers: String::new(),
        reason: String::new(),
        errors: Errors::default(),
        conflict: None,
        may_edit: ctx.actor.may(Action::UploadImages, image.project_id),
        gets_original,
        finds: finds
            .iter()
            .map(|find| FindLine {
                href: links::find(find.id),
                number: find.number.clone(),
                words: find.object_type.clone(),
                gallery: links::images_of_find(find.id),
                removal: links::image_find_removal(image.id, find.id),
            })
            .collect(),
        title,
        image,
    })
}

fn facts(image: &Image, sees_findspot: bool) -> Vec<(&'static str, String)> {
    let taken = chrono::NaiveDateTime::parse_from_str(&image.taken_at, "%Y-%m-%d %H:%M:%S").ok();
    let position =
        if image.has_position { "The file tells where it was taken." } else { "The file does not tell." };
    let mut lines = vec![
        ("View", image.view.clone()),
        ("Light", image.light.clone()),
        ("Moment", image.moment.clone()),
        ("Scale", image.scale_mm.map(|mm| format!("{mm} mm")).unwrap_or_default()),
        ("Photographer", image.credit.clone()),
        (
            "Taken",
            taken
                .map(|at| format!("{}, by the camera’s clock", at.format("%-d %b %Y, %H:%M")))
                .unwrap_or_default(),
        ),
        ("Camera", image.camera.clone()),
        ("Findspot", if sees_findspot { position.into() } else { String::new() }),
        ("Size", format!("{} × {} pixels", show_count(image.width_px), show_count(image.height_px))),
        ("File", format!("{}, {}, {}", image.file_name, image.media_type, show_size(image.bytes))),
        ("SHA-256", image.sha256.clone()),
        ("Added", format!("{}, by {}", show_moment(image.uploaded_at), image.uploaded_by)),
    ];
    lines.retain(|(_, words)| !words.is_empty());
    lines
}

/// A file's size in the decimal units of IEC 80000-13: “3.4 MB”, “12 kB”.
#[allow(clippy::cast_precision_loss, reason = "a size of a file in megabytes, for people")]
pub(crate) fn show_size(bytes: i64) -> String {
    match bytes {
        0..1_000 => format!("{bytes} bytes"),
        1_000..1_000_000 => format!("{:.0} kB", bytes as f64 / 1e3),
        _ => format!("{:.1} MB", bytes as f64 / 1e6),
    }
}
