//! Which due day of an assignment its specialist was reminded of: once before it and once after.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::AssignmentId;
use domain::letters::LetterKind;

/// Takes the reminder for this transaction; `false` when it was sent before. A due day that is moved may be reminded of
/// again.
pub async fn take(
    tx: &mut Tx,
    assignment: AssignmentId,
    kind: LetterKind,
    due_on: NaiveDate,
    now: Instant,
) -> Result<bool> {
    let touched = tx
        .sql(sql!(
            "INSERT INTO assignment_reminder (assignment_id, kind, due_on, queued_at) VALUES ($1, $2, $3, $4)
             ON CONFLICT DO NOTHING"
        ))
        .bind(assignment.0)
        .bind(kind.code())
        .bind(due_on)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(touched == 1)
}
