//! A forgotten password: a letter with a link, and the same answer whether the address is known or not.
use super::door;
use super::sign_in::{client_address, try_again};
use crate::App;
use crate::error::Answer;
use crate::form::Errors;
use crate::letters::Desk;
use crate::page::{Chrome, Page, again, ok};
use askama::Template;
use axum::Form;
use axum::extract::{ConnectInfo, State};
use axum::http::{HeaderMap, StatusCode};
use axum::response::IntoResponse;
use chrono::Duration;
use domain::people::email;
use domain::people::link::LinkPurpose;
use std::net::SocketAddr;

/// Every answer takes at least this long, so that the time tells nothing about the address.
const PATIENCE: std::time::Duration = std::time::Duration::from_millis(400);
/// Letters to one person within the life of a link.
const MOST_LETTERS: i64 = 3;

#[derive(Template)]
#[template(path = "people/forgotten.html")]
struct ForgottenPage {
    chrome: Chrome,
    email: String,
    sent: bool,
    errors: Errors,
}

#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ForgottenForm {
    email: String,
}

pub(super) async fn new() -> impl IntoResponse {
    ok(page(String::new(), false, Errors::default()))
}

pub(super) async fn create(
    State(app): State<App>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    headers: HeaderMap,
    Form(form): Form<ForgottenForm>,
) -> Answer {
    let mut errors = Errors::default();
    if !app.sign_in_limits.allow_letter(client_address(&app.config, peer.ip(), &headers)) {
        errors.add("email", "Too many letters were asked for. Wait a minute, then try again.");
        let page = page(form.email, false, errors);
        return Ok((try_again(), Page(StatusCode::TOO_MANY_REQUESTS, page)).into_response());
    }
    let Some(address) = email::normal(&form.email) else {
        errors.add("email", "Write an e-mail address like name@place.example.");
        return Ok(again(page(form.email, false, errors)).into_response());
    };
    let (outcome, ()) = tokio::join!(offer(&app, &address), tokio::time::sleep(PATIENCE));
    outcome?;
    app.letterbox.ring();
    Ok(ok(page(address, true, errors)).into_response())
}

/// Queues the letter, if the address has an account that is open.
async fn offer(app: &App, address: &str) -> Answer<()> {
    let now = app.clock.now();
    let mut tx = app.db.write().await?;
    let person = store::people::find_by_email(&mut tx, address).await?;
    let Some(person) = person.filter(|person| person.disabled_at.is_none()) else { return Ok(()) };
    let since = now - Duration::hours(1);
    let asked = store::mail_links::count_since(&mut tx, person.id, LinkPurpose::Reset, since).await?;
    if asked >= MOST_LETTERS {
        return Ok(());
    }
    Desk { config: &app.config, now, inviter: domain::PROGRAM }.offer_reset(&mut tx, &person).await?;
    Ok(tx.commit().await?)
}

fn page(email: String, sent: bool, errors: Errors) -> ForgottenPage {
    ForgottenPage { chrome: door(), email, sent, errors }
}
