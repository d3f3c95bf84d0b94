//! Photographs of finds: the way in, the pages, the files.
//!
//! - `reception`: files on their way in, each answered separately
//! - `file`: a photograph's bytes, in three sizes, as they came, or without what would tell the findspot
//! - `picture`: a photograph as pages show it
mod drop;
pub(crate) mod file;
mod finds;
mod index;
mod keeping;
mod order;
pub(crate) mod picture;
pub(crate) mod reception;
mod show;
mod sorting;
mod tray;
mod typed;
mod upload;
mod withdrawal;
mod words;

pub(crate) use file::{disposition, screen};
pub(crate) use picture::Picture;
pub(crate) use reception::{Aim, Answered, Reception, patiently, plain_name, sentence, words};
pub(crate) use show::show_size;
pub(crate) use typed::Typed;

use crate::App;
use crate::context::Ctx;
use crate::error::Answer;
use crate::routes::Routes;
use domain::permission::Action;
use std::time::{Duration, SystemTime};
use store::Tx;
use store::images::Image;
use store::journal::Entry;

/// Longer than any upload may take: what lies longer on its way in was left by a crash.
const LEFT_BEHIND: Duration = Duration::from_secs(2 * 3600);

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get("/finds/{find}/images", Action::ViewImages, index::index)
        .upload_many("/finds/{find}/images", Action::UploadImages, upload::create)
        .post("/finds/{find}/images/order", Action::UploadImages, order::update)
        .get("/projects/{project}/images/new", Action::UploadImages, drop::new)
        .upload_many("/projects/{project}/images/new", Action::UploadImages, drop::create)
        .get("/projects/{project}/tray", Action::UploadImages, tray::index)
        .post("/projects/{project}/tray", Action::UploadImages, tray::update)
        .get("/images/{image}", Action::ViewImages, show::show)
        .post("/images/{image}", Action::UploadImages, words::update)
        .post("/images/{image}/finds", Action::UploadImages, finds::create)
        .post("/images/{image}/finds/{find}/removal", Action::UploadImages, finds::remove)
        .post("/images/{image}/withdrawal", Action::UploadImages, withdrawal::update)
        .get("/images/{image}/{size}", Action::ViewImages, file::show)
}

/// Removes what uploads cut off by a crash left behind.
pub async fn sweep(app: &App) {
    let before = SystemTime::from(app.clock.now()) - LEFT_BEHIND;
    match app.files.sweep(before).await {
        Ok(0) => {}
        Ok(files) => tracing::info!(files, "removed what broken uploads left behind"),
        Err(cause) => tracing::warn!(%cause, "could not look for what broken uploads left behind"),
    }
}

/// Writes a sentence into the journal of every find a photograph shows, or of the project while it shows none.
async fn tell_journal(ctx: &Ctx, tx: &mut Tx, image: &Image, verb: &'static str, words: &str) -> Answer<()> {
    let entry = |find| Entry {
        project: Some(image.project_id),
        find,
        context: None,
        verb,
        words: words.to_owned(),
        by: Some(ctx.actor.person),
    };
    let shown = store::images::list_finds(tx, image.id).await?;
    let mut entries: Vec<Entry> = shown.iter().map(|find| entry(Some(find.id))).collect();
    if entries.is_empty() {
        entries.push(entry(None));
    }
    Ok(store::journal::append_all(tx, &entries, ctx.now).await?)
}
