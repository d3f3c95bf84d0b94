//! Weighings, by hand or pasted; each is a look at the drying clock too.
use super::Known;
use super::form::{MASSES, RunForm, improbable};
use super::show::{self, Wrong};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::{show_measure, show_moment};
use crate::form::{Errors, Posted};
use crate::links;
use crate::path::Path;
use domain::Instant;
use domain::clocks::ClockKind;
use domain::ids::{RunId, WeighingId};
use domain::runs::{RunKind, pasted};
use store::Tx;
use store::clocks::looks::{self, NewLook};
use store::runs::weighings::{self, NewWeighing, Weighing};

pub(super) async fn create(ctx: Ctx, Path(id): Path<RunId>, posted: Posted<RunForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = drying(&ctx, &mut tx, id).await?;
    let before = standing(&mut tx, id).await?;
    let taken: Vec<(Instant, f64)> = before.iter().map(|w| (w.weighed_at, w.mass_g)).collect();
    let new = match posted.form.weighing(&ctx, &known, &taken) {
        Ok(new) => new,
        Err(errors) => return show::wrong(&ctx, &mut tx, &known, posted.form, errors.into()).await,
    };
    let words = format!("weighed: {} g on {}", show_measure(new.mass_g), show_moment(new.weighed_at));
    keep(&ctx, &mut tx, &known, &[new]).await?;
    known.tell(&ctx, &mut tx, &words).await?;
    ctx.finish(tx, &posted, &links::run(id), "The weighing is on record.").await
}

pub(super) async fn create_pasted(ctx: Ctx, Path(id): Path<RunId>, posted: Posted<RunForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = drying(&ctx, &mut tx, id).await?;
    let before = standing(&mut tx, id).await?;
    let mut wrong = Wrong::default();
    known.closed_to(&ctx, &mut wrong.errors, "pasted");
    let (new, known_already) = read(&ctx, &known, &before, (&posted.form.pasted, &mut wrong));
    if !wrong.errors.is_empty() || !wrong.faults.is_empty() {
        return show::wrong(&ctx, &mut tx, &known, posted.form, wrong).await;
    }
    keep(&ctx, &mut tx, &known, &new).await?;
    if let (Some(first), Some(last)) = (new.first(), new.last()) {
        let days = format!("{} to {}", show_moment(first.weighed_at), show_moment(last.weighed_at));
        known.tell(&ctx, &mut tx, &format!("entered {} weighings, {days}", new.len())).await?;
    }
    let again = match known_already {
        0 => String::new(),
        n => format!(" {n} were there already."),
    };
    let notice = format!("{} weighings are on record.{again}", new.len());
    ctx.finish(tx, &posted, &links::run(id), &notice).await
}

/// What is new in a pasted list, and how many of its lines are on record already.
fn read(
    ctx: &Ctx,
    known: &Known,
    before: &[Weighing],
    (text, wrong): (&str, &mut Wrong),
) -> (Vec<NewWeighing>, usize) {
    let columns = pasted::Columns {
        first: pasted::moment,
        first_words: "a date and time such as 2031-09-14 08:30",
        units: MASSES,
    };
    let list = pasted::read(text, &columns);
    wrong.faults = list.faults;
    let (mut new, mut known_already): (Vec<NewWeighing>, usize) = (Vec::new(), 0);
    let mut last: Option<(Instant, f64)> = None;
    for pair in &list.pairs {
        let (at, mass_g) = (pair.at.and_utc(), pair.value);
        let there = before.iter().find(|weighing| weighing.weighed_at == at);
        let on_record = before.iter().rev().find(|weighing| weighing.weighed_at < at);
        let previous = last.or(on_record.map(|weighing| (weighing.weighed_at, weighing.mass_g)));
        let sentence = fault(ctx, known, (at, mass_g), previous).or_else(|| {
            there.filter(|w| (w.mass_g - mass_g).abs() > 1e-9).map(|w| {
                format!("{} g is on record for that moment; withdraw it first.", show_measure(w.mass_g))
            })
        });
        match (sentence, there) {
            (Some(sentence), _) => wrong.faults.push(format!("Line {}: {sentence}", pair.line)),
            (None, Some(_)) => known_already += 1,
            (None, None) => {
                new.push(NewWeighing { weighed_at: at, mass_g, rh_pct: None, t_c: None, seen: String::new() })
            }
        }
        last = Some((at, mass_g));
    }
    wrong.faults.sort_by_key(|fault| line_of(fault));
    if wrong.faults.is_empty() && list.pairs.is_empty() {
        wrong.errors.add("pasted", "Paste two columns: date and time, and mass.");
    } else if !wrong.faults.is_empty() {
        let (bad, all) = (wrong.faults.len(), list.pairs.len().max(wrong.faults.len()));
        let lines = if bad == 1 { "One line has".to_owned() } else { format!("{bad} lines have") };
        wrong.errors.add(
            "pasted",
            format!("{lines} to be put right before any of the {all} is kept; each is told by its number."),
        );
    }
    (new, known_already)
}

