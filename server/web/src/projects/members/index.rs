//! Who is part of a project, what each role may, and inviting somebody.
use super::{FINDSPOT, RESTRICTED, RoleTick, Ticks, note, words_of};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::people::invite;
use askama::Template;
use axum::response::IntoResponse;
use domain::permission::{Action, Role, grants};
use store::Tx;
use store::members::{self, Member};

#[derive(Template)]
#[template(path = "projects/people.html")]
struct PeoplePage {
    chrome: Chrome,
    code: String,
    name: String,
    members: Vec<Member>,
    form: InviteForm,
    roles: Vec<RoleTick>,
    restricted: bool,
    findspot: bool,
    /// Each action with yes or no per role.
    rights: Vec<(&'static str, Vec<bool>)>,
    all_roles: &'static [Role],
    errors: Errors,
}

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(crate) struct InviteForm {
    name: String,
    email: String,
    role: Vec<String>,
    clearance: Vec<String>,
}

pub(crate) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let page = page(&ctx, &mut ctx.read().await?, &code, InviteForm::default(), Errors::default()).await?;
    Ok(ok(page).into_response())
}

pub(crate) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<InviteForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let form = posted.form.clone();
    let mut errors = Errors::default();
    members::lock(&mut tx, project).await?;
    let meant = invite::read(&mut tx, &form.email, ("name", &form.name), &mut errors).await?;
    let rights = form.ticks().parse(&mut errors);
    let present = members::list(&mut tx, project).await?;
    if let Some(known) = &meant.known
        && present.iter().any(|member| member.id == known.id)
    {
        errors.add(
            "email",
            format!("{} is part of the project already: change the roles in the list.", known.name),
        );
    }
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &mut tx, &code, form, errors).await?).into_response());
    }
    let kept = store::projects::find(&mut tx, project).await?.ok_or(AppError::NotFound)?;
    let roles = rights.roles.iter().map(|role| role.label()).collect::<Vec<_>>().join(", ");
    let place = format!("{} ({}) as {roles}", kept.name, kept.code);
    let first = if rights.roles.iter().any(|role| grants(*role).contains(&Action::ViewProject)) {
        links::project(&kept.code)
    } else {
        links::MY_FINDS.to_owned()
    };
    let person = invite::take_in(&ctx, &mut tx, meant, &place, &first).await?;
    members::replace(&mut tx, project, person.id, &rights).await?;
    note(&ctx, &mut tx, project, format!("invited {} as {}", person.name, words_of(&rights))).await?;
    let notice = format!("{} is part of the project; the letter is on its way.", person.name);
    ctx.finish(tx, &posted, &links::members(&kept.code), &notice).await
}

impl InviteForm {
    fn ticks(&self) -> Ticks {
        Ticks { roles: self.role.clone(), clearances: self.clearance.clone() }
    }
}

async fn page(ctx: &Ctx, tx: &mut Tx, code: &str, form: InviteForm, errors: Errors) -> Answer<PeoplePage> {
    let member = ctx.project(code)?;
    let ticks = form.ticks();
    Ok(PeoplePage {
        chrome: ctx.chrome_in(member.project),
        code: member.code.clone(),
        name: member.name.clone(),
        members: members::list(tx, member.project).await?,
        roles: ticks.roles(),
        restricted: ticks.has(RESTRICTED),
        findspot: ticks.has(FINDSPOT),
        rights: rights_table(),
        all_roles: Role::ALL,
        form,
        errors,
    })
}

/// What each role may, read off the table that decides it.
fn rights_table() -> Vec<(&'static str, Vec<bool>)> {
    let of_roles = |action: &Action| -> Vec<bool> {
        Role::ALL.iter().map(|role| grants(*role).contains(action)).collect()
    };
    let given = |action: &&Action| Role::ALL.iter().any(|role| grants(*role).contains(action));
    Action::ALL.iter().filter(given).map(|action| (action.label(), of_roles(action))).collect()
}
