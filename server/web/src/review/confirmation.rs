//! The page a link in a letter leads an author to: what was entered, to be confirmed or corrected once.
use super::dating;
use super::opinion_fields::{Fields, Rows};
use super::opinion_form::{OpinionForm, shown};
use super::opinion_view::{OpinionView, view};
use crate::error::{Answer, AppError};
use crate::form::Errors;
use crate::page::{Chrome, Page, again, ok};
use crate::path::Path;
use crate::{App, links, session};
use askama::Template;
use axum::body::Bytes;
use axum::extract::State;
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{AppendHeaders, IntoResponse, Redirect, Response};
use domain::review::opinion::lacking;
use domain::review::{CONFIRMATION_DAYS, Finality};
use store::Tx;
use store::journal::{self, Entry};
use store::people::Person;
use store::review::opinions::{self, Content, NewOpinion, Opinion};
use store::review::received::{self, Received, Waiting};

/// Carries the token from the letter's link to the form, so that it stands in no address.
const LINK: &str = "findway-confirmation";
/// How long the form may be looked at, in seconds.
const LINK_S: i64 = 12 * 3600;

#[derive(Template)]
#[template(path = "review/confirmation.html")]
struct ConfirmationPage {
    chrome: Chrome,
    project: String,
    numbers: String,
    came: String,
    entered_by: String,
    opinion: OpinionView,
    fields: Fields,
    finality: String,
    correcting: bool,
    errors: Errors,
    to_check: bool,
}

#[derive(Template)]
#[template(path = "review/confirmed.html")]
struct ConfirmedPage {
    chrome: Chrome,
    numbers: String,
    said: &'static str,
}

#[derive(Template)]
#[template(path = "review/confirmation_ended.html")]
struct EndedPage {
    chrome: Chrome,
    days: i64,
}

/// What a living link leads to.
struct Linked {
    token_hash: Vec<u8>,
    received: Received,
    author: Person,
    waiting: Vec<Waiting>,
    /// What was entered, as it stands on the first find.
    opinion: Opinion,
    convention: String,
}

pub(super) async fn open(State(app): State<App>, Path(token): Path<String>) -> Response {
    let plain =
        token.len() <= 64 && token.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
    if !plain {
        return AppError::NotFound.into_response();
    }
    let headers = [
        (header::SET_COOKIE, session::set_cookie(&app.config, LINK, &token, LINK_S)),
        (header::REFERRER_POLICY, "no-referrer".into()),
        (header::CACHE_CONTROL, "no-store".into()),
    ];
    (headers, Redirect::to(links::CONFIRMATION)).into_response()
}

pub(super) async fn show(State(app): State<App>, headers: HeaderMap) -> Answer {
    let mut tx = app.db.read().await?;
    let Some(linked) = find_linked(&app, &mut tx, &headers).await? else { return Ok(ended()) };
    let form = OpinionForm::of(&linked.opinion);
    Ok(ok(page(&linked, form, Rows::default(), false)).into_response())
}

pub(super) async fn create(State(app): State<App>, headers: HeaderMap, body: Bytes) -> Answer {
    let mut tx = app.db.write().await?;
    let Some(linked) = find_linked(&app, &mut tx, &headers).await? else { return Ok(ended()) };
    let form: OpinionForm = serde_html_form::from_bytes(&body).map_err(|cause| {
        tracing::debug!(%cause, "unreadable form");
        AppError::Unreadable("The form could not be read.".into())
    })?;
    match form.do_what.as_str() {
        "confirm" => confirm(&app, tx, linked, form).await,
        "correct" => correct(&app, tx, linked, form).await,
        _ => {
            let rows = Rows::asked(&form);
            Ok(ok(page(&linked, form, rows, true)).into_response())
        }
    }
}

/// The author says yes: as it stands, or as a final opinion of the same words.
async fn confirm(app: &App, mut tx: Tx, linked: Linked, form: OpinionForm) -> Answer {
    let opinion = &linked.opinion;
    let is_final = form.finality == Finality::Final.code();
    let lacks = lacking(opinion.confidence(), opinion.parts.parallels.len(), opinion.parallels_none);
    if is_final && !lacks.is_empty() {
        let form = OpinionForm { finality: Finality::Final.code().into(), ..OpinionForm::of(opinion) };
        let mut page = page(&linked, form, Rows::default(), true);
        page.errors.add(
            "finality",
            "A final opinion says how sure the identification is, and its parallels or that none was found. Add them below.",
        );
        return Ok(again(page).into_response());
    }
    let content = is_final.then(|| Content { finality: Finality::Final, ..opinion.content() });
    end(app, &mut tx, &linked, content, "confirmed").await?;
    tx.commit().await?;
    app.letterbox.ring();
    Ok(thanks(app, &linked, if is_final { "confirmed, as a final opinion" } else { "confirmed" }))
}

