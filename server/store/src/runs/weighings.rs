//! Weighings of a drying run. None is changed; a wrong one is withdrawn with a reason.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{PersonId, RunId, WeighingId};
use uuid::Uuid;

/// A weighing to be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct NewWeighing {
    pub weighed_at: Instant,
    pub mass_g: f64,
    /// Around the find.
    pub rh_pct: Option<f64>,
    pub t_c: Option<f64>,
    /// Cracks, salts, anything seen.
    pub seen: String,
}

/// A weighing as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Weighing {
    #[sqlx(try_from = "Uuid")]
    pub id: WeighingId,
    #[sqlx(try_from = "Uuid")]
    pub run_id: RunId,
    pub weighed_at: Instant,
    pub mass_g: f64,
    pub rh_pct: Option<f64>,
    pub t_c: Option<f64>,
    pub seen: String,
    pub recorded_by: String,
    pub withdrawn_why: Option<String>,
}

/// Keeps weighings.
pub async fn insert_many(
    tx: &mut Tx,
    run: RunId,
    weighings: &[NewWeighing],
    by: PersonId,
    now: Instant,
) -> Result<()> {
    for weighing in weighings {
        tx.sql(sql!(
            "INSERT INTO weighing (id, run_id, weighed_at, mass_g, rh_pct, t_c, seen, recorded_by, recorded_at)
             VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9)"
        ))
        .bind(WeighingId::new(now).0)
        .bind(run.0)
        .bind(domain::cut(weighing.weighed_at))
        .bind(weighing.mass_g)
        .bind(weighing.rh_pct)
        .bind(weighing.t_c)
        .bind(weighing.seen.clone())
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    }
    Ok(())
}

/// The weighings of a run in their order, withdrawn ones among them.
pub async fn list(tx: &mut Tx, run: RunId) -> Result<Vec<Weighing>> {
    tx.sql(sql!(
        "SELECT w.id, w.run_id, w.weighed_at, w.mass_g, w.rh_pct, w.t_c, w.seen, p.name AS recorded_by, w.withdrawn_why
         FROM weighing w JOIN person p ON p.id = w.recorded_by WHERE w.run_id = $1 ORDER BY w.weighed_at, w.id"
    ))
    .bind(run.0)
    .all()
    .await
}

/// The run of a weighing.
pub async fn find_run(tx: &mut Tx, id: WeighingId) -> Result<Option<RunId>> {
    let run: Option<Uuid> =
        tx.sql(sql!("SELECT run_id FROM weighing WHERE id = $1")).bind(id.0).cell().await?;
    Ok(run.map(RunId))
}

/// Withdraws a weighing; false if it was withdrawn before.
pub async fn update_withdrawn(tx: &mut Tx, id: WeighingId, why: &str) -> Result<bool> {
    let rows = tx
        .sql(sql!("UPDATE weighing SET withdrawn_why = $2 WHERE id = $1 AND withdrawn_why IS NULL"))
        .bind(id.0)
        .bind(why.to_owned())
        .run()
        .await?;
    Ok(rows == 1)
}
