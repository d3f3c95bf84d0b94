//! Where a find stands on its route, and the running totals of the backlog that follow from it.
use crate::{Result, StoreError, Tx, sql};
use chrono::{Datelike, Duration, NaiveDate};
use domain::Instant;
use domain::finds::RecoveredState;
use domain::ids::{FindId, ProjectId};
use domain::stages::{
    Baths, Facts, Gate, Headline, Progress, Route, RouteStage, Stage, StageMark, StageState,
};
use uuid::Uuid;

#[derive(sqlx::FromRow)]
struct Position {
    #[sqlx(try_from = "Uuid")]
    project_id: ProjectId,
    material: String,
    own_route: Option<String>,
    #[sqlx(try_from = "String")]
    recovered_state: RecoveredState,
    #[sqlx(try_from = "String")]
    stage: Stage,
    #[sqlx(try_from = "String")]
    stage_state: StageState,
    #[sqlx(try_from = "String")]
    headline: Headline,
    held: bool,
    void_at: Option<Instant>,
}

#[derive(sqlx::FromRow)]
struct MarkRow {
    #[sqlx(try_from = "String")]
    stage: Stage,
    #[sqlx(try_from = "String")]
    state: StageState,
    quantity_done: i64,
    reason: String,
}

/// The route of a find with what is marked on it.
pub async fn find_progress(tx: &mut Tx, find: FindId) -> Result<Progress> {
    let position = position(tx, find).await?;
    progress_at(tx, find, &position).await
}

/// What the records of a find say, as far as gates ask.
pub async fn find_facts(tx: &mut Tx, find: FindId) -> Result<Facts> {
    let position = position(tx, find).await?;
    let progress = progress_at(tx, find, &position).await?;
    Ok(Facts {
        progress,
        recovered_state: position.recovered_state,
        accepted_mixtures: accepted_mixtures(tx, find).await?,
        level_authorised: level_is_authorised(tx, find).await?,
        lifted: lifted_gates(tx, find).await?,
        baths: baths(tx, find).await?,
    })
}

/// Since when a stage of a find is in hand.
pub async fn find_in_hand_since(tx: &mut Tx, find: FindId, stage: Stage) -> Result<Option<Instant>> {
    let row: Option<(Instant,)> = tx
        .sql(sql!("SELECT since FROM find_stage WHERE find_id = $1 AND stage = $2 AND state = 'in_hand'"))
        .bind(find.0)
        .bind(stage.code())
        .opt()
        .await?;
    Ok(row.map(|(since,)| since))
}

/// Marks a stage of a find and moves the find, the totals and the week's count along.
pub async fn mark(tx: &mut Tx, find: FindId, mark: &StageMark, now: Instant) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO find_stage (find_id, stage, state, quantity_done, reason, since) VALUES ($1, $2, $3, $4, $5, $6)
         ON CONFLICT (find_id, stage) DO UPDATE SET state = excluded.state, quantity_done = excluded.quantity_done,
            reason = excluded.reason, since = excluded.since"
    ))
    .bind(find.0)
    .bind(mark.stage.code())
    .bind(mark.state.code())
    .bind(mark.quantity_done)
    .bind(mark.reason.clone())
    .bind(domain::cut(now))
    .run()
    .await?;
    refresh(tx, find, now).await
}

/// Gives a piece that was taken out the marks of all that was done to the whole it comes from, up to packing: `pieces` of it,
/// with the reason given. Nothing counts as done by it.
pub async fn inherit(
    tx: &mut Tx,
    (from, to): (FindId, FindId),
    pieces: i64,
    reason: &str,
    now: Instant,
) -> Result<()> {
    let whole = find_progress(tx, from).await?;
    let worked = |stage: Stage| stage.takes_record() && stage != Stage::Packing;
    let done = whole.marks.iter().filter(|mark| worked(mark.stage) && whole.is_settled(mark.stage));
    for mark in done {
        tx.sql(sql!(
            "INSERT INTO find_stage (find_id, stage, state, quantity_done, reason, since) VALUES ($1, $2, $3, $4, $5, $6)"
        ))
        .bind(to.0)
        .bind(mark.stage.code())
        .bind(mark.state.code())
        .bind(if mark.state == StageState::Done { pieces } else { 0 })
        .bind(reason.to_owned())
        .bind(domain::cut(now))
        .run()
        .await?;
    }
    settle(tx, to, now).await?;
    Ok(())
}

/// Works out anew where a find stands; call it after anything that its position follows from.
pub async fn refresh(tx: &mut Tx, find: FindId, now: Instant) -> Result<()> {
    if let Some(moved) = settle(tx, find, now).await?
        && moved.before.void_at.is_none()
    {
        count_done(tx, &moved.before, moved.to, now).await?;
    }
    Ok(())
}

