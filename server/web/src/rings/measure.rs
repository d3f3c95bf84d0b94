//! The form in which ring diameters of a find are entered. Measured again they are another set.
use super::said;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::{Errors, Posted};
use crate::links;
use crate::page::{Chrome, again, ok};
use crate::path::Path;
use crate::work::enter::find_entry;
use askama::Template;
use axum::response::IntoResponse;
use calc::rings::{DIAMETER, SCALE, SCALE_SPREAD, UNCERTAINTY};
use chrono::NaiveDate;
use domain::ids::FindId;
use domain::review::share::Share;
use domain::rings::diameters;
use store::finds::Find;
use store::rings::{self, NewRingSet};

#[derive(Debug, Clone, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct RingsForm {
    rings: String,
    u_mm: String,
    scale_mean: String,
    scale_sd: String,
    measured_with: String,
    done_by: String,
    done_on: String,
}

#[derive(Template)]
#[template(path = "rings/measure.html")]
struct RingsPage {
    chrome: Chrome,
    find: Find,
    form: RingsForm,
    errors: Errors,
}

pub(super) async fn new(ctx: Ctx, Path(id): Path<FindId>) -> Answer {
    let find = ctx.find_sharing(&mut ctx.read().await?, id, Share::Measurements).await?;
    let form = RingsForm {
        // what a pair of callipers gives on a worn edge, a cast of the size of its mould within 2 % (common practice, no source)
        u_mm: "0.3".into(),
        scale_mean: "1".into(),
        scale_sd: "0.02".into(),
        done_by: ctx.actor.name.clone(),
        done_on: ctx.now.date_naive().to_string(),
        ..RingsForm::default()
    };
    Ok(ok(page(&ctx, find, form, Errors::default())).into_response())
}

pub(super) async fn create(ctx: Ctx, Path(id): Path<FindId>, posted: Posted<RingsForm>) -> Answer {
    let mut tx = ctx.write().await?;
    if let Some(reply) = ctx.repeated(&mut tx, &posted).await? {
        return Ok(reply);
    }
    let find = ctx.find_sharing(&mut tx, id, Share::Measurements).await?;
    let new = match posted.form.parse(id, ctx.now.date_naive()) {
        Ok(new) => new,
        Err(errors) => return Ok(again(page(&ctx, find, posted.form, errors)).into_response()),
    };
    rings::insert_set(&mut tx, &new, ctx.actor.person, ctx.now).await?;
    let words = format!("measured its rings: {}", said(&new.rings_mm));
    store::journal::append(&mut tx, &find_entry(&ctx, &find, "measured", words), ctx.now).await?;
    ctx.finish(tx, &posted, &links::rings(id), "The ring diameters are kept.").await
}

impl RingsForm {
    fn parse(&self, find: FindId, today: NaiveDate) -> Result<NewRingSet, Errors> {
        let mut errors = Errors::default();
        let rings_mm = diameters(&self.rings).unwrap_or_else(|cause| {
            errors.add("rings", cause.to_string());
            Vec::new()
        });
        if errors.is_empty()
            && let Err(cause) = DIAMETER.check_rising(&rings_mm)
        {
            errors.add("rings", cause.to_string());
        }
        let mut needed = |field, typed: &str, quantity: calc::Quantity| {
            let read = errors.measure(field, typed, quantity.low..=quantity.high);
            if read.is_none() {
                errors.add(field, "This is needed for the comparison.");
            }
            read.unwrap_or(1.0)
        };
        let u_mm = needed("u_mm", &self.u_mm, UNCERTAINTY);
        let scale_mean = needed("scale_mean", &self.scale_mean, SCALE);
        let scale_sd = needed("scale_sd", &self.scale_sd, SCALE_SPREAD);
        let done_by = errors.required("done_by", &self.done_by, "Say who measured.");
        let done_on = errors.past_day("done_on", &self.done_on, today);
        if done_on.is_none() {
            errors.add("done_on", "Say on which day.");
        }
        let new = NewRingSet {
            find,
            rings_mm,
            u_mm,
            scale_mean,
            scale_sd,
            measured_with: errors.line("measured_with", &self.measured_with),
            done_by,
            done_on: done_on.unwrap_or(today),
        };
        if errors.is_empty() { Ok(new) } else { Err(errors) }
    }
}

fn page(ctx: &Ctx, find: Find, form: RingsForm, errors: Errors) -> RingsPage {
    RingsPage { chrome: ctx.chrome_in(find.project_id), find, form, errors }
}
