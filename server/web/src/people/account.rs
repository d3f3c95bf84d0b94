//! The own account: name, qualification, sessions.
use super::own_letters::LettersForm;
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::page::{Chrome, again, ok};
use crate::{links, session};
use askama::Template;
use axum::http::{StatusCode, header};
use axum::response::{IntoResponse, Redirect};
use domain::people::pin::MOST_FAILURES;
use domain::permission::Action;
use store::Tx;
use store::journal::{self, Entry};
use store::people::Person;
use store::pins::Pin;

#[derive(Template)]
#[template(path = "people/account.html")]
pub(super) struct AccountPage {
    chrome: Chrome,
    email: String,
    form: ProfileForm,
    errors: Errors,
    conflict: Option<Conflict>,
    /// What is wrong with the password form.
    pub password_errors: Errors,
    password_hint: String,
    /// What is wrong with the PIN form.
    pub pin_errors: Errors,
    /// How the PIN stands.
    pin: PinState,
    /// May share a tablet.
    shares_tablets: bool,
    /// Living sessions besides this one.
    others: i64,
    memberships: Vec<Place>,
    /// Which letters come, and when the daily one does.
    pub letters: LettersForm,
    /// What is wrong with that form.
    pub letters_errors: Errors,
}

/// How the own PIN stands.
#[derive(PartialEq)]
enum PinState {
    None,
    Set,
    /// Missed too often.
    Closed,
}

impl PinState {
    fn of(pin: Option<Pin>) -> Self {
        match pin {
            Some(Pin { pin_hash: Some(_), pin_failures }) if pin_failures < MOST_FAILURES => PinState::Set,
            Some(Pin { pin_hash: Some(_), .. }) => PinState::Closed,
            _ => PinState::None,
        }
    }
}

/// What one is in a project.
struct Place {
    code: String,
    name: String,
    roles: String,
    /// Whether the project's first page is open to them.
    may_open: bool,
}

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ProfileForm {
    revision: String,
    take: String,
    name: String,
    qualification: String,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn edit(ctx: Ctx) -> Answer {
    let mut tx = ctx.read().await?;
    let person = own(&ctx, &mut tx).await?;
    Ok(ok(page(&ctx, &mut tx, &person, ProfileForm::of(&person)).await?).into_response())
}

pub(super) async fn update(ctx: Ctx, posted: Posted<ProfileForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let person = own(&ctx, &mut tx).await?;
    let mut form = posted.form.clone();
    let kept = ProfileForm::of(&person);
    if !form.take.is_empty() || form.revision != kept.revision {
        form.take_over(&kept);
        let conflict = Some(Conflict::between(&form.fields(), &kept.fields()));
        let page = AccountPage { conflict, ..page(&ctx, &mut tx, &person, form).await? };
        return Ok((StatusCode::CONFLICT, ok(page)).into_response());
    }
    let mut errors = Errors::default();
    let name = errors.required("name", &form.name, "Write your name as it shall stand beside your work.");
    let qualification = errors.line("qualification", &form.qualification);
    if !errors.is_empty() {
        let page = AccountPage { errors, ..page(&ctx, &mut tx, &person, form).await? };
        return Ok(again(page).into_response());
    }
    store::people::update_profile(&mut tx, person.id, &name, &qualification, person.revision).await?;
    let words = format!("changed the own account: {name}, {qualification}");
    let entry = Entry { verb: "changed", words, by: Some(person.id), ..Entry::default() };
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(tx, &posted, links::ACCOUNT, "Your account is saved.").await
}

pub(super) async fn sign_out_everywhere(ctx: Ctx, _posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    store::sessions::delete_all(&mut tx, ctx.actor.person).await?;
    tx.commit().await?;
    let cookie = session::set_cookie(&ctx.app.config, session::cookie_name(&ctx.app.config), "", 0);
    Ok(([(header::SET_COOKIE, cookie)], Redirect::to(links::SIGN_IN)).into_response())
}

/// The account of the person who asks.
pub(super) async fn own(ctx: &Ctx, tx: &mut Tx) -> Answer<Person> {
    store::people::find(tx, ctx.actor.person).await?.ok_or(AppError::NotFound)
}

pub(super) async fn page(ctx: &Ctx, tx: &mut Tx, person: &Person, form: ProfileForm) -> Answer<AccountPage> {
    let idle_since = ctx.now - session::IDLE;
    let living = store::sessions::count_living(tx, person.id, ctx.now, idle_since).await?;
    let memberships = ctx.actor.memberships.iter().map(|m| Place {
        code: m.code.clone(),
        name: m.name.clone(),
        roles: m.roles.iter().map(|role| role.label()).collect::<Vec<_>>().join(", "),
        may_open: m.grants(Action::ViewProject),
    });
    Ok(AccountPage {
        chrome: ctx.chrome(),
        email: person.email.clone(),
        form,
        errors: Errors::default(),
        conflict: None,
        password_errors: Errors::default(),
        password_hint: super::new_password::hint(),
        pin_errors: Errors::default(),
        pin: PinState::of(store::pins::find(tx, person.id).await?),
        shares_tablets: ctx.actor.may_somewhere(Action::ShareTablet),
        others: (living - 1).max(0),
        memberships: memberships.collect(),
        letters: LettersForm::of(&ctx.app.config, tx, person.id).await?,
        letters_errors: Errors::default(),
    })
}

impl ProfileForm {
    pub(super) fn of(person: &Person) -> Self {
        Self {
            revision: person.revision.to_string(),
            take: String::new(),
            name: person.name.clone(),
            qualification: person.qualification.clone(),
        }
    }

    fn fields(&self) -> Vec<(&'static str, &'static str, String)> {
        vec![
            ("name", "Name", self.name.clone()),
            ("qualification", "Qualification", self.qualification.clone()),
        ]
    }

    /// Takes the field asked for over from the kept version; what is sent next starts from that.
    fn take_over(&mut self, kept: &ProfileForm) {
        match std::mem::take(&mut self.take).as_str() {
            "name" => self.name.clone_from(&kept.name),
            "qualification" => self.qualification.clone_from(&kept.qualification),
            _ => {}
        }
        self.revision.clone_from(&kept.revision);
    }
}
