//! The end of a run: through the one gatekeeper of work, which marks the stage. An ended run may go on again.
use super::form::RunForm;
use super::show::{self, Wrong};
use super::{Known, drying::DryingView};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::path::Path;
use crate::work::enter::{self, Entered};
use crate::work::stopped_line;
use domain::ids::RunId;
use domain::permission::may_record;
use domain::refusal::Refusal;
use domain::runs::{Plan, RunKind};
use domain::stages::{Stage, StageMark, StageState};
use domain::work::Detail;
use store::Tx;
use store::finds::progress;
use store::runs::Ending;
use store::work::records::NewRecord;

/// What the run came to, for its record.
struct Outcome {
    /// The find is dry, or free enough of salts.
    well: bool,
    words: String,
    detail: Detail,
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<RunId>, posted: Posted<RunForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = Known::load(&ctx, &mut tx, id).await?;
    let drying = show::drying_view(&ctx, &mut tx, &known, 1).await?;
    let desalination = show::desalination_view(&mut tx, &known).await?;
    let form = &posted.form;
    let mut errors = Errors::default();
    known.closed_to(&ctx, &mut errors, "end_words");
    let done_by =
        errors.required("done_by", &form.done_by, "Say who ended it; several names are separated by commas.");
    let outcome = match (&drying, &desalination) {
        (Some(view), _) => dried(form, &known, view, &mut errors),
        (_, view) => desalinated(form, view.as_ref().is_some_and(|view| view.is_met), &mut errors),
    };
    if !errors.is_empty() {
        return show::wrong(&ctx, &mut tx, &known, posted.form, errors.into()).await;
    }
    let new = record(&ctx, &known, done_by, &outcome);
    let finds: Vec<_> = known.finds.iter().map(|(find, _)| find.clone()).collect();
    let record = match enter::record(&ctx, &mut tx, &finds, &new, None).await? {
        Entered::In(record) => record,
        Entered::Stopped(stopped) => {
            let code = &finds[0].project_code;
            let stopped = stopped.iter().map(|s| stopped_line(&ctx, code, known.run.project_id, s)).collect();
            let wrong = Wrong { stopped, ..Wrong::default() };
            return show::wrong(&ctx, &mut tx, &known, posted.form, wrong).await;
        }
    };
    let ending = Ending { record, well: outcome.well, words: outcome.words };
    store::runs::update_end(&mut tx, id, &ending, ctx.now).await?;
    if known.run.kind == RunKind::Desalination {
        wet_again(&ctx, &mut tx, &known).await?;
    }
    let notice = match (known.run.kind, outcome.well) {
        (_, false) => "The run is broken off; its stage stays in hand.",
        (RunKind::Drying, true) => "The run has ended: dry. Packing is open.",
        (RunKind::Desalination, true) => {
            "The run has ended. What comes from a bath is dried before it is packed."
        }
    };
    ctx.finish(tx, &posted, &links::run(id), notice).await
}

fn dried(form: &RunForm, known: &Known, view: &DryingView, errors: &mut Errors) -> Outcome {
    let well = view.is_dry && form.how == "done";
    let said = errors.text("end_words", &form.end_words);
    match form.how.as_str() {
        "done" if view.is_dry => {}
        "done" => errors.add(
            "how",
            format!(
                "{} It can be broken off with a reason, or a lead lifts the gate to packing.",
                view.verdict
            ),
        ),
        "broken_off" if said.is_empty() => errors.add("end_words", "Say why it is broken off."),
        "broken_off" => {}
        _ => errors.add("how", "Say whether it is dry or broken off."),
    }
    let checked_by = errors.line("checked_by", &form.checked_by);
    if well && checked_by.is_empty() {
        errors.add("checked_by", "Say who checked that it is dry.");
    }
    let lost = format!("{} lost", view.loss);
    let mut words = if well { format!("dry, {lost}") } else { format!("broken off, {lost}") };
    if !said.is_empty() {
        words = format!("{words}; {said}");
    }
    let rule = match &known.plan {
        Plan::Drying(_) if well => format!("{} {}", view.rule, view.verdict),
        _ => String::new(),
    };
    let detail =
        Detail::Drying { start_mass_g: view.start_g, end_mass_g: view.end_g, end_rule: rule, checked_by };
    Outcome { well, words, detail }
}

