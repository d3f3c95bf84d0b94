//! What became of pieces that are, or were, out: an event that register and dispatch share.
use super::receipt::journal_entry;
use super::{Known, view};
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::dispatch::{Account, Change, Gap, Way};
use domain::ids::DispatchItemId;
use store::Tx;
use store::dispatches::items::{self, Item};
use store::finds::quantity::{Befell, NewEvent, Part, insert_event};
use store::journal;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct ExplanationForm {
    change: String,
    before: String,
    after: String,
    mass_g: String,
    reason: String,
}

#[derive(Template)]
#[template(path = "dispatches/explanation.html")]
struct ExplanationPage {
    chrome: Chrome,
    known: Known,
    item: Item,
    gaps: Vec<String>,
    /// What should be there now.
    expected: String,
    action: String,
    changes: Vec<Change>,
    form: ExplanationForm,
    errors: Errors,
}

/// What an explanation does to the count and the mass.
struct Explained {
    change: Change,
    pieces: i64,
    mass_g: f64,
    words: String,
    reason: String,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<DispatchItemId>) -> Answer {
    let mut tx = ctx.read().await?;
    let (known, item) = load(&ctx, &mut tx, id).await?;
    Ok(ok(page(&ctx, known, item, ExplanationForm::default())).into_response())
}

