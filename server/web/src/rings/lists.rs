//! The lists of moulds of a project.
use super::said;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters;
use crate::form::Posted;
use crate::links;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::MouldListId;
use domain::permission::Action;
use store::Tx;
use store::journal::{self, Entry};
use store::rings::{self, MouldList};

#[derive(Template)]
#[template(path = "rings/lists.html")]
struct ListsPage {
    chrome: Chrome,
    code: String,
    lists: Vec<MouldList>,
}

#[derive(Template)]
#[template(path = "rings/list.html")]
struct ListPage {
    chrome: Chrome,
    may_withdraw: bool,
    list: MouldList,
    /// Name and diameters.
    moulds: Vec<(String, String)>,
}

#[derive(serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let member = ctx.project(&code)?;
    let lists = rings::list_lists(&mut ctx.read().await?, member.project).await?;
    let page = ListsPage { chrome: ctx.chrome_in(member.project), code: member.code.clone(), lists };
    Ok(ok(page).into_response())
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<MouldListId>) -> Answer {
    let mut tx = ctx.read().await?;
    let list = load(&ctx, &mut tx, id).await?;
    let moulds = rings::list_moulds(&mut tx, id).await?;
    let moulds = moulds.into_iter().map(|mould| (mould.name, said(&mould.rings_mm))).collect();
    Ok(ok(ListPage {
        chrome: ctx.chrome_in(list.project_id),
        may_withdraw: may_withdraw(&ctx, &list),
        list,
        moulds,
    })
    .into_response())
}

pub(super) async fn withdraw(ctx: Ctx, Path(id): Path<MouldListId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let list = load(&ctx, &mut tx, id).await?;
    if !may_withdraw(&ctx, &list) {
        return Err(AppError::Forbidden);
    }
    if list.withdrawn_at.is_some() {
        let told = "This list was withdrawn already.";
        return ctx.finish(tx, &posted, &links::mould_lists(&list.project_code), told).await;
    }
    rings::update_withdrawn(&mut tx, id, ctx.now).await?;
    let entry = Entry {
        project: Some(list.project_id),
        verb: "withdrew",
        words: format!("withdrew the list of moulds {}", list.name),
        by: Some(ctx.actor.person),
        ..Entry::default()
    };
    journal::append(&mut tx, &entry, ctx.now).await?;
    let told = format!("{} is withdrawn; it is offered no more.", list.name);
    ctx.finish(tx, &posted, &links::mould_lists(&list.project_code), &told).await
}

/// Who entered a list, and the team: to a specialist the lists of others are there to be read.
fn may_withdraw(ctx: &Ctx, list: &MouldList) -> bool {
    list.made_by_id == ctx.actor.person || ctx.actor.may(Action::RecordWork, list.project_id)
}

/// The list, if this person may compare in its project.
async fn load(ctx: &Ctx, tx: &mut Tx, id: MouldListId) -> Answer<MouldList> {
    let list = rings::find_list(tx, id).await?.ok_or(AppError::NotFound)?;
    ctx.allow(list.project_id)?;
    Ok(list)
}
