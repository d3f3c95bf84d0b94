//! What a find belongs to and what happened to its quantity, as the find page shows it.
use crate::context::Ctx;
use crate::error::Answer;
use crate::filters::{show_measure, show_moment};
use crate::links;
use store::Tx;
use store::finds::Find;
use store::finds::quantity::QuantityLine;

/// A group with the other finds in it.
pub(super) struct GroupView {
    pub name: String,
    pub removal: String,
    /// Address and number.
    pub others: Vec<(String, String)>,
}

/// The groups of a find; restricted members are left out for who may not see them.
pub(super) async fn groups(ctx: &Ctx, tx: &mut Tx, find: &Find) -> Answer<Vec<GroupView>> {
    let restricted_too = ctx.actor.sees_restricted(find.project_id);
    let mut views = Vec::new();
    for group in store::groups::list_of_find(tx, find.id).await? {
        let members = store::groups::list_members(tx, group.id).await?;
        let others = members.into_iter().filter(|m| m.id != find.id && (restricted_too || !m.restricted));
        views.push(GroupView {
            name: group.name,
            removal: links::group_removal(find.id, group.id),
            others: others.map(|m| (links::find(m.id), m.number)).collect(),
        });
    }
    Ok(views)
}

/// What happened to the quantity, one sentence an event; the other finds of it are named to the project’s people only.
pub(super) async fn quantity_events(tx: &mut Tx, find: &Find, team: bool) -> Answer<Vec<String>> {
    let mut events = store::finds::quantity::list_events(tx, find.id).await?;
    if !team {
        events.iter_mut().for_each(|event| event.others.clear());
    }
    Ok(events.into_iter().map(sentence).collect())
}

fn sentence(event: QuantityLine) -> String {
    let mass = |g: Option<f64>| g.map(|g| format!(", {} g", show_measure(g))).unwrap_or_default();
    let others = if event.others.is_empty() { String::new() } else { format!(" with {}", event.others) };
    let out = event.dispatch.map(|serial| format!(" on dispatch D{serial}")).unwrap_or_default();
    format!(
        "{}: {}{others}{out}, {} pieces{} before, {} pieces{} after: {} ({})",
        show_moment(event.happened_at),
        event.change,
        event.quantity_before,
        mass(event.weight_before_g),
        event.quantity_after,
        mass(event.weight_after_g),
        event.reason,
        event.by_name
    )
}