pub(super) async fn create(
    ctx: Ctx,
    Path(id): Path<DispatchItemId>,
    posted: Posted<ExplanationForm>,
) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let (known, item) = load(&ctx, &mut tx, id).await?;
    let account = known.account(&item);
    let explained = match posted.form.parse(&item, &account) {
        Ok(explained) => explained,
        Err(errors) => {
            let mut page = page(&ctx, known, item, posted.form);
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    let event = NewEvent {
        project: known.dispatch.project_id,
        change: explained.change,
        reason: explained.reason.clone(),
        parts: vec![part(&item, &explained)],
        line: Some(Befell { item: id, on_the_way_there: speaks_of(&account) == Way::There }),
    };
    insert_event(&mut tx, &event, ctx.actor.person, ctx.now).await?;
    let words = format!(
        "on dispatch D{}: {}{}: {}",
        known.dispatch.serial, explained.change, explained.words, explained.reason
    );
    let entry = journal_entry(&ctx, (&known, item.find_id), "explained", words);
    journal::append(&mut tx, &entry, ctx.now).await?;
    let after = items::find(&mut tx, id).await?.ok_or(AppError::NotFound)?;
    let open = after.account(known.complete());
    let told = match open.gap().or(open.gap_there()) {
        None => format!(
            "Recorded. Register and dispatch both say {} of {}.",
            view::amount(open.expected()),
            item.number
        ),
        Some(_) => "Recorded. A difference remains to be explained.".to_owned(),
    };
    ctx.finish(tx, &posted, &links::dispatch(known.dispatch.id), &told).await
}

/// The end at which something differs that is not explained; of two the first.
fn speaks_of(account: &Account) -> Way {
    if account.gap_there().is_some() { Way::There } else { Way::Back }
}

fn open_gap(account: &Account) -> Option<Gap> {
    account.gap_there().or(account.gap())
}

fn part(item: &Item, explained: &Explained) -> Part {
    Part {
        find: item.find_id,
        quantity: (item.now_quantity, item.now_quantity + explained.pieces),
        weight_g: (item.now_weight_g, item.now_weight_g.map(|mass| (mass + explained.mass_g).max(0.0))),
    }
}

async fn load(ctx: &Ctx, tx: &mut Tx, id: DispatchItemId) -> Answer<(Known, Item)> {
    let item = items::find(tx, id).await?.ok_or(AppError::NotFound)?;
    let known = Known::load(ctx, tx, item.dispatch_id).await?;
    let item = known.items.iter().find(|line| line.id == id).cloned().ok_or(AppError::NotFound)?;
    Ok((known, item))
}

impl ExplanationForm {
    fn parse(&self, item: &Item, account: &Account) -> Result<Explained, Errors> {
        let mut errors = Errors::default();
        let change: Option<Change> = errors.choice("change", &self.change);
        let reason = errors.text("reason", &self.reason);
        if reason.is_empty() {
            errors.add("reason", "Say it in a sentence; it stays on the record.");
        }
        let Some(change) = change.filter(|change| Change::EXPLAINING.contains(change)) else {
            errors.add("change", "Choose one of the list.");
            return Err(errors);
        };
        let explained = if change == Change::Recount {
            recounted(account, reason, &mut errors)
        } else {
            self.counted((item, account, change), reason, &mut errors)
        };
        if errors.is_empty() { Ok(explained) } else { Err(errors) }
    }

    fn counted(
        &self,
        (item, account, change): (&Item, &Account, Change),
        reason: String,
        errors: &mut Errors,
    ) -> Explained {
        let before = errors.whole("before", &self.before, 0).unwrap_or(0);
        let after = errors.whole("after", &self.after, 0).unwrap_or(0);
        let mass = errors.measure("mass_g", &self.mass_g, 0.0..=20_000_000.0).unwrap_or(0.0);
        let there = account.expected().pieces;
        if !change.fits(before, after) {
            let sentence = match change {
                Change::Join => "Joined means that several became fewer: “2 became 1”.",
                Change::Broken => "Broken means that fewer became more: “1 became 2”.",
                Change::Found => "Found again means more than before: “0 became 1”.",
                _ => {
                    "This means fewer than before, or as many where only a part of a piece is gone: “1 became 0”."
                }
            };
            errors.add("before", sentence);
        }
        if before > there.max(0) {
            errors.add("before", format!("Only {there} are on this line."));
        }
        if before - after > item.now_quantity {
            errors.add("before", format!("The register holds {} of {}.", item.now_quantity, item.number));
        }
        let mass_g = match change {
            Change::Sampled | Change::Missing => -mass,
            Change::Found => mass,
            _ if mass > 0.0 => {
                errors.add("mass_g", "What is joined or broken weighs what it weighed. Leave this empty.");
                0.0
            }
            _ => 0.0,
        };
        if -mass_g > item.now_weight_g.unwrap_or(f64::INFINITY) {
            errors.add("mass_g", "This is more than all of it weighs.");
        }
        if change == Change::Sampled && before == after && mass == 0.0 {
            errors.add("mass_g", "Say how much of a piece was used up, or how many pieces.");
        }
        let gone = match mass_g {
            0.0 => String::new(),
            g => format!(", {} g", crate::filters::show_measure(g.abs())),
        };
        Explained {
            change,
            pieces: after - before,
            mass_g,
            words: format!(", {before} became {after}{gone}"),
            reason,
        }
    }
}

/// What was counted last is right, and what went before it was not.
fn recounted(account: &Account, reason: String, errors: &mut Errors) -> Explained {
    let gap = open_gap(account);
    if gap.is_none() {
        errors.add("change", "Nothing differs here that a new count could put right.");
    }
    let gap = gap.unwrap_or(Gap { pieces: 0, mass_g: None });
    Explained {
        change: Change::Recount,
        pieces: gap.pieces,
        mass_g: gap.mass_g.unwrap_or(0.0),
        words: String::new(),
        reason,
    }
}

fn page(ctx: &Ctx, known: Known, item: Item, form: ExplanationForm) -> ExplanationPage {
    let account = known.account(&item);
    let gaps = [(account.gap_there(), Way::There), (account.gap(), Way::Back)];
    let differs = open_gap(&account).is_some();
    ExplanationPage {
        chrome: ctx.chrome_in(known.dispatch.project_id),
        gaps: gaps.into_iter().filter_map(|(gap, way)| gap.map(|gap| view::gap(gap, way))).collect(),
        expected: view::amount(account.expected()),
        action: links::explanation_new(item.id),
        changes: Change::EXPLAINING
            .iter()
            .copied()
            .filter(|change| differs || *change != Change::Recount)
            .collect(),
        errors: Errors::default(),
        known,
        item,
        form,
    }
}
