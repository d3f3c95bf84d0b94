//! A new password for oneself: the old one is asked, every other session ends.
use super::account::{self, ProfileForm};
use super::invite::desk;
use super::new_password::judge;
use super::sign_in::client_address;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::again;
use axum::extract::ConnectInfo;
use axum::http::HeaderMap;
use axum::response::IntoResponse;
use std::net::SocketAddr;
use store::journal::{self, Entry};
use store::people::Person;

#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct PasswordForm {
    old: String,
    password: String,
    again: String,
}

pub(super) async fn update(
    ctx: Ctx,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    headers: HeaderMap,
    posted: Posted<PasswordForm>,
) -> Answer {
    let mut tx = ctx.read().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let person = account::own(&ctx, &mut tx).await?;
    let from = client_address(&ctx.app.config, peer.ip(), &headers);
    let mut errors = Errors::default();
    if ctx.app.sign_in_limits.allow(&person.email, from, true) {
        judge_both(&ctx, &posted.form, &person, &mut errors).await?;
    } else {
        errors.add("old", "Too many attempts. Wait a minute, then try again.");
    }
    if !errors.is_empty() {
        let mut page = account::page(&ctx, &mut tx, &person, ProfileForm::of(&person)).await?;
        page.password_errors = errors;
        return Ok(again(page).into_response());
    }
    drop(tx);
    let hash = ctx.app.passwords.hash(posted.form.password.clone()).await.map_err(AppError::inside)?;
    let mut tx = ctx.write().await?;
    store::people::update_password(&mut tx, person.id, &hash).await?;
    store::sessions::delete_others(&mut tx, person.id, &ctx.token_hash).await?;
    store::mail_links::update_all_used(&mut tx, person.id, ctx.now).await?;
    desk(&ctx).confirm_password(&mut tx, &person).await?;
    let words = "changed the own password".into();
    let entry = Entry { verb: "signed", words, by: Some(person.id), ..Entry::default() };
    journal::append(&mut tx, &entry, ctx.now).await?;
    let notice = "Your password is changed. Everywhere else you are signed out.";
    ctx.finish(tx, &posted, links::ACCOUNT, notice).await
}

async fn judge_both(ctx: &Ctx, form: &PasswordForm, person: &Person, errors: &mut Errors) -> Answer<()> {
    let fits = ctx.app.passwords.verify(form.old.clone(), person.password_hash.clone()).await;
    if !fits.map_err(AppError::inside)? {
        errors.add("old", "This is not your present password.");
    }
    judge(&form.password, &form.again, &person.email, errors);
    Ok(())
}
