//! A box is opened, its gel renewed, and sealed anew.
use super::Known;
use super::climate::ClimateView;
use super::form::{SealingForm, climate_words};
use super::pack::{BandChoice, band_choices, next_check};
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use chrono::NaiveTime;
use domain::clocks::ClockKind;
use domain::ids::{FindId, PlaceId};
use domain::packing::Sealing;
use store::Tx;
use store::{boxes, clocks};

#[derive(Template)]
#[template(path = "packing/seal.html")]
struct SealPage {
    chrome: Chrome,
    name: String,
    back: String,
    action: String,
    sealing: SealingForm,
    errors: Errors,
    bands: Vec<BandChoice>,
    climate: Option<ClimateView>,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<PlaceId>) -> Answer {
    let known = Known::load(&ctx, &mut ctx.read().await?, id).await?;
    let today = ctx.now.date_naive();
    let form = match known.sealing() {
        Some(last) => SealingForm::after(last, &ctx.actor.name, today),
        None => SealingForm::fresh(&ctx.actor.name, today),
    };
    Ok(ok(page(&ctx, &known, form)).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<PlaceId>, posted: Posted<SealingForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let known = Known::load(&ctx, &mut tx, id).await?;
    let mut errors = Errors::default();
    let contents = boxes::list_contents(&mut tx, id).await?;
    let groups: Vec<String> = contents.iter().map(|content| content.material.clone()).collect();
    let mut sealing = posted.form.parse(&groups, ctx.now.date_naive(), &mut errors);
    if let Some(last) = known.sealing().filter(|last| sealing.sealed_on < last.sealed_on) {
        errors.add("sealed_on", format!("It was sealed on {}: this is before it.", show_day(last.sealed_on)));
    }
    let wanted = posted.form.wanted(&mut errors);
    let worked_out = posted.form.only_works_out();
    if !errors.is_empty() || worked_out {
        let mut page = page(&ctx, &known, posted.form);
        page.climate = (worked_out && errors.is_empty()).then(|| ClimateView::of(&sealing, wanted));
        page.errors = errors;
        let sound = page.errors.is_empty();
        return Ok(if sound { ok(page).into_response() } else { again(page).into_response() });
    }
    let look_days = match contents.first() {
        Some(content) => clocks::rules::find_of(&mut tx, content.find, ClockKind::Indicator).await?.look_days,
        None => 30,
    };
    sealing.next_check_on = next_check(&sealing, look_days);
    boxes::insert_sealing(&mut tx, id, &sealing, ctx.actor.person, ctx.now).await?;
    for content in contents.iter().filter(|content| content.since.is_some()) {
        restart(&ctx, &mut tx, id, content.find, &sealing).await?;
    }
    let climate = Some(climate_words(&sealing)).filter(|words| !words.is_empty());
    let climate = climate.map(|words| format!(": {words}")).unwrap_or_default();
    let words = format!("sealed {} anew{climate}", known.stored.name);
    known.tell(&ctx, &mut tx, ("recorded", &words)).await?;
    ctx.finish(tx, &posted, &links::stored_box(id), "Sealed anew.").await
}

/// The clock of the indicator begins again with the new gel.
async fn restart(ctx: &Ctx, tx: &mut Tx, place: PlaceId, find: FindId, sealing: &Sealing) -> Answer<()> {
    clocks::stop(tx, find, ClockKind::Indicator, ctx.now).await?;
    let Some(next) = sealing.next_check_on else { return Ok(()) };
    let rule = clocks::rules::find_of(tx, find, ClockKind::Indicator).await?;
    clocks::start(tx, find, ClockKind::Indicator, rule, (ctx.now, ctx.now)).await?;
    Ok(clocks::boxes::bind(tx, find, place, next.and_time(NaiveTime::MIN).and_utc()).await?)
}

fn page(ctx: &Ctx, known: &Known, form: SealingForm) -> SealPage {
    SealPage {
        chrome: ctx.chrome_in(known.stored.project_id),
        name: known.stored.name.clone(),
        back: links::stored_box(known.stored.id),
        action: links::sealing_new(known.stored.id),
        sealing: form,
        errors: Errors::default(),
        bands: band_choices(),
        climate: None,
    }
}
