//! What stands before every handler: who asks, whether the route is open to them, whether the request comes from our own pages.
use crate::config::Config;
use crate::context::{Ctx, Visitor};
use crate::error::{self, AppError};
use crate::{App, links, session};
use axum::RequestExt;
use axum::extract::{FromRequestParts, RawPathParams, Request, State};
use axum::http::{HeaderMap, HeaderValue, Method, header};
use axum::middleware::Next;
use axum::response::{IntoResponse, Redirect, Response};
use domain::permission::{Action, Actor};

/// Gate 1: the action a route is bound to, asked of the person and, where the path names a project, of that project.
pub async fn admit(action: Action, app: App, mut request: Request, next: Next) -> Response {
    match visitor(&app, request.headers()).await {
        Ok(visitor) => {
            let refused = refused(action, &app, &visitor, &mut request).await;
            let (mut parts, body) = request.into_parts();
            parts.extensions.insert(visitor);
            parts.extensions.insert(action);
            let ctx = Ctx::from_request_parts(&mut parts, &app).await.ok();
            let response = match refused {
                Some(refused) => refused,
                None => next.run(Request::from_parts(parts, body)).await,
            };
            dressed(response, ctx)
        }
        Err(error) => error.into_response(),
    }
}

/// The answer at an address that leads nowhere.
pub async fn nowhere(State(app): State<App>, request: Request) -> Response {
    let response = AppError::NotFound.into_response();
    match visitor(&app, request.headers()).await {
        Ok(visitor) => {
            let (mut parts, _) = request.into_parts();
            parts.extensions.insert(visitor);
            parts.extensions.insert(Action::Public);
            dressed(response, Ctx::from_request_parts(&mut parts, &app).await.ok())
        }
        Err(error) => error.into_response(),
    }
}

/// A page of an error keeps the menu of whoever is signed in.
fn dressed(response: Response, ctx: Option<Ctx>) -> Response {
    match ctx {
        Some(ctx) => error::surrounded(response, || ctx.chrome()),
        None => response,
    }
}

/// The answer to a request that is not admitted.
async fn refused(
    action: Action,
    app: &App,
    visitor: &Option<Visitor>,
    request: &mut Request,
) -> Option<Response> {
    if action == Action::Public {
        return None;
    }
    let Some(visitor) = visitor else { return Some(to_sign_in(&app.config, request)) };
    if !visitor.actor.reaches(action) {
        let wanted = wanted_page(&app.config, request);
        return Some(Redirect::to(&links::sign_in_for(wanted)).into_response());
    }
    let params = request.extract_parts::<RawPathParams>().await.ok();
    let code = params.and_then(|params| {
        params.iter().find(|(name, _)| *name == "project").map(|(_, code)| code.to_owned())
    });
    let refusal = match code {
        Some(code) => refusal_in_project(action, &visitor.actor, &code),
        None if visitor.actor.may_somewhere(action) => None,
        None => Some(AppError::Forbidden),
    };
    refusal.map(IntoResponse::into_response)
}

fn refusal_in_project(action: Action, actor: &Actor, code: &str) -> Option<AppError> {
    let member = actor.memberships.iter().find(|m| m.code.eq_ignore_ascii_case(code));
    match member {
        None => Some(AppError::NotFound),
        Some(member) if actor.may(action, member.project) => None,
        Some(_) => Some(AppError::Forbidden),
    }
}

/// The page asked for, or the page of the form that could not be taken.
fn wanted_page<'a>(config: &Config, request: &'a Request) -> &'a str {
    match *request.method() {
        Method::GET => request.uri().path_and_query().map_or("/", |p| p.as_str()),
        _ => page_of_form(config, request.headers()).unwrap_or("/"),
    }
}

/// To the sign-in page, or on a shared tablet to the page that says it is locked; from there back to the page wanted.
fn to_sign_in(config: &Config, request: &Request) -> Response {
    let wanted = wanted_page(config, request);
    if session::tablet_token_of(request.headers(), config).is_some() {
        return Redirect::to(&links::locked(wanted)).into_response();
    }
    let ended = session::token_of(request.headers(), config).is_some();
    Redirect::to(&links::sign_in(wanted, ended)).into_response()
}

