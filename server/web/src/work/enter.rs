//! The one way work is let in: the hold, the route, the gates and the person are asked here and nowhere else.
use crate::context::Ctx;
use crate::error::Answer;
use domain::ids::{FindId, RecordId};
use domain::permission::may_record;
use domain::refusal::Refusal;
use domain::runs::RunKind;
use domain::stages::{Attempt, Facts, Gate, Stage, StageMark, StageState};
use domain::work::{Detail, TestDecision, closes_stage, may_accept};
use store::Tx;
use store::finds::{Find, progress};
use store::journal::{self, Entry};
use store::work::records::{self, NewRecord};
use store::work::standing::Standing;

/// Why one find of several cannot be treated so.
#[derive(Debug, Clone, PartialEq)]
pub struct Stopped {
    pub find: FindId,
    pub number: String,
    pub why: Refusal,
}

/// Either every find was let in, or none, with every reason.
pub enum Entered<T> {
    In(T),
    Stopped(Vec<Stopped>),
}

/// Lets a record in for all its finds, marks their stages, takes them off the tray, writes the journal.
pub async fn record(
    ctx: &Ctx,
    tx: &mut Tx,
    finds: &[Find],
    new: &NewRecord,
    standing: Option<&Standing>,
) -> Answer<Entered<RecordId>> {
    let attempt = attempt(new, standing);
    let mut stopped = Vec::new();
    let mut known = Vec::new();
    for find in finds {
        let facts = progress::find_facts(tx, find.id).await?;
        let attempt = Attempt { pieces: quantity_of(new, find.id).filter(|_| find.bulk), ..attempt.clone() };
        let mut reasons = refusals(ctx, find, &facts, &attempt);
        reasons.extend(refusals_of_detail(find, new, standing));
        if new.finished {
            reasons.extend(refusal_of_run(tx, find, new.stage, new.supersedes).await?);
        }
        stopped.extend(reasons.into_iter().map(|why| Stopped {
            find: find.id,
            number: find.number.clone(),
            why,
        }));
        known.push(facts);
    }
    if !stopped.is_empty() {
        return Ok(Entered::Stopped(stopped));
    }
    let completes = match new.supersedes {
        Some(old) => records::find(tx, old).await?.is_some_and(|old| !old.finished),
        None => false,
    };
    let id = records::insert(tx, new, ctx.actor.person, ctx.now).await?;
    for (find, facts) in finds.iter().zip(&known) {
        mark_after(ctx, tx, find, facts, new, standing).await?;
        super::clock::after_assessment(tx, find.id, &new.detail, ctx.now).await?;
        store::tray::delete(tx, ctx.actor.person, find.id).await?;
    }
    let entries: Vec<Entry> = finds.iter().map(|find| entry(ctx, find, new, completes)).collect();
    journal::append_all(tx, &entries, ctx.now).await?;
    Ok(Entered::In(id))
}

/// What would stop a record of these finds whatever its form says; what the form may still answer, a mixture, a standing
/// authorisation, a part of a bag, is left out.
pub(super) async fn foresee(ctx: &Ctx, tx: &mut Tx, finds: &[Find], stage: Stage) -> Answer<Vec<Stopped>> {
    let mut stopped = Vec::new();
    for find in finds {
        let facts = progress::find_facts(tx, find.id).await?;
        let answered = |why: &Refusal| match why {
            Refusal::GateShut { gate: Gate::TestedMixture, .. } => true,
            Refusal::GateShut { gate: Gate::AuthorisedLevel, .. } => stage == Stage::WetClean,
            Refusal::GateShut { gate, .. } => find.bulk && facts.progress.quantity_done(gate.opened_by()) > 0,
            _ => false,
        };
        let reasons = refusals(ctx, find, &facts, &Attempt::plain(stage)).into_iter();
        stopped.extend(reasons.filter(|why| !answered(why)).map(|why| Stopped {
            find: find.id,
            number: find.number.clone(),
            why,
        }));
    }
    Ok(stopped)
}

