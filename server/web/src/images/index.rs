//! All photographs of a find, and the form that adds more.
use super::picture::Picture;
use super::reception::Answered;
use super::typed::Typed;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Asked, Errors};
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::permission::Action;
use store::Tx;
use store::finds::Find;
use store::images::{Image, Withdrawn};

#[derive(Template)]
#[template(path = "images/index.html")]
pub(super) struct ImagesPage {
    chrome: Chrome,
    trail: (String, &'static str),
    find: Find,
    plates: Vec<Plate>,
    may_upload: bool,
    typed: Typed,
    answered: Answered,
    pub nothing_chosen: bool,
    errors: Errors,
    /// Shown to those who may bring them back.
    withdrawn: Vec<Withdrawn>,
    /// Largest sending, in bytes.
    limit_bytes: u64,
    action: String,
}

/// A photograph among those of its find.
struct Plate {
    picture: Picture,
    /// Other finds it shows that this person may see.
    others: Vec<(String, String)>,
}

/// What is asked for behind the question mark stands in the form.
pub(super) async fn index(ctx: Ctx, Path(id): Path<FindId>, Asked(asked): Asked<Typed>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let page = page(&ctx, &mut tx, find).await?;
    let typed = Typed { credit: page.typed.credit, ..asked };
    Ok(ok(ImagesPage { typed, ..page }).into_response())
}

pub(super) async fn page(ctx: &Ctx, tx: &mut Tx, find: Find) -> Answer<ImagesPage> {
    let mut plates = Vec::new();
    for image in store::images::list_seen(tx, &find).await? {
        let others = if image.finds > 1 { visible_finds(ctx, tx, &image).await? } else { Vec::new() };
        let others = others.into_iter().filter(|other| other.id != find.id);
        plates.push(Plate {
            picture: Picture::of(&image, &find.number),
            others: others.map(|other| (links::find(other.id), other.number)).collect(),
        });
    }
    Ok(ImagesPage {
        chrome: ctx.chrome_in(find.project_id),
        trail: ctx.trail_of_finds(find.project_id, &find.project_code),
        may_upload: ctx.actor.may(Action::UploadImages, find.project_id),
        typed: Typed { credit: ctx.actor.name.clone(), ..Typed::default() },
        answered: Answered::default(),
        nothing_chosen: false,
        errors: Errors::default(),
        withdrawn: store::images::list_withdrawn(tx, find.id).await?,
        limit_bytes: ctx.app.config.max_upload_bytes,
        action: links::images_of_find(find.id),
        plates,
        find,
    })
}

/// The finds a photograph shows, as far as this person may see them.
pub(super) async fn visible_finds(ctx: &Ctx, tx: &mut Tx, image: &Image) -> Answer<Vec<Find>> {
    let mut visible = Vec::new();
    for shown in store::images::list_finds(tx, image.id).await? {
        visible.extend(store::finds::find_visible(tx, &ctx.actor, shown.id).await?);
    }
    Ok(visible)
}

impl ImagesPage {
    /// Shows what was typed and what became of the files.
    pub(super) fn sent(&mut self, typed: Typed, errors: Errors, answered: Answered) {
        (self.typed, self.errors, self.answered) = (typed, errors, answered);
    }

    fn limit_mb(&self) -> u64 {
        self.limit_bytes / 1_000_000
    }
}
