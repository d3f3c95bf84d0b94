//! The contexts of a project with their relations and what the finds in them say, one computation for every page.
use crate::error::{Answer, AppError};
use calc::chronology::{DateRange, Year};
use calc::stratigraphy::{ContextDate, DatedFind, Dating, Graph, date_contexts};
use domain::ids::{ContextId, FindId, ProjectId};
use domain::review::{Origin, Years, counting};
use std::collections::HashMap;
use store::Tx;
use store::dating::fixed_years::FixedYear;
use store::dating::{Brief, GivenDate, fixed_years, judgements};

/// The relations of a project by places in its list of contexts.
pub(super) struct Ground {
    pub contexts: Vec<Brief>,
    place: HashMap<ContextId, usize>,
    /// As recorded, the later first.
    pub later_than: Vec<(usize, usize)>,
    same_as: Vec<(usize, usize)>,
    pub graph: Graph,
}

impl Ground {
    /// Everything, or only the contexts of an area with the relations among them.
    pub(super) async fn load(tx: &mut Tx, project: ProjectId, area: Option<&str>) -> Answer<Self> {
        let mut contexts = store::dating::list_contexts(tx, project).await?;
        if let Some(area) = area {
            contexts.retain(|context| context.area == area);
        }
        let place: HashMap<ContextId, usize> =
            contexts.iter().enumerate().map(|(n, context)| (context.id, n)).collect();
        let (mut later_than, mut same_as) = (Vec::new(), Vec::new());
        for (later, earlier, kind) in store::contexts::list_relations(tx, project).await? {
            let Some(pair) = place.get(&later).copied().zip(place.get(&earlier).copied()) else { continue };
            if kind == "same_as" { same_as.push(pair) } else { later_than.push(pair) }
        }
        let graph = Graph::new(contexts.len(), &later_than, &same_as).map_err(AppError::inside)?;
        Ok(Self { contexts, place, later_than, same_as, graph })
    }

    pub(super) fn place(&self, context: ContextId) -> Option<usize> {
        self.place.get(&context).copied()
    }

    /// The graph without the relations that lead in a circle, and how many those are: dates pass by the others.
    fn without_circles(&self) -> Answer<(Graph, usize)> {
        let mut circle: HashMap<usize, usize> = HashMap::new();
        for (n, set) in self.graph.contradictions().into_iter().enumerate() {
            circle.extend(set.into_iter().map(|context| (context, n)));
        }
        let within =
            |(one, other): &(usize, usize)| circle.get(one).is_some_and(|set| circle.get(other) == Some(set));
        let kept: Vec<_> = self.later_than.iter().copied().filter(|pair| !within(pair)).collect();
        let graph = Graph::new(self.contexts.len(), &kept, &self.same_as).map_err(AppError::inside)?;
        Ok((graph, self.later_than.len() - kept.len()))
    }
}

/// A find with the date that counts for its context.
pub(super) struct FindDate {
    pub id: FindId,
    pub number: String,
    pub object: String,
    pub context: usize,
    pub years: Years,
    /// Where the date comes from: “settled by …”, “final opinion of …”, “2 opinions, all they allow”.
    pub basis: String,
    pub set_aside: Option<Origin>,
    range: DateRange,
}

/// What finds and fixed years say of the contexts of a project, as one person may see it.
pub(super) struct SiteDating {
    pub finds: Vec<FindDate>,
    pub fixed: Vec<FixedYear>,
    pub dating: Dating,
    /// Relations that lead in a circle, by which no date was passed.
    pub left_out: usize,
}

impl SiteDating {
    pub(super) async fn load(
        tx: &mut Tx,
        project: ProjectId,
        ground: &Ground,
        restricted_too: bool,
    ) -> Answer<Self> {
        let given = store::dating::list_dates(tx, project, restricted_too).await?;
        Self::of_dates(tx, (project, ground), &given).await
    }

    /// The same from these dates of finds alone.
    pub(super) async fn of_dates(
        tx: &mut Tx,
        (project, ground): (ProjectId, &Ground),
        given: &[GivenDate],
    ) -> Answer<Self> {
        let aside: HashMap<FindId, Origin> = judgements::list_set_aside(tx, project)
            .await?
            .into_iter()
            .map(|judged| (judged.find_id, judged.origin))
            .collect();
        let mut finds: Vec<FindDate> = given
            .chunk_by(|one, other| one.find_id == other.find_id)
            .filter_map(|dates| find_date(dates, ground))
            .collect();
        for find in &mut finds {
            find.set_aside = aside.get(&find.id).copied();
        }
        let fixed = fixed_years::list(tx, project).await?;
        let years: Vec<(usize, Year)> = fixed
            .iter()
            .filter_map(|one| ground.place(one.context_id).zip(Year::astronomical(one.year).ok()))
            .collect();
        let dated: Vec<DatedFind> = finds
            .iter()
            .map(|find| DatedFind {
                context: find.context,
                range: find.range,
                is_set_aside: find.set_aside.is_some(),
            })
            .collect();
        let (graph, left_out) = ground.without_circles()?;
        let dating = date_contexts(&graph, &dated, &years).map_err(AppError::inside)?;
        Ok(Self { finds, fixed, dating, left_out })
    }

    pub(super) fn of(&self, context: usize) -> &ContextDate {
        &self.dating.contexts[context]
    }

    /// The earliest of the years fixed for a context.
    pub(super) fn fixed_for(&self, context: ContextId) -> Option<&FixedYear> {
        self.fixed.iter().find(|one| one.context_id == context)
    }

    /// What the computation makes of a find nobody has judged.
    pub(super) fn suggestion(&self, find: usize) -> Option<Origin> {
        if self.dating.possibly_intrusive.contains(&find) {
            Some(Origin::Intrusive)
        } else {
            self.dating.possibly_residual.contains(&find).then_some(Origin::Residual)
        }
    }
}

/// The date that counts among those given to one find; none where it lies in a context that is not looked at.
fn find_date(given: &[GivenDate], ground: &Ground) -> Option<FindDate> {
    let first = given.first()?;
    let years = |date: &GivenDate| Years { lo: date.date_lo, hi: date.date_hi };
    let (settled, said): (Vec<_>, Vec<_>) = given.iter().partition(|date| date.standing == "settled");
    let said: Vec<&GivenDate> = said;
    let counted = counting(
        settled.first().map(|date| years(date)),
        &said.iter().map(|date| years(date)).collect::<Vec<_>>(),
    )?;
    let basis = match (settled.first(), said.as_slice()) {
        (Some(date), _) => format!("settled by {}", date.by_name),
        (None, [one]) => format!("{} opinion of {}", one.standing, one.by_name),
        (None, all) => {
            let names: Vec<&str> = all.iter().map(|date| date.by_name.as_str()).collect();
            format!(
                "all that the opinions of {} allow, not settled yet",
                crate::contexts::words::joined(&names)
            )
        }
    };
    let year = |year: Option<i64>| year.and_then(|year| Year::astronomical(year).ok());
    Some(FindDate {
        id: first.find_id,
        number: first.number.clone(),
        object: first.object_type.clone(),
        context: ground.place(first.context_id)?,
        years: counted,
        basis,
        set_aside: None,
        range: DateRange::new(year(counted.lo), year(counted.hi)).ok()?,
    })
}
