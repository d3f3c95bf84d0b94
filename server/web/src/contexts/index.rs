//! The contexts of a project.
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Asked;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::permission::Action;
use store::contexts::Context;

/// Contexts on one page.
const PAGE: i64 = 100;

#[derive(Template)]
#[template(path = "contexts/index.html")]
struct IndexPage {
    chrome: Chrome,
    code: String,
    contexts: Vec<Context>,
    first: bool,
    next: Option<String>,
    may_edit: bool,
}

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct After {
    after: String,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>, Asked(asked): Asked<After>) -> Answer {
    let member = ctx.project(&code)?;
    let after = domain::finds::number::sort_key(&asked.after);
    let mut tx = ctx.read().await?;
    let mut contexts = store::contexts::list(&mut tx, member.project, &after, PAGE + 1).await?;
    let more = contexts.len() > PAGE as usize;
    contexts.truncate(PAGE as usize);
    let next = contexts.last().filter(|_| more).map(|last| {
        let number: String = form_urlencoded::byte_serialize(last.number.as_bytes()).collect();
        format!("{}?after={number}", crate::links::contexts(&code))
    });
    let page = IndexPage {
        chrome: ctx.chrome_in(member.project),
        may_edit: member.grants(Action::EditContexts),
        first: asked.after.is_empty(),
        code,
        contexts,
        next,
    };
    Ok(ok(page).into_response())
}
