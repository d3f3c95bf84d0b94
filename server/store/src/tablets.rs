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
    tx.sql(sql!("SELECT id, name, set_at FROM tablet WHERE token_hash = $1 AND ended_at IS NULL"))
        .bind(token_hash.to_vec())
        .opt()
        .await
}

/// The tablets a person shares, the latest first.
pub async fn list(tx: &mut Tx, by: PersonId) -> Result<Vec<Tablet>> {
    tx.sql(sql!(
        "SELECT id, name, set_at FROM tablet WHERE set_by = $1 AND ended_at IS NULL ORDER BY set_at DESC, id DESC"
    ))
    .bind(by.0)
    .all()
    .await
}

/// Ends the sharing of a tablet by whoever set it; whether there was one.
pub async fn update_ended(tx: &mut Tx, id: TabletId, by: PersonId, now: Instant) -> Result<bool> {
    let touched = tx
        .sql(sql!("UPDATE tablet SET ended_at = $3 WHERE id = $1 AND set_by = $2 AND ended_at IS NULL"))
        .bind(id.0)
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    Ok(touched == 1)
}

/// Somebody who may take the tablet over by a PIN.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Hand {
    #[sqlx(try_from = "Uuid")]
    pub id: PersonId,
    pub name: String,
}

/// Who has a PIN and a part in a project that the one who shares the tablet belongs to; what they may is asked elsewhere.
pub async fn list_hands(tx: &mut Tx, id: TabletId) -> Result<Vec<Hand>> {
    tx.sql(sql!(
        "SELECT DISTINCT p.id, p.name FROM tablet t
         JOIN membership own ON own.person_id = t.set_by JOIN membership m ON m.project_id = own.project_id
         JOIN person p ON p.id = m.person_id
         WHERE t.id = $1 AND t.ended_at IS NULL AND p.pin_hash IS NOT NULL AND p.disabled_at IS NULL
         ORDER BY p.name, p.id"
    ))
    .bind(id.0)
    .all()
    .await
}
