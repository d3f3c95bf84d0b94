//! A drop of many files: sorted to the finds by the numbers in their names, the rest kept in the tray.
use super::reception::{Aim, Answered, Reception};
use super::typed::Typed;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_count;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::extract::Multipart;
use axum::extract::multipart::MultipartRejection;
use axum::response::IntoResponse;

/// Files that were known already and are called by their names.
const NAMED: usize = 8;

#[derive(Template)]
#[template(path = "images/drop.html")]
struct DropPage {
    chrome: Chrome,
    code: String,
    typed: Typed,
    answered: Answered,
    nothing_chosen: bool,
    errors: Errors,
    limit_mb: u64,
    action: String,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let typed = Typed { credit: ctx.actor.name.clone(), ..Typed::default() };
    Ok(ok(page(&ctx, code, typed, Answered::default())?).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path(code): Path<String>,
    parts: Result<Multipart, MultipartRejection>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut parts = parts.map_err(|_| AppError::Unreadable("The form could not be read.".into()))?;
    let mut reception = Reception::new(&ctx, Aim::Sorted { project, code: &code });
    reception.take(&mut parts).await?;
    let Reception { typed, errors, submission, answered, .. } = reception;
    let posted = Posted { form: (), submission, body: Default::default() };
    let to = links::tray(&code);
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    if !errors.is_empty() || answered.is_empty() || !answered.refused.is_empty() {
        if !answered.is_empty() {
            store::submissions::insert(&mut tx, submission, ctx.actor.person, &to, ctx.now).await?;
            tx.commit().await?;
        }
        let nothing_chosen = answered.is_empty() && errors.is_empty();
        let page = page(&ctx, code, typed, answered)?;
        return Ok(again(DropPage { errors, nothing_chosen, ..page }).into_response());
    }
    let told = in_words(&answered);
    ctx.finish(tx, &posted, &to, &told).await
}

/// What became of the files: “99 files sorted to finds by their names. 5 wait in the tray.”
fn in_words(answered: &Answered) -> String {
    let count = |n: usize| show_count(i64::try_from(n).unwrap_or(i64::MAX));
    let sorted = answered.added.len() - answered.in_tray;
    let mut sentences = Vec::new();
    match sorted {
        0 => {}
        1 => sentences.push("1 file sorted to its find by its name.".to_owned()),
        n => sentences.push(format!("{} files sorted to finds by their names.", count(n))),
    }
    match answered.in_tray {
        0 => {}
        1 => sentences.push("1 waits in the tray.".into()),
        n => sentences.push(format!("{} wait in the tray.", count(n))),
    }
    match answered.known.as_slice() {
        [] => {}
        [one] => sentences.push(format!("{}: {}", one.name, one.sentence)),
        many => {
            let named: Vec<&str> = many.iter().take(NAMED).map(|known| known.name.as_str()).collect();
            let more = if many.len() > NAMED { " and others" } else { "" };
            sentences.push(format!(
                "{} were in the project already and are kept once: {}{more}.",
                count(many.len()),
                named.join(", ")
            ));
        }
    }
    sentences.join(" ")
}

fn page(ctx: &Ctx, code: String, typed: Typed, answered: Answered) -> Answer<DropPage> {
    Ok(DropPage {
        chrome: ctx.chrome_in(ctx.project(&code)?.project),
        action: links::drop(&code),
        typed,
        answered,
        nothing_chosen: false,
        errors: Errors::default(),
        limit_mb: ctx.app.config.max_upload_bytes / 1_000_000,
        code,
    })
}
