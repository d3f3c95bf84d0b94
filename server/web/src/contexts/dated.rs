//! A context dated by its finds: the section of its page.
use super::site::{FindDate, Ground, SiteDating};
use super::words;
use crate::context::Ctx;
use crate::error::Answer;
use crate::figure::Figure;
use crate::links;
use crate::review::dating::{label, year};
use calc::stratigraphy::TERMINI;
use domain::ids::FindId;
use domain::permission::Action;
use store::Tx;
use store::contexts::Context;
use store::dating::fixed_years::FixedYear;
use store::dating::judgements::{self, Judgement};

/// The section, display-ready.
pub(super) struct DatedSection {
    pub conflicts: Vec<String>,
    /// The terminus post quem with its working.
    pub post: Option<Figure>,
    pub setter: Option<Setter>,
    pub ante: Option<(String, String)>,
    pub finds: Vec<FindRow>,
    /// Contexts directly below and above, with what they pass on.
    pub passed: Vec<Passed>,
    pub fixed: Vec<FixedYear>,
    pub withdrawn: Vec<Judgement>,
    pub may_judge: bool,
    /// Relations that lead in a circle somewhere in the project.
    pub left_out: usize,
    /// Whether restricted finds are left out of what this person sees.
    pub is_partial: bool,
}

/// The find that sets the terminus.
pub(super) struct Setter {
    pub href: String,
    pub number: String,
    pub words: String,
    /// The context it lies in, where that is another one.
    pub from: Option<(String, String)>,
    pub without: String,
    /// The terminus by the finds of this context alone, where it is another.
    pub own: Option<String>,
}

/// A dated find of the context.
pub(super) struct FindRow {
    pub id: FindId,
    pub number: String,
    pub object: String,
    pub date: String,
    pub basis: String,
    pub sets: bool,
    pub judged: Option<Judgement>,
    pub suggestion: String,
}

/// What a neighbour passes on.
pub(super) struct Passed {
    pub way: &'static str,
    pub href: String,
    pub number: String,
    pub words: String,
}

/// The section for those who may read opinions.
pub(super) async fn section(ctx: &Ctx, tx: &mut Tx, context: &Context) -> Answer<Option<DatedSection>> {
    let project = context.project_id;
    if !ctx.actor.may(Action::ViewOpinions, project) {
        return Ok(None);
    }
    let restricted = ctx.actor.sees_restricted(project);
    let ground = Ground::load(tx, project, None).await?;
    let site = SiteDating::load(tx, project, &ground, restricted).await?;
    let Some(here) = ground.place(context.id) else { return Ok(None) };
    let judged = judgements::list_of_context(tx, context.id, restricted).await?;
    let (standing, withdrawn): (Vec<_>, Vec<_>) =
        judged.into_iter().partition(|one| one.withdrawn_at.is_none());
    let (post, setter) = terminus(&ground, &site, here);
    Ok(Some(DatedSection {
        conflicts: words::conflicts(&ground, &site, here),
        post,
        setter,
        ante: ante(&ground, &site, here),
        finds: rows(&ground, &site, (here, standing)),
        passed: passed(&ground, &site, here),
        fixed: site.fixed.iter().filter(|one| one.context_id == context.id).cloned().collect(),
        withdrawn,
        may_judge: ctx.actor.may(Action::EditContexts, project),
        left_out: site.left_out,
        is_partial: !restricted,
    }))
}

fn terminus(ground: &Ground, site: &SiteDating, here: usize) -> (Option<Figure>, Option<Setter>) {
    let date = site.of(here);
    let Some(post) = date.post_quem else { return (None, None) };
    let find = &site.finds[post.find];
    let said = year(post.year.number());
    let inputs = vec![
        ("Set by", format!("find {}, {}", find.number, label(find.years))),
        ("Counted", format!("{} dated finds of the project", site.finds.len())),
    ];
    let is_own = ground.graph.same(here).contains(&find.context);
    let number = &ground.contexts[find.context].number;
    let other = ground.contexts[find.context].id;
    let own = date.own.map(|own| year(own.number())).filter(|own| *own != said);
    let setter = Setter {
        href: links::find(find.id),
        number: find.number.clone(),
        words: format!("{}, {}, {}", find.object, label(find.years), find.basis),
        from: (find.context != here).then(|| {
            let words =
                if is_own { format!("the same as this, {number}") } else { format!("{number}, below") };
            (links::context(other), words)
        }),
        without: post.without.map_or("no other find gives a year".into(), |next| year(next.number())),
        own,
    };
    (Some(Figure::of("No earlier than", said, &TERMINI, inputs)), Some(setter))
}

