//! What was counted and weighed at one end: on arrival by the recipient, on return at home.
use super::receipt_form::{ReceiptForm, counted_before, to_come};
use super::{Known, letters, view};
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::dispatch::Way;
use domain::ids::{DispatchId, FindId};
use store::Tx;
use store::dispatches::items::Item;
use store::dispatches::receipts::{self, NewLine, NewReceipt};
use store::dispatches::{self};
use store::journal::{self, Entry};
use store::places::{self, NewMovement, Place};

#[derive(Template)]
#[template(path = "dispatches/receipt.html")]
struct ReceiptPage {
    chrome: Chrome,
    known: Known,
    way: Way,
    title: String,
    action: String,
    lines: Vec<Line>,
    places: Vec<Place>,
    form: ReceiptForm,
    errors: Errors,
}

/// A line on the form.
struct Line {
    id: String,
    number: String,
    what: String,
    /// What is expected of it.
    expected: String,
    condition: String,
    as_sent: bool,
    quantity: String,
    mass_g: String,
    condition_now: String,
}

pub(super) async fn new_there(
    ctx: Ctx,
    Path(id): Path<DispatchId>,
    Asked(form): Asked<ReceiptForm>,
) -> Answer {
    new(ctx, id, Way::There, form).await
}

pub(super) async fn create_there(
    ctx: Ctx,
    Path(id): Path<DispatchId>,
    posted: Posted<ReceiptForm>,
) -> Answer {
    create(ctx, id, Way::There, posted).await
}

pub(super) async fn new_back(
    ctx: Ctx,
    Path(id): Path<DispatchId>,
    Asked(form): Asked<ReceiptForm>,
) -> Answer {
    new(ctx, id, Way::Back, form).await
}

pub(super) async fn create_back(ctx: Ctx, Path(id): Path<DispatchId>, posted: Posted<ReceiptForm>) -> Answer {
    create(ctx, id, Way::Back, posted).await
}

async fn new(ctx: Ctx, id: DispatchId, way: Way, mut form: ReceiptForm) -> Answer {
    let mut tx = ctx.read().await?;
    let known = Known::load(&ctx, &mut tx, id).await?;
    form.received_on = ctx.now.date_naive().to_string();
    form.received_by.clone_from(&ctx.actor.name);
    if let Some(wrong) = form.corrected(&mut tx, (id, way)).await? {
        form.fill_from(&mut tx, &wrong, &known).await?;
    }
    let page = page(&ctx, &mut tx, (known, way), form).await?;
    Ok(ok(page).into_response())
}

