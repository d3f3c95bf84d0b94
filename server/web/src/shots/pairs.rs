//! Photographs of a find side by side: before and after, visible light and ultraviolet, or any two.
use super::shot_of;
use crate::context::Ctx;
use crate::error::Answer;
use crate::form::Asked;
use crate::images::Picture;
use crate::page::{Chrome, ok};
use crate::path::Path;
use askama::Template;
use axum::response::IntoResponse;
use domain::ids::FindId;
use domain::shots::{Moment, Shot, pair};
use store::finds::Find;
use store::images::Image;

/// Pairs shown by themselves.
const MOST: usize = 12;

#[derive(Debug, Default, serde::Deserialize)]
#[serde(default)]
pub(super) struct Chosen {
    left: String,
    right: String,
}

#[derive(Template)]
#[template(path = "shots/pairs.html")]
struct PairsPage {
    chrome: Chrome,
    trail: (String, &'static str),
    find: Find,
    pairs: Vec<Pair>,
    /// Id, words, chosen left, chosen right.
    choices: Vec<(String, String, bool, bool)>,
}

/// Two photographs.
struct Pair {
    left: Side,
    right: Side,
}

struct Side {
    picture: Picture,
    words: String,
}

pub(super) async fn show(ctx: Ctx, Path(id): Path<FindId>, Asked(chosen): Asked<Chosen>) -> Answer {
    let mut tx = ctx.read().await?;
    let find = ctx.find(&mut tx, id).await?;
    let images = store::images::list_seen(&mut tx, &find).await?;
    let by_id = |id: &str| images.iter().find(|image| image.id.to_string() == id);
    let pairs = match (by_id(&chosen.left), by_id(&chosen.right)) {
        (Some(left), Some(right)) => vec![(left, right)],
        _ => told_pairs(&images),
    };
    let side = |image: &Image| Side { picture: Picture::of(image, &find.number), words: words(image) };
    let page = PairsPage {
        chrome: ctx.chrome_in(find.project_id),
        trail: ctx.trail_of_finds(find.project_id, &find.project_code),
        pairs: pairs.into_iter().map(|(left, right)| Pair { left: side(left), right: side(right) }).collect(),
        choices: images
            .iter()
            .map(|image| {
                let id = image.id.to_string();
                let (left, right) = (id == chosen.left, id == chosen.right);
                (id, format!("{}: {}", image.file_name, words(image)), left, right)
            })
            .collect(),
        find,
    };
    Ok(ok(page).into_response())
}

fn told_pairs(images: &[Image]) -> Vec<(&Image, &Image)> {
    let shots: Vec<Shot> = images.iter().map(shot_of).collect();
    let all = (0..images.len()).flat_map(|a| (0..images.len()).map(move |b| (a, b)));
    let fitting = all.filter(|(a, b)| a != b && pair(&shots[*a], &shots[*b]));
    fitting.map(|(a, b)| (&images[a], &images[b])).take(MOST).collect()
}

/// “before, front, ultraviolet”.
fn words(image: &Image) -> String {
    let moment = image.moment.parse::<Moment>().map(Moment::label).unwrap_or_default();
    let parts = [moment, &image.view, &image.light];
    let said: Vec<&str> = parts.into_iter().filter(|part| !part.is_empty()).collect();
    if said.is_empty() { "nothing said of it".into() } else { said.join(", ") }
}
