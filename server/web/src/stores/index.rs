//! The places of a project: buildings, rooms, shelves, boxes.
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::PlaceId;
use domain::permission::Action;
use store::Tx;
use store::journal::{self, Entry};
use store::places::{self, NewPlace, Place};

/// What a place can be.
const KINDS: &[&str] = &["building", "room", "shelf", "box", "bench", "tank", "elsewhere"];

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct PlaceForm {
    parent: String,
    kind: String,
    name: String,
}

#[derive(Template)]
#[template(path = "stores/index.html")]
struct PlacesPage {
    chrome: Chrome,
    code: String,
    places: Vec<Place>,
    kinds: &'static [&'static str],
    form: PlaceForm,
    errors: Errors,
    may_edit: bool,
}

pub(super) async fn index(ctx: Ctx, Path(code): Path<String>) -> Answer {
    let page = page(&ctx, &mut ctx.read().await?, code, PlaceForm::default(), Errors::default()).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<PlaceForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let mut errors = Errors::default();
    let all = places::list(&mut tx, project).await?;
    let new = NewPlace {
        project,
        parent: posted.form.parent.parse::<PlaceId>().ok(),
        kind: posted.form.kind.clone(),
        name: errors.required("name", &posted.form.name, "Give the place a name: “Wet store”, “Shelf 3”."),
    };
    if !KINDS.contains(&new.kind.as_str()) {
        errors.add("kind", "Choose what kind of place it is.");
    }
    let above = all.iter().find(|p| Some(p.id) == new.parent);
    if above.is_none() && !posted.form.parent.is_empty() {
        errors.add("parent", "Choose a place of this list.");
    }
    if new.name.contains(places::PARTING.trim()) {
        errors.add("name", "Leave out the sign ›: it parts the names of a path.");
    }
    let twin = |p: &&Place| p.parent_id.map(PlaceId) == new.parent && p.name == new.name;
    if let Some(twin) = all.iter().find(twin) {
        errors.add("name", format!("{} is there already.", twin.path));
    }
    if !errors.is_empty() {
        return Ok(again(page(&ctx, &mut tx, code, posted.form, errors).await?).into_response());
    }
    places::insert(&mut tx, &new, ctx.now).await?;
    let words = format!("made the place {}", new.name);
    let entry =
        Entry { project: Some(project), verb: "made", words, by: Some(ctx.actor.person), ..Entry::default() };
    journal::append(&mut tx, &entry, ctx.now).await?;
    ctx.finish(tx, &posted, &links::places(&code), &format!("{} is there now.", new.name)).await
}

async fn page(ctx: &Ctx, tx: &mut Tx, code: String, form: PlaceForm, errors: Errors) -> Answer<PlacesPage> {
    let member = ctx.project(&code)?;
    Ok(PlacesPage {
        chrome: ctx.chrome_in(member.project),
        places: places::list(tx, member.project).await?,
        kinds: KINDS,
        may_edit: member.grants(Action::EditPlaces),
        form,
        errors,
        code,
    })
}
