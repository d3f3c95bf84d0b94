//! The one way looks are let in: who may see the pack, the rules it goes by, the journal.
use super::form::{Faults, Known, MOST_PACKS, RoundForm};
use super::words::looked_at;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::filters::show_measure;
use domain::clocks::ClockKind;
use domain::ids::{ClockId, ProjectId};
use store::Tx;
use store::clocks::boxes;
use store::clocks::looks::{self, NewLook};
use store::clocks::round::{self, Passed};
use store::clocks::rules::{self, OwnRule};
use store::journal::{self, Entry};

/// What a round came to.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) struct Tally {
    pub in_order: usize,
    pub not: usize,
    pub passed_over: usize,
}

impl Tally {
    /// “48 in order, 2 not. 3 were not looked at and stay due.”
    pub(super) fn sentence(self) -> String {
        let left = match self.passed_over {
            0 => String::new(),
            1 => " 1 was not looked at and stays due.".into(),
            n => format!(" {n} were not looked at and stay due."),
        };
        format!("The round is on record: {} in order, {} not.{left}", self.in_order, self.not)
    }
}

/// The packs of these clocks that still run and that this person works with, in the order given.
pub(super) async fn load(ctx: &Ctx, tx: &mut Tx, clocks: &[ClockId]) -> Answer<Vec<Passed>> {
    if clocks.len() > MOST_PACKS {
        return Err(AppError::Unreadable(format!("A round passes at most {MOST_PACKS} packs.")));
    }
    let mut packs = Vec::with_capacity(clocks.len());
    for clock in clocks {
        packs.extend(load_one(ctx, tx, *clock).await?);
    }
    Ok(packs)
}

/// The pack of a clock, if it still runs and this person works with it.
pub(super) async fn load_one(ctx: &Ctx, tx: &mut Tx, clock: ClockId) -> Answer<Option<Passed>> {
    let found = round::find(tx, clock).await?;
    Ok(found
        .filter(|(pack, restricted)| {
            ctx.actor.may(ctx.action, pack.project_id)
                && (!restricted || ctx.actor.sees_restricted(pack.project_id))
        })
        .map(|(pack, _)| pack))
}

/// Lets a round in: its looks, the next dates, an entry for each find and one for each project.
pub(super) async fn round(
    ctx: &Ctx,
    tx: &mut Tx,
    packs: &[Passed],
    form: &RoundForm,
) -> Answer<Result<Tally, Faults>> {
    let mut of_projects: Vec<(ProjectId, Vec<OwnRule>)> = Vec::new();
    for pack in packs {
        if of_projects.iter().all(|(project, _)| *project != pack.project_id) {
            of_projects.push((pack.project_id, rules::list(tx, pack.project_id).await?));
        }
    }
    let known = Known { packs, now: ctx.now, rules: &of_projects };
    let seen = match form.parse(&known) {
        Ok(seen) => seen,
        Err(faults) => return Ok(Err(faults)),
    };
    looks::insert_many(tx, &seen, ctx.actor.person, ctx.now).await?;
    journal::append_all(tx, &entries(ctx, packs, &seen), ctx.now).await?;
    for look in &seen {
        beside(ctx, tx, look, packs).await?;
    }
    let in_order = seen.iter().filter(|look| look.in_order).count();
    Ok(Ok(Tally { in_order, not: seen.len() - in_order, passed_over: packs.len() - seen.len() }))
}

/// Lets one look in that found everything in order.
pub(super) async fn well(ctx: &Ctx, tx: &mut Tx, pack: &Passed) -> Answer<()> {
    let rule = rules::choose(&rules::list(tx, pack.project_id).await?, pack.kind, &pack.material);
    let look = NewLook {
        clock: pack.id,
        find: pack.find_id,
        in_order: true,
        put_right: false,
        words: String::new(),
        indicator_rh: None,
        looked_at: ctx.now,
        next_at: rule.next_look_at(ctx.now, true),
        done_by: ctx.actor.name.clone(),
    };
    let entry = entry(ctx, pack, &look);
    looks::insert_many(tx, std::slice::from_ref(&look), ctx.actor.person, ctx.now).await?;
    journal::append(tx, &entry, ctx.now).await?;
    beside(ctx, tx, &look, std::slice::from_ref(pack)).await
}

/// A look at the indicator of a box is a look for every find in it; what the round passes by itself is left to its own look.
async fn beside(ctx: &Ctx, tx: &mut Tx, look: &NewLook, passed: &[Passed]) -> Answer<()> {
    for clock in boxes::list_beside(tx, look.clock).await? {
        let Some((pack, _)) = round::find(tx, clock).await? else { continue };
        if passed.iter().any(|one| one.id == clock) {
            continue;
        }
        let same = NewLook { clock, find: pack.find_id, ..look.clone() };
        let entry = entry(ctx, &pack, &same);
        looks::insert_many(tx, &[same], ctx.actor.person, ctx.now).await?;
        journal::append(tx, &entry, ctx.now).await?;
    }
    Ok(())
}

fn entries(ctx: &Ctx, packs: &[Passed], seen: &[NewLook]) -> Vec<Entry> {
    let mut entries = Vec::with_capacity(seen.len() + 1);
    let mut projects: Vec<(ProjectId, ClockKind, usize, usize)> = Vec::new();
    for look in seen {
        let Some(pack) = packs.iter().find(|pack| pack.id == look.clock) else { continue };
        entries.push(entry(ctx, pack, look));
        let at = projects.iter().position(|(project, ..)| *project == pack.project_id);
        let at = at.unwrap_or_else(|| {
            projects.push((pack.project_id, pack.kind, 0, 0));
            projects.len() - 1
        });
        projects[at].2 += usize::from(look.in_order);
        projects[at].3 += usize::from(!look.in_order);
    }
    entries.extend(projects.into_iter().map(|(project, kind, in_order, not)| Entry {
        project: Some(project),
        verb: "looked",
        words: format!("went round, {}: {in_order} in order, {not} not", kind.plural().to_lowercase()),
        by: Some(ctx.actor.person),
        ..Entry::default()
    }));
    entries
}

fn entry(ctx: &Ctx, pack: &Passed, look: &NewLook) -> Entry {
    let reading = look.indicator_rh.map(|rh| format!(", {} % RH", show_measure(rh))).unwrap_or_default();
    let found = match (look.in_order, look.put_right) {
        (true, _) => "in order".to_owned(),
        (false, true) => format!("{}; put right", look.words),
        (false, false) => format!("{}; still to be put right", look.words),
    };
    let by = if look.done_by == ctx.actor.name { String::new() } else { format!(", by {}", look.done_by) };
    let day = look.looked_at.date_naive();
    let on = if day == ctx.now.date_naive() {
        String::new()
    } else {
        format!(" on {}", crate::filters::show_day(day))
    };
    Entry {
        project: Some(pack.project_id),
        find: Some(pack.find_id),
        context: None,
        verb: "looked",
        words: format!("{}{on}{by}: {found}{reading}", looked_at(pack.kind)),
        by: Some(ctx.actor.person),
    }
}
