//! Clocks that run on a find, and the one date by which something is due.
//!
//! - [`boxes`]: the indicator of a box, read for all that lies in it
//! - [`rules`]: how long each may run, how often somebody looks
//! - [`round`]: the running clocks of a project as a round passes them
//! - [`looks`]: what was seen on a look
//! - [`review`]: the day a condition is to be assessed again
//! - [`sheets`]: a round on paper, to be typed in afterwards
pub mod boxes;
pub mod looks;
pub mod review;
pub mod round;
pub mod rules;
pub mod sheets;

use crate::{Result, Tx, sql};
use domain::Instant;
use domain::clocks::{ClockKind, Rule};
use domain::ids::{ClockId, FindId};
use uuid::Uuid;

/// Starts a clock that began at `since`; one of its kind that runs already goes on instead.
pub async fn start(
    tx: &mut Tx,
    find: FindId,
    kind: ClockKind,
    rule: Rule,
    (since, now): (Instant, Instant),
) -> Result<()> {
    let start = since.min(now);
    tx.sql(sql!(
        "INSERT INTO clock (id, find_id, kind, started_at, warn_at, limit_at, last_check_at, next_check_at)
         SELECT $1, $2, $3, $4, $5, $6, $4, $7
         WHERE NOT EXISTS (SELECT 1 FROM clock c WHERE c.find_id = $2 AND c.kind = $3 AND c.stopped_at IS NULL)"
    ))
    .bind(ClockId::new(now).0)
    .bind(find.0)
    .bind(kind.code())
    .bind(domain::cut(start))
    .bind(rule.warn_at(start).map(domain::cut))
    .bind(rule.limit_at(start).map(domain::cut))
    .bind(domain::cut(rule.next_look_at(start, true)))
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
pub async fn stop(tx: &mut Tx, find: FindId, kind: ClockKind, now: Instant) -> Result<()> {
    tx.sql(sql!("UPDATE clock SET stopped_at = $3 WHERE find_id = $1 AND kind = $2 AND stopped_at IS NULL"))
        .bind(find.0)
        .bind(kind.code())
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

/// Puts the next look of a running clock on a day somebody chose.
pub async fn update_next_look(tx: &mut Tx, find: FindId, kind: ClockKind, at: Instant) -> Result<()> {
    tx.sql(sql!(
        "UPDATE clock SET next_check_at = $3 WHERE find_id = $1 AND kind = $2 AND stopped_at IS NULL"
    ))
    .bind(find.0)
    .bind(kind.code())
    .bind(domain::cut(at))
    .run()
    .await?;
    refresh_due(tx, find).await
}

/// A running clock with what its last look left open.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Clock {
    #[sqlx(try_from = "Uuid")]
    pub id: ClockId,
    #[sqlx(try_from = "String")]
    pub kind: ClockKind,
    pub started_at: Instant,
    pub limit_at: Option<Instant>,
    pub last_check_at: Option<Instant>,
    pub next_check_at: Option<Instant>,
    /// What was not in order on the last look and not put right either.
    pub left_open: Option<String>,
}

/// The running clocks of a find.
pub async fn list_running(tx: &mut Tx, find: FindId) -> Result<Vec<Clock>> {
    tx.sql(sql!(
        "SELECT c.id, c.kind, c.started_at, c.limit_at, c.last_check_at, c.next_check_at,
            (SELECT CASE WHEN k.in_order OR k.put_right THEN NULL ELSE k.words END FROM clock_look k
             WHERE k.clock_id = c.id ORDER BY k.looked_at DESC, k.id DESC LIMIT 1) AS left_open
         FROM clock c WHERE c.find_id = $1 AND c.stopped_at IS NULL ORDER BY c.started_at, c.id"
    ))
    .bind(find.0)
    .all()
    .await
}
