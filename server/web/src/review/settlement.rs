//! Opinions side by side, and the editor's settlement beside them; dissent is kept.
use super::dating;
use super::opinion_view::{OpinionView, view};
use super::settlement_mail;
use super::side_by_side::{self, SideBySide};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::permission::Action;
use domain::review::{Outcome, Stance, Years};
use domain::stages::{Stage, StageMark, StageState};
use store::Tx;
use store::finds::{Find, progress};
use store::review::opinions::{self, Opinion};
use store::review::reopenings::{self, Reopening};
use store::review::settlements::{self, NewSettlement, Settlement, StanceLine};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct SettlementForm {
    outcome: String,
    identification: String,
    date_words: String,
    reason: String,
    adopted: Vec<String>,
    /// The settlement that stood when the form was opened; empty without one.
    standing: String,
}

#[derive(Template)]
#[template(path = "review/opinions.html")]
struct OpinionsPage {
    chrome: Chrome,
    find: Find,
    standing: Vec<OpinionView>,
    earlier: Vec<OpinionView>,
    side: Option<SideBySide>,
    settlements: Vec<Settled>,
    form: SettlementForm,
    errors: Errors,
    outcomes: &'static [Outcome],
    may_settle: bool,
    may_enter: bool,
}

/// A settlement, where each opinion stood to it, and what opened it again.
struct Settled {
    made: Settlement,
    stances: Vec<StanceLine>,
    reopened: Vec<Reopening>,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let page = page(&ctx, &mut tx, find, SettlementForm::default()).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<SettlementForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    let said: Vec<Opinion> = opinions::list_of_find(&mut tx, id)
        .await?
        .into_iter()
        .filter(|o| o.superseded_at.is_none())
        .collect();
    let standing =
        settlements::list_of_find(&mut tx, id).await?.into_iter().find(|one| one.superseded_at.is_none());
    if let Some(meanwhile) = standing.filter(|one| one.id.to_string() != posted.form.standing) {
        let mut page = page(&ctx, &mut tx, find, posted.form).await?;
        page.errors.add("outcome", settled_meanwhile(&meanwhile));
        return Ok(again(page).into_response());
    }
    let convention = dating::convention_of(&mut tx, find.project_id).await?;
    let new = match posted.form.parse(id, &said, &convention) {
        Ok(new) => new,
        Err(errors) => {
            let mut page = page(&ctx, &mut tx, find, posted.form).await?;
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    let settled = settlements::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    mark_settled(&ctx, &mut tx, &find, new.outcome).await?;
    let words = format!("settled the opinions as {}: {}", new.outcome.label(), new.reason);
    store::journal::append(&mut tx, &find_entry(&ctx, &find, "settled", words), ctx.now).await?;
    settlement_mail::tell_settled(&ctx, &mut tx, &find, (settled, &new)).await?;
    let told = "The settlement is recorded; dissent is kept beside it. Its authors are written to.";
    ctx.finish(tx, &posted, &links::opinions(id), told).await
}

fn settled_meanwhile(one: &Settlement) -> String {
    format!(
        "{} settled it meanwhile, as {}: {}. Read it above; record yours again if it still holds.",
        one.settled_by,
        one.outcome.label(),
        one.reason.trim_end_matches('.')
    )
}

async fn mark_settled(ctx: &Ctx, tx: &mut Tx, find: &Find, outcome: Outcome) -> Answer<()> {
    let progress = progress::find_progress(tx, find.id).await?;
    if !progress.route.has(Stage::Settlement) {
        return Ok(());
    }
    let state = if outcome == Outcome::Unresolved { StageState::InHand } else { StageState::Done };
    let mark =
        StageMark { stage: Stage::Settlement, state, quantity_done: find.quantity, reason: String::new() };
    Ok(progress::mark(tx, find.id, &mark, ctx.now).await?)
}

impl SettlementForm {
    fn parse(&self, find: FindId, said: &[Opinion], convention: &str) -> Result<NewSettlement, Errors> {
        let mut errors = Errors::default();
        let outcome: Option<Outcome> = errors.choice("outcome", &self.outcome);
        if said.is_empty() {
            errors.add("outcome", "There is no submitted opinion to settle yet.");
        }
        let date_words = errors.line("date_words", &self.date_words);
        let years = match date_words.as_str() {
            "" => None,
            words => {
                dating::read(words, convention).map_err(|sentence| errors.add("date_words", sentence)).ok()
            }
        };
        let reason = errors.text("reason", &self.reason);
        if reason.is_empty() {
            errors.add("reason", "Give the reason; it is printed with the settlement.");
        }
        let stances: Vec<_> = said
            .iter()
            .map(|o| {
                let adopted = self.adopted.contains(&o.id.to_string());
                (o.id, if adopted { Stance::Adopted } else { Stance::Dissent })
            })
            .collect();
        let adopted = stances.iter().filter(|(_, stance)| *stance == Stance::Adopted).count();
        match outcome {
            Some(Outcome::Agreed) if adopted < said.len() => {
                errors.add(
                    "adopted",
                    "Agreed means that every opinion is adopted. Tick them all, or choose majority.",
                );
            }
            Some(Outcome::Majority) if adopted == 0 => errors.add("adopted", "Tick the opinions you adopt."),
            _ => {}
        }
        if let Some(read) = years.as_ref().filter(|_| outcome.is_some_and(|one| one != Outcome::Unresolved)) {
            let dates = said.iter().zip(&stances).filter(|(_, (_, stance))| *stance == Stance::Adopted);
            let dates: Vec<Years> = dates.filter_map(|(o, _)| o.years()).collect();
            if !dates.is_empty() && dates.iter().all(|given| given.overlap(read.years).is_none()) {
                let given = dates.into_iter().map(dating::label).collect::<Vec<_>>().join("; ");
                errors.add(
                    "date_words",
                    format!("None of the opinions you adopt allows this date; they say {given}. Give one they allow, or choose unresolved."),
                );
            }
        }
        let new = NewSettlement {
            find,
            outcome: outcome.unwrap_or(Outcome::Unresolved),
            identification: errors.line("identification", &self.identification),
            date_words,
            date_lo: years.as_ref().and_then(|r| r.years.lo),
            date_hi: years.as_ref().and_then(|r| r.years.hi),
            reason,
            stances,
        };
        if errors.is_empty() { Ok(new) } else { Err(errors) }
    }
}

async fn page(ctx: &Ctx, tx: &mut Tx, find: Find, form: SettlementForm) -> Answer<OpinionsPage> {
    let said = opinions::list_of_find(tx, find.id).await?;
    let may_enter = ctx.actor.may(Action::EnterOpinions, find.project_id);
    let shown = said.iter().map(|opinion| {
        let mut shown = view(opinion);
        if let Some(received) = opinion.received() {
            shown.ways.push((links::received_original(received), "the original"));
            if may_enter && opinion.is_unconfirmed() {
                shown.ways.push((links::received(received), "ask the author again"));
            }
        }
        shown
    });
    let (standing, earlier): (Vec<_>, Vec<_>) = shown.partition(|o| !o.superseded);
    let mut settled = Vec::new();
    let all = reopenings::list_of_find(tx, find.id).await?;
    for made in settlements::list_of_find(tx, find.id).await? {
        let stances = settlements::list_stances(tx, made.id).await?;
        let reopened = all.iter().filter(|one| one.settlement_id == made.id).cloned().collect();
        settled.push(Settled { made, stances, reopened });
    }
    let standing_now = settled.iter().find(|one| one.made.superseded_at.is_none());
    let form = SettlementForm {
        standing: standing_now.map(|one| one.made.id.to_string()).unwrap_or_default(),
        ..form
    };
    Ok(OpinionsPage {
        chrome: ctx.chrome_in(find.project_id),
        side: side_by_side::of(&standing),
        may_settle: ctx.actor.may(Action::Settle, find.project_id),
        may_enter,
        standing,
        earlier,
        settlements: settled,
        form,
        errors: Errors::default(),
        outcomes: Outcome::ALL,
        find,
    })
}
