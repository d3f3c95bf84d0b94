//! One account: invited again, closed, opened, made administrator.
use super::invite::desk;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::{IntoResponse, Response};
use domain::ids::PersonId;
use store::Tx;
use store::journal::{self, Entry};
use store::people::Person;

#[derive(Template)]
#[template(path = "people/person.html")]
struct PersonPage {
    chrome: Chrome,
    person: Person,
    own: bool,
    errors: Errors,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct RankForm {
    /// `yes` or `no`.
    administrator: String,
}

const LAST_ADMINISTRATOR: &str =
    "Nobody else is an administrator with a password. Make another person one first.";

pub(super) async fn show(ctx: Ctx, Path(id): Path<PersonId>) -> Answer {
    let person = load(&mut ctx.read().await?, id).await?;
    Ok(ok(page(&ctx, person, Errors::default())).into_response())
}

pub(super) async fn invite(ctx: Ctx, Path(id): Path<PersonId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let person = load(&mut tx, id).await?;
    if person.password_hash.is_some() || person.disabled_at.is_some() {
        return Ok(refused(&ctx, person, "Only an open account without a password is invited."));
    }
    desk(&ctx).invite(&mut tx, &person, "").await?;
    note(&ctx, &mut tx, "invited", format!("invited {} again", person.name)).await?;
    let notice = format!("A fresh invitation to {} is on its way; the earlier link has ended.", person.name);
    ctx.finish(tx, &posted, &links::person(id), &notice).await
}

pub(super) async fn close(ctx: Ctx, Path(id): Path<PersonId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let person = load(&mut tx, id).await?;
    if id == ctx.actor.person {
        return Ok(refused(&ctx, person, "Your own account is closed by another administrator."));
    }
    if person.administrator && store::people::count_other_administrators(&mut tx, id).await? == 0 {
        return Ok(refused(&ctx, person, LAST_ADMINISTRATOR));
    }
    store::people::update_disabled(&mut tx, id, Some(ctx.now)).await?;
    store::sessions::delete_all(&mut tx, id).await?;
    store::mail_links::update_all_used(&mut tx, id, ctx.now).await?;
    note(&ctx, &mut tx, "closed", format!("closed the account of {}", person.name)).await?;
    let notice = format!("The account of {} is closed. What they recorded stays.", person.name);
    ctx.finish(tx, &posted, &links::person(id), &notice).await
}

pub(super) async fn open(ctx: Ctx, Path(id): Path<PersonId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let person = load(&mut tx, id).await?;
    store::people::update_disabled(&mut tx, id, None).await?;
    note(&ctx, &mut tx, "opened", format!("opened the account of {} again", person.name)).await?;
    let notice = format!("The account of {} is open again.", person.name);
    ctx.finish(tx, &posted, &links::person(id), &notice).await
}

pub(super) async fn appoint(ctx: Ctx, Path(id): Path<PersonId>, posted: Posted<RankForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let person = load(&mut tx, id).await?;
    let wanted = match posted.form.administrator.as_str() {
        "yes" => true,
        "no" => false,
        _ => return Ok(refused(&ctx, person, "Say yes or no.")),
    };
    if !wanted && store::people::count_other_administrators(&mut tx, id).await? == 0 {
        return Ok(refused(&ctx, person, LAST_ADMINISTRATOR));
    }
    store::people::update_administrator(&mut tx, id, wanted).await?;
    let (words, notice) = if wanted {
        (
            format!("made {} an administrator", person.name),
            format!("{} is an administrator now.", person.name),
        )
    } else {
        let words = format!("{} is no longer an administrator", person.name);
        (words.clone(), format!("{words}."))
    };
    note(&ctx, &mut tx, "appointed", words).await?;
    let to = if id == ctx.actor.person { links::ACCOUNT.to_owned() } else { links::person(id) };
    ctx.finish(tx, &posted, &to, &notice).await
}

async fn load(tx: &mut Tx, id: PersonId) -> Answer<Person> {
    store::people::find(tx, id).await?.ok_or(AppError::NotFound)
}

async fn note(ctx: &Ctx, tx: &mut Tx, verb: &'static str, words: String) -> Answer<()> {
    let entry = Entry { verb, words, by: Some(ctx.actor.person), ..Entry::default() };
    Ok(journal::append(tx, &entry, ctx.now).await?)
}

fn refused(ctx: &Ctx, person: Person, sentence: &str) -> Response {
    let mut errors = Errors::default();
    errors.add("account", sentence);
    again(page(ctx, person, errors)).into_response()
}

fn page(ctx: &Ctx, person: Person, errors: Errors) -> PersonPage {
    PersonPage { chrome: ctx.chrome(), own: person.id == ctx.actor.person, person, errors }
}
