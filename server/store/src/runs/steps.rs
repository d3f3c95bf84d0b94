//! The set points of a schedule, as they were begun.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::RunId;

/// A set point that is or was held.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Step {
    /// Counted from 0.
    pub position: i64,
    pub begun_at: Instant,
    /// Why it began before the rule released the one before; empty where it did not.
    pub reason: String,
}

/// Begins a set point.
pub async fn insert(tx: &mut Tx, run: RunId, step: &Step) -> Result<()> {
    tx.sql(sql!("INSERT INTO run_step (run_id, position, begun_at, reason) VALUES ($1, $2, $3, $4)"))
        .bind(run.0)
        .bind(step.position)
        .bind(domain::cut(step.begun_at))
        .bind(step.reason.clone())
        .run()
        .await?;
    Ok(())
}

/// The set points begun so far, in their order.
pub async fn list(tx: &mut Tx, run: RunId) -> Result<Vec<Step>> {
    tx.sql(sql!("SELECT position, begun_at, reason FROM run_step WHERE run_id = $1 ORDER BY position"))
        .bind(run.0)
        .all()
        .await
}
