//! Years by which a context was there already, whatever its finds say.
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{ContextId, FixedYearId, PersonId, ProjectId};
use uuid::Uuid;

/// A fixed year as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct FixedYear {
    #[sqlx(try_from = "Uuid")]
    pub id: FixedYearId,
    #[sqlx(try_from = "Uuid")]
    pub context_id: ContextId,
    /// Astronomical: 0 is 1 BC.
    pub year: i64,
    pub words: String,
    pub reason: String,
    pub fixed_by: String,
    pub fixed_at: Instant,
    pub is_withdrawn: bool,
}

/// A year to be fixed.
#[derive(Debug, Clone)]
pub struct NewFixedYear {
    pub context: ContextId,
    pub year: i64,
    pub words: String,
    pub reason: String,
}

/// Fixes a year for a context; several may stand, the earliest counts.
pub async fn insert(tx: &mut Tx, new: &NewFixedYear, by: PersonId, now: Instant) -> Result<FixedYearId> {
    let id = FixedYearId::new(now);
    tx.sql(sql!(
        "INSERT INTO fixed_year (id, context_id, year, words, reason, fixed_by, fixed_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7)"
    ))
    .bind(id.0)
    .bind(new.context.0)
    .bind(new.year)
    .bind(new.words.clone())
    .bind(new.reason.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// Withdraws a fixed year; `Changed` when it was withdrawn before.
pub async fn update_withdrawn(
    tx: &mut Tx,
    id: FixedYearId,
    why: &str,
    by: PersonId,
    now: Instant,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE fixed_year SET withdrawn_by = $2, withdrawn_at = $3, withdrawn_why = $4
             WHERE id = $1 AND withdrawn_at IS NULL"
        ))
        .bind(id.0)
        .bind(by.0)
        .bind(domain::cut(now))
        .bind(why.to_owned())
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// The fixed year of an id, withdrawn or not.
pub async fn find(tx: &mut Tx, id: FixedYearId) -> Result<Option<FixedYear>> {
    tx.sql(sql!(
        "SELECT y.id, y.context_id, y.year, y.words, y.reason, p.name AS fixed_by, y.fixed_at,
            y.withdrawn_at IS NOT NULL AS is_withdrawn
         FROM fixed_year y JOIN person p ON p.id = y.fixed_by WHERE y.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// The standing fixed years of a project.
pub async fn list(tx: &mut Tx, project: ProjectId) -> Result<Vec<FixedYear>> {
    tx.sql(sql!(
        "SELECT y.id, y.context_id, y.year, y.words, y.reason, p.name AS fixed_by, y.fixed_at,
            y.withdrawn_at IS NOT NULL AS is_withdrawn
         FROM context c JOIN fixed_year y ON y.context_id = c.id JOIN person p ON p.id = y.fixed_by
         WHERE c.project_id = $1 AND y.withdrawn_at IS NULL ORDER BY y.year, y.id"
    ))
    .bind(project.0)
    .all()
    .await
}
