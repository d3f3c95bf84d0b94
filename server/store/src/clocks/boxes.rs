//! The indicator of a box: every find in it has its clock, and one look is a look for all of them.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{ClockId, FindId, PlaceId};
use uuid::Uuid;

/// The indicator clock of a find reads the indicator of that box, whose clocks are all looked at next at that moment.
pub async fn bind(tx: &mut Tx, find: FindId, place: PlaceId, next_at: Instant) -> Result<()> {
    tx.sql(sql!(
        "UPDATE clock SET box_id = $2 WHERE find_id = $1 AND kind = 'indicator' AND stopped_at IS NULL"
    ))
    .bind(find.0)
    .bind(place.0)
    .run()
    .await?;
    tx.sql(sql!("UPDATE clock SET next_check_at = $2 WHERE box_id = $1 AND stopped_at IS NULL"))
        .bind(place.0)
        .bind(domain::cut(next_at))
        .run()
        .await?;
    for (_, beside) in list(tx, place).await? {
        super::refresh_due(tx, beside).await?;
    }
    Ok(())
}

/// A find is no longer in that box, so nobody reads that indicator for it.
pub async fn leave(tx: &mut Tx, find: FindId, place: PlaceId, now: Instant) -> Result<()> {
    tx.sql(sql!(
        "UPDATE clock SET stopped_at = $3 WHERE find_id = $1 AND box_id = $2 AND stopped_at IS NULL"
    ))
    .bind(find.0)
    .bind(place.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    super::refresh_due(tx, find).await
}

/// The other running clocks that read the same indicator.
pub async fn list_beside(tx: &mut Tx, clock: ClockId) -> Result<Vec<ClockId>> {
    let place: Option<Uuid> = tx
        .sql(sql!("SELECT box_id FROM clock WHERE id = $1 AND box_id IS NOT NULL"))
        .bind(clock.0)
        .cell()
        .await?;
    let Some(place) = place else { return Ok(Vec::new()) };
    let all = list(tx, PlaceId(place)).await?;
    Ok(all.into_iter().map(|(id, _)| id).filter(|id| *id != clock).collect())
}

#[derive(sqlx::FromRow)]
struct OfBox {
    #[sqlx(try_from = "Uuid")]
    id: ClockId,
    #[sqlx(try_from = "Uuid")]
    find_id: FindId,
}

/// The running clocks that read the indicator of a box.
async fn list(tx: &mut Tx, place: PlaceId) -> Result<Vec<(ClockId, FindId)>> {
    let rows: Vec<OfBox> = tx
        .sql(sql!("SELECT id, find_id FROM clock WHERE box_id = $1 AND stopped_at IS NULL ORDER BY id"))
        .bind(place.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| (row.id, row.find_id)).collect())
}
