//! A year by which a context was there, by whom and why; it can be withdrawn.
use super::show::load;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::review::dating;
use crate::work::hold::{ReasonForm, ReasonPage};
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{ContextId, FixedYearId};
use store::Tx;
use store::contexts::Context;
use store::dating::fixed_years::{self, FixedYear, NewFixedYear};
use store::journal::{self, Entry};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct FixedYearForm {
    words: String,
    reason: String,
}

#[derive(Template)]
#[template(path = "contexts/fixed_year.html")]
struct FixedYearPage {
    chrome: Chrome,
    number: String,
    action: String,
    back: String,
    form: FixedYearForm,
    errors: Errors,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<ContextId>) -> Answer {
    let context = load(&ctx, &mut ctx.read().await?, id).await?;
    Ok(ok(page(&ctx, &context, FixedYearForm::default())).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<ContextId>, posted: Posted<FixedYearForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let context = load(&ctx, &mut tx, id).await?;
    let convention = dating::convention_of(&mut tx, context.project_id).await?;
    let mut errors = Errors::default();
    let words = errors.required("words", &posted.form.words, "Give the year, for example AD 1430.");
    let year = if words.is_empty() { None } else { last_year(&words, &convention, &mut errors) };
    let reason = errors.required(
        "reason",
        &posted.form.reason,
        "Say how it is known, with the document or the dated part.",
    );
    let Some(year) = year.filter(|_| errors.is_empty()) else {
        return Ok(again(FixedYearPage { errors, ..page(&ctx, &context, posted.form) }).into_response());
    };
    let said = dating::year(year);
    let read = if words == said { String::new() } else { format!(", as “{words}” is read") };
    let told = format!("fixed {said} as the year by which context {} was there: {reason}", context.number);
    fixed_years::insert(
        &mut tx,
        &NewFixedYear { context: id, year, words, reason },
        ctx.actor.person,
        ctx.now,
    )
    .await?;
    journal::append(&mut tx, &entry(&ctx, &context, told), ctx.now).await?;
    let notice =
        format!("Context {} was there by {said}{read}; this is passed down to all below it.", context.number);
    ctx.finish(tx, &posted, &links::context(id), &notice).await
}

/// By the last year of what was written the context was there for certain.
fn last_year(words: &str, convention: &str, errors: &mut Errors) -> Option<i64> {
    let read = dating::read(words, convention).map_err(|sentence| errors.add("words", sentence)).ok()?;
    if read.years.hi.is_none() {
        errors.add("words", "Give the latest year by which it was there; this has no end.");
    }
    read.years.hi
}

pub(super) async fn ask_why(ctx: Ctx, Path(id): Path<FixedYearId>) -> Answer {
    let mut tx = ctx.read().await?;
    let (fixed, context) = of(&ctx, &mut tx, id).await?;
    Ok(ok(withdrawal(&ctx, &fixed, &context)).into_response())
}

pub(super) async fn withdraw(ctx: Ctx, Path(id): Path<FixedYearId>, posted: Posted<ReasonForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let (fixed, context) = of(&ctx, &mut tx, id).await?;
    let mut errors = Errors::default();
    let reason = errors.required("reason", posted.form.reason(), "Say why the year no longer holds.");
    if fixed.is_withdrawn {
        errors.add("reason", "This year was withdrawn already.");
    }
    if !errors.is_empty() {
        let page = ReasonPage {
            errors,
            reason: posted.form.reason().to_owned(),
            ..withdrawal(&ctx, &fixed, &context)
        };
        return Ok(again(page).into_response());
    }
    fixed_years::update_withdrawn(&mut tx, id, &reason, ctx.actor.person, ctx.now).await?;
    let words = format!(
        "withdrew {} as the year by which context {} was there: {reason}",
        dating::year(fixed.year),
        context.number
    );
    journal::append(&mut tx, &entry(&ctx, &context, words), ctx.now).await?;
    ctx.finish(tx, &posted, &links::context(context.id), "The year is withdrawn.").await
}

async fn of(ctx: &Ctx, tx: &mut Tx, id: FixedYearId) -> Answer<(FixedYear, Context)> {
    let fixed = fixed_years::find(tx, id).await?.ok_or(AppError::NotFound)?;
    let context = load(ctx, tx, fixed.context_id).await?;
    Ok((fixed, context))
}

fn entry(ctx: &Ctx, context: &Context, words: String) -> Entry {
    Entry {
        project: Some(context.project_id),
        context: Some(context.id),
        verb: "judged",
        words,
        by: Some(ctx.actor.person),
        ..Entry::default()
    }
}

fn page(ctx: &Ctx, context: &Context, form: FixedYearForm) -> FixedYearPage {
    FixedYearPage {
        chrome: ctx.chrome_in(context.project_id),
        number: context.number.clone(),
        action: links::fixed_year_new(context.id),
        back: links::context(context.id),
        form,
        errors: Errors::default(),
    }
}

fn withdrawal(ctx: &Ctx, fixed: &FixedYear, context: &Context) -> ReasonPage {
    ReasonPage {
        chrome: ctx.chrome_in(context.project_id),
        title: format!("Withdraw the year fixed for context {}", context.number),
        explanation: format!(
            "{} fixed {} on {}: {}. It stays on the record.",
            fixed.fixed_by,
            dating::year(fixed.year),
            crate::filters::show_day(fixed.fixed_at.date_naive()),
            fixed.reason,
        ),
        button: "Withdraw the year",
        action: links::fixed_year_withdrawal(fixed.id),
        back: links::context(context.id),
        reason: String::new(),
        errors: Errors::default(),
    }
}