fn desalinated(form: &RunForm, is_met: bool, errors: &mut Errors) -> Outcome {
    let well = form.how == "done";
    if !matches!(form.how.as_str(), "done" | "broken_off") {
        errors.add("how", "Say whether it is finished or broken off.");
    }
    let missing = "Say why it stops here: a run is not finished without a reason.";
    let said = errors.text("end_words", &form.end_words);
    if said.is_empty() {
        errors.add("end_words", missing);
    }
    let rule = if is_met { "end rule met" } else { "end rule not met" };
    let how = if well { "finished" } else { "broken off" };
    Outcome { well, words: format!("{how}, {rule}; {said}"), detail: Detail::Plain }
}

fn record(ctx: &Ctx, known: &Known, done_by: String, outcome: &Outcome) -> NewRecord {
    let run = &known.run;
    NewRecord {
        project: run.project_id,
        stage: run.kind.stage(),
        done_by,
        done_on: ctx.now.date_naive(),
        method: super::start::method_of(&known.plan, &run.method),
        materials: String::new(),
        outcome: outcome.words.clone(),
        note: String::new(),
        finished: outcome.well,
        standing: None,
        supersedes: Some(run.record_id),
        detail: outcome.detail.clone(),
        finds: known.finds.iter().map(|(find, quantity)| (find.id, *quantity)).collect(),
    }
}

/// What comes out of a bath is wet: a drying that was behind it waits again.
async fn wet_again(ctx: &Ctx, tx: &mut Tx, known: &Known) -> Answer<()> {
    for (find, _) in &known.finds {
        let facts = progress::find_facts(tx, find.id).await?;
        if facts.progress.route.has(Stage::Drying) && facts.progress.is_settled(Stage::Drying) {
            let reason = "wet again from the bath".to_owned();
            let mark =
                StageMark { stage: Stage::Drying, state: StageState::Waiting, quantity_done: 0, reason };
            progress::mark(tx, find.id, &mark, ctx.now).await?;
        }
    }
    Ok(())
}

pub(super) async fn reopen(ctx: Ctx, Path(id): Path<RunId>, posted: Posted<RunForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = Known::load(&ctx, &mut tx, id).await?;
    let stage = known.run.kind.stage();
    let mut errors = Errors::default();
    let reason = errors.required("reason", &posted.form.reason, "Say why the run goes on.");
    for (find, _) in &known.finds {
        if !may_record(&ctx.actor, find.project_id, stage, find.bulk, &find.material) {
            errors.add("reason", Refusal::NotYours.to_string());
        }
        if find.held || find.void_at.is_some() {
            errors.add("reason", format!("{} is on hold or void.", find.number));
        }
        if store::runs::find_running(&mut tx, find.id, known.run.kind).await?.is_some() {
            errors.add(
                "reason",
                format!("Another {} of {} is on, or this one goes on already.", known.run.kind, find.number),
            );
        }
    }
    if !errors.is_empty() {
        return show::wrong(&ctx, &mut tx, &known, posted.form, errors.into()).await;
    }
    store::runs::update_reopened(&mut tx, id).await?;
    for (find, quantity) in &known.finds {
        let before = progress::find_progress(&mut tx, find.id).await?;
        let done = before.marks.iter().find(|mark| mark.stage == stage).map_or(0, |mark| mark.quantity_done);
        let left = quantity.map_or(0, |quantity| (done - quantity).max(0));
        if before.route.has(stage) {
            let mark =
                StageMark { stage, state: StageState::InHand, quantity_done: left, reason: reason.clone() };
            progress::mark(&mut tx, find.id, &mark, ctx.now).await?;
            crate::work::clock::after_mark(&mut tx, find.id, (stage, StageState::InHand), ctx.now).await?;
        }
    }
    known.tell(&ctx, &mut tx, &format!("let the {} go on: {reason}", known.run.kind)).await?;
    ctx.finish(tx, &posted, &links::run(id), "The run goes on.").await
}
