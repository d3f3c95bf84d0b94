//! A lead’s answer to a proposed cleaning level.
use super::enter::find_entry;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::Posted;
use crate::links;
use axum::extract::Path;
use domain::ids::RecordId;
use domain::stages::{Stage, StageMark, StageState};
use store::finds::progress;
use store::journal;
use store::work::{levels, records};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct AnswerForm {
    answer: String,
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<RecordId>, posted: Posted<AnswerForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let record = records::find(&mut tx, id).await?.filter(|r| r.level.is_some()).ok_or(AppError::NotFound)?;
    ctx.allow(record.project_id)?;
    let (answer, state, told) = match posted.form.answer.as_str() {
        "authorised" => ("authorised", StageState::Done, "authorised the cleaning level"),
        "refused" => ("refused", StageState::InHand, "refused the cleaning level"),
        _ => return Err(AppError::Unreadable("Choose to authorise or to refuse.".into())),
    };
    levels::update_answer(&mut tx, id, answer, ctx.actor.person, ctx.now).await?;
    let level = record.level.unwrap_or_default();
    let mut last = None;
    for (find, _) in records::list_finds(&mut tx, id).await? {
        let find = ctx.find(&mut tx, find).await?;
        let mark = StageMark {
            stage: Stage::CleaningLevel,
            state,
            quantity_done: find.quantity,
            reason: String::new(),
        };
        progress::mark(&mut tx, find.id, &mark, ctx.now).await?;
        let entry = find_entry(&ctx, &find, answer, format!("{told}: {level}"));
        journal::append(&mut tx, &entry, ctx.now).await?;
        last = Some(find.id);
    }
    let to = last.map_or_else(|| links::TODAY.to_owned(), links::find);
    ctx.finish(tx, &posted, &to, &format!("You {told}.")).await
}
