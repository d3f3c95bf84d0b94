//! Days that a specialist worked for an assignment.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{AssignmentId, PersonId, ProjectId, WorkedDayId};
use uuid::Uuid;

/// An entry.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct WorkedDay {
    #[sqlx(try_from = "Uuid")]
    pub id: WorkedDayId,
    #[sqlx(try_from = "Uuid")]
    pub assignment_id: AssignmentId,
    pub worked_on: NaiveDate,
    pub days: f64,
    pub words: String,
    pub withdrawn_at: Option<Instant>,
}

/// Enters working time.
pub async fn insert(
    tx: &mut Tx,
    assignment: AssignmentId,
    (worked_on, days, words): (NaiveDate, f64, &str),
    now: Instant,
) -> Result<WorkedDayId> {
    let id = WorkedDayId::new(now);
    tx.sql(sql!(
        "INSERT INTO worked_day (id, assignment_id, worked_on, days, words, entered_at) VALUES ($1, $2, $3, $4, $5, $6)"
    ))
    .bind(id.0)
    .bind(assignment.0)
    .bind(worked_on)
    .bind(days)
    .bind(words.to_owned())
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// The entries of an assignment, withdrawn ones among them, by day.
pub async fn list(tx: &mut Tx, assignment: AssignmentId) -> Result<Vec<WorkedDay>> {
    tx.sql(sql!(
        "SELECT id, assignment_id, worked_on, days, words, withdrawn_at FROM worked_day
         WHERE assignment_id = $1 ORDER BY worked_on, entered_at, id"
    ))
    .bind(assignment.0)
    .all()
    .await
}

/// The entry of an id, if it is this specialist's.
pub async fn find(tx: &mut Tx, id: WorkedDayId, specialist: PersonId) -> Result<Option<WorkedDay>> {
    tx.sql(sql!(
        "SELECT d.id, d.assignment_id, d.worked_on, d.days, d.words, d.withdrawn_at
         FROM worked_day d JOIN assignment a ON a.id = d.assignment_id WHERE d.id = $1 AND a.specialist_id = $2"
    ))
    .bind(id.0)
    .bind(specialist.0)
    .opt()
    .await
}

/// Takes an entry back; it stays to be seen.
pub async fn update_withdrawn(tx: &mut Tx, id: WorkedDayId, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE worked_day SET withdrawn_at = $2 WHERE id = $1 AND withdrawn_at IS NULL"))
        .bind(id.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(())
}

/// Days together on one assignment.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Sum {
    #[sqlx(try_from = "Uuid")]
    pub assignment_id: AssignmentId,
    pub days: f64,
}

/// What was worked on the assignments of a specialist.
pub async fn list_sums_of_specialist(tx: &mut Tx, specialist: PersonId) -> Result<Vec<Sum>> {
    tx.sql(sql!(
        "SELECT d.assignment_id, CAST(SUM(d.days) AS DOUBLE PRECISION) AS days
         FROM worked_day d JOIN assignment a ON a.id = d.assignment_id
         WHERE a.specialist_id = $1 AND d.withdrawn_at IS NULL GROUP BY d.assignment_id"
    ))
    .bind(specialist.0)
    .all()
    .await
}

/// What was worked on the assignments of a project.
pub async fn list_sums_of_project(tx: &mut Tx, project: ProjectId) -> Result<Vec<Sum>> {
    tx.sql(sql!(
        "SELECT d.assignment_id, CAST(SUM(d.days) AS DOUBLE PRECISION) AS days
         FROM worked_day d JOIN assignment a ON a.id = d.assignment_id
         WHERE a.project_id = $1 AND d.withdrawn_at IS NULL GROUP BY d.assignment_id"
    ))
    .bind(project.0)
    .all()
    .await
}
