//! Baths of a desalination run, each as it was read at its end. A wrong one is withdrawn with a reason.
use crate::{Result, Tx, sql};
use domain::Instant;
use domain::ids::{BathId, PersonId, RunId};
use uuid::Uuid;

/// A bath to be kept.
#[derive(Debug, Clone, PartialEq)]
pub struct NewBath {
    pub read_at: Instant,
    pub volume_l: f64,
    /// The water before the find went in.
    pub blank_us_cm: f64,
    pub reading_us_cm: f64,
    /// Where the meter does not correct to 25 °C itself.
    pub t_c: Option<f64>,
    /// Chloride where it was measured by itself.
    pub chloride_mg_l: Option<f64>,
    pub seen: String,
}

/// A bath as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Bath {
    #[sqlx(try_from = "Uuid")]
    pub id: BathId,
    #[sqlx(try_from = "Uuid")]
    pub run_id: RunId,
    pub read_at: Instant,
    pub volume_l: f64,
    pub blank_us_cm: f64,
    pub reading_us_cm: f64,
    pub t_c: Option<f64>,
    pub chloride_mg_l: Option<f64>,
    pub seen: String,
    pub recorded_by: String,
    pub withdrawn_why: Option<String>,
}

/// Keeps a bath.
pub async fn insert(tx: &mut Tx, run: RunId, bath: &NewBath, by: PersonId, now: Instant) -> Result<BathId> {
    let id = BathId::new(now);
    tx.sql(sql!(
        "INSERT INTO bath (id, run_id, read_at, volume_l, blank_us_cm, reading_us_cm, t_c, chloride_mg_l, seen, recorded_by,
            recorded_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)"
    ))
    .bind(id.0)
    .bind(run.0)
    .bind(domain::cut(bath.read_at))
    .bind(bath.volume_l)
    .bind(bath.blank_us_cm)
    .bind(bath.reading_us_cm)
    .bind(bath.t_c)
    .bind(bath.chloride_mg_l)
    .bind(bath.seen.clone())
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    Ok(id)
}

/// The baths of a run in their order, withdrawn ones among them.
pub async fn list(tx: &mut Tx, run: RunId) -> Result<Vec<Bath>> {
    tx.sql(sql!(
        "SELECT b.id, b.run_id, b.read_at, b.volume_l, b.blank_us_cm, b.reading_us_cm, b.t_c, b.chloride_mg_l, b.seen,
            p.name AS recorded_by, b.withdrawn_why
         FROM bath b JOIN person p ON p.id = b.recorded_by WHERE b.run_id = $1 ORDER BY b.read_at, b.id"
    ))
    .bind(run.0)
    .all()
    .await
}

/// The run of a bath.
pub async fn find_run(tx: &mut Tx, id: BathId) -> Result<Option<RunId>> {
    let run: Option<Uuid> = tx.sql(sql!("SELECT run_id FROM bath WHERE id = $1")).bind(id.0).cell().await?;
    Ok(run.map(RunId))
}

/// Withdraws a bath; false if it was withdrawn before.
pub async fn update_withdrawn(tx: &mut Tx, id: BathId, why: &str) -> Result<bool> {
    let rows = tx
        .sql(sql!("UPDATE bath SET withdrawn_why = $2 WHERE id = $1 AND withdrawn_why IS NULL"))
        .bind(id.0)
        .bind(why.to_owned())
        .run()
        .await?;
    Ok(rows == 1)
}
