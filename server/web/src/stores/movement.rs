//! Moving finds to a place: where is it now, where was it.
use crate::context::Ctx;
use crate::error::Answer;
use crate::finds::load_chosen;
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use store::Tx;
use store::finds::Find;
use store::journal;
use store::places::{self, NewMovement, Place};

/// Finds that one form may carry.
const MOST_FINDS: usize = 1_000;

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct MoveForm {
    find: Vec<String>,
    place: String,
    quantity: String,
    moved_by: String,
    reason: String,
}

#[derive(Template)]
#[template(path = "stores/move_new.html")]
struct MovePage {
    chrome: Chrome,
    code: String,
    finds: Vec<Find>,
    places: Vec<Place>,
    form: MoveForm,
    errors: Errors,
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>, Asked(mut form): Asked<MoveForm>) -> Answer {
    form.moved_by.clone_from(&ctx.actor.name);
    let page = page(&ctx, &mut ctx.read().await?, code, form).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<MoveForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut page = page(&ctx, &mut tx, code.clone(), posted.form.clone()).await?;
    let mut errors = Errors::default();
    let place = page.places.iter().find(|p| p.id.to_string() == posted.form.place).cloned();
    if place.is_none() {
        errors.add("place", "Choose where to.");
    }
    let moved_by = errors.required("moved_by", &posted.form.moved_by, "Say who moved it.");
    let reason = errors.line("reason", &posted.form.reason);
    let quantity = match page.finds.as_slice() {
        [one] if one.bulk => errors.whole("quantity", &posted.form.quantity, 1).filter(|q| *q < one.quantity),
        _ => None,
    };
    for find in page.finds.iter().filter(|find| find.void_at.is_some()) {
        errors.add("place", format!("{} is void; it is nowhere any more.", find.number));
    }
    // some pieces of a bag may lie elsewhere
    let there =
        |find: &Find| !find.bulk && place.as_ref().is_some_and(|place| find.place_id == Some(place.id.0));
    if !page.finds.is_empty() && page.finds.iter().all(there) {
        errors.add(
            "place",
            if page.finds.len() == 1 { "It is there already." } else { "They are there already." },
        );
    }
    let Some(place) = place.filter(|_| errors.is_empty()) else {
        page.errors = errors;
        return Ok(again(page).into_response());
    };
    for find in page.finds.iter().filter(|find| find.bulk || find.place_id != Some(place.id.0)) {
        let movement = NewMovement {
            find: find.id,
            to: place.id,
            quantity,
            moved_at: ctx.now,
            moved_by: moved_by.clone(),
            reason: reason.clone(),
        };
        places::insert_movement(&mut tx, &movement, ctx.actor.person, ctx.now).await?;
        let pieces = quantity.map(|n| format!("{n} pieces ")).unwrap_or_default();
        let entry = find_entry(&ctx, find, "moved", format!("moved {pieces}to {}", place.path));
        journal::append(&mut tx, &entry, ctx.now).await?;
    }
    let (to, told) = match page.finds.as_slice() {
        [one] => (links::find(one.id), format!("{} is now at {}.", one.number, place.path)),
        many => (links::finds(&code), format!("{} finds are now at {}.", many.len(), place.path)),
    };
    ctx.finish(tx, &posted, &to, &told).await
}

async fn page(ctx: &Ctx, tx: &mut Tx, code: String, form: MoveForm) -> Answer<MovePage> {
    let project = ctx.project(&code)?.project;
    Ok(MovePage {
        chrome: ctx.chrome_in(project),
        finds: load_chosen(ctx, tx, project, &form.find, MOST_FINDS).await?,
        places: places::list(tx, project).await?,
        form,
        errors: Errors::default(),
        code,
    })
}
