//! The context of a find as a specialist sees it beside the form: its words, its neighbours, its date so far.
use super::show::{relations, words};
use super::site::{Ground, SiteDating};
use crate::context::Ctx;
use crate::error::Answer;
use crate::figure::Figure;
use crate::review::dating::year;
use calc::stratigraphy::TERMINI;
use domain::ids::FindId;
use store::Tx;
use store::contexts::Neighbour;
use store::finds::Find;

/// What is said of a context.
pub(crate) struct ContextCard {
    pub number: String,
    pub words: Vec<(&'static str, String)>,
    /// “Above”, “Cut by” … with the contexts, each with its words and its date so far.
    pub neighbours: Vec<(&'static str, Vec<String>)>,
    pub post: Option<Figure>,
    pub ante: Option<String>,
}

/// The card of a find’s context, where it is to be seen. What others say of the `unspoken` finds is not told through it.
pub(crate) async fn card(
    ctx: &Ctx,
    tx: &mut Tx,
    find: &Find,
    unspoken: &[FindId],
) -> Answer<Option<ContextCard>> {
    let Some(id) = find.context_id.map(domain::ids::ContextId) else { return Ok(None) };
    let Some(context) = store::contexts::find(tx, id).await? else { return Ok(None) };
    let ground = Ground::load(tx, find.project_id, None).await?;
    let restricted = ctx.actor.sees_restricted(find.project_id);
    let mut given = store::dating::list_dates(tx, find.project_id, restricted).await?;
    given.retain(|date| !unspoken.contains(&date.find_id));
    let site = SiteDating::of_dates(tx, (find.project_id, &ground), &given).await?;
    let near = |near: Neighbour| {
        let mut said = near.number.clone();
        if !near.interpretation.is_empty() {
            said += &format!(", {}", near.interpretation);
        }
        let date = ground.place(near.id).map(|place| limits(&site, place)).unwrap_or_default();
        if date.is_empty() { said } else { format!("{said}: {date}") }
    };
    let neighbours = relations(tx, id).await?.into_iter();
    let neighbours = neighbours.map(|(way, list)| (way, list.into_iter().map(near).collect())).collect();
    let here = ground.place(id).map(|place| site.of(place));
    let post = here.and_then(|date| date.post_quem).map(|post| {
        let counted = vec![("Counted", format!("{} dated finds of the project", site.finds.len()))];
        Figure::of("No earlier than", year(post.year.number()), &TERMINI, counted)
    });
    let ante = here.and_then(|date| date.ante_quem).map(|ante| year(ante.number()));
    Ok(Some(ContextCard { number: context.number.clone(), words: words(&context), neighbours, post, ante }))
}

/// “no earlier than AD 1417, there by AD 1532”.
fn limits(site: &SiteDating, place: usize) -> String {
    let date = site.of(place);
    let post = date.post_quem.map(|post| format!("no earlier than {}", year(post.year.number())));
    let ante = date.ante_quem.map(|ante| format!("there by {}", year(ante.number())));
    [post, ante].into_iter().flatten().collect::<Vec<_>>().join(", ")
}
