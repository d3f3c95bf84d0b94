//! One person of a project: roles, clearances, a second invitation, the way out.
use super::{FINDSPOT, RESTRICTED, RoleTick, Ticks, note, words_of};
use crate::conflict::{Clash, Conflict};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::people::invite::desk;
use askama::Template;
use axum::http::StatusCode;
use axum::response::{IntoResponse, Response};
use domain::ids::{PersonId, ProjectId};
use domain::permission::Role;
use store::Tx;
use store::members::{self, Member, Rights};

#[derive(Template)]
#[template(path = "projects/member.html")]
struct MemberPage {
    chrome: Chrome,
    code: String,
    member: Member,
    /// The rights the form started from, so that a second saver is noticed.
    seen: String,
    roles: Vec<RoleTick>,
    restricted: bool,
    findspot: bool,
    errors: Errors,
    conflict: Option<Conflict>,
}

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(crate) struct MemberForm {
    seen: String,
    take: String,
    role: Vec<String>,
    clearance: Vec<String>,
}

#[derive(serde::Deserialize)]
pub(crate) struct Nothing {}

const LAST_MANAGER: &str = "The project would have no manager. Make somebody else manager first.";
/// Names the one thing that can clash; no field has this id, so the server answers, with or without script.
const ALL_RIGHTS: &str = "rights";

pub(crate) async fn edit(ctx: Ctx, Path((code, id)): Path<(String, PersonId)>) -> Answer {
    let project = ctx.project(&code)?.project;
    let member = load(&mut ctx.read().await?, project, id).await?;
    let ticks = Ticks::of(&member.rights);
    Ok(ok(page(&ctx, (project, code), member, &ticks)).into_response())
}

pub(crate) async fn update(
    ctx: Ctx,
    Path((code, id)): Path<(String, PersonId)>,
    posted: Posted<MemberForm>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    members::lock(&mut tx, project).await?;
    let member = load(&mut tx, project, id).await?;
    let form = &posted.form;
    let ticks = Ticks { roles: form.role.clone(), clearances: form.clearance.clone() };
    let mut errors = Errors::default();
    let rights = ticks.parse(&mut errors);
    if form.take == ALL_RIGHTS || form.seen != words_of(&member.rights) {
        return Ok(clash(&ctx, (project, code), member, form, &rights));
    }
    if loses_manager(&member.rights, &rights) && !others_manage(&mut tx, project, id).await? {
        errors.add("role", LAST_MANAGER);
    }
    if !errors.is_empty() {
        let page = MemberPage { errors, ..page(&ctx, (project, code), member, &ticks) };
        return Ok(again(page).into_response());
    }
    members::replace(&mut tx, project, id, &rights).await?;
    let words =
        format!("changed {}: now {}, before {}", member.name, words_of(&rights), words_of(&member.rights));
    note(&ctx, &mut tx, project, words).await?;
    // Whoever gave up managing may not read this page any more.
    let own = id == ctx.actor.person && loses_manager(&member.rights, &rights);
    let to = if own { links::PROJECTS.to_owned() } else { links::members(&code) };
    ctx.finish(tx, &posted, &to, &format!("The roles of {} are saved.", member.name)).await
}

pub(crate) async fn invite(
    ctx: Ctx,
    Path((code, id)): Path<(String, PersonId)>,
    posted: Posted<Nothing>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let member = load(&mut tx, project, id).await?;
    let person = store::people::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    if person.password_hash.is_some() || person.disabled_at.is_some() {
        let notice = format!("{} needs no invitation.", member.name);
        return Ok(ctx.lead_on(&links::members(&code), &notice));
    }
    let kept = store::projects::find(&mut tx, project).await?.ok_or(AppError::NotFound)?;
    let place = format!("{} ({})", kept.name, kept.code);
    desk(&ctx).invite(&mut tx, &person, &place).await?;
    note(&ctx, &mut tx, project, format!("invited {} again", member.name)).await?;
    let notice = format!("A fresh invitation to {} is on its way; the earlier link has ended.", member.name);
    ctx.finish(tx, &posted, &links::members(&kept.code), &notice).await
}

pub(crate) async fn remove(
    ctx: Ctx,
    Path((code, id)): Path<(String, PersonId)>,
    posted: Posted<Nothing>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    members::lock(&mut tx, project).await?;
    let member = load(&mut tx, project, id).await?;
    if member.rights.roles.contains(&Role::Manager) && !others_manage(&mut tx, project, id).await? {
        let ticks = Ticks::of(&member.rights);
        let mut page = page(&ctx, (project, code), member, &ticks);
        page.errors.add("role", LAST_MANAGER);
        return Ok(again(page).into_response());
    }
    store::people::delete_roles(&mut tx, project, id).await?;
    let words = format!("took {} out of the project, who was {}", member.name, words_of(&member.rights));
    note(&ctx, &mut tx, project, words).await?;
    let to = if id == ctx.actor.person { links::PROJECTS.to_owned() } else { links::members(&code) };
    let notice = format!("{} is no longer part of the project. What they recorded stays.", member.name);
    ctx.finish(tx, &posted, &to, &notice).await
}

fn loses_manager(before: &Rights, after: &Rights) -> bool {
    before.roles.contains(&Role::Manager) && !after.roles.contains(&Role::Manager)
}

/// Whether somebody else manages the project and can sign in or has been invited.
async fn others_manage(tx: &mut Tx, project: ProjectId, id: PersonId) -> Answer<bool> {
    let members = members::list(tx, project).await?;
    Ok(members
        .iter()
        .any(|m| m.id != id && m.disabled_at.is_none() && m.rights.roles.contains(&Role::Manager)))
}

async fn load(tx: &mut Tx, project: ProjectId, id: PersonId) -> Answer<Member> {
    let members = members::list(tx, project).await?;
    members.into_iter().find(|member| member.id == id).ok_or(AppError::NotFound)
}

/// Both versions side by side; with `take` the kept rights come into the form.
fn clash(ctx: &Ctx, at: (ProjectId, String), member: Member, form: &MemberForm, mine: &Rights) -> Response {
    let kept = Ticks::of(&member.rights);
    let taken = form.take == ALL_RIGHTS;
    let ticks = Ticks { roles: form.role.clone(), clearances: form.clearance.clone() };
    let clashes = if taken || *mine == member.rights {
        Vec::new()
    } else {
        let (mine, theirs) = (words_of(mine), words_of(&member.rights));
        vec![Clash { name: ALL_RIGHTS, label: "Roles and permissions", mine, theirs }]
    };
    let conflict = Some(Conflict { clashes });
    let page = MemberPage { conflict, ..page(ctx, at, member, if taken { &kept } else { &ticks }) };
    (StatusCode::CONFLICT, ok(page)).into_response()
}

fn page(ctx: &Ctx, (project, code): (ProjectId, String), member: Member, ticks: &Ticks) -> MemberPage {
    MemberPage {
        chrome: ctx.chrome_in(project),
        code,
        seen: words_of(&member.rights),
        member,
        roles: ticks.roles(),
        restricted: ticks.has(RESTRICTED),
        findspot: ticks.has(FINDSPOT),
        errors: Errors::default(),
        conflict: None,
    }
}
