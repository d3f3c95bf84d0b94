//! The page a link in a letter leads to: a new password, and for the invited their name.
use super::door;
use super::sign_in::{begin_session, known_cookie, own_path};
use crate::error::{Answer, AppError};
use crate::form::Errors;
use crate::letters::Desk;
use crate::page::{Chrome, Page, again, ok};
use crate::path::Path;
use crate::{App, links, session};
use askama::Template;
use axum::Form;
use axum::extract::{Query, State};
use axum::http::{HeaderMap, StatusCode, header};
use axum::response::{AppendHeaders, IntoResponse, Redirect, Response};
use domain::people::link::LinkPurpose;
use domain::people::password::{self, SHORTEST};
use store::journal::{self, Entry};
use store::mail_links::{self, MailLink};

#[derive(Template)]
#[template(path = "people/new_password.html")]
struct NewPasswordPage {
    chrome: Chrome,
    invited: bool,
    email: String,
    form: PasswordForm,
    password_hint: String,
    errors: Errors,
}

#[derive(Template)]
#[template(path = "people/dead_link.html")]
struct DeadLinkPage {
    chrome: Chrome,
    used: bool,
}

#[derive(Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct PasswordForm {
    name: String,
    qualification: String,
    password: String,
    again: String,
    next: String,
}

#[derive(serde::Deserialize)]
pub(super) struct Wanted {
    #[serde(default)]
    next: String,
}

/// Carries the token from the letter's link to the form, so that it stands in no address.
const LINK: &str = "findway-letter";
/// How long the form may be looked at, in seconds.
const LINK_S: i64 = 3600;

pub(super) async fn open(
    State(app): State<App>,
    Path(token): Path<String>,
    Query(wanted): Query<Wanted>,
) -> Response {
    let plain =
        token.len() <= 64 && token.bytes().all(|b| b.is_ascii_alphanumeric() || b == b'-' || b == b'_');
    if !plain {
        return AppError::NotFound.into_response();
    }
    let next: String = form_urlencoded::byte_serialize(own_path(&wanted.next).as_bytes()).collect();
    let cookie = session::set_cookie(&app.config, LINK, &token, LINK_S);
    let headers = [
        (header::SET_COOKIE, cookie),
        (header::REFERRER_POLICY, "no-referrer".into()),
        (header::CACHE_CONTROL, "no-store".into()),
    ];
    (headers, Redirect::to(&format!("{}?next={next}", links::NEW_PASSWORD))).into_response()
}

pub(super) async fn new(State(app): State<App>, headers: HeaderMap, Query(wanted): Query<Wanted>) -> Answer {
    let (_, link) = match find_link(&app, &headers).await? {
        Ok(found) => found,
        Err(dead) => return Ok(dead),
    };
    let form = PasswordForm {
        name: link.name.clone(),
        qualification: link.qualification.clone(),
        next: wanted.next,
        ..PasswordForm::default()
    };
    Ok(ok(page(&link, form, Errors::default())).into_response())
}

pub(super) async fn create(
    State(app): State<App>,
    headers: HeaderMap,
    Form(form): Form<PasswordForm>,
) -> Answer {
    let (token_hash, link) = match find_link(&app, &headers).await? {
        Ok(found) => found,
        Err(dead) => return Ok(dead),
    };
    let mut errors = Errors::default();
    let invited = link.purpose == LinkPurpose::Invitation;
    let name = match invited {
        true => errors.required("name", &form.name, "Write your name as it shall stand beside your work."),
        false => link.name.clone(),
    };
    let qualification =
        if invited { errors.line("qualification", &form.qualification) } else { link.qualification.clone() };
    judge(&form.password, &form.again, &link.email, &mut errors);
    if !errors.is_empty() {
        return Ok(again(page(&link, form, errors)).into_response());
    }
    let hash = app.passwords.hash(form.password).await.map_err(AppError::inside)?;
    let named = Named { name, qualification };
    if !renew(&app, &token_hash, &link, &named, &hash).await? {
        return Ok(dead(true));
    }
    app.letterbox.ring();
    let person = store::people::find(&mut app.db.read().await?, link.person_id).await?;
    let person = person.ok_or(AppError::NotFound)?;
    let spent = (header::SET_COOKIE, session::set_cookie(&app.config, LINK, "", 0));
    if !invited {
        // whoever has the letter is the owner, also while strangers try passwords on the account
        let cookies = AppendHeaders([spent, (header::SET_COOKIE, known_cookie(&app.config, &person))]);
        return Ok((cookies, Redirect::to(&format!("{}?ended=renewed", links::SIGN_IN))).into_response());
    }
    let spent = AppendHeaders([spent]);
    Ok((spent, begin_session(&app, &person, &form.next, None).await?).into_response())
}

/// What a new password must be.
pub(super) fn hint() -> String {
    format!("At least {SHORTEST} characters; a few unrelated words are easy to remember.")
}

/// Notes what is wrong with a new password typed twice.
pub(super) fn judge(typed: &str, again: &str, email: &str, errors: &mut Errors) {
    if let Err(weak) = password::judge(typed, email) {
        errors.add("password", weak.to_string());
    } else if typed != again {
        errors.add("again", "The two passwords differ. Type the same one twice.");
    }
}

struct Named {
    name: String,
    qualification: String,
}

/// Uses the link up, sets the password and ends every session and link; false when the link was used meanwhile.
async fn renew(app: &App, token_hash: &[u8], link: &MailLink, named: &Named, hash: &str) -> Answer<bool> {
    let now = app.clock.now();
    let id = link.person_id;
    let mut tx = app.db.write().await?;
    if !mail_links::update_used(&mut tx, token_hash, now).await? {
        return Ok(false);
    }
    mail_links::update_all_used(&mut tx, id, now).await?;
    store::sessions::delete_all(&mut tx, id).await?;
    store::people::update_password(&mut tx, id, hash).await?;
    let person = store::people::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    store::people::update_profile(&mut tx, id, &named.name, &named.qualification, person.revision).await?;
    let words = match link.purpose {
        LinkPurpose::Invitation => "accepted the invitation",
        LinkPurpose::Reset => {
            Desk { config: &app.config, now, inviter: domain::PROGRAM }
                .confirm_password(&mut tx, &person)
                .await?;
            "set a new password by a link in a letter"
        }
    };
    let entry = Entry { verb: "signed", words: words.into(), by: Some(id), ..Entry::default() };
    journal::append(&mut tx, &entry, now).await?;
    tx.commit().await?;
    Ok(true)
}

/// The living link a browser carries with the hash of its token, or the page that says why there is none.
async fn find_link(app: &App, headers: &HeaderMap) -> Answer<Result<(Vec<u8>, MailLink), Response>> {
    let Some(token) = session::cookie(headers, LINK) else { return Ok(Err(dead(false))) };
    let token_hash = session::digest(&token);
    let link = mail_links::find(&mut app.db.read().await?, &token_hash).await?;
    Ok(match link {
        Some(link) if link.works(app.clock.now()) => Ok((token_hash, link)),
        other => Err(dead(other.is_some_and(|link| link.used_at.is_some()))),
    })
}

fn dead(used: bool) -> Response {
    Page(StatusCode::GONE, DeadLinkPage { chrome: door(), used }).into_response()
}

fn page(link: &MailLink, form: PasswordForm, errors: Errors) -> NewPasswordPage {
    NewPasswordPage {
        chrome: door(),
        invited: link.purpose == LinkPurpose::Invitation,
        email: link.email.clone(),
        form,
        password_hint: hint(),
        errors,
    }
}
