//! The projects one is part of; for the administrator every project by name, with its managers and without its content.
use crate::context::Ctx;
use crate::error::Answer;
use crate::links;
use crate::page::{Chrome, ok};
use askama::Template;
use axum::response::IntoResponse;
use domain::permission::Action;
use store::Tx;

#[derive(Template)]
#[template(path = "projects/index.html")]
struct ProjectsPage {
    chrome: Chrome,
    lines: Vec<Line>,
    administers: bool,
}

struct Line {
    code: String,
    name: String,
    /// What one is there; empty for a project one has no part in.
    roles: String,
    managers: String,
    /// Whether its first page opens for this person.
    opens: bool,
    /// The first page this person has in it otherwise.
    href: String,
}

pub(super) async fn index(ctx: Ctx) -> Answer {
    let administers = ctx.actor.may_somewhere(Action::Administer);
    let lines = if administers { all(&ctx, &mut ctx.read().await?).await? } else { own(&ctx) };
    Ok(ok(ProjectsPage { chrome: ctx.chrome(), lines, administers }).into_response())
}

fn own(ctx: &Ctx) -> Vec<Line> {
    let members = ctx.actor.memberships.iter();
    members.map(|m| line(ctx, m.code.clone(), m.name.clone(), String::new())).collect()
}

async fn all(ctx: &Ctx, tx: &mut Tx) -> Answer<Vec<Line>> {
    let managers = store::members::list_managers(tx).await?;
    let projects = store::projects::list(tx).await?;
    let lines = projects.into_iter().map(|project| {
        let names: Vec<&str> =
            managers.iter().filter(|m| m.code == project.code).map(|m| m.name.as_str()).collect();
        line(ctx, project.code, project.name, names.join(", "))
    });
    Ok(lines.collect())
}

fn line(ctx: &Ctx, code: String, name: String, managers: String) -> Line {
    let member = ctx.actor.memberships.iter().find(|m| m.code == code);
    let opens = member.is_some_and(|m| m.grants(Action::ViewProject));
    let roles = member
        .map_or(String::new(), |m| m.roles.iter().map(|role| role.label()).collect::<Vec<_>>().join(", "));
    let href = match member {
        Some(_) if opens => links::project(&code),
        Some(_) => links::MY_FINDS.to_owned(),
        None => String::new(),
    };
    Line { code, name, roles, managers, opens: member.is_some(), href }
}
