//! A find judged residual or intrusive in its context, by whom and why; a judgement can be withdrawn.
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::hold::{ReasonForm, ReasonPage};
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{ContextId, FindId, JudgementId};
use domain::review::Origin;
use store::Tx;
use store::dating::judgements::{self, Judgement, NewJudgement};
use store::finds::Find;
use store::journal::{self, Entry};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct JudgementForm {
    origin: String,
    reason: String,
}

#[derive(Template)]
#[template(path = "contexts/judgement.html")]
struct JudgementPage {
    chrome: Chrome,
    number: String,
    object: String,
    context: String,
    action: String,
    back: String,
    suggestion: String,
    form: JudgementForm,
    errors: Errors,
}

/// The find and the context it lies in; a find in none cannot be judged.
async fn placed(ctx: &Ctx, tx: &mut Tx, id: FindId) -> Answer<(Find, ContextId, String)> {
    let find = ctx.find(tx, id).await?;
    let lost =
        || ctx.lead_back(links::find(id), "This find lies in no context, so there is nothing to judge.");
    let context = find.context_id.map(ContextId).ok_or_else(lost)?;
    let number = store::contexts::find(tx, context).await?.ok_or(AppError::NotFound)?.number;
    Ok((find, context, number))
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let placed = placed(&ctx, &mut tx, id).await?;
    Ok(ok(page(&ctx, &mut tx, &placed, JudgementForm::default()).await?).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<JudgementForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let placed = placed(&ctx, &mut tx, id).await?;
    let mut errors = Errors::default();
    let origin: Option<Origin> = errors.choice("origin", &posted.form.origin);
    let reason = errors.required("reason", &posted.form.reason, "Say what the judgement rests on.");
    let restricted = ctx.actor.sees_restricted(placed.0.project_id);
    let standing = judgements::list_of_context(&mut tx, placed.1, restricted).await?;
    if standing.iter().any(|one| one.find_id == id && one.withdrawn_at.is_none()) {
        errors.add("origin", "A judgement of this find stands already. Withdraw it first.");
    }
    let Some(origin) = origin.filter(|_| errors.is_empty()) else {
        let page = JudgementPage { errors, ..page(&ctx, &mut tx, &placed, posted.form).await? };
        return Ok(again(page).into_response());
    };
    let (find, context, number) = placed;
    let words = format!("judged it {origin} in context {number}: {reason}");
    judgements::insert(
        &mut tx,
        &NewJudgement { find: id, context, origin, reason },
        ctx.actor.person,
        ctx.now,
    )
    .await?;
    journal::append(&mut tx, &entry(&ctx, &find, context, words), ctx.now).await?;
    let notice = format!("{} is judged {origin}; it no longer dates context {number}.", find.number);
    ctx.finish(tx, &posted, &links::context(context), &notice).await
}

pub(super) async fn ask_why(ctx: Ctx, Path(id): Path<JudgementId>) -> Answer {
    let mut tx = ctx.read().await?;
    let (judged, find) = load(&ctx, &mut tx, id).await?;
    Ok(ok(withdrawal(&ctx, &judged, &find)).into_response())
}

pub(super) async fn withdraw(ctx: Ctx, Path(id): Path<JudgementId>, posted: Posted<ReasonForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let (judged, find) = load(&ctx, &mut tx, id).await?;
    let mut errors = Errors::default();
    let reason = errors.required("reason", posted.form.reason(), "Say why the judgement no longer holds.");
    if judged.withdrawn_at.is_some() {
        errors.add("reason", "This judgement was withdrawn already.");
    }
    if !errors.is_empty() {
        let page = ReasonPage {
            errors,
            reason: posted.form.reason().to_owned(),
            ..withdrawal(&ctx, &judged, &find)
        };
        return Ok(again(page).into_response());
    }
    judgements::update_withdrawn(&mut tx, id, &reason, ctx.actor.person, ctx.now).await?;
    let words = format!("withdrew the judgement that it is {}: {reason}", judged.origin);
    journal::append(&mut tx, &entry(&ctx, &find, judged.context_id, words), ctx.now).await?;
    let notice = format!("The judgement is withdrawn; {} dates the context again.", find.number);
    ctx.finish(tx, &posted, &links::context(judged.context_id), &notice).await
}

/// The judgement with its find, if this person may see the find and do here what the route is for.
async fn load(ctx: &Ctx, tx: &mut Tx, id: JudgementId) -> Answer<(Judgement, Find)> {
    let judged = judgements::find(tx, id).await?.ok_or(AppError::NotFound)?;
    let find = ctx.find(tx, judged.find_id).await?;
    Ok((judged, find))
}

fn entry(ctx: &Ctx, find: &Find, context: ContextId, words: String) -> Entry {
    Entry { context: Some(context), ..crate::work::enter::find_entry(ctx, find, "judged", words) }
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    (find, context, number): &(Find, ContextId, String),
    form: JudgementForm,
) -> Answer<JudgementPage> {
    Ok(JudgementPage {
        chrome: ctx.chrome_in(find.project_id),
        number: find.number.clone(),
        object: find.object_type.clone(),
        context: number.clone(),
        action: links::judgement_new(find.id),
        back: links::context(*context),
        suggestion: super::dated::suggestion_for(ctx, tx, find).await?,
        form,
        errors: Errors::default(),
    })
}

fn withdrawal(ctx: &Ctx, judged: &Judgement, find: &Find) -> ReasonPage {
    ReasonPage {
        chrome: ctx.chrome_in(find.project_id),
        title: format!("Withdraw the judgement of {}", find.number),
        explanation: format!(
            "{} judged it {} on {}: {}. Once withdrawn, its date counts again. The judgement stays on the record.",
            judged.judged_by,
            judged.origin,
            crate::filters::show_day(judged.judged_at.date_naive()),
            judged.reason,
        ),
        button: "Withdraw the judgement",
        action: links::judgement_withdrawal(judged.id),
        back: links::context(judged.context_id),
        reason: String::new(),
        errors: Errors::default(),
    }
}
