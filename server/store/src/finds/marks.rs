//! Many marks at once: what makes a grown project in seconds rather than hours.
use super::progress::{add_to_cell, week_of};
use crate::bulk::{self, BulkRow};
use crate::db::Stmt;
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{FindId, ProjectId};
use domain::stages::{Headline, Progress, Route, Stage, StageMark, StageState};
use std::collections::BTreeMap;

/// A newly registered find and the marks it earned, in the order of time, each stage at most once.
#[derive(Debug, Clone)]
pub struct Walk {
    pub find: FindId,
    pub material: String,
    pub marks: Vec<(StageMark, Instant)>,
}

/// Marks many finds as [`super::progress::mark`] would one after the other, totals and weekly counts along.
///
/// Only for finds that stand where registration left them: no mark, no hold, no route of their own.
pub async fn insert_many(tx: &mut Tx, project: ProjectId, walks: &[Walk]) -> Result<()> {
    let routes = crate::projects::list_routes(tx, project).await?;
    let none = Route::default();
    let marked: Vec<Marked<'_>> = walks
        .iter()
        .flat_map(|walk| walk.marks.iter().map(|(mark, at)| Marked { find: walk.find, mark, at: *at }))
        .collect();
    bulk::insert(tx, &marked).await?;
    let mut totals = Totals::default();
    for walk in walks.iter().filter(|walk| !walk.marks.is_empty()) {
        let end = totals.follow(walk, routes.get(&walk.material).unwrap_or(&none));
        update_standing(tx, walk.find, &end).await?;
    }
    totals.write(tx, project).await
}

/// Where a walk ends.
struct End {
    stage: Stage,
    state: StageState,
    /// Since when it stands there; `None` when it never left its first stage.
    since: Option<Instant>,
}

#[derive(Default)]
struct Totals<'a> {
    cells: BTreeMap<(Headline, &'a str), i64>,
    weeks: BTreeMap<(Headline, NaiveDate), i64>,
}

impl<'a> Totals<'a> {
    fn follow(&mut self, walk: &'a Walk, route: &Route) -> End {
        let first = route.first_after_registration();
        let mut end = End { stage: first, state: StageState::Waiting, since: None };
        let mut progress = Progress { route: route.clone(), marks: Vec::with_capacity(walk.marks.len()) };
        for (mark, at) in &walk.marks {
            progress.marks.push(mark.clone());
            let (stage, state) = progress.current();
            for headline in Headline::ALL {
                if *headline >= end.stage.headline() && *headline < stage.headline() {
                    *self.weeks.entry((*headline, week_of(*at))).or_default() += 1;
                }
            }
            let since = if stage == end.stage { end.since } else { Some(*at) };
            end = End { stage, state, since };
        }
        *self.cells.entry((first.headline(), &walk.material)).or_default() -= 1;
        *self.cells.entry((end.stage.headline(), &walk.material)).or_default() += 1;
        end
    }

    async fn write(self, tx: &mut Tx, project: ProjectId) -> Result<()> {
        for ((headline, material), finds) in self.cells {
            add_to_cell(tx, project, headline.code(), material, finds).await?;
        }
        for ((headline, week), finds) in self.weeks {
            tx.sql(sql!(
                "INSERT INTO done_week (project_id, headline, week, finds) VALUES ($1, $2, $3, $4)
                 ON CONFLICT (project_id, headline, week) DO UPDATE SET finds = done_week.finds + excluded.finds"
            ))
            .bind(project.0)
            .bind(headline.code())
            .bind(week)
            .bind(finds)
            .run()
            .await?;
        }
        Ok(())
    }
}

async fn update_standing(tx: &mut Tx, find: FindId, end: &End) -> Result<()> {
    tx.sql(sql!(
        "UPDATE find SET stage = $2, stage_state = $3, headline = $4, stage_since = COALESCE($5, stage_since) WHERE id = $1"
    ))
    .bind(find.0)
    .bind(end.stage.code())
    .bind(end.state.code())
    .bind(end.stage.headline().code())
    .bind(end.since.map(domain::cut))
    .run()
    .await?;
    Ok(())
}

struct Marked<'a> {
    find: FindId,
    mark: &'a StageMark,
    at: Instant,
}

impl BulkRow for Marked<'_> {
    const TABLE: &'static str = "find_stage";
    const COLUMNS: &'static [&'static str] =
        &["find_id", "stage", "state", "quantity_done", "reason", "since"];

    fn bind<'a>(&self, statement: Stmt<'a>) -> Stmt<'a> {
        let mark = self.mark;
        statement
            .bind(self.find.0)
            .bind(mark.stage.code())
            .bind(mark.state.code())
            .bind(mark.quantity_done)
            .bind(mark.reason.clone())
            .bind(domain::cut(self.at))
    }
}
