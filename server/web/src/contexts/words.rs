//! What the computation found, in sentences.
use super::site::{Ground, SiteDating};
use crate::review::dating::year;
use calc::stratigraphy::{ContextDate, Terminus};

/// “101”, “101 and 102”, “101, 102 and 103”.
pub(super) fn joined(names: &[&str]) -> String {
    match names {
        [] => String::new(),
        [one] => (*one).to_owned(),
        [most @ .., last] => format!("{} and {last}", most.join(", ")),
    }
}

/// Says of contexts that lead to each other that they do.
pub(crate) fn circle(numbers: &[&str]) -> String {
    match numbers {
        [one] => format!("Context {one} is recorded as later than itself."),
        all => format!(
            "{} lead to each other in a circle: at least one relation between them is wrong.",
            joined(all)
        ),
    }
}

/// What is wrong with the date of a context, each in a sentence.
pub(super) fn conflicts(ground: &Ground, site: &SiteDating, context: usize) -> Vec<String> {
    let date = site.of(context);
    let Some(post) = date.post_quem else { return Vec::new() };
    let mut sentences: Vec<String> = limits_cross(ground, site, (date, post)).into_iter().collect();
    sentences.extend(older_than_below(ground, site, (context, post)));
    sentences
}

/// The finds ask for a later year than the one by which the context was there.
fn limits_cross(
    ground: &Ground,
    site: &SiteDating,
    (date, post): (&ContextDate, Terminus),
) -> Option<String> {
    let by = date.ante_quem_by.filter(|_| date.is_contradictory())?;
    let ante = date.ante_quem?;
    let number = |n: usize| &ground.contexts[n].number;
    let reason =
        site.fixed_for(ground.contexts[by].id).map_or(String::new(), |one| format!(" ({})", one.reason));
    let find = &site.finds[post.find];
    Some(format!(
        "Find {} from context {} asks for {} or later, but context {} is said to have been there by {}{reason}. The find is \
         intrusive or wrongly dated, a relation is wrong, or the year is.",
        find.number,
        number(find.context),
        year(post.year.number()),
        number(by),
        year(ante.number()),
    ))
}

/// Everything dated in the context ends before the year that comes from below.
fn older_than_below(
    ground: &Ground,
    site: &SiteDating,
    (context, post): (usize, Terminus),
) -> Option<String> {
    let same = ground.graph.same(context);
    let setter = &site.finds[post.find];
    if same.contains(&setter.context) {
        return None;
    }
    let own = site.finds.iter().filter(|find| same.contains(&find.context) && find.set_aside.is_none());
    let ends: Vec<Option<i64>> = own.map(|find| find.years.hi).collect();
    let last = ends.iter().copied().collect::<Option<Vec<i64>>>()?.into_iter().max()?;
    (last < post.year.number()).then(|| {
        format!(
            "Every dated find here ends by {}, before {}, the year find {} in context {} below gives. Its finds are \
             residual, that find is intrusive, or a relation is wrong.",
            year(last),
            year(post.year.number()),
            setter.number,
            ground.contexts[setter.context].number,
        )
    })
}
