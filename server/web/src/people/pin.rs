//! The PIN that opens the bench on a shared tablet: set with the password, taken away without; what the old one opened ends.
use super::account::{self, ProfileForm};
use super::sign_in::client_address;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::again;
use axum::extract::ConnectInfo;
use axum::http::HeaderMap;
use axum::response::IntoResponse;
use domain::people::pin::judge;
use std::net::SocketAddr;
use store::journal::{self, Entry};

#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct PinForm {
    pin_password: String,
    pin: String,
    pin_again: String,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn update(
    ctx: Ctx,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    headers: HeaderMap,
    posted: Posted<PinForm>,
) -> Answer {
    let mut tx = ctx.read().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let person = account::own(&ctx, &mut tx).await?;
    let from = client_address(&ctx.app.config, peer.ip(), &headers);
    let mut errors = Errors::default();
    let form = &posted.form;
    if !ctx.app.sign_in_limits.allow(&person.email, from, true) {
        errors.add("pin_password", "Too many attempts. Wait a minute, then try again.");
    } else if !verify(&ctx, &form.pin_password, person.password_hash.clone()).await? {
        errors.add("pin_password", "This is not your present password.");
    }
    match judge(form.pin.trim()) {
        Err(why) => errors.add("pin", why.to_string()),
        Ok(()) if form.pin.trim() != form.pin_again.trim() => {
            errors.add("pin_again", "The two are not the same. Type both again.");
        }
        Ok(()) => {}
    }
    if !errors.is_empty() {
        let mut page = account::page(&ctx, &mut tx, &person, ProfileForm::of(&person)).await?;
        page.pin_errors = errors;
        return Ok(again(page).into_response());
    }
    drop(tx);
    let hash = ctx.app.passwords.hash(form.pin.trim().to_owned()).await.map_err(AppError::inside)?;
    let mut tx = ctx.write().await?;
    store::pins::update(&mut tx, person.id, Some(&hash)).await?;
    store::sessions::delete_by_pin(&mut tx, person.id).await?;
    journal::append(&mut tx, &entry(&ctx, "set a PIN for shared tablets"), ctx.now).await?;
    ctx.finish(tx, &posted, links::ACCOUNT, "Your PIN is set. It opens the bench on a shared tablet.").await
}

pub(super) async fn delete(ctx: Ctx, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    store::pins::update(&mut tx, ctx.actor.person, None).await?;
    store::sessions::delete_by_pin(&mut tx, ctx.actor.person).await?;
    journal::append(&mut tx, &entry(&ctx, "took the PIN for shared tablets away"), ctx.now).await?;
    ctx.finish(tx, &posted, links::ACCOUNT, "Your PIN is gone.").await
}

async fn verify(ctx: &Ctx, password: &str, hash: Option<String>) -> Answer<bool> {
    ctx.app.passwords.verify(password.to_owned(), hash).await.map_err(AppError::inside)
}

fn entry(ctx: &Ctx, words: &str) -> Entry {
    Entry { verb: "signed", words: words.into(), by: Some(ctx.actor.person), ..Entry::default() }
}
