//! Changing a find; two people at once are shown both versions.
use super::form::FindForm;
use super::register::{FormPage, within_sight};
use crate::conflict::Conflict;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use axum::response::{IntoResponse, Response};
use domain::dispatch::Change;
use domain::finds::RecoveredState;
use domain::finds::material::is_human_remains;
use domain::ids::FindId;
use store::Tx;
use store::finds::fields::{ChangeWords, fields};
use store::finds::quantity::{NewEvent, Part, insert_event};
use store::finds::{Find, NewFind};

pub(super) async fn edit(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let form = FindForm::of(&seen(&ctx, &find), find.context_number.as_deref(), find.revision);
    Ok(ok(page(&ctx, &mut tx, &find, form).await?).into_response())
}

pub(super) async fn update(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<FindForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find(&mut tx, id).await?;
    if find.void_at.is_some() {
        return Ok(ctx.lead_on(&links::find(id), "The number is void: nothing of it is changed any more."));
    }
    let mut form = FindForm { number: find.number.clone(), ..posted.form.clone() };
    if !form.take.is_empty() || form.revision != find.revision.to_string() {
        return clash(&ctx, &mut tx, &find, form).await;
    }
    let materials = store::projects::list_materials(&mut tx, find.project_id).await?;
    let mut new = match form.parse(&mut tx, find.project_id, &materials, ctx.now.date_naive()).await? {
        Ok(new) => new,
        Err(errors) => {
            form.take.clear();
            let mut page = page(&ctx, &mut tx, &find, form).await?;
            page.errors = errors;
            return Ok(again(page).into_response());
        }
    };
    if !ctx.actor.sees_findspot(find.project_id) {
        (new.easting_m, new.northing_m, new.height_m) = (find.easting_m, find.northing_m, find.height_m);
    }
    // the form was filled while it was of another material
    new.restricted |= is_human_remains(&new.material) && !is_human_remains(&find.material);
    let context = domain::finds::number::normal(&form.context).unwrap_or_default();
    save(&ctx, &mut tx, &find, &new, context).await?;
    let place = (find.project_id, find.project_code.as_str());
    let (to, told) = within_sight(&ctx, place, (id, new.restricted), "The find is saved.".into());
    ctx.finish(tx, &posted, &to, &told).await
}

/// A find as its form may show it: without coordinates for whoever may not know the exact findspot.
fn seen(ctx: &Ctx, find: &Find) -> NewFind {
    let mut seen = find.as_new();
    if !ctx.actor.sees_findspot(find.project_id) {
        (seen.easting_m, seen.northing_m, seen.height_m) = (None, None, None);
    }
    seen
}

async fn save(ctx: &Ctx, tx: &mut Tx, find: &Find, new: &NewFind, context: String) -> Answer<()> {
    let before = find.as_new();
    store::finds::update(tx, find, new, find.revision).await?;
    if before.quantity != new.quantity || before.weight_g != new.weight_g {
        let part = Part {
            find: find.id,
            quantity: (before.quantity, new.quantity),
            weight_g: (before.weight_g, new.weight_g),
        };
        let event = NewEvent {
            project: find.project_id,
            change: Change::Recount,
            reason: "counted or weighed again".into(),
            parts: vec![part],
            line: None,
        };
        insert_event(tx, &event, ctx.actor.person, ctx.now).await?;
    }
    store::finds::progress::refresh(tx, find.id, ctx.now).await?;
    let moved = (before.context != new.context)
        .then(|| ("Context", find.context_number.clone().unwrap_or_default(), context));
    let told = ChangeWords::of(&before, new, moved);
    let entries = told.entries(&find_entry(ctx, find, "changed", String::new()), |words| words);
    Ok(store::journal::append_all(tx, &entries, ctx.now).await?)
}

/// Both versions side by side; a field asked for is taken over from the kept one.
async fn clash(ctx: &Ctx, tx: &mut Tx, find: &Find, mut form: FindForm) -> Answer<Response> {
    let kept = fields(&seen(ctx, find));
    if let Some(field) = kept.iter().find(|field| field.name == form.take) {
        form.set(field.name, field.value.clone());
    }
    let theirs: Vec<_> = kept.into_iter().map(|f| (f.name, f.label, f.value)).collect();
    let mine: Vec<_> = theirs.iter().map(|(name, label, _)| (*name, *label, form.get(name))).collect();
    form.revision = find.revision.to_string();
    form.take.clear();
    let mut page = page(ctx, tx, find, form).await?;
    page.conflict = Some(Conflict::between(&mine, &theirs));
    Ok((axum::http::StatusCode::CONFLICT, crate::page::ok(page)).into_response())
}

async fn page(ctx: &Ctx, tx: &mut Tx, find: &Find, form: FindForm) -> Answer<FormPage> {
    Ok(FormPage {
        chrome: ctx.chrome_in(find.project_id),
        title: format!("Edit {}", find.number),
        action: links::find_edit(find.id),
        back: links::find(find.id),
        button: "Save",
        fixed_number: true,
        form,
        errors: Errors::default(),
        conflict: None,
        materials: store::projects::list_materials(tx, find.project_id).await?,
        states: RecoveredState::ALL,
        tells_findspot: ctx.actor.sees_findspot(find.project_id),
    })
}
