//! The letter that asks an author to confirm what was entered; queued in the transaction of the event.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_day;
use crate::{links, session};
use askama::Template;
use chrono::Duration;
use domain::ids::ReceivedId;
use domain::letters::LetterKind;
use domain::review::CONFIRMATION_DAYS;
use store::Tx;
use store::letters::NewLetter;
use store::review::received;

#[derive(Template)]
#[template(path = "mail/confirmation.txt")]
struct Confirmation<'a> {
    program: &'static str,
    name: &'a str,
    by: &'a str,
    came: String,
    /// “find 88”, “finds 61, 62 and 63”.
    finds: String,
    project: String,
    link: String,
    until: String,
}

/// Makes a fresh link and queues the letter that carries it.
pub(super) async fn send(ctx: &Ctx, tx: &mut Tx, id: ReceivedId) -> Answer<()> {
    let received = received::find(tx, id).await?.ok_or(AppError::NotFound)?;
    let waiting = received::list_waiting(tx, id).await?;
    let first = waiting.first().ok_or(AppError::NotFound)?;
    let token = session::fresh_token().map_err(AppError::inside)?;
    received::insert_link(tx, &session::digest(&token), id, ctx.now).await?;
    let numbers: Vec<&str> = waiting.iter().map(|one| one.number.as_str()).collect();
    let finds = match numbers.as_slice() {
        [one] => format!("find {one}"),
        [first @ .., last] => format!("finds {} and {last}", first.join(", ")),
        [] => String::new(),
    };
    let letter = Confirmation {
        program: domain::PROGRAM,
        name: &received.author_name,
        by: &ctx.actor.name,
        came: format!("{} of {}", received.came_as.label(), show_day(received.came_on)),
        project: format!("{} ({})", first.project_name, first.project_code),
        link: format!("{}{}", ctx.app.config.base_url, links::confirmation_link(&token)),
        until: show_day((ctx.now + Duration::days(CONFIRMATION_DAYS)).date_naive()),
        finds: finds.clone(),
    };
    let letter = NewLetter {
        kind: LetterKind::Confirmation,
        to_address: received.author_email.clone(),
        to_name: received.author_name.clone(),
        subject: format!("Your opinion on {finds} of {}: please confirm", first.project_name),
        body: letter.render().map_err(AppError::inside)?,
    };
    store::letters::insert(tx, &letter, ctx.now).await?;
    Ok(())
}