async fn create(ctx: Ctx, id: DispatchId, way: Way, posted: Posted<ReceiptForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = Known::load(&ctx, &mut tx, id).await?;
    let form = posted.form.clone();
    let mut errors = Errors::default();
    let wrong = form.corrected(&mut tx, (id, way)).await?;
    let complete = way == Way::Back && form.more != "yes" || known.complete();
    let before = counted_before(&mut tx, (id, way), wrong.as_ref()).await?;
    let new = form.parse(&ctx, (&known, &before, way, complete), &mut errors);
    let places = places::list(&mut tx, known.dispatch.project_id).await?;
    let place = places.iter().find(|place| place.id.to_string() == form.place).cloned();
    if place.is_none() && !form.place.is_empty() {
        errors.add("place", "Choose a place of the list.");
    }
    if !errors.is_empty() {
        let mut page = page(&ctx, &mut tx, (known, way), form).await?;
        page.errors = errors;
        return Ok(again(page).into_response());
    }
    let new = NewReceipt { supersedes: wrong.map(|wrong| wrong.id), ..new };
    receipts::insert(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    if way == Way::Back {
        dispatches::update_complete(&mut tx, id, complete.then_some(ctx.now)).await?;
        if let Some(place) = place {
            lay_down(&ctx, &mut tx, (&known, &new), &place).await?;
        }
    }
    let settled = dispatches::refresh(&mut tx, id, ctx.now).await?;
    let after = Known::load(&ctx, &mut tx, id).await?;
    tell_journal(&ctx, &mut tx, (&after, &new), way).await?;
    let differs = after.items.iter().any(|item| after.account(item).gap().is_some());
    if way == Way::Back && differs {
        letters::ask(&ctx, &mut tx, id).await?;
    }
    let told = told(&after, way, settled);
    ctx.finish(tx, &posted, &links::dispatch(id), &told).await
}

fn told(known: &Known, way: Way, settled: bool) -> String {
    let gaps = known.items.iter().filter(|item| match way {
        Way::There => known.account(item).gap_there().is_some(),
        Way::Back => known.account(item).gap().is_some(),
    });
    match (way, gaps.count()) {
        (_, 1) => "Recorded. On one line the count or the mass differs: it waits to be explained.".into(),
        (_, n) if n > 1 => format!("Recorded. On {n} lines something differs: it waits to be explained."),
        (Way::There, _) => "The arrival is recorded. Everything is there.".into(),
        (Way::Back, _) if settled => "Everything is back, as it went or as explained.".into(),
        (Way::Back, _) => "Recorded. The rest is still out.".into(),
    }
}

/// Puts what came back as a whole to its place.
async fn lay_down(ctx: &Ctx, tx: &mut Tx, (known, new): (&Known, &NewReceipt), place: &Place) -> Answer<()> {
    for line in new.lines.iter().filter(|line| line.amount.pieces > 0 || line.amount.mass_g.is_some()) {
        let Some(item) = known.items.iter().find(|item| item.id == line.item) else { continue };
        let part = (line.amount.pieces < item.now_quantity).then_some(line.amount.pieces);
        let movement = NewMovement {
            find: item.find_id,
            to: place.id,
            quantity: part.filter(|pieces| *pieces > 0),
            moved_at: ctx.now,
            moved_by: new.received_by.clone(),
            reason: format!("back from {}", known.dispatch.recipient),
        };
        places::insert_movement(tx, &movement, ctx.actor.person, ctx.now).await?;
    }
    Ok(())
}

async fn tell_journal(ctx: &Ctx, tx: &mut Tx, (known, new): (&Known, &NewReceipt), way: Way) -> Answer<()> {
    let serial = known.dispatch.serial;
    let entry = |line: &NewLine| {
        let item = known.items.iter().find(|item| item.id == line.item)?;
        let amount = view::amount(line.amount);
        let account = known.account(item);
        let gap = if way == Way::Back { account.gap() } else { account.gap_there() };
        let differs = gap.map(|gap| format!("; {}", view::gap(gap, way))).unwrap_or_default();
        let correction = if new.supersedes.is_some() { ", corrected" } else { "" };
        let words = match way {
            Way::There => {
                format!("arrived with {} (D{serial}){correction}: {amount}", known.dispatch.recipient)
            }
            Way::Back => {
                format!("back from {} (D{serial}){correction}: {amount}", known.dispatch.recipient)
            }
        };
        Some(journal_entry(ctx, (known, item.find_id), "received", words + &differs))
    };
    let entries: Vec<Entry> = new.lines.iter().filter_map(entry).collect();
    Ok(journal::append_all(tx, &entries, ctx.now).await?)
}

/// An entry about a find of a dispatch by whoever is signed in.
pub(super) fn journal_entry(
    ctx: &Ctx,
    (known, find): (&Known, FindId),
    verb: &'static str,
    words: String,
) -> Entry {
    Entry {
        project: Some(known.dispatch.project_id),
        find: Some(find),
        context: None,
        verb,
        words,
        by: Some(ctx.actor.person),
    }
}

async fn page(ctx: &Ctx, tx: &mut Tx, (known, way): (Known, Way), form: ReceiptForm) -> Answer<ReceiptPage> {
    let id = known.dispatch.id;
    let wrong = form.corrected(tx, (id, way)).await?;
    let before = counted_before(tx, (id, way), wrong.as_ref()).await?;
    let line = |item: &Item| {
        let expected = to_come(&known.account(item), way, before.get(&item.id));
        Line {
            id: item.id.to_string(),
            number: item.number.clone(),
            what: if item.object_type.is_empty() {
                item.material_name.clone()
            } else {
                item.object_type.clone()
            },
            expected: match (before.contains_key(&item.id), expected.pieces) {
                (true, 0) => "nothing more".into(),
                (true, _) => format!("{} more", view::amount(expected)),
                (false, _) => view::amount(expected),
            },
            condition: item.condition.clone(),
            as_sent: form.as_sent.contains(&item.id.to_string()),
            quantity: form.typed(item, &form.quantity).to_owned(),
            mass_g: form.typed(item, &form.mass_g).to_owned(),
            condition_now: form.typed(item, &form.condition).to_owned(),
        }
    };
    let name = known.dispatch.name();
    let places = match way {
        Way::There => Vec::new(),
        Way::Back => places::list(tx, known.dispatch.project_id).await?,
    };
    Ok(ReceiptPage {
        chrome: ctx.chrome_in(known.dispatch.project_id),
        title: match way {
            Way::There => format!("What arrived of {name}"),
            Way::Back => format!("What came back of {name}"),
        },
        action: links::receipt_new(id, way),
        lines: known.items.iter().map(line).collect(),
        places,
        errors: Errors::default(),
        known,
        way,
        form,
    })
}

impl ReceiptPage {
    fn is_back(&self) -> bool {
        self.way == Way::Back
    }
}
