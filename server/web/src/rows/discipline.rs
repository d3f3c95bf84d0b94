//! One discipline: added, or changed with its columns.
use super::columns_form::{ColumnView, ColumnsForm};
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
use domain::ids::ProjectId;
use domain::rows::{ColumnKind, Meaning, code_of};
use domain::words::fold;
use store::Tx;
use store::journal::{self, Entry};
use store::rows::disciplines::{self, Discipline};

#[derive(Template)]
#[template(path = "rows/discipline.html")]
struct DisciplinePage {
    chrome: Chrome,
    code: String,
    title: String,
    action: String,
    form: ColumnsForm,
    rows: Vec<ColumnView>,
    kinds: &'static [ColumnKind],
    meanings: &'static [Meaning],
    errors: Errors,
    conflict: Option<Conflict>,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let project = ctx.project(&code)?.project;
    Ok(ok(page(&ctx, (project, &code), None, ColumnsForm::default())).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<ColumnsForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let all = disciplines::list(&mut tx, project).await?;
    let mut errors = Errors::default();
    let columns = posted.form.parse(&mut errors);
    let name = name(&posted.form, &all, None, &mut errors);
    let own_code = code_of(&name);
    if errors.is_empty()
        && (own_code.is_empty() || own_code == "new" || all.iter().any(|d| d.code == own_code))
    {
        errors.add("name", "This name is in use already, or has no letters. Choose another.");
    }
    if !errors.is_empty() {
        let page = DisciplinePage { errors, ..page(&ctx, (project, &code), None, posted.form) };
        return Ok(again(page).into_response());
    }
    let new = Discipline { code: own_code, name, columns, revision: 0, withdrawn: false };
    keep(&ctx, &mut tx, project, (&new, "added")).await?;
    let notice = format!("{} is added.", new.name);
    ctx.finish(tx, &posted, &links::disciplines(&code), &notice).await
}

pub(super) async fn edit(ctx: Ctx, Path((code, discipline)): Path<(String, String)>) -> Answer {
    let project = ctx.project(&code)?.project;
    let one = disciplines::find(&mut ctx.read().await?, project, &discipline).await?;
    let one = one.ok_or(AppError::NotFound)?;
    let form = ColumnsForm::of(&one);
    Ok(ok(page(&ctx, (project, &code), Some(&one), form)).into_response())
}

pub(super) async fn update(
    ctx: Ctx,
    Path((code, discipline)): Path<(String, String)>,
    posted: Posted<ColumnsForm>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let all = disciplines::list(&mut tx, project).await?;
    let one = all.iter().find(|one| one.code == discipline).ok_or(AppError::NotFound)?;
    let kept = ColumnsForm::of(one);
    let mut form = posted.form.clone();
    if !form.take.is_empty() || form.revision != kept.revision {
        form.take_over(&kept);
        let conflict = Some(Conflict::between(&form.fields(), &kept.fields()));
        let page = DisciplinePage { conflict, ..page(&ctx, (project, &code), Some(one), form) };
        return Ok((StatusCode::CONFLICT, ok(page)).into_response());
    }
    let mut errors = Errors::default();
    let columns = form.parse(&mut errors);
    let name = name(&form, &all, Some(one), &mut errors);
    if !errors.is_empty() {
        let page = DisciplinePage { errors, ..page(&ctx, (project, &code), Some(one), form) };
        return Ok(again(page).into_response());
    }
    let new = Discipline { name, columns, withdrawn: form.withdrawn == "yes", ..one.clone() };
    keep(&ctx, &mut tx, project, (&new, "changed")).await?;
    ctx.finish(tx, &posted, &links::disciplines(&code), &format!("{} is saved.", new.name)).await
}

fn name(form: &ColumnsForm, all: &[Discipline], own: Option<&Discipline>, errors: &mut Errors) -> String {
    let name = errors.required("name", &form.name, "Write the name of the discipline.");
    let others = all.iter().filter(|one| own.is_none_or(|own| own.code != one.code));
    if let Some(other) = others.into_iter().find(|one| fold(&one.name) == fold(&name)) {
        errors.add("name", format!("There is a discipline {} already.", other.name));
    }
    name
}

async fn keep(ctx: &Ctx, tx: &mut Tx, project: ProjectId, (new, did): (&Discipline, &str)) -> Answer<()> {
    disciplines::update(tx, project, new, ctx.now).await?;
    let columns: Vec<String> = new.columns.iter().map(domain::rows::Column::title).collect();
    let withdrawn = if new.withdrawn { ", not offered" } else { "" };
    let entry = Entry {
        project: Some(project),
        verb: "disciplines",
        words: format!("{did} the discipline {}{withdrawn}: {}", new.name, columns.join(", ")),
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    Ok(journal::append(tx, &entry, ctx.now).await?)
}

fn page(
    ctx: &Ctx,
    (project, code): (ProjectId, &str),
    one: Option<&Discipline>,
    form: ColumnsForm,
) -> DisciplinePage {
    DisciplinePage {
        chrome: ctx.chrome_in(project),
        code: code.to_owned(),
        title: one.map_or("Add a discipline".into(), |one| one.name.clone()),
        action: one.map_or(links::discipline_new(code), |one| links::discipline(code, &one.code)),
        rows: form.rows(),
        form,
        kinds: ColumnKind::ALL,
        meanings: Meaning::ALL,
        errors: Errors::default(),
        conflict: None,
    }
}
