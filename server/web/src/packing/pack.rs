//! Finds go into a box.
use super::climate::ClimateView;
use super::form::{SealingForm, climate_words};
use crate::context::Ctx;
use crate::error::Answer;
use crate::finds::{Chosen, cautions, load_chosen};
use crate::form::{Asked, Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::{self, Entered};
use crate::work::{StoppedLine, stopped_line};
use askama::Template;
use axum::response::IntoResponse;
use calc::climate::BANDS;
use chrono::Days;
use domain::clocks::ClockKind;
use domain::ids::{PlaceId, ProjectId};
use domain::packing::{self, Sealing};
use domain::stages::Stage;
use domain::work::Detail;
use store::Tx;
use store::boxes;
use store::finds::Find;
use store::places::{self, NewMovement, NewPlace, Place};
use store::work::records::NewRecord;

/// Finds that one form packs.
const MOST_FINDS: usize = 200;

/// Which finds, and into which box.
#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct PackForm {
    find: Vec<String>,
    quantity: Vec<String>,
    place: String,
    name: String,
    parent: String,
}

#[derive(Template)]
#[template(path = "packing/new.html")]
struct PackPage {
    chrome: Chrome,
    code: String,
    action: String,
    back: String,
    form: PackForm,
    sealing: SealingForm,
    errors: Errors,
    stopped: Vec<StoppedLine>,
    finds: Vec<Chosen>,
    cautions: Vec<String>,
    boxes: Vec<Place>,
    places: Vec<Place>,
    bands: Vec<BandChoice>,
    climate: Option<ClimateView>,
}

/// A row of the table of climates.
pub(super) struct BandChoice {
    pub name: &'static str,
    pub words: String,
}

/// The table of climates as it is chosen from.
pub(super) fn band_choices() -> Vec<BandChoice> {
    BANDS.iter().map(|band| BandChoice { name: band.material, words: packing::band_words(band) }).collect()
}

/// The box that is meant: one that is there, or one to be made.
enum Target {
    There(PlaceId),
    New(NewPlace),
}

