//! Photographs of a find are sent: each file is answered separately, the good ones are kept.
use super::index;
use super::reception::{Aim, Answered, Reception};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::links;
use crate::page::again;
use crate::path::Path;
use axum::extract::Multipart;
use axum::extract::multipart::MultipartRejection;
use axum::response::IntoResponse;
use domain::ids::FindId;

pub(super) async fn create(
    ctx: Ctx,
    Path(id): Path<FindId>,
    parts: Result<Multipart, MultipartRejection>,
) -> Answer {
    let find = ctx.find(&mut ctx.read().await?, id).await?;
    let mut parts = parts.map_err(|_| AppError::Unreadable("The form could not be read.".into()))?;
    let mut reception = Reception::new(&ctx, Aim::Photographs(&find));
    reception.take(&mut parts).await?;
    let Reception { typed, errors, submission, answered, .. } = reception;
    let posted = Posted { form: (), submission, body: Default::default() };
    let to = links::images_of_find(id);
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    if !errors.is_empty() || answered.is_empty() || !answered.refused.is_empty() {
        if !answered.is_empty() {
            store::submissions::insert(&mut tx, submission, ctx.actor.person, &to, ctx.now).await?;
            tx.commit().await?;
            tx = ctx.read().await?;
        }
        let mut page = index::page(&ctx, &mut tx, find).await?;
        page.nothing_chosen = answered.is_empty() && errors.is_empty();
        page.sent(typed, errors, answered);
        return Ok(again(page).into_response());
    }
    ctx.finish(tx, &posted, &to, &answered.in_words()).await
}

impl Answered {
    /// What became of the files when none was refused.
    pub(super) fn in_words(&self) -> String {
        let mut sentences = match self.added.len() {
            0 => Vec::new(),
            1 => vec!["1 photograph added.".to_owned()],
            n => vec![format!("{n} photographs added.")],
        };
        match self.known.as_slice() {
            [] => {}
            [one] => sentences.push(format!("{}: {}", one.name, one.sentence)),
            many => sentences.push(format!(
                "{} were in the project already; each is kept once and shows this find.",
                many.len()
            )),
        }
        sentences.join(" ")
    }
}
