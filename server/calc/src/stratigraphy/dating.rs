//! Dates of contexts from the finds in them, passed up and down.
use super::Graph;
use super::reduction::groups_below;
use crate::chronology::{DateRange, Year};
use crate::error::CalcError;
use serde::Serialize;

/// A dated find and the context it comes from.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct DatedFind {
    pub context: usize,
    pub range: DateRange,
    /// Judged residual or intrusive by somebody: it sets no limit and is not named again.
    pub is_set_aside: bool,
}

/// A terminus post quem and what it rests on.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize)]
pub struct Terminus {
    pub year: Year,
    /// The find that sets it: its place in the list. Of several with the same year one of the context itself, then the
    /// first in the list.
    pub find: usize,
    /// The terminus if that find were set aside.
    pub without: Option<Year>,
}

/// What is known of one context.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default, Serialize)]
pub struct ContextDate {
    /// Terminus post quem by the finds of the context itself, those of contexts it is the same as included.
    pub own: Option<Year>,
    /// Terminus post quem by its finds and those of all contexts below.
    pub post_quem: Option<Terminus>,
    /// Terminus ante quem: the earliest year fixed for it or for a context above.
    pub ante_quem: Option<Year>,
    /// The context whose fixed year that is.
    pub ante_quem_by: Option<usize>,
}

impl ContextDate {
    /// Whether the context would have to be later than it can be.
    pub fn is_contradictory(&self) -> bool {
        self.post_quem.zip(self.ante_quem).is_some_and(|(post, ante)| post.year > ante)
    }
}

/// What finds say of contexts.
#[derive(Debug, Clone, PartialEq, Eq, Serialize)]
pub struct Dating {
    /// One for each context, in the order of the list.
    pub contexts: Vec<ContextDate>,
    /// Places of finds that end before the post quem of their context: suggestions, for a person to judge.
    pub possibly_residual: Vec<usize>,
    /// Places of finds that begin after the ante quem of their context: suggestions too.
    pub possibly_intrusive: Vec<usize>,
    /// Contexts whose post quem lies after their ante quem.
    pub contradictory: Vec<usize>,
}

/// The two latest first years known so far, of different finds: the second is the date without the first.
#[derive(Debug, Clone, Copy, Default)]
struct Latest([Option<(Year, usize)>; 2]);

impl Latest {
    fn add(&mut self, year: Year, find: usize) {
        let is_known = self.0.iter().flatten().any(|one| one.1 == find);
        match self.0 {
            _ if is_known => {}
            [None, _] => self.0[0] = Some((year, find)),
            [Some(top), _] if year > top.0 => self.0 = [Some((year, find)), Some(top)],
            [_, None] => self.0[1] = Some((year, find)),
            [_, Some(next)] if year > next.0 => self.0[1] = Some((year, find)),
            _ => {}
        }
    }

    fn terminus(&self) -> Option<Terminus> {
        let (year, find) = self.0[0]?;
        Some(Terminus { year, find, without: self.0[1].map(|next| next.0) })
    }
}

