//! One material group: added, or changed with everything that stands on its route.
use super::form::{GroupForm, StageRow};
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::http::StatusCode;
use axum::response::IntoResponse;
use domain::finds::material::UNKNOWN;
use domain::ids::ProjectId;
use domain::stages::Route;
use domain::words::fold;
use store::Tx;
use store::journal::{self, Entry};
use store::materials::{self, Group, GroupWords};
use store::projects::{find_route, replace_route};

#[derive(Template)]
#[template(path = "projects/material.html")]
struct GroupPage {
    chrome: Chrome,
    code: String,
    title: String,
    action: String,
    form: GroupForm,
    rows: Vec<StageRow>,
    errors: Errors,
    conflict: Option<Conflict>,
}

pub(crate) async fn new(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let project = ctx.project(&code)?.project;
    let route = find_route(&mut ctx.read().await?, project, UNKNOWN).await?;
    Ok(ok(page(&ctx, (project, &code), None, GroupForm::fresh(&route))).into_response())
}

pub(crate) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<GroupForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let words = posted.form.parse_words(&mut errors);
    let route = posted.form.parse_route(&mut errors);
    let groups = materials::list(&mut tx, project).await?;
    judge_words(&words, &groups, None, &mut errors);
    let group_code = code_of(&words.name);
    if group_code.is_empty() || group_code == "new" || groups.iter().any(|g| g.code == group_code) {
        errors.add(
            "name",
            "A group by this name is there already, or the name has no letters. Choose another.",
        );
    }
    if !errors.is_empty() {
        let page = GroupPage { errors, ..page(&ctx, (project, &code), None, posted.form) };
        return Ok(again(page).into_response());
    }
    materials::insert(&mut tx, project, &group_code, &words).await?;
    replace_route(&mut tx, project, &group_code, &route).await?;
    let told = format!("added the material group {}: {}", words.name, route.words());
    note(&ctx, &mut tx, project, told).await?;
    let notice = format!("{} is added.", words.name);
    ctx.finish(tx, &posted, &links::materials(&code), &notice).await
}

pub(crate) async fn edit(ctx: Ctx, Path((code, group)): Path<(String, String)>) -> Answer {
    let project = ctx.project(&code)?.project;
    let (group, route) = load(&mut ctx.read().await?, project, &group).await?;
    let form = GroupForm::of(&group, &route);
    Ok(ok(page(&ctx, (project, &code), Some(&group), form)).into_response())
}

pub(crate) async fn update(
    ctx: Ctx,
    Path((code, group)): Path<(String, String)>,
    posted: Posted<GroupForm>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let (group, old_route) = load(&mut tx, project, &group).await?;
    let kept = GroupForm::of(&group, &old_route);
    let mut form = posted.form.clone();
    if !form.take.is_empty() || form.revision != kept.revision {
        form.take_over(&kept);
        let conflict = Some(Conflict::between(&form.fields(), &kept.fields()));
        let page = GroupPage { conflict, ..page(&ctx, (project, &code), Some(&group), form) };
        return Ok((StatusCode::CONFLICT, ok(page)).into_response());
    }
    let mut errors = Errors::default();
    let words = form.parse_words(&mut errors);
    let route = form.parse_route(&mut errors);
    judge_words(&words, &materials::list(&mut tx, project).await?, Some(&group), &mut errors);
    if !errors.is_empty() {
        let page = GroupPage { errors, ..page(&ctx, (project, &code), Some(&group), form) };
        return Ok(again(page).into_response());
    }
    materials::update(&mut tx, project, &group.code, &words, group.revision).await?;
    if route != old_route {
        replace_route(&mut tx, project, &group.code, &route).await?;
        store::finds::progress::refresh_material(&mut tx, project, &group.code, ctx.now).await?;
    }
    note(&ctx, &mut tx, project, change_words(&group, &words, &old_route, &route)).await?;
    ctx.finish(tx, &posted, &links::materials(&code), &format!("{} is saved.", words.name)).await
}

/// What changed, so that the journal tells the old route too.
fn change_words(before: &Group, after: &GroupWords, old: &Route, new: &Route) -> String {
    let mut parts = Vec::new();
    if before.name != after.name {
        parts.push(format!("name, before “{}”", before.name));
    }
    if before.words != after.words {
        parts.push(format!("words, before “{}”", before.words));
    }
    if before.caution != after.caution {
        parts.push(format!("caution, before “{}”", before.caution));
    }
    if before.licence != after.licence {
        parts.push(format!("licence, before “{}”", before.licence));
    }
    if old != new {
        parts.push(format!("route, now {}, before {}", new.words(), old.words()));
    }
    let what = if parts.is_empty() { "nothing".to_owned() } else { parts.join("; ") };
    format!("changed the material group {}: {what}", after.name)
}

/// A word means one group only, and no two groups have one name.
fn judge_words(words: &GroupWords, groups: &[Group], own: Option<&Group>, errors: &mut Errors) {
    let others = groups.iter().filter(|group| own.is_none_or(|own| own.code != group.code));
    for other in others {
        if fold(&other.name) == fold(&words.name) {
            errors.add("name", format!("There is a group {} already.", other.name));
        }
        let theirs: Vec<&str> = other.words.split(',').collect();
        if let Some(word) = words.words.split(',').find(|w| !w.is_empty() && theirs.contains(w)) {
            errors.add(
                "words",
                format!("“{word}” stands for {} already. Take it out there first.", other.name),
            );
        }
    }
}

/// The stored word of a new group, from its name.
fn code_of(name: &str) -> String {
    fold(name).replace(' ', "_").chars().filter(|c| c.is_ascii_alphanumeric() || *c == '_').take(40).collect()
}

async fn load(tx: &mut Tx, project: ProjectId, code: &str) -> Answer<(Group, Route)> {
    let group = materials::find(tx, project, code).await?.ok_or(AppError::NotFound)?;
    let route = find_route(tx, project, &group.code).await?;
    Ok((group, route))
}

async fn note(ctx: &Ctx, tx: &mut Tx, project: ProjectId, words: String) -> Answer<()> {
    let entry = Entry {
        project: Some(project),
        verb: "materials",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    Ok(journal::append(tx, &entry, ctx.now).await?)
}

fn page(ctx: &Ctx, (project, code): (ProjectId, &str), group: Option<&Group>, form: GroupForm) -> GroupPage {
    GroupPage {
        chrome: ctx.chrome_in(project),
        code: code.to_owned(),
        title: group.map_or("Add a material group".into(), |group| group.name.clone()),
        action: group.map_or(links::material_new(code), |group| links::material(code, &group.code)),
        rows: form.rows(),
        form,
        errors: Errors::default(),
        conflict: None,
    }
}
