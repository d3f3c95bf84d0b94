//! Letters that have not gone out: why, and what to do about it. Their words are shown to nobody.
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters;
use crate::form::Posted;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::LetterId;
use store::letters::{self, Unsent};

/// Most letters on the page.
const MOST: i64 = 200;

#[derive(Template)]
#[template(path = "people/letters.html")]
struct LettersPage {
    chrome: Chrome,
    unsent: Vec<Unsent>,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn index(ctx: Ctx) -> Answer {
    let unsent = letters::list_unsent(&mut ctx.read().await?, MOST).await?;
    Ok(ok(LettersPage { chrome: ctx.chrome(), unsent }).into_response())
}

pub(super) async fn retry(ctx: Ctx, Path(id): Path<LetterId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    letters::update_again(&mut tx, id, ctx.now).await?;
    ctx.finish(tx, &posted, links::LETTERS, "The letter is tried again now.").await
}

pub(super) async fn remove(ctx: Ctx, Path(id): Path<LetterId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    letters::delete_unsent(&mut tx, id).await?;
    ctx.finish(tx, &posted, links::LETTERS, "The letter is thrown away.").await
}