/// The author says it better.
async fn correct(app: &App, mut tx: Tx, linked: Linked, form: OpinionForm) -> Answer {
    let project = linked.waiting.first().map(|one| one.project_id).ok_or(AppError::NotFound)?;
    let colleagues = store::people::list_colleagues(&mut tx, project).await?;
    let parsed = form.parse(&linked.convention, &colleagues);
    let unseen = parsed.is_ok() && shown(&form.readings(&linked.convention)) != form.shown;
    let content = match parsed {
        Ok(content) if !unseen => content,
        other => {
            let mut page = page(&linked, form, Rows::default(), true);
            page.errors = other.err().unwrap_or_default();
            page.to_check = unseen;
            return Ok(again(page).into_response());
        }
    };
    end(app, &mut tx, &linked, Some(content), "corrected").await?;
    tx.commit().await?;
    app.letterbox.ring();
    Ok(thanks(app, &linked, "corrected"))
}

/// Uses the link up. What was entered is confirmed as it stands, or the author's own words take its place on every find.
async fn end(
    app: &App,
    tx: &mut Tx,
    linked: &Linked,
    content: Option<Content>,
    verb: &'static str,
) -> Answer<()> {
    let now = app.clock.now();
    let author = linked.author.id;
    if !received::update_link_used(tx, &linked.token_hash, now).await? {
        return Err(AppError::NotFound);
    }
    let covering = (linked.waiting.len() > 1).then(|| domain::ids::fresh(now));
    for waiting in &linked.waiting {
        let goes = match &content {
            None => {
                received::update_confirmed(tx, waiting, author, now).await?;
                Finality::Preliminary
            }
            Some(content) => {
                let finality = content.finality;
                let new = NewOpinion {
                    find: waiting.find_id,
                    assignment: None,
                    covering,
                    content: content.clone(),
                };
                opinions::insert(tx, &new, author, now).await?;
                finality
            }
        };
        let entry = Entry {
            project: Some(waiting.project_id),
            find: Some(waiting.find_id),
            context: None,
            verb,
            words: format!(
                "{verb} by a link the {} opinion entered by {}",
                goes.label(),
                linked.received.kept_by
            ),
            by: Some(author),
        };
        journal::append(tx, &entry, now).await?;
    }
    Ok(())
}

async fn find_linked(app: &App, tx: &mut Tx, headers: &HeaderMap) -> Answer<Option<Linked>> {
    let Some(token) = session::cookie(headers, LINK) else { return Ok(None) };
    let token_hash = session::digest(&token);
    let Some(id) = received::find_linked(tx, &token_hash, app.clock.now()).await? else { return Ok(None) };
    let received = received::find(tx, id).await?.ok_or(AppError::NotFound)?;
    let waiting = received::list_waiting(tx, id).await?;
    // its author has said something else meanwhile, or the account is closed
    let Some(first) = waiting.first() else { return Ok(None) };
    let author = store::people::find(tx, received.author_id).await?.ok_or(AppError::NotFound)?;
    if author.disabled_at.is_some() {
        return Ok(None);
    }
    let convention = dating::convention_of(tx, first.project_id).await?;
    let said = opinions::list_of_find(tx, first.find_id).await?;
    let opinion = said.into_iter().find(|one| one.id == first.opinion_id).ok_or(AppError::NotFound)?;
    Ok(Some(Linked { token_hash, received, author, waiting, opinion, convention }))
}

fn page(linked: &Linked, form: OpinionForm, rows: Rows, correcting: bool) -> ConfirmationPage {
    let first = &linked.waiting[0];
    let came = format!(
        "{} of {}",
        linked.received.came_as.label(),
        crate::filters::show_day(linked.received.came_on)
    );
    ConfirmationPage {
        chrome: door(),
        project: format!("{} ({})", first.project_name, first.project_code),
        numbers: numbers(&linked.waiting),
        came,
        entered_by: linked.received.kept_by.clone(),
        opinion: view(&linked.opinion),
        finality: form.finality.clone(),
        fields: Fields::of(form, &rows, &linked.convention, String::new()),
        correcting,
        errors: Errors::default(),
        to_check: false,
    }
}

fn numbers(waiting: &[Waiting]) -> String {
    waiting.iter().map(|one| one.number.as_str()).collect::<Vec<_>>().join(", ")
}

fn thanks(app: &App, linked: &Linked, said: &'static str) -> Response {
    let spent = AppendHeaders([(header::SET_COOKIE, session::set_cookie(&app.config, LINK, "", 0))]);
    let page = ConfirmedPage { chrome: door(), numbers: numbers(&linked.waiting), said };
    (spent, ok(page)).into_response()
}

fn ended() -> Response {
    Page(StatusCode::GONE, EndedPage { chrome: door(), days: CONFIRMATION_DAYS }).into_response()
}

/// What stands around a page for people who are not signed in.
fn door() -> Chrome {
    Chrome { program: domain::PROGRAM, ..Default::default() }
}
