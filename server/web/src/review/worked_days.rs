//! Days worked for an assignment against those agreed.
use super::assignment::own;
use super::terms_words::{agreed_for, days as in_days};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::{show_day, show_measure};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{AssignmentId, WorkedDayId};
use store::Tx;
use store::review::assignments::Assignment;
use store::review::days::{self, WorkedDay};

/// Working time of one entry.
const DAYS: std::ops::RangeInclusive<f64> = 0.05..=60.0;

/// Exactly what was typed.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct DayForm {
    worked_on: String,
    days: String,
    words: String,
}

#[derive(Template)]
#[template(path = "review/worked_days.html")]
struct DaysPage {
    chrome: Chrome,
    assignment: Assignment,
    lines: Vec<Line>,
    /// “3 of 4.5 days, 1.5 left”.
    balance: String,
    beyond: bool,
    agreed: String,
    form: DayForm,
    errors: Errors,
}

/// An entry.
struct Line {
    day: String,
    days: String,
    words: String,
    withdrawal: String,
    withdrawn: bool,
}

impl Line {
    fn of(one: &WorkedDay) -> Self {
        Self {
            day: show_day(one.worked_on),
            days: show_measure(one.days),
            words: one.words.clone(),
            withdrawal: links::worked_day_withdrawal(one.id),
            withdrawn: one.withdrawn_at.is_some(),
        }
    }
}

pub(super) async fn index(ctx: Ctx, Path(id): Path<AssignmentId>) -> Answer {
    let mut tx = ctx.read().await?;
    let assignment = own(&ctx, &mut tx, id).await?;
    let form = DayForm { worked_on: ctx.now.date_naive().to_string(), ..DayForm::default() };
    let page = page(&ctx, &mut tx, assignment, (form, Errors::default())).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<AssignmentId>, posted: Posted<DayForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let assignment = own(&ctx, &mut tx, id).await?;
    let form = &posted.form;
    let mut errors = Errors::default();
    let worked_on = errors.past_day("worked_on", &form.worked_on, ctx.now.date_naive());
    if worked_on.is_none() {
        errors.add("worked_on", "Say on which day.");
    }
    let days = errors.measure("days", &form.days, DAYS);
    if days.is_none() {
        errors.add("days", "Write how many days: 0.5, 1.");
    }
    let words = errors.required("words", &form.words, "Write what was done: it stands on the statement.");
    let (Some(worked_on), Some(days), true) = (worked_on, days, errors.is_empty()) else {
        let page = page(&ctx, &mut tx, assignment, (posted.form.clone(), errors)).await?;
        return Ok(again(page).into_response());
    };
    days::insert(&mut tx, id, (worked_on, days, &words), ctx.now).await?;
    let told = format!("logged {} for an assignment", in_days(days));
    tell(&ctx, &mut tx, &assignment, told).await?;
    ctx.finish(tx, &posted, &links::worked_days(id), "It is logged.").await
}

#[derive(Debug, Default, serde::Deserialize)]
pub(super) struct Nothing {}

pub(super) async fn withdraw(ctx: Ctx, Path(id): Path<WorkedDayId>, posted: Posted<Nothing>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let entry = days::find(&mut tx, id, ctx.actor.person).await?.ok_or(AppError::NotFound)?;
    let assignment = own(&ctx, &mut tx, entry.assignment_id).await?;
    days::update_withdrawn(&mut tx, id, ctx.now).await?;
    let told = format!("withdrew an entry of {}", in_days(entry.days));
    tell(&ctx, &mut tx, &assignment, told).await?;
    ctx.finish(tx, &posted, &links::worked_days(assignment.id), "The entry is withdrawn.").await
}

async fn tell(ctx: &Ctx, tx: &mut Tx, assignment: &Assignment, words: String) -> Answer<()> {
    let entry = store::journal::Entry {
        project: Some(assignment.project_id),
        verb: "logged",
        words,
        by: Some(ctx.actor.person),
        ..store::journal::Entry::default()
    };
    Ok(store::journal::append(tx, &entry, ctx.now).await?)
}

/// Days that stand, together.
pub(super) fn total(all: &[WorkedDay]) -> f64 {
    all.iter().filter(|one| one.withdrawn_at.is_none()).map(|one| one.days).sum()
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    assignment: Assignment,
    (form, errors): (DayForm, Errors),
) -> Answer<DaysPage> {
    let all = days::list(tx, assignment.id).await?;
    let worked = total(&all);
    let left = assignment.agreed_days.map(|agreed| agreed - worked);
    let balance = match (assignment.agreed_days, left) {
        (Some(agreed), Some(left)) if left < 0.0 => {
            format!("{} of {} worked, {} beyond", show_measure(worked), in_days(agreed), show_measure(-left))
        }
        (Some(agreed), Some(left)) => {
            format!("{} of {} worked, {} left", show_measure(worked), in_days(agreed), show_measure(left))
        }
        _ => format!("{} worked; no number of days was agreed", in_days(worked)),
    };
    Ok(DaysPage {
        chrome: ctx.chrome_in(assignment.project_id),
        lines: all.iter().map(Line::of).collect(),
        balance,
        beyond: left.is_some_and(|left| left < 0.0),
        agreed: agreed_for(&assignment),
        assignment,
        form,
        errors,
    })
}
