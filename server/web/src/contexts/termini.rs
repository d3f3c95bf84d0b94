//! Limits of the age of every context, for the report. Restricted finds stay out.
use super::dated::ante;
use super::site::{Ground, SiteDating};
use super::words;
use crate::error::Answer;
use crate::review::dating::{label, year};
use domain::ids::{ContextId, ProjectId};
use report::interim::TerminusLine;
use std::collections::HashMap;
use store::Tx;

/// What finds and fixed years say of the contexts of a project.
pub(crate) struct Termini {
    pub of: HashMap<ContextId, TerminusLine>,
    /// Relations that lead in a circle, by which no date was passed.
    pub left_out: usize,
}

/// Of every context that something is said of.
pub(crate) async fn all(tx: &mut Tx, project: ProjectId) -> Answer<Termini> {
    let ground = Ground::load(tx, project, None).await?;
    let site = SiteDating::load(tx, project, &ground, false).await?;
    let lines =
        ground.contexts.iter().enumerate().map(|(here, context)| (context.id, line(&ground, &site, here)));
    let of = lines.filter(|(_, line)| *line != TerminusLine::default()).collect();
    Ok(Termini { of, left_out: site.left_out })
}

fn line(ground: &Ground, site: &SiteDating, here: usize) -> TerminusLine {
    let post = site.of(here).post_quem;
    TerminusLine {
        post_quem: post.map(|post| year(post.year.number())),
        set_by: post.map_or_else(String::new, |post| set_by(ground, site, (here, post.find))),
        without: post.map_or_else(String::new, |post| {
            post.without.map_or_else(|| "no other".to_owned(), |next| year(next.number()))
        }),
        ante_quem: ante(ground, site, here).map(|(year, words)| format!("{year}, {words}")),
        conflicts: words::conflicts(ground, site, here),
    }
}

/// “12, coin, AD 270–273, from context 208”.
fn set_by(ground: &Ground, site: &SiteDating, (here, find): (usize, usize)) -> String {
    let find = &site.finds[find];
    let said = [find.number.clone(), find.object.clone(), label(find.years)];
    let from =
        (find.context != here).then(|| format!("from context {}", ground.contexts[find.context].number));
    let parts = said.into_iter().chain(from).filter(|part| !part.is_empty());
    parts.collect::<Vec<_>>().join(", ")
}
