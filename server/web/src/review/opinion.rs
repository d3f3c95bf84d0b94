//! A specialist writes: a draft kept as typed, then a submitted version; a revision is the next version.
use super::desk_find::next_address;
use super::opinion_fields::Rows;
use super::opinion_form::{OpinionForm, shown};
use super::opinion_page;
use super::review_end;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_moment;
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use axum::response::{IntoResponse, Response};
use domain::ids::FindId;
use store::Tx;
use store::finds::Find;
use store::review::opinions::{self, Content, NewOpinion};
use store::review::{assignments, companions};

pub(super) async fn edit(ctx: Ctx, Path(id): Path<FindId>, Asked(rows): Asked<Rows>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let form = kept_form(&ctx, &mut tx, id).await?;
    Ok(ok(opinion_page::of(&ctx, &mut tx, find, (form, rows)).await?).into_response())
}

/// What stands in the form: the draft, else the words of the standing version.
pub(super) async fn kept_form(ctx: &Ctx, tx: &mut Tx, id: FindId) -> Answer<OpinionForm> {
    match opinions::find_draft(tx, id, ctx.actor.person).await? {
        Some(text) => OpinionForm::of_draft(&text),
        None => last_words(ctx, tx, id).await,
    }
}

/// Keeps the draft while it is typed, asked by a script; the same form may be sent in the end.
pub(super) async fn keep(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<OpinionForm>) -> Answer {
    let mut tx = ctx.write().await?;
    ctx.find(&mut tx, id).await?;
    keep_draft(&ctx, &mut tx, id, &posted.form).await?;
    tx.commit().await?;
    let words = format!("Draft kept, {}. Only you see it.", show_moment(ctx.now));
    Ok(axum::Json(serde_json::json!({ "words": words })).into_response())
}

pub(super) async fn save(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<OpinionForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    if ["submit", "submit_next"].contains(&posted.form.do_what.as_str()) {
        return submit(ctx, tx, find, posted).await;
    }
    keep_draft(&ctx, &mut tx, id, &posted.form).await?;
    let to = Rows::address(&links::opinion(id), &posted.form);
    ctx.finish(tx, &posted, &to, "The draft is kept. Only you see it.").await
}

async fn submit(ctx: Ctx, mut tx: Tx, find: Find, posted: Posted<OpinionForm>) -> Answer<Response> {
    if let Some(reason) = find.void_at.and(find.void_reason.as_deref()) {
        keep_draft(&ctx, &mut tx, find.id, &posted.form).await?;
        let told = format!(
            "The number {} is void now: {reason}. Your words are kept as a draft; ask the project.",
            find.number
        );
        return ctx.finish(tx, &posted, links::MY_FINDS, &told).await;
    }
    let convention = super::dating::convention_of(&mut tx, find.project_id).await?;
    let colleagues = store::people::list_colleagues(&mut tx, find.project_id).await?;
    let parsed = posted.form.parse(&convention, &colleagues);
    let seen = shown(&posted.form.readings(&convention));
    let unseen = parsed.is_ok() && seen != posted.form.shown;
    let content = match parsed {
        Ok(content) if !unseen => content,
        other => {
            keep_draft(&ctx, &mut tx, find.id, &posted.form).await?;
            let mut page = opinion_page::of(&ctx, &mut tx, find, (posted.form, Rows::default())).await?;
            page.errors = other.err().unwrap_or_default();
            page.to_check = unseen;
            tx.commit().await?;
            return Ok(again(page).into_response());
        }
    };
    let covered = match covered(&ctx, &mut tx, &find, &posted.form).await? {
        Ok(covered) => covered,
        Err(errors) => {
            let mut page = opinion_page::of(&ctx, &mut tx, find, (posted.form, Rows::default())).await?;
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    enter(&ctx, &mut tx, &covered, &content).await?;
    opinions::delete_draft(&mut tx, covered[0].id, ctx.actor.person).await?;
    let told = match covered.as_slice() {
        [one] => format!("Your opinion on {} is submitted. You can revise it at any time.", one.number),
        many => format!("Your opinion on {} finds is submitted. You can revise it at any time.", many.len()),
    };
    let to = match posted.form.do_what.as_str() {
        "submit_next" => next_address(&ctx, &mut tx, covered[0].id).await?,
        _ => links::MY_FINDS.to_owned(),
    };
    ctx.finish(tx, &posted, &to, &told).await
}

/// The find and the further ones that were ticked; each must be of an assignment that sent this one too.
async fn covered(
    ctx: &Ctx,
    tx: &mut Tx,
    find: &Find,
    form: &OpinionForm,
) -> Answer<Result<Vec<Find>, Errors>> {
    let offered = companions::list(tx, find.id, ctx.actor.person).await?;
    let mut finds = vec![find.clone()];
    for ticked in &form.covers {
        let id = offered.iter().map(|one| one.id).find(|id| id.to_string() == *ticked);
        let Some(id) = id else {
            let mut errors = Errors::default();
            errors.add("covers", "One of the further finds is no longer with you. Tick them again.");
            return Ok(Err(errors));
        };
        if !finds.iter().any(|one| one.id == id) {
            finds.push(ctx.find(tx, id).await?);
        }
    }
    Ok(Ok(finds))
}

/// Enters one opinion on every find that it covers.
async fn enter(ctx: &Ctx, tx: &mut Tx, finds: &[Find], content: &Content) -> Answer<()> {
    let covering = (finds.len() > 1).then(|| domain::ids::fresh(ctx.now));
    for find in finds {
        let new = NewOpinion {
            find: find.id,
            assignment: assignments::find_of(tx, find.id, ctx.actor.person).await?,
            covering,
            content: content.clone(),
        };
        opinions::insert(tx, &new, ctx.actor.person, ctx.now).await?;
        review_end::end(ctx, tx, find).await?;
        let also = match finds.len() {
            1 => String::new(),
            many => format!(", one for {many} finds"),
        };
        let words =
            format!("submitted a {} opinion{also}: {}", content.finality.label(), content.identification);
        store::journal::append(tx, &find_entry(ctx, find, "opinion", words), ctx.now).await?;
    }
    Ok(())
}

async fn keep_draft(ctx: &Ctx, tx: &mut Tx, id: FindId, form: &OpinionForm) -> Answer<()> {
    let text = serde_json::to_string(form).map_err(AppError::inside)?;
    Ok(opinions::update_draft(tx, id, ctx.actor.person, &text, ctx.now).await?)
}

/// The words of the author's standing version, to be revised.
async fn last_words(ctx: &Ctx, tx: &mut Tx, id: FindId) -> Answer<OpinionForm> {
    let said = opinions::list_of_find(tx, id).await?;
    let mut mine = said.iter().filter(|o| o.author_id == ctx.actor.person && o.superseded_at.is_none());
    // what was entered for the author and waits to be confirmed comes first
    let mine = mine.clone().find(|o| o.is_unconfirmed()).or_else(|| mine.next());
    Ok(mine.map_or_else(OpinionForm::fresh, OpinionForm::of))
}
