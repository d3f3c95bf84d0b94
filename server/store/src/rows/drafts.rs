//! Rows as typed so far.
use super::{read, written};
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::AssignmentId;
use domain::rows::TypedRows;

/// What a specialist has typed and not submitted.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Draft {
    pub typed: TypedRows,
    /// Why count or mass differ from the register.
    pub note: String,
}

#[derive(sqlx::FromRow)]
struct Row {
    typed: String,
    note: String,
}

/// The draft for an assignment in a discipline.
pub async fn find(tx: &mut Tx, assignment: AssignmentId, discipline: &str) -> Result<Option<Draft>> {
    let row: Option<Row> = tx
        .sql(sql!("SELECT typed, note FROM row_draft WHERE assignment_id = $1 AND discipline = $2"))
        .bind(assignment.0)
        .bind(discipline.to_owned())
        .opt()
        .await?;
    row.map(|row| Ok(Draft { typed: read(&row.typed, "row_draft.typed")?, note: row.note })).transpose()
}

/// The disciplines in which a draft is kept for an assignment.
pub async fn list_disciplines(tx: &mut Tx, assignment: AssignmentId) -> Result<Vec<String>> {
    #[derive(sqlx::FromRow)]
    struct Code {
        discipline: String,
    }
    let codes: Vec<Code> = tx
        .sql(sql!("SELECT discipline FROM row_draft WHERE assignment_id = $1"))
        .bind(assignment.0)
        .all()
        .await?;
    Ok(codes.into_iter().map(|code| code.discipline).collect())
}

/// Keeps the draft as typed.
pub async fn update(
    tx: &mut Tx,
    (assignment, discipline): (AssignmentId, &str),
    draft: &Draft,
    now: Instant,
) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO row_draft (assignment_id, discipline, typed, note, kept_at) VALUES ($1, $2, $3, $4, $5)
         ON CONFLICT (assignment_id, discipline) DO UPDATE SET typed = excluded.typed, note = excluded.note,
            kept_at = excluded.kept_at"
    ))
    .bind(assignment.0)
    .bind(discipline.to_owned())
    .bind(written(&draft.typed, "row_draft.typed")?)
    .bind(draft.note.clone())
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(())
}

/// Takes the draft away.
pub async fn delete(tx: &mut Tx, assignment: AssignmentId, discipline: &str) -> Result<()> {
    tx.sql(sql!("DELETE FROM row_draft WHERE assignment_id = $1 AND discipline = $2"))
        .bind(assignment.0)
        .bind(discipline.to_owned())
        .run()
        .await?;
    Ok(())
}