/// What a record is an attempt at.
pub(super) fn attempt(new: &NewRecord, standing: Option<&Standing>) -> Attempt {
    Attempt {
        stage: new.stage,
        mixture: new.detail.mixture(),
        standing_mixture: standing.map(|s| domain::solvents::key(&s.mixture)),
        pieces: None,
    }
}

/// Marks a stage of several finds without a record: in hand, done (where the stage takes no record), or not needed.
pub async fn mark(
    ctx: &Ctx,
    tx: &mut Tx,
    finds: &[Find],
    stage: Stage,
    state: StageState,
    reason: &str,
) -> Answer<Entered<()>> {
    let attempt = Attempt::plain(stage);
    let mut stopped = Vec::new();
    for find in finds {
        let facts = progress::find_facts(tx, find.id).await?;
        let mut reasons = match state {
            // A stage that is not needed asks no gate, only a reason.
            StageState::NotNeeded => refusals_of_person(ctx, find, stage),
            _ => refusals(ctx, find, &facts, &attempt),
        };
        if state != StageState::InHand {
            reasons.extend(refusal_of_run(tx, find, stage, None).await?);
        }
        stopped.extend(reasons.into_iter().map(|why| Stopped {
            find: find.id,
            number: find.number.clone(),
            why,
        }));
    }
    if !stopped.is_empty() {
        return Ok(Entered::Stopped(stopped));
    }
    for find in finds {
        let quantity_done = if state == StageState::Done { find.quantity } else { 0 };
        let mark = StageMark { stage, state, quantity_done, reason: reason.to_owned() };
        progress::mark(tx, find.id, &mark, ctx.now).await?;
        super::clock::after_mark(tx, find.id, (stage, state), ctx.now).await?;
        let because = if reason.is_empty() { String::new() } else { format!(": {reason}") };
        let words = format!("marked {} as {}{because}", stage.label(), state.label());
        journal::append(tx, &find_entry(ctx, find, "marked", words), ctx.now).await?;
    }
    Ok(Entered::In(()))
}

/// An entry about a find by whoever is signed in.
pub fn find_entry(ctx: &Ctx, find: &Find, verb: &'static str, words: String) -> Entry {
    Entry {
        project: Some(find.project_id),
        find: Some(find.id),
        context: None,
        verb,
        words,
        by: Some(ctx.actor.person),
    }
}

fn refusals(ctx: &Ctx, find: &Find, facts: &Facts, attempt: &Attempt) -> Vec<Refusal> {
    let mut reasons = refusals_of_person(ctx, find, attempt.stage);
    if find.held {
        reasons.push(Refusal::Held { reason: "see the find’s page".into() });
    }
    if !facts.progress.route.has(attempt.stage) && !attempt.stage.only_looks() {
        reasons.push(Refusal::NotOnRoute { stage: attempt.stage });
    }
    let shut = attempt.stopped_by(facts).into_iter();
    reasons.extend(shut.map(|gate| Refusal::GateShut { gate, stage: attempt.stage }));
    reasons
}

fn refusals_of_person(ctx: &Ctx, find: &Find, stage: Stage) -> Vec<Refusal> {
    let mut reasons = Vec::new();
    if find.void_at.is_some() {
        reasons.push(Refusal::Void { reason: find.void_reason.clone().unwrap_or_default() });
    }
    if !may_record(&ctx.actor, find.project_id, stage, find.bulk, &find.material) {
        reasons.push(Refusal::NotYours);
    }
    reasons
}

fn refusals_of_detail(find: &Find, new: &NewRecord, standing: Option<&Standing>) -> Vec<Refusal> {
    let mut reasons = Vec::new();
    if standing.is_some_and(|s| s.material != find.material || s.withdrawn_at.is_some()) {
        reasons.push(Refusal::StandingDoesNotFit);
    }
    if let Detail::SpotTest { effect_on_original, decision: TestDecision::Accepted, .. } = &new.detail
        && !may_accept(*effect_on_original)
    {
        reasons.push(Refusal::HarmfulTest);
    }
    let asked = quantity_of(new, find.id);
    if let Some(asked) = asked.filter(|asked| *asked > find.quantity) {
        reasons.push(Refusal::NotThatMany { available: find.quantity, asked });
    }
    reasons
}

