//! Signing in and out, passwords, the own account; the administrator's accounts and letters.
mod account;
mod accounts;
mod forgotten;
pub(crate) mod invite;
mod letters;
mod letters_off;
pub mod limits;
mod new_password;
pub(crate) mod own_letters;
mod own_password;
mod person;
mod pin;
pub(crate) mod sign_in;

use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::routes::Routes;
use domain::people::link::LinkPurpose;
use domain::permission::Action;
use store::Tx;
use store::people::Person;

pub(crate) fn routes(routes: Routes) -> Routes {
    routes
        .get(links::SIGN_IN, Action::Public, sign_in::new)
        .post(links::SIGN_IN, Action::Public, sign_in::create)
        .post(links::SIGN_OUT, Action::OwnStart, sign_in::delete)
        .get(links::FORGOTTEN, Action::Public, forgotten::new)
        .post(links::FORGOTTEN, Action::Public, forgotten::create)
        .get("/letter/{token}", Action::Public, new_password::open)
        .get(links::NEW_PASSWORD, Action::Public, new_password::new)
        .post(links::NEW_PASSWORD, Action::Public, new_password::create)
        .get("/letters-off/{token}", Action::Public, letters_off::show)
        .post("/letters-off/{token}", Action::Public, letters_off::create)
        .get(links::ACCOUNT, Action::OwnAccount, account::edit)
        .post(links::ACCOUNT, Action::OwnAccount, account::update)
        .post(links::ACCOUNT_LETTERS, Action::OwnAccount, own_letters::update)
        .post(links::ACCOUNT_PIN, Action::OwnAccount, pin::update)
        .post(links::ACCOUNT_PIN_REMOVAL, Action::OwnAccount, pin::delete)
        .post(links::ACCOUNT_PASSWORD, Action::OwnAccount, own_password::update)
        .post(links::ACCOUNT_SESSIONS, Action::OwnAccount, account::sign_out_everywhere)
        .get(links::PEOPLE, Action::Administer, accounts::index)
        .post(links::PEOPLE, Action::Administer, accounts::create)
        .get("/people/{person}", Action::Administer, person::show)
        .post("/people/{person}/invitation", Action::Administer, person::invite)
        .post("/people/{person}/closing", Action::Administer, person::close)
        .post("/people/{person}/opening", Action::Administer, person::open)
        .post("/people/{person}/administrator", Action::Administer, person::appoint)
        .get(links::LETTERS, Action::Administer, letters::index)
        .post("/letters/{letter}/retry", Action::Administer, letters::retry)
        .post("/letters/{letter}/removal", Action::Administer, letters::remove)
}

/// Where a letter leads a person: to a page, or for somebody who never signed in to the invitation that leads there.
pub(crate) async fn entry_link(ctx: &Ctx, tx: &mut Tx, person: &Person, page: &str) -> Answer<String> {
    if person.password_hash.is_some() {
        return Ok(format!("{}{page}", ctx.app.config.base_url));
    }
    crate::letters::issue(&ctx.app.config, tx, person.id, LinkPurpose::Invitation, ctx.now, page).await
}

/// What stands around a page for people who are not signed in.
fn door() -> crate::page::Chrome {
    crate::page::Chrome { program: domain::PROGRAM, ..Default::default() }
}
