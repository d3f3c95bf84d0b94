//! What leaves the house, what comes back, and that register, report and dispatch always agree.
mod agreement;
mod leaving;
mod waiting;

use axum::http::StatusCode;
use domain::ids::{DispatchId, FindId};
use domain::permission::Role;
use tests::support::http::{Lab, Reply, Visitor};
use web::links;

/// The glass of story 7 (trade.md, §9): 17 pieces, 41.2 g.
async fn glass(lab: &Lab) -> FindId {
    lab.site
        .find("3")
        .material("glass")
        .object("vessel, rim")
        .bulk(17)
        .with(|find| find.weight_g = Some(41.2))
        .add()
        .await
}

/// The form of a dispatch with what everybody writes.
async fn send(visitor: &mut Visitor, lab: &Lab, finds: &[FindId], changes: &[(&str, &str)]) -> Reply {
    let query: Vec<String> = finds.iter().map(|find| format!("find={find}")).collect();
    let form = visitor.page(&format!("{}?{}", links::dispatch_new(lab.site.code), query.join("&"))).await;
    let specialist = lab.site.person(Role::Specialist).to_string();
    let usual = [
        ("recipient", specialist.as_str()),
        ("purpose", "identification and date"),
        ("packing", "foam cut-outs, one layer"),
        ("carrier", "by hand"),
        ("condition", "stable"),
    ];
    let kept: Vec<(&str, &str)> = usual
        .into_iter()
        .filter(|(name, _)| changes.iter().all(|(changed, _)| changed != name))
        .filter(|(name, _)| *name != "condition" || finds.len() == 1)
        .collect();
    visitor.submit(&form, "main form", &[&kept, changes].concat()).await
}

/// Sends finds; the dispatch.
async fn sent(visitor: &mut Visitor, lab: &Lab, finds: &[FindId], changes: &[(&str, &str)]) -> DispatchId {
    let reply = send(visitor, lab, finds, changes).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
    reply.location().rsplit('/').next().unwrap().parse().unwrap()
}

/// Counts one line at one end.
async fn count(visitor: &mut Visitor, path: &str, fields: &[(&str, &str)]) -> Reply {
    let form = visitor.page(path).await;
    visitor.submit(&form, "main form", fields).await
}

/// What was counted and weighed: pieces and g.
async fn counted(visitor: &mut Visitor, path: &str, (pieces, mass_g): (&str, &str)) {
    let reply = count(visitor, path, &[("quantity", pieces), ("mass_g", mass_g)]).await;
    assert_eq!(reply.status, StatusCode::SEE_OTHER, "{}", reply.text(".wrong"));
}

/// The first line of a dispatch.
async fn line(lab: &Lab, dispatch: DispatchId) -> store::dispatches::items::Item {
    let mut tx = lab.site.db.read().await.unwrap();
    store::dispatches::items::list(&mut tx, dispatch).await.unwrap().remove(0)
}

/// Says what became of pieces of the first line.
async fn explain(visitor: &mut Visitor, lab: &Lab, dispatch: DispatchId, fields: &[(&str, &str)]) -> Reply {
    let path = links::explanation_new(line(lab, dispatch).await.id);
    let form = visitor.page(&path).await;
    visitor.submit(&form, "main form", fields).await
}
