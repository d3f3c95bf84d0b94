//! Cleaning levels and the answer of a lead.
use crate::{Result, StoreError, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{FindId, PersonId, ProjectId, RecordId};
use uuid::Uuid;

/// A level that waits for an answer.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Waiting {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub find_number: String,
    pub object_type: String,
    pub project_code: String,
    pub level: String,
    pub stop_point: String,
    pub decided_by: String,
    pub done_on: NaiveDate,
}

/// The levels of a project that wait for a lead, the oldest first.
pub async fn list_waiting(tx: &mut Tx, project: ProjectId, restricted_too: bool) -> Result<Vec<Waiting>> {
    tx.sql(sql!(
        "SELECT l.record_id, f.id AS find_id, f.number AS find_number, f.object_type, p.code AS project_code, l.level,
            l.stop_point, l.decided_by, w.done_on
         FROM work_record w JOIN cleaning_level l ON l.record_id = w.id
         JOIN work_record_find wf ON wf.record_id = w.id JOIN find f ON f.id = wf.find_id
         JOIN project p ON p.id = w.project_id
         WHERE w.project_id = $1 AND l.answer = 'waiting' AND w.superseded_at IS NULL AND ($2 OR NOT f.restricted)
         ORDER BY w.recorded_at, f.sort_key LIMIT 200"
    ))
    .bind(project.0)
    .bind(restricted_too)
    .all()
    .await
}

/// Writes a lead's answer, `authorised` or `refused`; `Changed` when it was answered before.
pub async fn update_answer(
    tx: &mut Tx,
    record: RecordId,
    answer: &'static str,
    by: PersonId,
    now: Instant,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE cleaning_level SET answer = $2, authorised_by = $3, authorised_at = $4
             WHERE record_id = $1 AND answer = 'waiting'"
        ))
        .bind(record.0)
        .bind(answer)
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}
