//! The locked tablet: whose hands take it next, and the PIN that opens the bench.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::page::{Chrome, Page, ok};
use crate::path::Path;
use crate::people::sign_in::{forget_session, open_session, own_path, tablet_of};
use crate::{App, links, session};
use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{IntoResponse, Redirect, Response};
use domain::ids::PersonId;
use domain::permission::Action;
use store::tablets::{Hand, Tablet};

#[derive(Template)]
#[template(path = "bench/locked.html")]
struct LockedPage {
    chrome: Chrome,
    tablet: String,
    /// Address and name.
    hands: Vec<(String, String)>,
    sign_in: String,
}

#[derive(Template)]
#[template(path = "bench/pin.html")]
struct PinPage {
    chrome: Chrome,
    name: String,
    action: String,
    back: String,
    next: String,
    refused: Option<&'static str>,
}

#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Wanted {
    next: String,
}

#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct PinForm {
    pin: String,
    next: String,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

const WRONG: &str = "This PIN does not fit. Try again, or choose your name again.";
const CLOSED: &str = "This PIN is closed after too many wrong ones. Sign in with your password and set a new one in your account.";
const TOO_OFTEN: &str = "Too many attempts. Wait a minute, then try again.";

/// Somebody is still there: the guard has noted it.
pub(super) async fn awake(_ctx: Ctx) -> StatusCode {
    StatusCode::NO_CONTENT
}

/// Ends the session and leaves the tablet to the next person.
pub(super) async fn lock(ctx: Ctx, _posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    store::sessions::delete(&mut tx, &ctx.token_hash).await?;
    tx.commit().await?;
    let cookie = session::set_cookie(&ctx.app.config, session::cookie_name(&ctx.app.config), "", 0);
    Ok(([(header::SET_COOKIE, cookie)], Redirect::to(&links::locked("/"))).into_response())
}

pub(super) async fn index(
    State(app): State<App>,
    headers: HeaderMap,
    Query(wanted): Query<Wanted>,
) -> Answer {
    let Some(tablet) = tablet_of(&app, &headers).await? else { return Ok(no_tablet(&app)) };
    let next = next_of(&wanted.next);
    let hands = hands(&app, &tablet).await?;
    let page = LockedPage {
        chrome: door(),
        tablet: tablet.name,
        hands: hands.into_iter().map(|hand| (links::locked_hand(hand.id, next), hand.name)).collect(),
        sign_in: links::sign_in(next, false),
    };
    Ok(ok(page).into_response())
}

pub(super) async fn edit(
    State(app): State<App>,
    headers: HeaderMap,
    Path(person): Path<PersonId>,
    Query(wanted): Query<Wanted>,
) -> Answer {
    let (_, hand) = match at(&app, &headers, person).await? {
        Ok(found) => found,
        Err(away) => return Ok(away),
    };
    Ok(ok(pin_page(hand, next_of(&wanted.next), None)).into_response())
}

pub(super) async fn open(
    State(app): State<App>,
    headers: HeaderMap,
    Path(person): Path<PersonId>,
    Form(form): Form<PinForm>,
) -> Answer {
    let (tablet, hand) = match at(&app, &headers, person).await? {
        Ok(found) => found,
        Err(away) => return Ok(away),
    };
    let next = next_of(&form.next);
    if !app.sign_in_limits.allow_pin(person, tablet.id) {
        tracing::warn!(tablet = tablet.name, "a PIN was limited");
        let page = pin_page(hand, next, Some(TOO_OFTEN));
        let wait = [(header::RETRY_AFTER, "60")];
        return Ok((wait, Page(StatusCode::TOO_MANY_REQUESTS, page)).into_response());
    }
    // Counted as missed before it is judged, so that attempts at the same moment count too.
    let mut tx = app.db.write().await?;
    let allowed = store::pins::take_attempt(&mut tx, person).await?;
    let pin = store::pins::find(&mut tx, person).await?;
    tx.commit().await?;
    let hash = pin.and_then(|pin| pin.pin_hash).filter(|_| allowed);
    let fits = app.passwords.verify(form.pin.trim().to_owned(), hash).await.map_err(AppError::inside)?;
    if !fits {
        let why = if allowed { WRONG } else { CLOSED };
        let page = pin_page(hand, next, Some(why));
        return Ok(Page(StatusCode::UNPROCESSABLE_ENTITY, page).into_response());
    }
    let mut tx = app.db.write().await?;
    store::pins::update_fitted(&mut tx, person).await?;
    tx.commit().await?;
    forget_session(&app, &headers).await?;
    let cookie = open_session(&app, person, session::PIN_ABSOLUTE, Some((tablet.id, true))).await?;
    Ok(([(header::SET_COOKIE, cookie)], Redirect::to(next)).into_response())
}

/// Who may take a tablet over: has a PIN and records work in a project whose tablets the sharer may share; on an
/// administrator's tablet, in any.
async fn hands(app: &App, tablet: &Tablet) -> Answer<Vec<Hand>> {
    let mut tx = app.db.read().await?;
    let Some(sharer) = store::people::find_actor(&mut tx, tablet.set_by).await? else {
        return Ok(Vec::new());
    };
    let mut hands = Vec::new();
    for hand in store::tablets::list_hands(&mut tx).await? {
        let Some(actor) = store::people::find_actor(&mut tx, hand.id).await? else { continue };
        let shared = |project| sharer.administrator || sharer.may(Action::ShareTablet, project);
        if actor.projects(Action::RecordWork).any(|member| shared(member.project)) {
            hands.push(hand);
        }
    }
    Ok(hands)
}

/// The tablet a request comes from and the person who takes it over; or where else it leads when they may not.
async fn at(app: &App, headers: &HeaderMap, person: PersonId) -> Answer<Result<(Tablet, Hand), Response>> {
    let Some(tablet) = tablet_of(app, headers).await? else { return Ok(Err(no_tablet(app))) };
    let hand = hands(app, &tablet).await?.into_iter().find(|hand| hand.id == person);
    let away = || Redirect::to(&links::locked("/")).into_response();
    Ok(hand.map(|hand| (tablet, hand)).ok_or_else(away))
}

/// A browser that is no shared tablet has nothing to unlock; what is left of one is taken away.
fn no_tablet(app: &App) -> Response {
    let cookie = session::set_cookie(&app.config, session::tablet_cookie_name(&app.config), "", 0);
    ([(header::SET_COOKIE, cookie)], Redirect::to(links::SIGN_IN)).into_response()
}

fn next_of(next: &str) -> &str {
    match own_path(next) {
        "/" => links::BENCH,
        next => next,
    }
}

fn pin_page(hand: Hand, next: &str, refused: Option<&'static str>) -> PinPage {
    PinPage {
        chrome: door(),
        action: links::locked_hand(hand.id, "/"),
        back: links::locked(next),
        name: hand.name,
        next: next.to_owned(),
        refused,
    }
}

/// What stands around a page for people who are not signed in.
fn door() -> Chrome {
    Chrome { program: domain::PROGRAM, ..Chrome::default() }
}
