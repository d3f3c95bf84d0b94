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
use store::letters::{self, Sent, Unsent};

/// Most letters on the page.
const MOST: i64 = 200;
/// Letters that went out, shown beside them.
const MOST_SENT: i64 = 50;

#[derive(Template)]
#[template(path = "people/letters.html")]
struct LettersPage {
    chrome: Chrome,
    unsent: Vec<Unsent>,
    sent: Vec<Sent>,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn index(ctx: Ctx) -> Answer {
    let mut tx = ctx.read().await?;
    let unsent = letters::list_unsent(&mut tx, MOST).await?;
    let sent = letters::list_sent(&mut tx, MOST_SENT).await?;
    Ok(ok(LettersPage { chrome: ctx.chrome(), unsent, sent }).into_response())
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