/// Works out anew where every find of a material group stands after its route changed; finds with a route of their own
/// stay. Nothing counts as done by it.
pub async fn refresh_material(tx: &mut Tx, project: ProjectId, material: &str, now: Instant) -> Result<()> {
    let finds: Vec<Uuid> = tx
        .sql(sql!("SELECT id FROM find WHERE project_id = $1 AND material = $2 AND own_route IS NULL"))
        .bind(project.0)
        .bind(material.to_owned())
        .all::<Id>()
        .await?
        .into_iter()
        .map(|row| row.id)
        .collect();
    for id in finds {
        settle(tx, FindId(id), now).await?;
    }
    Ok(())
}

#[derive(sqlx::FromRow)]
struct Id {
    id: Uuid,
}

/// A find that left one headline stage for another.
struct Moved {
    before: Position,
    to: Headline,
}

async fn settle(tx: &mut Tx, find: FindId, now: Instant) -> Result<Option<Moved>> {
    let before = position(tx, find).await?;
    let progress = progress_at(tx, find, &before).await?;
    let (stage, state) = match progress.current() {
        _ if before.void_at.is_some() => (Stage::Finished, StageState::NotNeeded),
        (stage, _) if before.held && stage != Stage::Finished => (stage, StageState::Held),
        current => current,
    };
    if stage == before.stage && state == before.stage_state {
        return Ok(None);
    }
    let since = if stage == before.stage { None } else { Some(domain::cut(now)) };
    tx.sql(sql!(
        "UPDATE find SET stage = $2, stage_state = $3, headline = $4, stage_since = COALESCE($5, stage_since) WHERE id = $1"
    ))
    .bind(find.0)
    .bind(stage.code())
    .bind(state.code())
    .bind(stage.headline().code())
    .bind(since)
    .run()
    .await?;
    let to = stage.headline();
    if to == before.headline {
        return Ok(None);
    }
    add_to_cell(tx, before.project_id, before.headline.code(), &before.material, -1).await?;
    add_to_cell(tx, before.project_id, to.code(), &before.material, 1).await?;
    Ok(Some(Moved { before, to }))
}

/// Gives a find another material group, moving it between cells of the backlog.
pub(super) async fn update_material(tx: &mut Tx, find: FindId, material: &str) -> Result<()> {
    let before = position(tx, find).await?;
    tx.sql(sql!("UPDATE find SET material = $2 WHERE id = $1"))
        .bind(find.0)
        .bind(material.to_owned())
        .run()
        .await?;
    add_to_cell(tx, before.project_id, before.headline.code(), &before.material, -1).await?;
    add_to_cell(tx, before.project_id, before.headline.code(), material, 1).await
}

/// Takes a find out of the backlog before it is taken away altogether.
pub(crate) async fn leave_backlog(tx: &mut Tx, find: FindId) -> Result<()> {
    let before = position(tx, find).await?;
    add_to_cell(tx, before.project_id, before.headline.code(), &before.material, -1).await
}

/// Adds to (or takes from) one cell of the backlog.
pub(crate) async fn add_to_cell(
    tx: &mut Tx,
    project: ProjectId,
    headline: &str,
    material: &str,
    finds: i64,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO backlog_cell (project_id, headline, material, finds) VALUES ($1, $2, $3, $4)
         ON CONFLICT (project_id, headline, material) DO UPDATE SET finds = backlog_cell.finds + excluded.finds"
    ))
    .bind(project.0)
    .bind(headline.to_owned())
    .bind(material.to_owned())
    .bind(finds)
    .run()
    .await?;
    Ok(())
}

/// Monday of the week of an instant.
pub fn week_of(at: Instant) -> NaiveDate {
    let day = at.date_naive();
    day - Duration::days(i64::from(day.weekday().num_days_from_monday()))
}

/// Counts each headline the find left behind as done this week; a step back counts nothing.
async fn count_done(tx: &mut Tx, before: &Position, after: Headline, now: Instant) -> Result<()> {
    for headline in Headline::ALL.iter().filter(|h| **h >= before.headline && **h < after) {
        tx.sql(sql!(
            "INSERT INTO done_week (project_id, headline, week, finds) VALUES ($1, $2, $3, 1)
             ON CONFLICT (project_id, headline, week) DO UPDATE SET finds = done_week.finds + 1"
        ))
        .bind(before.project_id.0)
        .bind(headline.code())
        .bind(week_of(now))
        .run()
        .await?;
    }
    Ok(())
}