/// Dates contexts by their finds; `fixed` are years by which a context was there already, whatever its finds say (a
/// documented demolition, a dated floor). See [`super::TERMINI`].
///
/// # Errors
/// `Unsuitable`: relations that contradict each other (field `later_than`), a find or a fixed year in a context that is
/// not in the list (`finds`, `fixed_taq`).
///
/// ```
/// use calc::chronology::{DateRange, Year};
/// use calc::stratigraphy::{DatedFind, Graph, date_contexts};
/// let graph = Graph::new(2, &[(0, 1)], &[])?; // a floor over a pit
/// let coin = DateRange::new(Some(Year::ad(117)?), Some(Year::ad(138)?))?;
/// let dating = date_contexts(&graph, &[DatedFind { context: 1, range: coin, is_set_aside: false }], &[])?;
/// let floor = dating.contexts[0].post_quem.expect("passed up from the pit");
/// assert_eq!((floor.year.number(), floor.find, floor.without), (117, 0, None));
/// # Ok::<(), calc::CalcError>(())
/// ```
pub fn date_contexts(
    graph: &Graph,
    finds: &[DatedFind],
    fixed: &[(usize, Year)],
) -> Result<Dating, CalcError> {
    check(graph, finds, fixed)?;
    let below: Vec<Vec<usize>> = (0..graph.groups().len()).map(|n| groups_below(graph, n)).collect();
    let own = own_years(graph, finds);
    let latest = passed_up(&below, &own);
    let ante = passed_down(graph, &below, fixed);
    let contexts: Vec<ContextDate> = (0..graph.count())
        .map(|context| {
            let group = graph.group_of(context);
            ContextDate {
                own: own[group].0[0].map(|(year, _)| year),
                post_quem: latest[group].terminus(),
                ante_quem: ante[group].map(|(year, _)| year),
                ante_quem_by: ante[group].map(|(_, context)| context),
            }
        })
        .collect();
    let suggested = |is_odd: &dyn Fn(&DatedFind, &ContextDate) -> bool| -> Vec<usize> {
        let odd = |find: &DatedFind| !find.is_set_aside && is_odd(find, &contexts[find.context]);
        (0..finds.len()).filter(|&n| odd(&finds[n])).collect()
    };
    let possibly_residual = suggested(&|find, date| {
        find.range.hi().zip(date.post_quem).is_some_and(|(last, post)| last < post.year)
    });
    let possibly_intrusive = suggested(&|find, date| {
        find.range.lo().zip(date.ante_quem).is_some_and(|(first, ante)| first > ante)
    });
    let contradictory = (0..contexts.len()).filter(|&n| contexts[n].is_contradictory()).collect();
    Ok(Dating { contexts, possibly_residual, possibly_intrusive, contradictory })
}

fn check(graph: &Graph, finds: &[DatedFind], fixed: &[(usize, Year)]) -> Result<(), CalcError> {
    if !graph.is_acyclic() {
        let sets = graph.contradictions().len();
        let which =
            if sets == 1 { "one set of contexts".to_owned() } else { format!("{sets} sets of contexts") };
        let sentence =
            format!("The relations of {which} lead in a circle: no date can be passed through it.");
        return Err(CalcError::unsuitable("later_than", sentence));
    }
    if let Some(n) = finds.iter().position(|find| find.context >= graph.count()) {
        let sentence = format!("Find {} lies in a context that is not in the list.", n + 1);
        return Err(CalcError::unsuitable("finds", sentence));
    }
    if fixed.iter().any(|(context, _)| *context >= graph.count()) {
        return Err(CalcError::unsuitable(
            "fixed_taq",
            "A year is fixed for a context that is not in the list.",
        ));
    }
    Ok(())
}

fn own_years(graph: &Graph, finds: &[DatedFind]) -> Vec<Latest> {
    let mut own = vec![Latest::default(); graph.groups().len()];
    for (n, find) in finds.iter().enumerate().filter(|(_, find)| !find.is_set_aside) {
        if let Some(first_year) = find.range.lo() {
            own[graph.group_of(find.context)].add(first_year, n);
        }
    }
    own
}

fn passed_up(below: &[Vec<usize>], own: &[Latest]) -> Vec<Latest> {
    let mut latest = own.to_vec();
    for n in (0..below.len()).rev() {
        let mut inherited: Vec<(Year, usize)> =
            below[n].iter().flat_map(|&other| latest[other].0.into_iter().flatten()).collect();
        inherited.sort_unstable_by_key(|&(year, find)| (std::cmp::Reverse(year), find));
        inherited.into_iter().for_each(|(year, find)| latest[n].add(year, find));
    }
    latest
}

fn passed_down(graph: &Graph, below: &[Vec<usize>], fixed: &[(usize, Year)]) -> Vec<Option<(Year, usize)>> {
    let mut ante: Vec<Option<(Year, usize)>> = vec![None; below.len()];
    let earlier = |one: Option<(Year, usize)>, two: (Year, usize)| Some(one.map_or(two, |one| one.min(two)));
    for &(context, year) in fixed {
        let group = graph.group_of(context);
        ante[group] = earlier(ante[group], (year, context));
    }
    for (n, others) in below.iter().enumerate() {
        if let Some(limit) = ante[n] {
            others.iter().for_each(|&other| ante[other] = earlier(ante[other], limit));
        }
    }
    ante
}
