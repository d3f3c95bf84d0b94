//! Pieces of a bulk find are taken out of a box; the rest stays in it.
use super::Known;
use crate::context::Ctx;
use crate::error::{Answer, AppError};
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::{FindId, PlaceId};
use domain::stages::{Stage, StageMark, StageState};
use store::boxes;
use store::finds::{Find, progress};
use store::journal;
use store::places::{self, NewMovement, Place};
use store::{StoreError, Tx};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct TakingForm {
    find: String,
    pieces: String,
    place: String,
    taken_by: String,
    reason: String,
}

#[derive(Template)]
#[template(path = "packing/take.html")]
struct TakingPage {
    chrome: Chrome,
    name: String,
    back: String,
    action: String,
    number: String,
    what: String,
    /// Pieces that lie in the box.
    there: i64,
    form: TakingForm,
    errors: Errors,
    places: Vec<Place>,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<PlaceId>, Asked(form): Asked<TakingForm>) -> Answer {
    let mut tx = ctx.read().await?;
    let form = TakingForm { taken_by: ctx.actor.name.clone(), ..form };
    let lying = Lying::load(&ctx, &mut tx, id, &form.find).await?;
    Ok(ok(page(&ctx, &mut tx, &lying, form, Errors::default()).await?).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<PlaceId>, posted: Posted<TakingForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let form = posted.form.clone();
    let lying = Lying::load(&ctx, &mut tx, id, &form.find).await?;
    let mut errors = Errors::default();
    let pieces = errors.whole("pieces", &form.pieces, 1);
    if pieces.is_none() && errors.get("pieces").is_none() {
        errors.add("pieces", "Say how many pieces are taken out.");
    }
    if pieces.is_some_and(|pieces| pieces > lying.there) {
        errors.add(
            "pieces",
            format!("{} pieces lie in {}; write no more than that.", lying.there, lying.name()),
        );
    }
    let to = free_places(&mut tx, &lying).await?.into_iter().find(|place| place.id.to_string() == form.place);
    if to.is_none() {
        errors.add("place", "Choose where they go.");
    }
    let taken_by = errors.required("taken_by", &form.taken_by, "Say who took them out.");
    let reason = errors.required("reason", &form.reason, "Say what for: “to be drawn”, “joins with 12”.");
    let (Some(pieces), Some(to), true) = (pieces, to, errors.is_empty()) else {
        return Ok(again(page(&ctx, &mut tx, &lying, form, errors).await?).into_response());
    };
    let movement = NewMovement {
        find: lying.find.id,
        to: to.id,
        quantity: Some(pieces),
        moved_at: ctx.now,
        moved_by: taken_by,
        reason: reason.clone(),
    };
    lying.take(&ctx, &mut tx, &movement, pieces).await?;
    let (number, name) = (&lying.find.number, lying.name());
    let words = format!("took {pieces} pieces out of {name}, to {}: {reason}", to.path);
    journal::append(&mut tx, &find_entry(&ctx, &lying.find, "moved", words), ctx.now).await?;
    let told =
        format!("{pieces} pieces of {number} are out of {name}. Seal the box anew if its climate matters.");
    ctx.finish(tx, &posted, &links::stored_box(id), &told).await
}

/// A bulk find as far as it lies in a box.
struct Lying {
    known: Known,
    find: Find,
    there: i64,
}

impl Lying {
    async fn load(ctx: &Ctx, tx: &mut Tx, id: PlaceId, find: &str) -> Answer<Self> {
        let known = Known::load(ctx, tx, id).await?;
        let unsaid = || AppError::Unreadable("Say which find; go back to the box and choose it.".into());
        let find: FindId = find.parse().map_err(|_| unsaid())?;
        let find = ctx.find(tx, find).await?;
        let packed =
            known.contents.iter().filter(|content| content.find == find.id && content.since.is_some());
        let there = packed.map(|content| content.quantity.unwrap_or(find.quantity)).sum();
        if !find.bulk || there == 0 {
            let words = format!("No pieces of {} lie packed in {}.", find.number, known.stored.name);
            return Err(ctx.lead_back(links::stored_box(id), &words));
        }
        Ok(Self { known, find, there })
    }

    fn name(&self) -> &str {
        &self.known.stored.name
    }

    /// The pieces leave the box; what was packed of the find is so many fewer.
    async fn take(&self, ctx: &Ctx, tx: &mut Tx, movement: &NewMovement, pieces: i64) -> Answer<()> {
        let (find, place) = (&self.find, self.known.stored.id);
        if !boxes::take_out(tx, (place, find.id), (pieces, find.quantity), ctx.now).await? {
            return Err(StoreError::Changed.into());
        }
        places::insert_movement(tx, movement, ctx.actor.person, ctx.now).await?;
        let known = progress::find_progress(tx, find.id).await?;
        let packed = known.marks.iter().find(|mark| mark.stage == Stage::Packing);
        if let Some(packed) =
            packed.filter(|mark| matches!(mark.state, StageState::Done | StageState::InHand))
        {
            let quantity_done = (packed.quantity_done - pieces).max(0);
            let reason = packed.reason.clone();
            let mark = StageMark { stage: Stage::Packing, state: StageState::InHand, quantity_done, reason };
            progress::mark(tx, find.id, &mark, ctx.now).await?;
        }
        Ok(())
    }
}

/// The places that are no boxes: into another box they are packed.
async fn free_places(tx: &mut Tx, lying: &Lying) -> Answer<Vec<Place>> {
    let mut all = places::list(tx, lying.known.stored.project_id).await?;
    all.retain(|place| place.kind != boxes::KIND);
    Ok(all)
}

async fn page(ctx: &Ctx, tx: &mut Tx, lying: &Lying, form: TakingForm, errors: Errors) -> Answer<TakingPage> {
    let stored = &lying.known.stored;
    let (object, material) = (&lying.find.object_type, &lying.find.material_name);
    Ok(TakingPage {
        chrome: ctx.chrome_in(stored.project_id),
        name: stored.name.clone(),
        back: links::stored_box(stored.id),
        action: links::taking_new(stored.id),
        number: lying.find.number.clone(),
        what: if object.is_empty() { material.clone() } else { object.clone() },
        there: lying.there,
        form,
        errors,
        places: free_places(tx, lying).await?,
    })
}
