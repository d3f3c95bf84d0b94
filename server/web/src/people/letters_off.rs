//! The link at the foot of a letter: its reader does without letters of that kind, by one click and without signing in.
//!
//! Looking at the page changes nothing, since programs that look for harm open every link of a letter. Mail programs send
//! the form themselves: RFC 8058, 3.1, without cookies, and the answer leads nowhere else.
use super::own_letters::said;
use super::{door, links};
use crate::App;
use crate::error::Answer;
use crate::page::{Chrome, Page, ok};
use crate::path::Path;
use askama::Template;
use axum::body::Bytes;
use axum::extract::State;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Response};
use store::Tx;
use store::journal::{self, Entry};
use store::letter_wishes::{self, Wish};

#[derive(Template)]
#[template(path = "people/letters_off.html")]
struct LettersOffPage {
    chrome: Chrome,
    action: String,
    wish: Wish,
    /// Whether these letters are stopped now.
    stopped: bool,
}

/// The link names nobody’s letters.
#[derive(Template)]
#[template(path = "people/letters_unknown.html")]
struct UnknownPage {
    chrome: Chrome,
}

#[derive(Default, serde::Deserialize)]
#[serde(default)]
struct OffForm {
    /// `yes`: have them again.
    again: String,
}

pub(super) async fn show(State(app): State<App>, Path(token): Path<String>) -> Answer {
    let Some(wish) = find(&mut app.db.read().await?, &token).await? else { return Ok(unknown()) };
    let stopped = wish.stopped_at.is_some();
    Ok(page(&token, wish, stopped))
}

pub(super) async fn create(State(app): State<App>, Path(token): Path<String>, body: Bytes) -> Answer {
    // A mail program may send a body of another kind; without the word it means to stop.
    let form: OffForm = serde_html_form::from_bytes(&body).unwrap_or_default();
    let stopped = form.again != "yes";
    let now = app.clock.now();
    let mut tx = app.db.write().await?;
    let Some(wish) = find(&mut tx, &token).await? else { return Ok(unknown()) };
    if letter_wishes::update(&mut tx, wish.person_id, wish.kind, stopped, now).await? {
        let words = format!("{}, by the link at the foot of a letter", said(wish.kind, stopped));
        let entry = Entry { verb: "changed", words, by: Some(wish.person_id), ..Entry::default() };
        journal::append(&mut tx, &entry, now).await?;
    }
    tx.commit().await?;
    Ok(page(&token, wish, stopped))
}

async fn find(tx: &mut Tx, token: &str) -> Answer<Option<Wish>> {
    if token.is_empty() || !token.bytes().all(|b| b.is_ascii_hexdigit()) {
        return Ok(None);
    }
    Ok(letter_wishes::find(tx, token).await?)
}

fn unknown() -> Response {
    Page(StatusCode::GONE, UnknownPage { chrome: door() }).into_response()
}

fn page(token: &str, wish: Wish, stopped: bool) -> Response {
    let page = LettersOffPage { chrome: door(), action: links::letters_off(token), wish, stopped };
    let headers = [(header::REFERRER_POLICY, "no-referrer"), (header::CACHE_CONTROL, "no-store")];
    (StatusCode::OK, headers, ok(page)).into_response()
}
