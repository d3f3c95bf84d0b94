//! Drying and desalination runs: begun, read, ended, and what they open.
mod desalination;
mod drying;
mod gates;
mod kept;

use axum::http::StatusCode;
use domain::finds::RecoveredState;
use domain::ids::{FindId, RunId};
use domain::runs::RunKind;
use domain::stages::{RouteStage, Stage, StageState};
use tests::support::http::{Lab, Reply, Visitor};

/// The second story of the trade notes: iron, days after the start and grams on a balance that reads to 0.01 g.
const IRON_G: &[(&str, &str)] = &[
    ("2031-09-08 08:30", "182.40"),
    ("2031-09-09 08:30", "175.10"),
    ("2031-09-10 08:30", "173.00"),
    ("2031-09-11 08:30", "172.90"),
    ("2031-09-12 08:30", "172.90"),
];
const DRYING: &[(&str, &str)] = &[
    ("done_by", "O. Marchbank"),
    ("started_at", "2031-09-08T08:30"),
    ("mass_g", "182.40"),
    ("standard", "en_iso_12570"),
    ("balance_g", "0.01"),
];
/// The fifth story: a pot of 850 g.
const BATHS: &[(&str, &str)] = &[
    ("done_by", "O. Marchbank"),
    ("started_at", "2031-08-01T08:30"),
    ("mass_g", "850"),
    ("threshold", "40"),
    ("threshold_reason", "what a clean sherd gives"),
    ("baths_in_row", "2"),
];

/// What stands in `fields`, with some of it changed.
fn with<'a>(fields: &[(&'a str, &'a str)], changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = fields.iter().filter(|(name, _)| changes.iter().all(|(changed, _)| changed != name));
    kept.chain(changes).copied().collect()
}

/// Iron that came damp.
async fn iron(lab: &Lab, number: &str) -> FindId {
    lab.site
        .find(number)
        .material("iron")
        .with(|find| find.recovered_state = RecoveredState::Damp)
        .add()
        .await
}

/// A pot that came dry, baths on its route.
async fn pot(lab: &Lab, number: &str) -> FindId {
    let dry = |find: &mut store::finds::NewFind| find.recovered_state = RecoveredState::Dry;
    let find = lab.site.find(number).material("ceramic").with(dry).add().await;
    let mut tx = lab.site.db.write().await.unwrap();
    let mut route = store::finds::progress::find_progress(&mut tx, find).await.unwrap().route;
    let drying = route.0.iter().position(|stage| stage.stage == Stage::Drying).unwrap();
    route.0.insert(drying, RouteStage { stage: Stage::Desalination, gates: Vec::new() });
    store::finds::update_own_route(&mut tx, find, Some((&route, "salts"))).await.unwrap();
    tx.commit().await.unwrap();
    find
}

async fn begin(
    visitor: &mut Visitor,
    lab: &Lab,
    (kind, find): (RunKind, FindId),
    fields: &[(&str, &str)],
) -> Reply {
    let find = find.to_string();
    let path = web::links::run_new(lab.site.code, kind);
    visitor.post(&path, &[&[("find", find.as_str()), ("quantity", "")], fields].concat()).await
}

/// A run that has begun; its page.
async fn begun(
    visitor: &mut Visitor,
    lab: &Lab,
    (kind, find): (RunKind, FindId),
    fields: &[(&str, &str)],
) -> String {
    let reply = begin(visitor, lab, (kind, find), fields).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
    reply.location().split('?').next().unwrap_or_default().to_owned()
}

async fn weigh(visitor: &mut Visitor, run: &str, (at, mass): (&str, &str)) -> Reply {
    visitor.post(&format!("{run}/weighings"), &[("weighed_at", at), ("mass_g", mass)]).await
}

async fn read(visitor: &mut Visitor, run: &str, (at, reading): (&str, &str)) -> Reply {
    let fields = [("read_at", at), ("reading_us_cm", reading), ("blank_us_cm", "4"), ("volume_l", "2.5")];
    visitor.post(&format!("{run}/baths"), &fields).await
}

async fn end(visitor: &mut Visitor, run: &str, how: &str, words: &str) -> Reply {
    let fields =
        [("how", how), ("end_words", words), ("done_by", "O. Marchbank"), ("checked_by", "T. Reedling")];
    visitor.post(&format!("{run}/end"), &fields).await
}

async fn state(lab: &Lab, find: FindId, stage: Stage) -> StageState {
    let mut tx = lab.site.db.read().await.unwrap();
    store::finds::progress::find_progress(&mut tx, find).await.unwrap().state(stage)
}

/// The id that ends a run's address.
fn id_of(run: &str) -> RunId {
    run.rsplit('/').next().unwrap().parse().unwrap()
}

/// The cells of a column of the table of readings, by its label on a telephone.
fn column(page: &Reply, label: &str) -> Vec<String> {
    page.texts(&format!("tr:not(.superseded) > [data-label='{label}']"))
}