fn page_of_form<'a>(config: &Config, headers: &'a HeaderMap) -> Option<&'a str> {
    headers.get(header::REFERER)?.to_str().ok()?.strip_prefix(&config.base_url)
}

/// The person of the session a request carries, if it is a living one.
async fn visitor(app: &App, headers: &HeaderMap) -> Result<Option<Visitor>, AppError> {
    let Some(token) = session::token_of(headers, &app.config) else { return Ok(None) };
    let now = app.clock.now();
    let hash = session::digest(&token);
    let mut tx = app.db.read().await?;
    let Some(found) = store::sessions::find(&mut tx, &hash, now, now - session::IDLE).await? else {
        return Ok(None);
    };
    let tablet = found.tablet_id.is_some();
    if tablet && now - found.last_seen_at > app.config.tablet_idle {
        return Ok(None);
    }
    let Some(actor) = store::people::find_actor(&mut tx, found.person_id).await? else { return Ok(None) };
    let actor = if found.bench_only { actor.by_pin() } else { actor };
    drop(tx);
    let note_after = if tablet { session::NOTE_TABLET_USE_AFTER } else { session::NOTE_USE_AFTER };
    if now - found.last_seen_at > note_after {
        let mut tx = app.db.write().await?;
        store::sessions::update_seen(&mut tx, &hash, now).await?;
        tx.commit().await?;
    }
    Ok(Some(Visitor { actor, form_token: found.form_token, token_hash: hash, tablet }))
}

/// Refuses changes asked for from other sites. Browsers say where a request comes from; what says nothing is no browser.
pub async fn same_origin(State(app): State<App>, request: Request, next: Next) -> Response {
    let safe = matches!(*request.method(), Method::GET | Method::HEAD | Method::OPTIONS);
    if safe || comes_from_us(request.headers(), &app.config.base_url) {
        return next.run(request).await;
    }
    AppError::StaleForm.into_response()
}

fn comes_from_us(headers: &HeaderMap, base_url: &str) -> bool {
    let text = |name: &str| headers.get(name).and_then(|value| value.to_str().ok());
    match text("sec-fetch-site") {
        Some("same-origin" | "none") => true,
        Some(_) => false,
        None => match text("origin") {
            None => true,
            Some(origin) => {
                let host = text("host").unwrap_or_default();
                origin == base_url || origin.split_once("://").is_some_and(|(_, at)| at == host)
            }
        },
    }
}

/// Headers that keep a page to itself.
pub async fn safe_headers(request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    let headers = response.headers_mut();
    for (name, value) in SAFE_HEADERS {
        headers.entry(*name).or_insert(HeaderValue::from_static(value));
    }
    let html =
        headers.get(header::CONTENT_TYPE).is_some_and(|kind| kind.as_bytes().starts_with(b"text/html"));
    if html {
        headers.entry(header::CACHE_CONTROL).or_insert(HeaderValue::from_static("no-store"));
    }
    response
}

const SAFE_HEADERS: &[(&str, &str)] = &[
    (
        "content-security-policy",
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self' blob:; font-src 'self'; connect-src 'self'; \
         manifest-src 'self'; base-uri 'none'; form-action 'self'; frame-ancestors 'none'",
    ),
    ("x-content-type-options", "nosniff"),
    ("x-frame-options", "DENY"),
    ("referrer-policy", "same-origin"),
    ("permissions-policy", "camera=(), geolocation=(), microphone=()"),
    ("cross-origin-opener-policy", "same-origin"),
    ("cross-origin-resource-policy", "same-origin"),
];

/// Adds strict transport security where the base address is https.
pub async fn strict_transport(State(app): State<App>, request: Request, next: Next) -> Response {
    let mut response = next.run(request).await;
    if app.config.secure {
        let value = HeaderValue::from_static("max-age=31536000");
        response.headers_mut().insert(header::STRICT_TRANSPORT_SECURITY, value);
    }
    response
}
