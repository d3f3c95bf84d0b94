//! Tablets that several people share at the bench: only the hash of their token is kept.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{PersonId, TabletId};
use uuid::Uuid;

/// A shared tablet.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Tablet {
    #[sqlx(try_from = "Uuid")]
    pub id: TabletId,
    pub name: String,
    /// Who shares it.
    #[sqlx(try_from = "Uuid")]
    pub set_by: PersonId,
    pub set_at: Instant,
}

/// Keeps a tablet as shared.
pub async fn insert(
    tx: &mut Tx,
    token_hash: &[u8],
    name: &str,
    by: PersonId,
    now: Instant,
) -> Result<TabletId> {
    let id = TabletId::new(now);
    tx.sql(sql!("INSERT INTO tablet (id, token_hash, name, set_by, set_at) VALUES ($1, $2, $3, $4, $5)"))
        .bind(id.0)
        .bind(token_hash.to_vec())
        .bind(name.to_owned())
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(id)
}

/// The tablet of a token, while it is shared.
pub async fn find(tx: &mut Tx, token_hash: &[u8]) -> Result<Option<Tablet>> {
    tx.sql(sql!("SELECT id, name, set_by, set_at FROM tablet WHERE token_hash = $1 AND ended_at IS NULL"))
        .bind(token_hash.to_vec())
        .opt()
        .await
}

/// A shared tablet with the name of who shares it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Shared {
    #[sqlx(try_from = "Uuid")]
    pub id: TabletId,
    pub name: String,
    #[sqlx(try_from = "Uuid")]
    pub set_by: PersonId,
    pub sharer: String,
    pub set_at: Instant,
}

/// The tablets that are shared, the latest first; with `by` only that person's.
pub async fn list(tx: &mut Tx, by: Option<PersonId>) -> Result<Vec<Shared>> {
    tx.sql(sql!(
        "SELECT t.id, t.name, t.set_by, p.name AS sharer, t.set_at FROM tablet t JOIN person p ON p.id = t.set_by
         WHERE t.ended_at IS NULL AND t.set_by = COALESCE($1, t.set_by) ORDER BY t.set_at DESC, t.id DESC"
    ))
    .bind(by.map(|by| by.0))
    .all()
    .await
}

/// Ends the sharing of a tablet; with `by` only of that person's. Whether there was one.
pub async fn update_ended(tx: &mut Tx, id: TabletId, by: Option<PersonId>, now: Instant) -> Result<bool> {
    let touched = tx
        .sql(sql!(
            "UPDATE tablet SET ended_at = $3 WHERE id = $1 AND set_by = COALESCE($2, set_by) AND ended_at IS NULL"
        ))
        .bind(id.0)
        .bind(by.map(|by| by.0))
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(touched == 1)
}

/// Somebody with a PIN.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Hand {
    #[sqlx(try_from = "Uuid")]
    pub id: PersonId,
    pub name: String,
}

/// Who has a PIN; which tablet they may take over is asked elsewhere.
pub async fn list_hands(tx: &mut Tx) -> Result<Vec<Hand>> {
    tx.sql(sql!(
        "SELECT id, name FROM person WHERE pin_hash IS NOT NULL AND disabled_at IS NULL ORDER BY name, id"
    ))
    .all()
    .await
}
