//! Holds and lifted gates, both with a reason that stays.
use crate::finds::progress;
use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, GateLiftId, HoldId, PersonId};
use domain::stages::Gate;
use uuid::Uuid;

/// A hold as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Hold {
    #[sqlx(try_from = "Uuid")]
    pub id: HoldId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub reason: String,
    pub placed_by: String,
    pub placed_at: Instant,
    pub released_at: Option<Instant>,
    pub release_reason: Option<String>,
}

/// Puts a find on hold.
pub async fn insert(tx: &mut Tx, find: FindId, reason: &str, by: PersonId, now: Instant) -> Result<HoldId> {
    let id = HoldId::new(now);
    tx.sql(sql!("INSERT INTO hold (id, find_id, reason, placed_by, placed_at) VALUES ($1, $2, $3, $4, $5)"))
        .bind(id.0)
        .bind(find.0)
        .bind(reason.to_owned())
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    update_held(tx, find, now).await?;
    Ok(id)
}

/// Releases a hold; `Changed` when it was released before.
pub async fn update_released(
    tx: &mut Tx,
    hold: &Hold,
    reason: &str,
    by: PersonId,
    now: Instant,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE hold SET released_by = $2, released_at = $3, release_reason = $4 WHERE id = $1 AND released_at IS NULL"
        ))
        .bind(hold.id.0)
        .bind(by.0)
        .bind(domain::cut(now))
        .bind(reason.to_owned())
        .run()
        .await?;
    if touched != 1 {
        return Err(StoreError::Changed);
    }
    update_held(tx, hold.find_id, now).await
}

async fn update_held(tx: &mut Tx, find: FindId, now: Instant) -> Result<()> {
    tx.sql(sql!(
        "UPDATE find SET held = EXISTS (SELECT 1 FROM hold h WHERE h.find_id = $1 AND h.released_at IS NULL) WHERE id = $1"
    ))
    .bind(find.0)
    .run()
    .await?;
    progress::refresh(tx, find, now).await
}

/// The holds of a find, those in force first.
pub async fn list(tx: &mut Tx, find: FindId) -> Result<Vec<Hold>> {
    tx.sql(sql!(
        "SELECT h.id, h.find_id, h.reason, p.name AS placed_by, h.placed_at, h.released_at, h.release_reason
         FROM hold h JOIN person p ON p.id = h.placed_by WHERE h.find_id = $1
         ORDER BY CASE WHEN h.released_at IS NULL THEN 0 ELSE 1 END, h.placed_at DESC"
    ))
    .bind(find.0)
    .all()
    .await
}

/// One hold.
pub async fn find(tx: &mut Tx, id: HoldId) -> Result<Option<Hold>> {
    tx.sql(sql!(
        "SELECT h.id, h.find_id, h.reason, p.name AS placed_by, h.placed_at, h.released_at, h.release_reason
         FROM hold h JOIN person p ON p.id = h.placed_by WHERE h.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

/// Lifts a gate for a find.
pub async fn insert_lift(
    tx: &mut Tx,
    find: FindId,
    gate: Gate,
    reason: &str,
    by: PersonId,
    now: Instant,
) -> Result<()> {
    tx.sql(sql!("INSERT INTO gate_lift (id, find_id, gate, reason, lifted_by, lifted_at) VALUES ($1, $2, $3, $4, $5, $6)"))
        .bind(GateLiftId::new(now).0)
        .bind(find.0)
        .bind(gate.code())
        .bind(reason.to_owned())
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(())
}

/// A lifted gate with its reason.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Lift {
    #[sqlx(try_from = "String")]
    pub gate: Gate,
    pub reason: String,
    pub lifted_by: String,
    pub lifted_at: Instant,
}

/// The gates lifted for a find.
pub async fn list_lifts(tx: &mut Tx, find: FindId) -> Result<Vec<Lift>> {
    tx.sql(sql!(
        "SELECT g.gate, g.reason, p.name AS lifted_by, g.lifted_at FROM gate_lift g JOIN person p ON p.id = g.lifted_by
         WHERE g.find_id = $1 ORDER BY g.lifted_at"
    ))
    .bind(find.0)
    .all()
    .await
}