pub(super) async fn new(ctx: Ctx, Path(code): Path<String>, Asked(form): Asked<PackForm>) -> Answer {
    let mut tx = ctx.read().await?;
    let finds = load(&ctx, &mut tx, &code, &form).await?;
    let mut sealing = SealingForm::fresh(&ctx.actor.name, ctx.now.date_naive());
    sealing.band = usual_of(&finds);
    let page = page(&ctx, &mut tx, &code, (form, sealing), &finds).await?;
    Ok(ok(page).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(code): Path<String>, posted: Posted<PackForm>) -> Answer {
    let project = ctx.project(&code)?.project;
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let typed: SealingForm = posted.part()?;
    let finds = load(&ctx, &mut tx, &code, &posted.form).await?;
    let mut errors = Errors::default();
    let target = posted.form.target(&mut tx, project, &mut errors).await?;
    let quantities = posted.form.quantities(&mut tx, &finds, &mut errors).await?;
    let groups = groups(&mut tx, &finds, &target).await?;
    let mut sealing = typed.parse(&groups, ctx.now.date_naive(), &mut errors);
    let wanted = typed.wanted(&mut errors);
    if !errors.is_empty() || typed.only_works_out() {
        let worked_out = typed.only_works_out();
        let mut page = page(&ctx, &mut tx, &code, (posted.form, typed), &finds).await?;
        page.climate = worked_out.then(|| ClimateView::of(&sealing, wanted));
        page.errors = if worked_out { only_of_sealing(errors) } else { errors };
        let sound = page.errors.is_empty();
        return Ok(if sound { ok(page).into_response() } else { again(page).into_response() });
    }
    let rule = store::clocks::rules::find_of(&mut tx, finds[0].id, ClockKind::Indicator).await?;
    sealing.next_check_on = next_check(&sealing, rule.look_days);
    let new = record(project, &finds, &quantities, &sealing);
    match enter::record(&ctx, &mut tx, &finds, &new, None).await? {
        Entered::In(record) => {
            let place = match target {
                Some(Target::New(new)) => places::insert(&mut tx, &new, ctx.now).await?,
                Some(Target::There(place)) => place,
                None => return Err(crate::error::AppError::NotFound),
            };
            for (find, quantity) in finds.iter().zip(&quantities) {
                put(&ctx, &mut tx, place, (find, *quantity), &sealing.done_by).await?;
                boxes::insert_packed(&mut tx, place, (find.id, *quantity), record, ctx.now).await?;
            }
            boxes::insert_sealing(&mut tx, place, &sealing, ctx.actor.person, ctx.now).await?;
            if let Some(next) = sealing.next_check_on {
                let next_at = next.and_time(chrono::NaiveTime::MIN).and_utc();
                for find in &finds {
                    store::clocks::boxes::bind(&mut tx, find.id, place, next_at).await?;
                }
            }
            ctx.finish(
                tx,
                &posted,
                &links::stored_box(place),
                "Packed. Print its label before it leaves the table.",
            )
            .await
        }
        Entered::Stopped(stopped) => {
            let mut page = page(&ctx, &mut tx, &code, (posted.form, typed), &finds).await?;
            page.stopped = stopped.iter().map(|s| stopped_line(&ctx, &code, project, s)).collect();
            Ok(again(page).into_response())
        }
    }
}

/// To work something out, who packed it and into which box is not asked yet.
fn only_of_sealing(errors: Errors) -> Errors {
    const LATER: &[&str] = &["place", "name", "container", "done_by", "quantity"];
    let mut kept = Errors::default();
    for (field, sentence) in errors.list().iter().filter(|(field, _)| !LATER.contains(field)) {
        kept.add(field, sentence.clone());
    }
    kept
}

/// The next check: as typed, or before the gel is exhausted, or when an indicator is usually read.
pub(super) fn next_check(sealing: &Sealing, look_days: i64) -> Option<chrono::NaiveDate> {
    let aimed = !sealing.band.is_empty() || sealing.sorbent_g.is_some();
    let usual = sealing.sealed_on.checked_add_days(Days::new(look_days.unsigned_abs())).filter(|_| aimed);
    sealing.next_check_on.or_else(|| usual.into_iter().chain(sealing.exhausted_on()).min())
}

async fn put(
    ctx: &Ctx,
    tx: &mut Tx,
    place: PlaceId,
    (find, quantity): (&Find, Option<i64>),
    moved_by: &str,
) -> Answer<()> {
    let movement = NewMovement {
        find: find.id,
        to: place,
        quantity,
        moved_at: ctx.now,
        moved_by: moved_by.to_owned(),
        reason: "packed".into(),
    };
    Ok(places::insert_movement(tx, &movement, ctx.actor.person, ctx.now).await?)
}

fn record(project: ProjectId, finds: &[Find], quantities: &[Option<i64>], sealing: &Sealing) -> NewRecord {
    NewRecord {
        project,
        stage: Stage::Packing,
        done_by: sealing.done_by.clone(),
        done_on: sealing.sealed_on,
        method: String::new(),
        materials: sealing.materials.clone(),
        outcome: format!("packed in {}", sealing.container),
        note: String::new(),
        finished: true,
        standing: None,
        supersedes: None,
        detail: Detail::Package {
            container: sealing.container.clone(),
            microclimate: climate_words(sealing),
            sealed_on: Some(sealing.sealed_on),
            next_check_on: sealing.next_check_on,
        },
        finds: finds.iter().map(|find| find.id).zip(quantities.iter().copied()).collect(),
    }
}

impl PackForm {
    async fn target(&self, tx: &mut Tx, project: ProjectId, errors: &mut Errors) -> Answer<Option<Target>> {
        let all = places::list(tx, project).await?;
        if !self.place.is_empty() {
            let there =
                all.iter().find(|place| place.kind == boxes::KIND && place.id.to_string() == self.place);
            if there.is_none() {
                errors.add("place", "Choose a box of the list.");
            }
            return Ok(there.map(|place| Target::There(place.id)));
        }
        let missing = "Choose a box, or give a new one its name: “Box 7”.";
        let name = errors.required("name", &self.name, missing);
        if name.contains(places::PARTING.trim()) {
            errors.add("name", "Leave out the sign ›: it parts the names of a path.");
        }
        let parent: Option<PlaceId> = self.parent.parse().ok();
        let above = all.iter().find(|place| Some(place.id) == parent);
        if above.is_none() && !self.parent.is_empty() {
            errors.add("parent", "Choose a place of the list.");
        }
        let twin = |place: &&Place| place.parent_id == above.map(|above| above.id.0) && place.name == name;
        if let Some(twin) = all.iter().find(twin) {
            errors.add("name", format!("{} is there already.", twin.path));
        }
        let new = NewPlace { project, parent: above.map(|above| above.id), kind: boxes::KIND.into(), name };
        Ok(errors.get("name").is_none().then_some(Target::New(new)))
    }

    /// Pieces of each find; no more than are outside of boxes still.
    async fn quantities(&self, tx: &mut Tx, finds: &[Find], errors: &mut Errors) -> Answer<Vec<Option<i64>>> {
        let mut all = Vec::with_capacity(finds.len());
        for find in finds {
            let at = self.find.iter().position(|id| *id == find.id.to_string());
            let typed = at.and_then(|at| self.quantity.get(at)).filter(|_| find.bulk);
            let quantity = typed.and_then(|typed| errors.whole("quantity", typed, 1));
            if let Some(pieces) = quantity {
                let left = find.quantity - boxes::count_packed(tx, find.id).await?;
                if pieces > left {
                    errors.add(
                        "quantity",
                        format!("{} has {left} pieces that are in no box yet.", find.number),
                    );
                }
            }
            all.push(quantity.filter(|pieces| *pieces < find.quantity));
        }
        Ok(all)
    }
}

/// The materials of what goes in and of what lies there already.
async fn groups(tx: &mut Tx, finds: &[Find], target: &Option<Target>) -> Answer<Vec<String>> {
    let mut groups: Vec<String> = finds.iter().map(|find| find.material.clone()).collect();
    if let Some(Target::There(place)) = target {
        groups.extend(boxes::list_contents(tx, *place).await?.into_iter().map(|content| content.material));
    }
    Ok(groups)
}

/// The usual climate where all of the finds share it.
fn usual_of(finds: &[Find]) -> String {
    let mut bands: Vec<&str> =
        finds.iter().map(|f| packing::usual_of(&f.material).map_or("", |band| band.material)).collect();
    bands.dedup();
    if let [one] = bands.as_slice() { (*one).to_owned() } else { String::new() }
}

async fn load(ctx: &Ctx, tx: &mut Tx, code: &str, form: &PackForm) -> Answer<Vec<Find>> {
    let project = ctx.project(code)?.project;
    load_chosen(ctx, tx, project, &form.find, MOST_FINDS).await
}

async fn page(
    ctx: &Ctx,
    tx: &mut Tx,
    code: &str,
    (form, sealing): (PackForm, SealingForm),
    finds: &[Find],
) -> Answer<PackPage> {
    let project = ctx.project(code)?.project;
    let places = places::list(tx, project).await?;
    Ok(PackPage {
        chrome: ctx.chrome_in(project),
        code: code.to_owned(),
        action: links::packing_new(code),
        back: match finds {
            [one] => links::find(one.id),
            _ => links::finds(code),
        },
        finds: Chosen::lines(finds, &form.find, &form.quantity),
        form,
        sealing,
        errors: Errors::default(),
        stopped: Vec::new(),
        cautions: cautions(finds),
        boxes: places.iter().filter(|place| place.kind == boxes::KIND).cloned().collect(),
        places: places.into_iter().filter(|place| place.kind != boxes::KIND).collect(),
        bands: band_choices(),
        climate: None,
    })
}
