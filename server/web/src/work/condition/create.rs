//! A condition assessment is written, find by find.
use super::super::enter::{self, Entered};
use super::super::record::{StoppedLine, stopped_line};
use super::form::{AssessmentForm, Row, Words};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::finds::load_chosen;
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::condition::Scale;
use domain::ids::RecordId;
use domain::permission::Action;
use domain::stages::Stage;
use store::Tx;
use store::finds::Find;
use store::work::assessments::{self, Assessed};
use store::work::records;

/// Finds that may be assessed one after the other.
const MOST_FINDS: usize = 200;

#[derive(Template)]
#[template(path = "work/condition_new.html")]
struct AssessmentPage {
    chrome: Chrome,
    action: String,
    find: Find,
    back: String,
    /// Ids of the finds that follow.
    then: Vec<String>,
    form: AssessmentForm,
    rows: Vec<Row>,
    words: Words,
    errors: Errors,
    stopped: Vec<StoppedLine>,
    /// The address that begins with the last assessment, and its day.
    last: Option<(String, String)>,
    /// Where a lead edits the words.
    edit_words: Option<String>,
}

pub(super) async fn new(
    ctx: Ctx,
    Path(code): Path<String>,
    Asked(mut form): Asked<AssessmentForm>,
) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.read().await?;
    let finds = load_chosen(&ctx, &mut tx, project, &form.find, MOST_FINDS).await?;
    let find = finds.first().cloned().ok_or(AppError::NotFound)?;
    let before = assessments::list_of_find(&mut tx, find.id).await?;
    let chosen = std::mem::take(&mut form.find);
    if let Some(id) = form.corrected() {
        let old = standing(&before, id).ok_or(AppError::NotFound)?;
        form = AssessmentForm { supersedes: form.supersedes, ..AssessmentForm::of(old) };
    } else if let Ok(id) = form.from.parse() {
        form = AssessmentForm::begun_with(standing(&before, id).ok_or(AppError::NotFound)?);
    }
    form.find = chosen;
    let last = records::find_last_words(&mut tx, project, Stage::Condition, ctx.actor.person).await?;
    let last = last.unwrap_or_default();
    let offer = |field: &mut String, words: String| {
        if field.is_empty() {
            *field = words;
        }
    };
    offer(&mut form.done_by, last.done_by);
    offer(&mut form.done_by, ctx.actor.name.clone());
    offer(&mut form.method, last.method);
    offer(&mut form.done_on, ctx.now.date_naive().to_string());
    offer(&mut form.finished, "yes".into());
    Ok(ok(page(&ctx, &mut tx, &code, finds, form).await?).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<AssessmentForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let finds = load_chosen(&ctx, &mut tx, project, &posted.form.find, MOST_FINDS).await?;
    let find = finds.first().cloned().ok_or(AppError::NotFound)?;
    let before = assessments::list_of_find(&mut tx, find.id).await?;
    if posted.form.corrected().is_some_and(|id| standing(&before, id).is_none()) {
        return Err(AppError::NotFound);
    }
    if !posted.form.more.is_empty() {
        return Ok(ok(page(&ctx, &mut tx, &code, finds, posted.form).await?).into_response());
    }
    let words = words(&mut tx, &find, &before, &posted.form).await?;
    let new = match posted.form.parse(project, &find, &words, ctx.now.date_naive()) {
        Ok(new) => new,
        Err(errors) => {
            let page = page(&ctx, &mut tx, &code, finds, posted.form).await?;
            return Ok(again(AssessmentPage { errors, ..page }).into_response());
        }
    };
    match enter::record(&ctx, &mut tx, std::slice::from_ref(&find), &new, None).await? {
        Entered::In(_) => {
            let (to, told) = lead_on(&code, &finds);
            ctx.finish(tx, &posted, &to, &told).await
        }
        Entered::Stopped(stopped) => {
            let page = page(&ctx, &mut tx, &code, finds, posted.form).await?;
            let stopped = stopped.iter().map(|s| stopped_line(&ctx, &code, project, s)).collect();
            Ok(again(AssessmentPage { stopped, ..page }).into_response())
        }
    }
}

/// To the find's page, or to the next of several.
fn lead_on(code: &str, finds: &[Find]) -> (String, String) {
    let number = finds.first().map(|find| find.number.as_str()).unwrap_or_default();
    match finds {
        [] | [_] => {
            let to = finds.first().map_or_else(|| links::finds(code), |find| links::find(find.id));
            (to, format!("The condition of {number} is on its page."))
        }
        [_, rest @ ..] => {
            let mut query = form_urlencoded::Serializer::new(String::new());
            query.extend_pairs(rest.iter().map(|find| ("find", find.id.to_string())));
            let to = format!("{}?{}", links::condition_new(code), query.finish());
            (to, format!("The condition of {number} is recorded; still to come: {}.", rest.len()))
        }
    }
}

fn standing(of_find: &[Assessed], id: RecordId) -> Option<&Assessed> {
    of_find.iter().find(|old| old.record == id && old.superseded_at.is_none())
}

/// The words of the project, with those of the assessment that is corrected or begun with.
async fn words(tx: &mut Tx, find: &Find, before: &[Assessed], form: &AssessmentForm) -> Answer<Words> {
    let mut terms =
        async |scale| assessments::find_vocabulary(tx, find.project_id, scale).await.map(|v| v.terms);
    let words = Words {
        condition: terms(Scale::Condition).await?,
        stability: terms(Scale::Stability).await?,
        alteration: terms(Scale::Alteration).await?,
    };
    let old =
        [form.corrected(), form.from.parse().ok()].into_iter().flatten().find_map(|id| standing(before, id));
    Ok(match old {
        Some(old) => words.with(&old.assessment),
        None => words,
    })
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    code: &str,
    finds: Vec<Find>,
    form: AssessmentForm,
) -> Answer<AssessmentPage> {
    let mut finds = finds.into_iter();
    let find = finds.next().ok_or(AppError::NotFound)?;
    let before = assessments::list_of_find(tx, find.id).await?;
    let fresh = form.corrected().is_none() && form.from.is_empty();
    let last = before.iter().find(|old| old.superseded_at.is_none()).filter(|_| fresh);
    Ok(AssessmentPage {
        chrome: ctx.chrome_in(find.project_id),
        action: links::condition_new(code),
        back: links::find(find.id),
        then: finds.map(|find| find.id.to_string()).collect(),
        rows: form.rows(),
        words: words(tx, &find, &before, &form).await?,
        errors: Errors::default(),
        stopped: Vec::new(),
        last: last.map(|old| {
            let href = format!("{}?find={}&from={}", links::condition_new(code), find.id, old.record);
            (href, crate::filters::show_day(old.done_on))
        }),
        edit_words: ctx
            .actor
            .may(Action::EditRoutes, find.project_id)
            .then(|| links::vocabulary(code, Scale::Condition)),
        find,
        form,
    })
}
