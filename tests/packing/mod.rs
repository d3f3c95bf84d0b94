//! Packing into boxes, what their gel is worth, their way to another room, their label.
mod boxes;
mod moving;

use axum::http::StatusCode;
use domain::finds::RecoveredState;
use domain::ids::FindId;
use tests::support::http::{Lab, Reply, Visitor};

/// Iron in a box of 12 L, 0.4 changes of air a day, 300 g of gel of 1.5 g per kg and %, from 10 % under 60 %.
const IRON_BOX: &[(&str, &str)] = &[
    ("name", "Iron 3"),
    ("container", "clip-lid box"),
    ("materials", "foam cut-out"),
    ("sealed_on", "2031-09-15"),
    ("done_by", "O. Marchbank"),
    ("band", "iron with akaganeite and ferrous chloride"),
    ("volume_l", "12"),
    ("air_per_day", "0.4"),
    ("t_c", "20"),
    ("sorbent", "silica gel"),
    ("sorbent_g", "300"),
    ("reservoir", "1.5"),
    ("reservoir_words", "supplier’s curve"),
    ("start_pct", "10"),
    ("outside_pct", "60"),
    ("gross_kg", "8.2"),
];

/// What stands in `fields`, with some of it changed.
fn with<'a>(fields: &[(&'a str, &'a str)], changes: &[(&'a str, &'a str)]) -> Vec<(&'a str, &'a str)> {
    let kept = fields.iter().filter(|(name, _)| changes.iter().all(|(changed, _)| changed != name));
    kept.chain(changes).copied().collect()
}

/// A find that came dry.
async fn dry(lab: &Lab, number: &str, material: &str) -> FindId {
    lab.site
        .find(number)
        .material(material)
        .with(|find| find.recovered_state = RecoveredState::Dry)
        .add()
        .await
}

async fn pack(visitor: &mut Visitor, lab: &Lab, finds: &[(FindId, &str)], fields: &[(&str, &str)]) -> Reply {
    let ids: Vec<String> = finds.iter().map(|(find, _)| find.to_string()).collect();
    let mut all: Vec<(&str, &str)> = Vec::new();
    for (id, (_, quantity)) in ids.iter().zip(finds) {
        all.extend([("find", id.as_str()), ("quantity", *quantity)]);
    }
    all.extend(fields);
    visitor.post(&web::links::packing_new(lab.site.code), &all).await
}

/// The page of the box that a find was packed into.
async fn packed(visitor: &mut Visitor, lab: &Lab, find: FindId, fields: &[(&str, &str)]) -> String {
    let reply = pack(visitor, lab, &[(find, "")], fields).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
    reply.location().split('?').next().unwrap_or_default().to_owned()
}
