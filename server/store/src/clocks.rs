//! Clocks that run on a find, and the one date by which something is due.
use crate::{Result, Tx, sql};
use chrono::{Duration, NaiveDate, NaiveTime};
use domain::Instant;
use domain::ids::{ClockId, FindId};

/// Days after recovery by which a wet find must be in treatment (derived from the NAS guide p. 158: days or a couple of weeks).
pub const WET_LIMIT_DAYS: i64 = 14;
/// Days between two looks at a wet pack (common practice, no source).
pub const WET_CHECK_DAYS: i64 = 7;

/// Starts the clock of a find that left the ground wet, counted from its recovery where that is known.
pub async fn start_wet(tx: &mut Tx, find: FindId, recovered_on: Option<NaiveDate>, now: Instant) -> Result<()> {
    let start = recovered_on.map_or(now, |day| day.and_time(NaiveTime::MIN).and_utc()).min(now);
    let limit = start + Duration::days(WET_LIMIT_DAYS);
    tx.sql(sql!(
        "INSERT INTO clock (id, find_id, kind, started_at, warn_at, limit_at, last_check_at, next_check_at)
         VALUES ($1, $2, 'wet', $3, $4, $5, $3, $6)"
    ))
    .bind(ClockId::new(now).0)
    .bind(find.0)
    .bind(domain::cut(start))
    .bind(domain::cut(limit - Duration::days(4)))
    .bind(domain::cut(limit))
    .bind(domain::cut(start + Duration::days(WET_CHECK_DAYS)))
    .run()
    .await?;
    refresh_due(tx, find).await
}

/// Notes on the find when the next of its running clocks is due.
pub async fn refresh_due(tx: &mut Tx, find: FindId) -> Result<()> {
    tx.sql(sql!(
        "UPDATE find SET due_at = (
            SELECT MIN(CASE WHEN c.next_check_at IS NOT NULL AND (c.limit_at IS NULL OR c.next_check_at < c.limit_at)
                            THEN c.next_check_at ELSE c.limit_at END)
            FROM clock c WHERE c.find_id = $1 AND c.stopped_at IS NULL)
         WHERE id = $1"
    ))
    .bind(find.0)
    .run()
    .await?;
    Ok(())
}
