//! PINs: only the hash is kept, and how often it was missed.
use crate::{Result, Tx, sql};
use domain::ids::PersonId;
use domain::people::pin::MOST_FAILURES;

/// What is kept of a person's PIN.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Pin {
    pub pin_hash: Option<String>,
    pub pin_failures: i64,
}

/// What is kept of a person's PIN.
pub async fn find(tx: &mut Tx, person: PersonId) -> Result<Option<Pin>> {
    tx.sql(sql!("SELECT pin_hash, pin_failures FROM person WHERE id = $1")).bind(person.0).opt().await
}

/// Sets a PIN, or with `None` takes it away; what was missed before is forgotten.
pub async fn update(tx: &mut Tx, person: PersonId, hash: Option<&str>) -> Result<()> {
    tx.sql(sql!("UPDATE person SET pin_hash = $2, pin_failures = 0 WHERE id = $1"))
        .bind(person.0)
        .bind(hash.map(str::to_owned))
        .run()
        .await?;
    Ok(())
}

/// Counts an attempt as missed before it is judged; `false` when there have been too many.
pub async fn take_attempt(tx: &mut Tx, person: PersonId) -> Result<bool> {
    let touched = tx
        .sql(sql!(
            "UPDATE person SET pin_failures = pin_failures + 1
             WHERE id = $1 AND pin_hash IS NOT NULL AND pin_failures < $2"
        ))
        .bind(person.0)
        .bind(MOST_FAILURES)
        .run()
        .await?;
    Ok(touched == 1)
}

/// The PIN fitted: what was missed before is forgotten.
pub async fn update_fitted(tx: &mut Tx, person: PersonId) -> Result<()> {
    tx.sql(sql!("UPDATE person SET pin_failures = 0 WHERE id = $1")).bind(person.0).run().await?;
    Ok(())
}
