//! Makes this browser a tablet that several people share, and ends that again.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::form::{Errors, Posted};
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::{links, session};
use askama::Template;
use axum::http::header;
use axum::response::IntoResponse;
use domain::ids::{PersonId, TabletId};
use domain::permission::Action;
use store::Tx;
use store::journal::{self, Entry};
use store::tablets::Shared;

#[derive(Template)]
#[template(path = "bench/tablets.html")]
struct TabletsPage {
    chrome: Chrome,
    /// The name as typed.
    typed: String,
    errors: Errors,
    here: bool,
    minutes: i64,
    /// How a tablet is named, and who can take it over.
    hint: &'static str,
    /// Those of other people are listed too.
    everybodys: bool,
    tablets: Vec<SharedTablet>,
}

/// A tablet whose sharing this person may end.
struct SharedTablet {
    name: String,
    /// Since when, and by whom when by somebody else.
    since: String,
    ending: String,
}

const FOR_PROJECTS: &str = "“Wet bench, blue cover”. Who works at the bench of your projects and has set a PIN can then take it over.";
const FOR_ALL: &str =
    "“Wet bench, blue cover”. Whoever works at a bench and has set a PIN can then take it over.";

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct TabletForm {
    name: String,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn index(ctx: Ctx) -> Answer {
    let mut tx = ctx.read().await?;
    Ok(ok(page(&ctx, &mut tx, String::new(), Errors::default()).await?).into_response())
}

pub(super) async fn create(ctx: Ctx, posted: Posted<TabletForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let name = errors.required("name", &posted.form.name, "Name the tablet, so that a lost one can be told.");
    if !errors.is_empty() {
        let page = page(&ctx, &mut tx, posted.form.name.clone(), errors).await?;
        return Ok(again(page).into_response());
    }
    let token = session::fresh_token().map_err(AppError::inside)?;
    let (by, hash) = (ctx.actor.person, session::digest(&token));
    let id = store::tablets::insert(&mut tx, &hash, &name, by, ctx.now).await?;
    store::sessions::update_tablet(&mut tx, &ctx.token_hash, id, false).await?;
    journal::append(&mut tx, &entry(&ctx, format!("made a browser a shared tablet: {name}")), ctx.now)
        .await?;
    let words = "This browser is shared now. It locks by itself; whoever has a PIN opens the bench on it.";
    let to = if ctx.actor.may_somewhere(Action::RecordWork) { links::BENCH } else { links::TABLETS };
    let mut reply = ctx.finish(tx, &posted, to, words).await?;
    let config = &ctx.app.config;
    let kept = session::TABLET_KEPT.num_seconds();
    let cookie = session::set_cookie(config, session::tablet_cookie_name(config), &token, kept);
    let cookie = cookie.parse().map_err(AppError::inside)?;
    reply.headers_mut().append(header::SET_COOKIE, cookie);
    Ok(reply)
}

pub(super) async fn end(ctx: Ctx, Path(id): Path<TabletId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    if !store::tablets::update_ended(&mut tx, id, whose(&ctx), ctx.now).await? {
        return Err(AppError::NotFound);
    }
    journal::append(&mut tx, &entry(&ctx, "ended the sharing of a tablet".into()), ctx.now).await?;
    let words = "The tablet is shared no more; who was signed in on it is signed out.";
    ctx.finish(tx, &posted, links::TABLETS, words).await
}

fn entry(ctx: &Ctx, words: String) -> Entry {
    Entry { verb: "signed", words, by: Some(ctx.actor.person), ..Entry::default() }
}

/// Whose tablets this person looks after: an administrator everybody's, so that a lost one can be ended.
fn whose(ctx: &Ctx) -> Option<PersonId> {
    (!ctx.actor.administrator).then_some(ctx.actor.person)
}

async fn page(ctx: &Ctx, tx: &mut Tx, typed: String, errors: Errors) -> Answer<TabletsPage> {
    let tablets = store::tablets::list(tx, whose(ctx)).await?;
    let shared = |tablet: Shared| {
        let since = show_day(tablet.set_at.date_naive());
        let own = tablet.set_by == ctx.actor.person;
        SharedTablet {
            since: if own {
                format!("since {since}")
            } else {
                format!("since {since}, by {}", tablet.sharer)
            },
            ending: links::tablet_ending(tablet.id),
            name: tablet.name,
        }
    };
    Ok(TabletsPage {
        chrome: ctx.chrome(),
        typed,
        errors,
        here: ctx.tablet,
        minutes: ctx.app.config.tablet_idle.num_minutes(),
        hint: if ctx.actor.administrator { FOR_ALL } else { FOR_PROJECTS },
        everybodys: ctx.actor.administrator,
        tablets: tablets.into_iter().map(shared).collect(),
    })
}