/// The year by which a context was there, and whose year that is.
pub(super) fn ante(ground: &Ground, site: &SiteDating, here: usize) -> Option<(String, String)> {
    let date = site.of(here);
    let by = date.ante_quem_by?;
    let whose = if by == here {
        "fixed for this context".to_owned()
    } else {
        format!("passed down from context {}", ground.contexts[by].number)
    };
    let reason =
        site.fixed_for(ground.contexts[by].id).map_or(String::new(), |one| format!(": {}", one.reason));
    Some((year(date.ante_quem?.number()), whose + &reason))
}

fn rows(ground: &Ground, site: &SiteDating, (here, standing): (usize, Vec<Judgement>)) -> Vec<FindRow> {
    let same = ground.graph.same(here);
    let sets = site.of(here).post_quem.map(|post| post.find);
    let row = |(n, find): (usize, &FindDate)| FindRow {
        id: find.id,
        number: find.number.clone(),
        object: find.object.clone(),
        date: label(find.years),
        basis: if find.context == here {
            find.basis.clone()
        } else {
            format!("{}, from {}", find.basis, ground.contexts[find.context].number)
        },
        sets: sets == Some(n),
        judged: standing.iter().find(|one| one.find_id == find.id).cloned(),
        suggestion: suggestion(site, (n, find)),
    };
    let own = site.finds.iter().enumerate().filter(|(_, find)| same.contains(&find.context));
    own.map(row).collect()
}

fn suggestion(site: &SiteDating, (n, find): (usize, &FindDate)) -> String {
    let date = site.of(find.context);
    match (site.suggestion(n), date.post_quem, date.ante_quem) {
        (Some(domain::review::Origin::Residual), Some(post), _) => {
            format!("possibly residual: it ends before {}", year(post.year.number()))
        }
        (Some(domain::review::Origin::Intrusive), _, Some(ante)) => {
            format!("possibly intrusive: it begins after {}", year(ante.number()))
        }
        _ => String::new(),
    }
}

/// What the contexts directly below pass up and those directly above pass down, by the nearest relations.
fn passed(ground: &Ground, site: &SiteDating, here: usize) -> Vec<Passed> {
    let first = ground.graph.first(here);
    let mut near: Vec<(&'static str, usize)> = Vec::new();
    for &(later, earlier) in &ground.later_than {
        let (later, earlier) = (ground.graph.first(later), ground.graph.first(earlier));
        if later == first && earlier != first {
            near.push(("from below", earlier));
        } else if earlier == first && later != first {
            near.push(("from above", later));
        }
    }
    near.sort_unstable();
    near.dedup();
    let line = |(way, n): (&'static str, usize)| {
        let date = site.of(n);
        let words = match way {
            "from below" => date.post_quem.map(|post| {
                format!(
                    "no earlier than {}, by find {}",
                    year(post.year.number()),
                    site.finds[post.find].number
                )
            }),
            _ => date.ante_quem.map(|ante| format!("there by {}", year(ante.number()))),
        };
        let context = &ground.contexts[n];
        Passed {
            way,
            href: links::context(context.id),
            number: context.number.clone(),
            words: words.unwrap_or_else(|| "no year".into()),
        }
    };
    near.into_iter().map(line).collect()
}

/// The computation’s word on a find that is about to be judged; empty where it has none.
pub(super) async fn suggestion_for(ctx: &Ctx, tx: &mut Tx, find: &store::finds::Find) -> Answer<String> {
    let project = find.project_id;
    let ground = Ground::load(tx, project, None).await?;
    let site = SiteDating::load(tx, project, &ground, ctx.actor.sees_restricted(project)).await?;
    let found = site.finds.iter().enumerate().find(|(_, dated)| dated.id == find.id);
    Ok(found.map_or(String::new(), |found| suggestion(&site, found)))
}
