//! Signing in and out.
use crate::config::Config;
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
use domain::ids::{PersonId, TabletId};
use std::net::{IpAddr, SocketAddr};
use store::people::Person;
use store::sessions::NewSession;
use store::tablets::Tablet;
use subtle::ConstantTimeEq;

#[derive(Template)]
#[template(path = "people/sign_in.html")]
struct SignInPage {
    chrome: Chrome,
    email: String,
    next: String,
    refused: Option<&'static str>,
    /// Why somebody who was signed in is asked again.
    note: Option<&'static str>,
}

#[derive(serde::Deserialize)]
pub(super) struct Wanted {
    #[serde(default)]
    next: String,
    #[serde(default)]
    ended: String,
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

const ENDED: &str =
    "Your session has ended. Sign in to go on where you were; a form that you sent meanwhile was not saved.";
const BENCH_ONLY: &str =
    "This asks for your password: a PIN opens work at the bench and the reading of finds, nothing else.";
const RENEWED: &str = "Your new password is set, and you were signed out everywhere. Sign in with it.";

pub(super) async fn new(Query(wanted): Query<Wanted>) -> impl IntoResponse {
    let note = match wanted.ended.as_str() {
        "yes" => Some(ENDED),
        "renewed" => Some(RENEWED),
        "bench" => Some(BENCH_ONLY),
        _ => None,
    };
    ok(SignInPage { note, ..page(String::new(), wanted.next, None) })
}

pub(super) async fn create(
    State(app): State<App>,
    ConnectInfo(peer): ConnectInfo<SocketAddr>,
    headers: HeaderMap,
    Form(form): Form<SignInForm>,
) -> Answer {
    let email = form.email.trim().to_lowercase();
    let from = client_address(&app.config, peer.ip(), &headers);
    let person = store::people::find_by_email(&mut app.db.read().await?, &email).await?;
    let person = person.filter(|p| p.disabled_at.is_none());
    let known = person.as_ref().is_some_and(|p| known_browser(&headers, p));
    if !app.sign_in_limits.allow(&email, from, known) {
        tracing::warn!(%from, "sign-in limited");
        let page = page(form.email, form.next, Some(TOO_OFTEN));
        return Ok((try_again(), Page(StatusCode::TOO_MANY_REQUESTS, page)).into_response());
    }
    let hash = person.as_ref().and_then(|p| p.password_hash.clone());
    let fits = app.passwords.verify(form.password, hash).await.map_err(AppError::inside)?;
    match person.filter(|_| fits) {
        Some(person) => {
            forget_session(&app, &headers).await?;
            let tablet = tablet_of(&app, &headers).await?.map(|tablet| tablet.id);
            begin_session(&app, &person, &form.next, tablet).await
        }
        None => {
            let page = page(form.email, form.next, Some(WRONG));
            Ok(Page(StatusCode::UNPROCESSABLE_ENTITY, page).into_response())
        }
    }
}

/// Tells after how many seconds one more attempt is allowed.
pub(super) fn try_again() -> [(header::HeaderName, &'static str); 1] {
    [(header::RETRY_AFTER, "60")]
}

/// The session a browser brought along ends when another begins.
pub(crate) async fn forget_session(app: &App, headers: &HeaderMap) -> Answer<()> {
    if let Some(token) = session::token_of(headers, &app.config) {
        let mut tx = app.db.write().await?;
        store::sessions::delete(&mut tx, &session::digest(&token)).await?;
        tx.commit().await?;
    }
    Ok(())
}

pub(super) async fn delete(ctx: Ctx, _posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    store::sessions::delete(&mut tx, &ctx.token_hash).await?;
    tx.commit().await?;
    let cookie = session::set_cookie(&ctx.app.config, session::cookie_name(&ctx.app.config), "", 0);
    Ok(([(header::SET_COOKIE, cookie)], Redirect::to(links::SIGN_IN)).into_response())
}

/// Opens a session under a fresh token and leads to the page that was asked for.
pub(super) async fn begin_session(
    app: &App,
    person: &Person,
    next: &str,
    tablet: Option<TabletId>,
) -> Answer<Response> {
    let bound = tablet.map(|tablet| (tablet, false));
    let cookie = open_session(app, person.id, session::ABSOLUTE, bound).await?;
    let cookies = AppendHeaders([
        (header::SET_COOKIE, cookie),
        (header::SET_COOKIE, known_cookie(&app.config, person)),
    ]);
    Ok((cookies, Redirect::to(own_path(next))).into_response())
}

/// Opens a session; on a shared tablet bound to it, and with `true` reaching the bench only. The cookie that carries it.
pub(crate) async fn open_session(
    app: &App,
    person: PersonId,
    lasts: chrono::Duration,
    tablet: Option<(TabletId, bool)>,
) -> Answer<String> {
    let now = app.clock.now();
    let token = session::fresh_token().map_err(AppError::inside)?;
    let form_token = session::fresh_token().map_err(AppError::inside)?;
    let token_hash = session::digest(&token);
    let kept =
        NewSession { token_hash: &token_hash, person, form_token: &form_token, expires_at: now + lasts };
    let mut tx = app.db.write().await?;
    store::sessions::insert(&mut tx, &kept, now).await?;
    if let Some((tablet, bench_only)) = tablet {
        store::sessions::update_tablet(&mut tx, &token_hash, tablet, bench_only).await?;
    }
    tx.commit().await?;
    Ok(session::set_cookie(&app.config, session::cookie_name(&app.config), &token, lasts.num_seconds()))
}

/// The shared tablet a request comes from, while it is shared.
pub(crate) async fn tablet_of(app: &App, headers: &HeaderMap) -> Answer<Option<Tablet>> {
    let Some(token) = session::tablet_token_of(headers, &app.config) else { return Ok(None) };
    Ok(store::tablets::find(&mut app.db.read().await?, &session::digest(&token)).await?)
}

/// Only paths of our own are led to.
pub fn own_path(next: &str) -> &str {
    let ours = next.starts_with('/')
        && !next.starts_with("//")
        && !next.contains(|c: char| c == '\\' || c.is_control());
    if ours { next } else { "/" }
}

/// The cookie of a browser that signed in to an account before, and how long it is kept, in seconds.
const KNOWN: &str = "findway-known";
const KNOWN_S: i64 = 180 * 86_400;

/// By which this browser is known from now on.
pub(super) fn known_cookie(config: &Config, person: &Person) -> String {
    session::set_cookie(config, KNOWN, &proof(person), KNOWN_S)
}

/// Follows from the kept hash, which nobody outside knows and which changes with the password.
fn proof(person: &Person) -> String {
    let hash = person.password_hash.as_deref().unwrap_or_default();
    let digest = session::digest(&format!("known browser\n{}\n{hash}", person.id));
    digest.iter().map(|b| format!("{b:02x}")).collect()
}

fn known_browser(headers: &HeaderMap, person: &Person) -> bool {
    let proof = proof(person);
    session::cookie(headers, KNOWN).is_some_and(|shown| shown.as_bytes().ct_eq(proof.as_bytes()).into())
}

/// The visitor's address. A proxy's word is taken only from a trusted one: the nearest address that is not one itself.
pub fn client_address(config: &Config, peer: IpAddr, headers: &HeaderMap) -> IpAddr {
    let mut nearest = peer;
    let lines = headers.get_all("x-forwarded-for").iter().rev().filter_map(|value| value.to_str().ok());
    for hop in lines.flat_map(|line| line.rsplit(',')) {
        if !config.trusted_proxies.contains(&nearest) {
            break;
        }
        let Ok(address) = hop.trim().parse() else { break };
        nearest = address;
    }
    nearest
}

fn page(email: String, next: String, refused: Option<&'static str>) -> SignInPage {
    let chrome = Chrome { program: domain::PROGRAM, ..Chrome::default() };
    SignInPage { chrome, email, next, refused, note: None }
}
