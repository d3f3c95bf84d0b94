//! What waits, and how fast it went lately.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{FindId, PersonId, ProjectId};
use domain::stages::{Headline, Stage, StageState};
use uuid::Uuid;

/// A find that waits for somebody.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct WaitingFind {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub object_type: String,
    pub material_name: String,
    pub project_code: String,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    #[sqlx(try_from = "String")]
    pub stage_state: StageState,
    pub stage_since: Instant,
    pub due_at: Option<Instant>,
    pub place_path: Option<String>,
}

/// Finds on a person's bench in a project, the longest there first.
pub async fn list_bench(
    tx: &mut Tx,
    project: ProjectId,
    person: PersonId,
    most: i64,
) -> Result<Vec<WaitingFind>> {
    tx.sql(sql!(
        "SELECT f.id, f.number, f.object_type, m.name AS material_name, p.code AS project_code, f.stage, f.stage_state,
            f.stage_since, f.due_at, pl.path AS place_path
         FROM find f JOIN project p ON p.id = f.project_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN place pl ON pl.id = f.place_id
         WHERE f.assignee_id = $2 AND f.project_id = $1 AND f.headline <> 'finished' AND f.void_at IS NULL
         ORDER BY f.stage_since, f.id LIMIT $3"
    ))
    .bind(project.0)
    .bind(person.0)
    .bind(most)
    .all()
    .await
}

/// Finds a person has in hand in a project: on their bench and begun, or with an open record of theirs.
pub async fn list_in_hand(
    tx: &mut Tx,
    project: ProjectId,
    person: PersonId,
    restricted_too: bool,
    most: i64,
) -> Result<Vec<WaitingFind>> {
    tx.sql(sql!(
        "SELECT f.id, f.number, f.object_type, m.name AS material_name, p.code AS project_code, f.stage, f.stage_state,
            f.stage_since, f.due_at, pl.path AS place_path
         FROM find f JOIN project p ON p.id = f.project_id
         JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN place pl ON pl.id = f.place_id
         WHERE f.project_id = $1 AND f.void_at IS NULL AND ($3 OR NOT f.restricted) AND f.stage_state = 'in_hand'
            AND f.id IN (SELECT b.id FROM find b WHERE b.assignee_id = $2 AND b.project_id = $1
                UNION SELECT wf.find_id FROM work_record w JOIN work_record_find wf ON wf.record_id = w.id
                      WHERE w.project_id = $1 AND w.recorded_by = $2 AND NOT w.finished AND w.superseded_at IS NULL)
         ORDER BY f.stage_since, f.id LIMIT $4"
    ))
    .bind(project.0)
    .bind(person.0)
    .bind(restricted_too)
    .bind(most)
    .all()
    .await
}

/// One cell of the backlog.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Cell {
    #[sqlx(try_from = "String")]
    pub headline: Headline,
    pub material: String,
    pub material_name: String,
    pub finds: i64,
    /// Since when the oldest of them waits.
    pub oldest: Option<Instant>,
}

/// The backlog of a project, finished finds left out; restricted ones count only for whom they are there.
pub async fn list_backlog(tx: &mut Tx, project: ProjectId, restricted_too: bool) -> Result<Vec<Cell>> {
    let mut cells: Vec<Cell> = tx
        .sql(sql!(
            "SELECT b.headline, b.material, m.name AS material_name,
                b.finds - CASE WHEN $2 THEN 0 ELSE (SELECT COUNT(*) FROM find r WHERE r.project_id = b.project_id
                    AND r.headline = b.headline AND r.material = b.material AND r.restricted) END AS finds,
                (SELECT f.stage_since FROM find f WHERE f.project_id = b.project_id AND f.headline = b.headline
                    AND f.material = b.material AND ($2 OR NOT f.restricted) ORDER BY f.stage_since LIMIT 1) AS oldest
             FROM backlog_cell b JOIN material m ON m.project_id = b.project_id AND m.code = b.material
             WHERE b.project_id = $1 AND b.finds > 0 AND b.headline <> 'finished' ORDER BY m.position, m.code"
        ))
        .bind(project.0)
        .bind(restricted_too)
        .all()
        .await?;
    cells.retain(|cell| cell.finds > 0);
    Ok(cells)
}

/// How many finds left a headline behind in one week.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct WeekCount {
    #[sqlx(try_from = "String")]
    pub headline: Headline,
    /// Monday of the week.
    pub week: NaiveDate,
    pub finds: i64,
}

/// What was done in the weeks from `first` up to but not including `end`.
pub async fn list_done(
    tx: &mut Tx,
    project: ProjectId,
    first: NaiveDate,
    end: NaiveDate,
) -> Result<Vec<WeekCount>> {
    tx.sql(sql!(
        "SELECT headline, week, finds FROM done_week WHERE project_id = $1 AND week >= $2 AND week < $3 ORDER BY week"
    ))
    .bind(project.0)
    .bind(first)
    .bind(end)
    .all()
    .await
}
