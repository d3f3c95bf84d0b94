//! Whether the database answers.
use crate::{Result, Tx, sql};

/// Asks the database for one.
pub async fn check(tx: &mut Tx) -> Result<()> {
    let _: Option<i64> = tx.sql(sql!("SELECT CAST(1 AS BIGINT)")).cell().await?;
    Ok(())
}
