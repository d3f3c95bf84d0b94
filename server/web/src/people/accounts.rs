//! Every account of the installation, and making one.
use super::invite::{self, desk};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use askama::Template;
use axum::response::IntoResponse;
use store::Tx;
use store::journal::{self, Entry};
use store::people::{Account, NewPerson};

#[derive(Template)]
#[template(path = "people/accounts.html")]
struct AccountsPage {
    chrome: Chrome,
    accounts: Vec<Account>,
    /// Letters that failed at least once.
    failed: i64,
    form: AccountForm,
    errors: Errors,
}

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AccountForm {
    name: String,
    email: String,
    administrator: Option<String>,
}

pub(super) async fn index(ctx: Ctx) -> Answer {
    let page = page(&ctx, &mut ctx.read().await?, AccountForm::default(), Errors::default()).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, posted: Posted<AccountForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let form = posted.form.clone();
    let mut errors = Errors::default();
    let meant = invite::read(&mut tx, &form.email, ("name", &form.name), &mut errors).await?;
    if meant.known.is_some() {
        errors.add("email", "This address has an account already; it stands in the list.");
    }
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &mut tx, form, errors).await?).into_response());
    }
    let new = NewPerson {
        email: meant.email,
        name: meant.name.clone(),
        qualification: String::new(),
        password_hash: None,
        administrator: form.administrator.is_some(),
    };
    let id = store::people::insert(&mut tx, &new, ctx.now).await?;
    let person = store::people::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    desk(&ctx).invite(&mut tx, &person, "").await?;
    let rank = if new.administrator { " as administrator" } else { "" };
    let words = format!("made an account for {} ({}){rank}", new.name, new.email);
    let entry = Entry { verb: "invited", words, by: Some(ctx.actor.person), ..Entry::default() };
    journal::append(&mut tx, &entry, ctx.now).await?;
    let notice = format!("{} is invited; the letter is on its way.", meant.name);
    ctx.finish(tx, &posted, links::PEOPLE, &notice).await
}

async fn page(ctx: &Ctx, tx: &mut Tx, form: AccountForm, errors: Errors) -> Answer<AccountsPage> {
    Ok(AccountsPage {
        chrome: ctx.chrome(),
        accounts: store::people::list_accounts(tx).await?,
        failed: store::letters::count_failed(tx).await?,
        form,
        errors,
    })
}