async fn position(tx: &mut Tx, find: FindId) -> Result<Position> {
    tx.sql(sql!(
        "SELECT project_id, material, own_route, recovered_state, stage, stage_state, headline, held, void_at FROM find WHERE id = $1"
    ))
    .bind(find.0)
    .one()
    .await
}

async fn progress_at(tx: &mut Tx, find: FindId, position: &Position) -> Result<Progress> {
    let default = crate::projects::find_route(tx, position.project_id, &position.material).await?;
    let route = match &position.own_route {
        Some(stages) => own_route(stages, &default)?,
        None => default,
    };
    let rows: Vec<MarkRow> = tx
        .sql(sql!("SELECT stage, state, quantity_done, reason FROM find_stage WHERE find_id = $1"))
        .bind(find.0)
        .all()
        .await?;
    let marks = rows
        .into_iter()
        .map(|r| StageMark {
            stage: r.stage,
            state: r.state,
            quantity_done: r.quantity_done,
            reason: r.reason,
        })
        .collect();
    Ok(Progress { route, marks })
}

/// A find's own order of stages; each keeps the gates its material gives it.
fn own_route(stages: &str, default: &Route) -> Result<Route> {
    let stage = |word: &str| -> Result<RouteStage> {
        let stage: Stage = word.parse().map_err(|cause: domain::text_enum::UnknownWord| {
            StoreError::Corrupt { column: "find.own_route".into(), cause: cause.to_string() }
        })?;
        Ok(RouteStage { stage, gates: default.gates(stage).to_vec() })
    };
    Ok(Route(stages.split_whitespace().map(stage).collect::<Result<_>>()?))
}

#[derive(sqlx::FromRow)]
struct TestRow {
    mixture: String,
    decision: String,
}

/// Mixtures whose latest standing test on this find was accepted and showed no harm at a later look.
async fn accepted_mixtures(tx: &mut Tx, find: FindId) -> Result<Vec<String>> {
    let tests: Vec<TestRow> = tx
        .sql(sql!(
            "SELECT t.mixture, CASE WHEN EXISTS (SELECT 1 FROM spot_recheck r WHERE r.record_id = t.record_id
                AND r.effect_on_original <> 'none') THEN 'refused' ELSE t.decision END AS decision
             FROM spot_test t JOIN work_record w ON w.id = t.record_id JOIN work_record_find wf ON wf.record_id = w.id
             WHERE wf.find_id = $1 AND w.superseded_at IS NULL ORDER BY w.recorded_at, w.id"
        ))
        .bind(find.0)
        .all()
        .await?;
    let mut accepted: Vec<String> = Vec::new();
    for test in tests {
        let mixture = domain::solvents::key(&test.mixture);
        accepted.retain(|m| *m != mixture);
        if test.decision == "accepted" {
            accepted.push(mixture);
        }
    }
    Ok(accepted)
}

async fn level_is_authorised(tx: &mut Tx, find: FindId) -> Result<bool> {
    let level: Option<i64> = tx
        .sql(sql!(
            "SELECT CAST(1 AS BIGINT) FROM cleaning_level l JOIN work_record w ON w.id = l.record_id
             JOIN work_record_find wf ON wf.record_id = w.id
             WHERE wf.find_id = $1 AND w.superseded_at IS NULL AND l.authorised_at IS NOT NULL AND l.answer = 'authorised'
             LIMIT 1"
        ))
        .bind(find.0)
        .cell()
        .await?;
    Ok(level.is_some())
}

#[derive(sqlx::FromRow)]
struct GateRow {
    #[sqlx(try_from = "String")]
    gate: Gate,
}

async fn lifted_gates(tx: &mut Tx, find: FindId) -> Result<Vec<Gate>> {
    let rows: Vec<GateRow> =
        tx.sql(sql!("SELECT gate FROM gate_lift WHERE find_id = $1")).bind(find.0).all().await?;
    Ok(rows.into_iter().map(|row| row.gate).collect())
}

#[derive(sqlx::FromRow)]
struct BathCount {
    running: i64,
    ended: i64,
}

async fn baths(tx: &mut Tx, find: FindId) -> Result<Baths> {
    let runs: BathCount = tx
        .sql(sql!(
            "SELECT CAST(COUNT(CASE WHEN r.ended_at IS NULL THEN 1 END) AS BIGINT) AS running,
                CAST(COUNT(r.ended_at) AS BIGINT) AS ended
             FROM run_find rf JOIN run r ON r.id = rf.run_id WHERE rf.find_id = $1 AND r.kind = 'desalination'"
        ))
        .bind(find.0)
        .one()
        .await?;
    Ok(match runs {
        BathCount { running: 1.., .. } => Baths::Now,
        BathCount { ended: 1.., .. } => Baths::Before,
        _ => Baths::Never,
    })
}