/// While a run is on, its stage is closed by the end of the run alone, whose record completes the one `completed`.
async fn refusal_of_run(
    tx: &mut Tx,
    find: &Find,
    stage: Stage,
    completed: Option<RecordId>,
) -> Answer<Option<Refusal>> {
    let kind = RunKind::ALL.iter().copied().find(|kind| kind.stage() == stage);
    let Some(kind) = kind else { return Ok(None) };
    let running = store::runs::find_running(tx, find.id, kind).await?;
    Ok(running.filter(|run| completed != Some(run.record)).map(|_| Refusal::RunIsOn { kind }))
}

fn quantity_of(new: &NewRecord, find: FindId) -> Option<i64> {
    new.finds.iter().find(|(id, _)| *id == find).and_then(|(_, quantity)| *quantity)
}

/// The mark a record leaves: done when all pieces went through, in hand otherwise.
async fn mark_after(
    ctx: &Ctx,
    tx: &mut Tx,
    find: &Find,
    facts: &Facts,
    new: &NewRecord,
    standing: Option<&Standing>,
) -> Answer<()> {
    if let Some(standing) = standing {
        skip_under_standing(ctx, tx, find, facts, standing).await?;
    }
    let before = facts.progress.marks.iter().find(|m| m.stage == new.stage);
    let looked_again = new.supersedes.is_some() || new.stage.only_looks();
    if looked_again && before.is_some_and(|m| m.state == StageState::Done) {
        return Ok(());
    }
    if !facts.progress.route.has(new.stage) {
        return Ok(());
    }
    let done_before = before.map_or(0, |m| m.quantity_done);
    let closes = closes_stage(new.stage, new.finished, &new.detail);
    let through = if closes { quantity_of(new, find.id).unwrap_or(find.quantity - done_before) } else { 0 };
    let quantity_done = (done_before + through).min(find.quantity);
    let state = if closes && quantity_done >= find.quantity { StageState::Done } else { StageState::InHand };
    let mark = StageMark { stage: new.stage, state, quantity_done, reason: String::new() };
    progress::mark(tx, find.id, &mark, ctx.now).await?;
    super::clock::after_record(tx, find.id, new, state, ctx.now).await
}

/// Under a standing authorisation test and level are not asked of each find.
async fn skip_under_standing(
    ctx: &Ctx,
    tx: &mut Tx,
    find: &Find,
    facts: &Facts,
    standing: &Standing,
) -> Answer<()> {
    for stage in [Stage::SpotTest, Stage::CleaningLevel] {
        if facts.progress.route.has(stage) && !facts.progress.is_settled(stage) {
            let reason = format!("standing authorisation: {}", standing.words);
            let mark = StageMark { stage, state: StageState::NotNeeded, quantity_done: 0, reason };
            progress::mark(tx, find.id, &mark, ctx.now).await?;
        }
    }
    Ok(())
}

/// What was done, and behind a colon what was said of it, if anything.
fn with(done: String, said: &str) -> String {
    if said.is_empty() { done } else { format!("{done}: {said}") }
}

/// A record that completes an open one is told as what it records, not as a correction.
fn entry(ctx: &Ctx, find: &Find, new: &NewRecord, completes: bool) -> Entry {
    let what = new.stage.label();
    let words = match (&new.detail, new.supersedes) {
        (_, Some(_)) if !completes => with(format!("corrected the record of {what}"), &new.outcome),
        (Detail::SpotTest { mixture, decision, .. }, _) => format!("tested {mixture}: {}", decision.code()),
        (Detail::Examination(seen), _) => {
            format!("examined by {}: {}, {}", seen.method.label(), seen.question, seen.verdict.label())
        }
        (Detail::Level { level, stop_point, .. }, _) => {
            format!("proposed a cleaning level: {level}; stop-point: {stop_point}")
        }
        _ if new.finished => with(format!("recorded {what}"), &new.outcome),
        _ if completes => with(format!("left {what} open"), &new.outcome),
        _ => with(format!("began {what}"), &new.method),
    };
    find_entry(ctx, find, "recorded", words)
}