fn line_of(fault: &str) -> usize {
    let digits: String =
        fault.chars().skip_while(|c| !c.is_ascii_digit()).take_while(char::is_ascii_digit).collect();
    digits.parse().unwrap_or(usize::MAX)
}

/// What is wrong with a line that could be read.
fn fault(
    ctx: &Ctx,
    known: &Known,
    (at, mass_g): (Instant, f64),
    last: Option<(Instant, f64)>,
) -> Option<String> {
    if let Err(refused) = calc::drying::MASS.check(mass_g) {
        return Some(refused.to_string());
    }
    if at > ctx.now {
        return Some("this moment is still to come.".into());
    }
    if at < known.run.started_at {
        return Some(format!("the run began on {}: this is before it.", show_moment(known.run.started_at)));
    }
    let (before, before_g) = last?;
    if at <= before {
        return Some(format!("{} does not come after the line before.", show_moment(at)));
    }
    improbable(before_g, mass_g)
}

pub(super) async fn withdraw(ctx: Ctx, Path(id): Path<WeighingId>, posted: Posted<RunForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let run = weighings::find_run(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    let known = drying(&ctx, &mut tx, run).await?;
    let mut errors = Errors::default();
    known.closed_to(&ctx, &mut errors, "weighings");
    let why = errors.required("weighings", &posted.form.reason, "Say why the weighing is withdrawn.");
    if !errors.is_empty() {
        return show::wrong(&ctx, &mut tx, &known, posted.form, errors.into()).await;
    }
    let all = weighings::list(&mut tx, run).await?;
    if weighings::update_withdrawn(&mut tx, id, &why).await?
        && let Some(weighing) = all.iter().find(|weighing| weighing.id == id)
    {
        let about = format!("{} g on {}", show_measure(weighing.mass_g), show_moment(weighing.weighed_at));
        known.tell(&ctx, &mut tx, &format!("withdrew the weighing of {about}: {why}")).await?;
    }
    ctx.finish(tx, &posted, &links::run(run), "The weighing is withdrawn; it stays on record.").await
}

/// Keeps weighings and counts the latest as a look at what dries.
pub(super) async fn keep(ctx: &Ctx, tx: &mut Tx, known: &Known, new: &[NewWeighing]) -> Answer<()> {
    weighings::insert_many(tx, known.run.id, new, ctx.actor.person, ctx.now).await?;
    if let Some(last) = new.iter().map(|weighing| weighing.weighed_at).max() {
        look(ctx, tx, known, (ClockKind::Drying, last)).await?;
    }
    Ok(())
}

/// A reading is a look at the pack: its clock moves on.
pub(super) async fn look(
    ctx: &Ctx,
    tx: &mut Tx,
    known: &Known,
    (kind, at): (ClockKind, Instant),
) -> Answer<()> {
    let mut seen = Vec::new();
    for (find, _) in &known.finds {
        let running = store::clocks::list_running(tx, find.id).await?;
        let Some(clock) = running.iter().find(|clock| clock.kind == kind) else { continue };
        let rule = store::clocks::rules::find_of(tx, find.id, kind).await?;
        seen.push(NewLook {
            clock: clock.id,
            find: find.id,
            in_order: true,
            put_right: false,
            words: String::new(),
            indicator_rh: None,
            looked_at: at,
            next_at: rule.next_look_at(at, true),
            done_by: ctx.actor.name.clone(),
        });
    }
    Ok(looks::insert_many(tx, &seen, ctx.actor.person, ctx.now).await?)
}

async fn standing(tx: &mut Tx, run: RunId) -> Answer<Vec<Weighing>> {
    Ok(weighings::list(tx, run).await?.into_iter().filter(|w| w.withdrawn_why.is_none()).collect())
}

async fn drying(ctx: &Ctx, tx: &mut Tx, id: RunId) -> Answer<Known> {
    Known::of_kind(ctx, tx, (id, RunKind::Drying)).await
}
