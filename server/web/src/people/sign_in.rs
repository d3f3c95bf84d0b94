//! Signing in and out.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::page::{Chrome, Page, ok};
use crate::{App, links, session};
use askama::Template;
use axum::Form;
use axum::extract::{ConnectInfo, Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{AppendHeaders, IntoResponse, Redirect, Response};
use std::net::{IpAddr, SocketAddr};
use store::sessions::NewSession;

#[derive(Template)]
#[template(path = "people/sign_in.html")]
struct SignInPage {
    chrome: Chrome,
    email: String,
    next: String,
    refused: Option<&'static str>,
}

#[derive(serde::Deserialize)]
pub(super) struct Wanted {
    #[serde(default)]
    next: String,
}

#[derive(serde::Deserialize)]
pub(super) struct SignInForm {
    #[serde(default)]
    email: String,
    #[serde(default)]
    password: String,
    #[serde(default)]
    next: String,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

const WRONG: &str =
    "E-mail address and password do not fit together. Check both; capital letters count in the password.";
const TOO_OFTEN: &str = "Too many attempts. Wait a minute, then try again, or ask for a new password below.";

pub(super) async fn new(Query(wanted): Query<Wanted>) -> impl IntoResponse {
    ok(page(String::new(), wanted.next, None))
}

pub(super) async fn create(
    State(app): State<App>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    headers: HeaderMap,
    Form(form): Form<SignInForm>,
) -> Answer {
    let email = form.email.trim().to_lowercase();
    let from = client_address(&app, peer.ip(), &headers);
    let known = known_browser(&app, &headers, &email);
    if !app.sign_in_limits.allow(&email, from, known) {
        tracing::warn!(%from, "sign-in limited");
        let page = page(form.email, form.next, Some(TOO_OFTEN));
        return Ok(Page(StatusCode::TOO_MANY_REQUESTS, page).into_response());
    }
    let person = store::people::find_by_email(&mut app.db.read().await?, &email).await?;
    let person = person.filter(|p| p.disabled_at.is_none());
    let hash = person.as_ref().and_then(|p| p.password_hash.clone());
    let fits = app.passwords.verify(form.password, hash).await.map_err(AppError::inside)?;
    match person.filter(|_| fits) {
        Some(person) => begin_session(&app, person.id, &email, &form.next).await,
        None => {
            Ok(Page(StatusCode::UNPROCESSABLE_ENTITY, page(form.email, form.next, Some(WRONG)))
                .into_response())
        }
    }
}

pub(super) async fn delete(ctx: Ctx, _posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    store::sessions::delete(&mut tx, &ctx.token_hash).await?;
    tx.commit().await?;
    let cookie = session::set_cookie(&ctx.app.config, session::cookie_name(&ctx.app.config), "", 0);
    Ok(([(header::SET_COOKIE, cookie)], Redirect::to(links::SIGN_IN)).into_response())
}

/// Opens a session and leads to the page that was asked for.
pub(super) async fn begin_session(
    app: &App,
    person: domain::ids::PersonId,
    email: &str,
    next: &str,
) -> Answer<Response> {
    let now = app.clock.now();
    let token = session::fresh_token().map_err(AppError::inside)?;
    let form_token = session::fresh_token().map_err(AppError::inside)?;
    let mut tx = app.db.write().await?;
    let kept = NewSession {
        token_hash: &session::digest(&token),
        person,
        form_token: &form_token,
        expires_at: now + session::ABSOLUTE,
    };
    store::sessions::insert(&mut tx, &kept, now).await?;
    tx.commit().await?;
    let seconds = session::ABSOLUTE.num_seconds();
    let cookies = AppendHeaders([
        (
            header::SET_COOKIE,
            session::set_cookie(&app.config, session::cookie_name(&app.config), &token, seconds),
        ),
        (
            header::SET_COOKIE,
            session::set_cookie(&app.config, KNOWN, &proof(&app.config, email), 180 * 86_400),
        ),
    ]);
    Ok((cookies, Redirect::to(own_path(next))).into_response())
}

/// Only paths of our own are led to.
fn own_path(next: &str) -> &str {
    let ours = next.starts_with('/') && !next.starts_with("//") && !next.contains(['\\', '\n', '\r']);
    if ours { next } else { "/" }
}

/// The cookie of a browser that signed in before.
const KNOWN: &str = "findway-known";

fn proof(config: &crate::config::Config, email: &str) -> String {
    let digest = session::digest(&format!("{}\n{}\n{email}", config.database_url, config.base_url));
    digest.iter().map(|b| format!("{b:02x}")).collect()
}

fn known_browser(app: &App, headers: &HeaderMap, email: &str) -> bool {
    session::cookie(headers, KNOWN).is_some_and(|shown| shown == proof(&app.config, email))
}

/// The visitor's address; a proxy's word is taken only from a trusted proxy.
fn client_address(app: &App, peer: IpAddr, headers: &HeaderMap) -> IpAddr {
    if !app.config.trusted_proxies.contains(&peer) {
        return peer;
    }
    let forwarded = headers.get("x-forwarded-for").and_then(|value| value.to_str().ok());
    forwarded.and_then(|list| list.rsplit(',').next()?.trim().parse().ok()).unwrap_or(peer)
}

fn page(email: String, next: String, refused: Option<&'static str>) -> SignInPage {
    let chrome = Chrome { program: domain::PROGRAM, ..Chrome::default() };
    SignInPage { chrome, email, next, refused }
}
