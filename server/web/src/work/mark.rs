//! Marks on the route without a working record: in hand, done, not needed.
use super::enter::{self, Entered};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Asked;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::stages::{Stage, StageState};
use std::collections::BTreeSet;
use store::finds::Find;

/// Finds that one mark may cover.
const MOST_FINDS: usize = 1_000;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct MarkForm {
    find: Vec<String>,
    stage: String,
    state: String,
    reason: String,
}

#[derive(Template)]
#[template(path = "work/mark_new.html")]
struct MarkPage {
    chrome: Chrome,
    action: String,
    back: String,
    form: MarkForm,
    errors: Errors,
    stopped: Vec<(String, String)>,
    finds: Vec<(String, String, String)>,
    stages: Vec<Stage>,
    states: &'static [StageState],
}

/// The states a person may choose; the others follow from records.
const STATES: &[StageState] = &[StageState::InHand, StageState::Done, StageState::NotNeeded];

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>, Asked(form): Asked<MarkForm>) -> Answer {
    let mut tx = ctx.read().await?;
    let finds = load(&ctx, &mut tx, &code, &form).await?;
    let stage = if form.stage.is_empty() { common_stage(&finds) } else { form.stage };
    let form = MarkForm { stage, ..form };
    Ok(ok(page(&ctx, &code, form, &finds)?).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<MarkForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let finds = load(&ctx, &mut tx, &code, &posted.form).await?;
    let (stage, state, reason) = match parse(&posted.form) {
        Ok(parsed) => parsed,
        Err(errors) => {
            let mut page = page(&ctx, &code, posted.form, &finds)?;
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    match enter::mark(&ctx, &mut tx, &finds, stage, state, &reason).await? {
        Entered::In(()) => {
            let words = format!("{} marked as {}.", sentence_case(stage.label()), state.label());
            let to = match finds.as_slice() {
                [one] => links::find(one.id),
                _ => links::finds(&code),
            };
            ctx.finish(tx, &posted, &to, &words).await
        }
        Entered::Stopped(stopped) => {
            let mut page = page(&ctx, &code, posted.form, &finds)?;
            page.stopped = stopped.into_iter().map(|s| (s.number, s.why.to_string())).collect();
            Ok(again(page).into_response())
        }
    }
}

/// Where all of them stand, to be offered; nothing where they stand apart.
fn common_stage(finds: &[Find]) -> String {
    let stages: BTreeSet<&str> = finds.iter().map(|find| find.stage.code()).collect();
    stages.first().filter(|_| stages.len() == 1).map(|stage| (*stage).to_owned()).unwrap_or_default()
}

fn parse(form: &MarkForm) -> Result<(Stage, StageState, String), Errors> {
    let mut errors = Errors::default();
    let stage: Option<Stage> = errors.choice("stage", &form.stage);
    let state: Option<StageState> = errors.choice("state", &form.state);
    let reason = errors.line("reason", &form.reason);
    match (stage, state) {
        (Some(_), Some(StageState::NotNeeded)) if reason.is_empty() => {
            errors.add("reason", "A stage that is left out needs a reason.");
        }
        (Some(stage), Some(StageState::Done)) if stage.takes_record() => {
            errors.add(
                "state",
                format!("{} is done by its record: write one instead.", sentence_case(stage.label())),
            );
        }
        (_, Some(state)) if !STATES.contains(&state) => errors.add("state", "Choose one of the list."),
        _ => {}
    }
    match (stage, state) {
        (Some(stage), Some(state)) if errors.is_empty() => Ok((stage, state, reason)),
        _ => Err(errors),
    }
}

fn sentence_case(words: &str) -> String {
    let mut letters = words.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

async fn load(ctx: &Ctx, tx: &mut store::Tx, code: &str, form: &MarkForm) -> Answer<Vec<Find>> {
    let project = ctx.project(code)?.project;
    crate::finds::load_chosen(ctx, tx, project, &form.find, MOST_FINDS).await
}

fn page(ctx: &Ctx, code: &str, form: MarkForm, finds: &[Find]) -> Answer<MarkPage> {
    let project = ctx.project(code)?.project;
    Ok(MarkPage {
        chrome: ctx.chrome_in(project),
        action: links::mark_new(code),
        back: match finds {
            [one] => links::find(one.id),
            _ => links::finds(code),
        },
        form,
        errors: Errors::default(),
        stopped: Vec::new(),
        finds: finds.iter().map(|f| (f.id.to_string(), f.number.clone(), f.object_type.clone())).collect(),
        stages: domain::stages::Route::choosable().collect(),
        states: STATES,
    })
}
