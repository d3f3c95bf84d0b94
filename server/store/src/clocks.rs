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
pub async fn start_wet(
    tx: &mut Tx,
    find: FindId,
    recovered_on: Option<NaiveDate>,
    now: Instant,
) -> Result<()> {
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

/// Stops a find's running clocks of one kind.
pub async fn stop(tx: &mut Tx, find: FindId, kind: &'static str, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE clock SET stopped_at = $3 WHERE find_id = $1 AND kind = $2 AND stopped_at IS NULL"))
        .bind(find.0)
        .bind(kind)
        .bind(domain::cut(now))
        .run()
        .await?;
    refresh_due(tx, find).await
}

/// Treatment has begun: the limit for beginning it falls away, the looks at the wet pack go on.
pub async fn begin_treatment(tx: &mut Tx, find: FindId) -> Result<()> {
    tx.sql(sql!(
        "UPDATE clock SET limit_at = NULL, warn_at = NULL WHERE find_id = $1 AND kind = 'wet' AND stopped_at IS NULL"
    ))
    .bind(find.0)
    .run()
    .await?;
    refresh_due(tx, find).await
}

/// Notes that the wet pack was looked at; the next look is due a week later.
pub async fn update_checked(tx: &mut Tx, find: FindId, now: Instant) -> Result<()> {
    tx.sql(sql!(
        "UPDATE clock SET last_check_at = $2, next_check_at = $3 WHERE find_id = $1 AND kind = 'wet' AND stopped_at IS NULL"
    ))
    .bind(find.0)
    .bind(domain::cut(now))
    .bind(domain::cut(now + Duration::days(WET_CHECK_DAYS)))
    .run()
    .await?;
    refresh_due(tx, find).await
}

/// A running clock.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Clock {
    pub kind: String,
    pub started_at: Instant,
    pub warn_at: Option<Instant>,
    pub limit_at: Option<Instant>,
    pub last_check_at: Option<Instant>,
    pub next_check_at: Option<Instant>,
}

/// The running clocks of a find.
pub async fn list_running(tx: &mut Tx, find: FindId) -> Result<Vec<Clock>> {
    tx.sql(sql!(
        "SELECT kind, started_at, warn_at, limit_at, last_check_at, next_check_at FROM clock
         WHERE find_id = $1 AND stopped_at IS NULL ORDER BY started_at"
    ))
    .bind(find.0)
    .all()
    .await
}
