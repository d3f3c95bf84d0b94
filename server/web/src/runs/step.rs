//! From one set point of a schedule to the next.
use super::drying::Readings;
use super::form::RunForm;
use super::{Known, show};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_measure;
use crate::form::{Errors, Posted};
use crate::links;
use crate::path::Path;
use domain::ids::RunId;
use domain::permission::Action;
use domain::runs::{Plan, RunKind};
use store::runs::{steps, weighings};

pub(super) async fn create(ctx: Ctx, Path(id): Path<RunId>, posted: Posted<RunForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = Known::of_kind(&ctx, &mut tx, (id, RunKind::Drying)).await?;
    let Plan::Drying(plan) = &known.plan else { return Err(AppError::NotFound) };
    let mut errors = Errors::default();
    known.closed_to(&ctx, &mut errors, "reason");
    let reason = errors.line("reason", &posted.form.reason);
    let weighings = weighings::list(&mut tx, id).await?;
    let begun = steps::list(&mut tx, id).await?;
    let readings = Readings { plan, weighings: &weighings, steps: &begun, now: ctx.now, from: 1 };
    let here = begun.len().saturating_sub(1);
    let schedule = plan.schedule.and_then(Readings::step_down);
    let next = schedule.as_ref().and_then(|schedule| schedule.set_points.get(here + 1)).copied();
    let (held_days, is_constant) = readings.held();
    let released = schedule.as_ref().map(|schedule| schedule.next_after(here, held_days, is_constant));
    let may_lift = ctx.actor.may(Action::LiftGate, known.run.project_id);
    let mut kept_reason = String::new();
    match (next, released) {
        (None, _) | (_, None) => errors.add("reason", "There is no further set point."),
        (_, Some(Ok(_))) => {}
        (_, Some(Err(_))) if may_lift && !reason.is_empty() => kept_reason = reason,
        (_, Some(Err(refused))) => {
            errors.add("reason", format!("{refused} A lead may go on before that, with a reason."));
        }
    }
    let Some(next) = next.filter(|_| errors.is_empty()) else {
        return show::wrong(&ctx, &mut tx, &known, posted.form, errors.into()).await;
    };
    let step = steps::Step { position: here as i64 + 1, begun_at: ctx.now, reason: kept_reason.clone() };
    steps::insert(&mut tx, id, &step).await?;
    let because =
        if kept_reason.is_empty() { String::new() } else { format!(", before its time: {kept_reason}") };
    let rh = show_measure(next.rh_pct);
    known.tell(&ctx, &mut tx, &format!("set the drying run to {rh} % RH{because}")).await?;
    ctx.finish(tx, &posted, &links::run(id), &format!("The run is held at {rh} % RH now.")).await
}
