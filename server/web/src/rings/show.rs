//! The rings of a find and how they compare with the moulds of a list.
use super::compared::{self, Compared};
use super::said;
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::show_day;
use crate::form::Asked;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::review::share::Share;
use store::finds::Find;
use store::rings::{self, MouldList};

#[derive(Template)]
#[template(path = "rings/show.html")]
struct ShowPage {
    chrome: Chrome,
    find: Find,
    sets: Vec<SetView>,
    lists: Vec<MouldList>,
    /// The list compared with.
    chosen: Option<MouldList>,
}

/// A set as measured, and compared where a list is chosen.
struct SetView {
    rings: String,
    byline: String,
    compared: Option<Result<Compared, String>>,
}

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Chosen {
    list: String,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<FindId>, Asked(asked): Asked<Chosen>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find_sharing(&mut tx, id, Share::Measurements).await?;
    let lists = rings::list_lists(&mut tx, find.project_id).await?;
    let lists: Vec<MouldList> = lists.into_iter().filter(|list| list.withdrawn_at.is_none()).collect();
    let wanted = lists.iter().find(|list| list.id.to_string() == asked.list);
    let chosen = wanted.or(lists.first()).cloned();
    let moulds = match &chosen {
        Some(list) => rings::list_moulds(&mut tx, list.id).await?,
        None => Vec::new(),
    };
    let sets = rings::list_sets(&mut tx, id).await?;
    let view = |set: &rings::RingSet| SetView {
        rings: said(&set.rings_mm()),
        byline: byline(set),
        compared: chosen.as_ref().map(|list| compared::of(set, &list.name, &moulds)),
    };
    let page = ShowPage {
        chrome: ctx.chrome_in(find.project_id),
        sets: sets.iter().map(view).collect(),
        find,
        lists,
        chosen,
    };
    Ok(ok(page).into_response())
}

/// “Ansel Wrayburn, 12 Sep 2031, callipers”.
fn byline(set: &rings::RingSet) -> String {
    let with = if set.measured_with.is_empty() { String::new() } else { format!(", {}", set.measured_with) };
    format!("{}, {}{with}. Recorded by {}.", set.done_by, show_day(set.done_on), set.recorded_by)
}
