//! Drying and desalination runs: what was set, how they ended, and which finds they follow.
//!
//! - [`weighings`], [`baths`]: what was read
//! - [`steps`]: the set points of a schedule as they were begun
pub mod baths;
pub mod steps;
pub mod weighings;

use crate::{Result, StoreError, Tx, sql};
use domain::Instant;
use domain::ids::{FindId, PersonId, ProjectId, RecordId, RunId};
use domain::runs::{BathPlan, DryingPlan, Plan, RunKind, Schedule};
use uuid::Uuid;

/// A run to be kept.
#[derive(Debug, Clone)]
pub struct NewRun {
    pub project: ProjectId,
    pub started_at: Instant,
    pub done_by: String,
    pub method: String,
    pub plan: Plan,
    /// The record of work that tells of it.
    pub record: RecordId,
    /// The finds that are followed together, each with the number of pieces where it is bulk.
    pub finds: Vec<(FindId, Option<i64>)>,
}

/// How a run ended.
#[derive(Debug, Clone)]
pub struct Ending {
    /// The record of work that closes it.
    pub record: RecordId,
    /// Whether what was to be reached was reached; otherwise it was broken off.
    pub well: bool,
    pub words: String,
}

/// A run as read.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Run {
    #[sqlx(try_from = "Uuid")]
    pub id: RunId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    #[sqlx(try_from = "String")]
    pub kind: RunKind,
    pub started_at: Instant,
    pub done_by: String,
    pub method: String,
    standard: Option<String>,
    balance_g: Option<f64>,
    rh_start_pct: Option<f64>,
    rh_end_pct: Option<f64>,
    rh_step_pct: Option<f64>,
    hold_days: Option<f64>,
    chamber_c: Option<f64>,
    mass_g: Option<f64>,
    carry_over_l: Option<f64>,
    threshold: Option<f64>,
    baths_in_row: Option<i64>,
    threshold_reason: Option<String>,
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    pub ended_at: Option<Instant>,
    pub ended_well: Option<bool>,
    pub end_words: Option<String>,
    pub recorded_by: String,
}

impl Run {
    /// What it goes by.
    ///
    /// # Errors
    /// `Corrupt` if a column its kind needs is empty.
    pub fn plan(&self) -> Result<Plan> {
        let plan = match self.kind {
            RunKind::Drying => self.drying().map(Plan::Drying),
            RunKind::Desalination => self.desalination().map(Plan::Desalination),
        };
        plan.ok_or_else(|| StoreError::Corrupt {
            column: "run.kind".into(),
            cause: "its plan is incomplete".into(),
        })
    }

    fn drying(&self) -> Option<DryingPlan> {
        Some(DryingPlan {
            standard: self.standard.clone()?,
            balance_g: self.balance_g?,
            schedule: self.schedule(),
        })
    }

    fn schedule(&self) -> Option<Schedule> {
        Some(Schedule {
            start_pct: self.rh_start_pct?,
            end_pct: self.rh_end_pct?,
            step_pct: self.rh_step_pct?,
            hold_days: self.hold_days?,
            chamber_c: self.chamber_c?,
        })
    }

    fn desalination(&self) -> Option<BathPlan> {
        Some(BathPlan {
            mass_g: self.mass_g?,
            carry_over_l: self.carry_over_l?,
            threshold: self.threshold?,
            baths_in_row: self.baths_in_row?,
            threshold_reason: self.threshold_reason.clone()?,
        })
    }
}

/// Keeps a run with its finds.
pub async fn insert(tx: &mut Tx, run: &NewRun, by: PersonId, now: Instant) -> Result<RunId> {
    let id = RunId::new(now);
    let (drying, bath) = match &run.plan {
        Plan::Drying(plan) => (Some(plan), None),
        Plan::Desalination(plan) => (None, Some(plan)),
    };
    let schedule = drying.and_then(|plan| plan.schedule);
    tx.sql(sql!(
        "INSERT INTO run (id, project_id, kind, started_at, done_by, method, standard, balance_g, rh_start_pct, rh_end_pct,
            rh_step_pct, hold_days, chamber_c, mass_g, carry_over_l, threshold, baths_in_row, threshold_reason, record_id,
            recorded_by, recorded_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14, $15, $16, $17, $18, $19, $20, $21)"
    ))
    .bind(id.0)
    .bind(run.project.0)
    .bind(run.plan.kind().code())
    .bind(domain::cut(run.started_at))
    .bind(run.done_by.clone())
    .bind(run.method.clone())
    .bind(drying.map(|plan| plan.standard.clone()))
    .bind(drying.map(|plan| plan.balance_g))
    .bind(schedule.map(|s| s.start_pct))
    .bind(schedule.map(|s| s.end_pct))
    .bind(schedule.map(|s| s.step_pct))
    .bind(schedule.map(|s| s.hold_days))
    .bind(schedule.map(|s| s.chamber_c))
    .bind(bath.map(|plan| plan.mass_g))
    .bind(bath.map(|plan| plan.carry_over_l))
    .bind(bath.map(|plan| plan.threshold))
    .bind(bath.map(|plan| plan.baths_in_row))
    .bind(bath.map(|plan| plan.threshold_reason.clone()))
    .bind(run.record.0)
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    for (find, quantity) in &run.finds {
        tx.sql(sql!("INSERT INTO run_find (run_id, find_id, quantity) VALUES ($1, $2, $3)"))
            .bind(id.0)
            .bind(find.0)
            .bind(*quantity)
            .run()
            .await?;
    }
    Ok(id)
}

/// One run.
pub async fn find(tx: &mut Tx, id: RunId) -> Result<Option<Run>> {
    tx.sql(sql!(
        "SELECT r.id, r.project_id, r.kind, r.started_at, r.done_by, r.method, r.standard, r.balance_g, r.rh_start_pct,
            r.rh_end_pct, r.rh_step_pct, r.hold_days, r.chamber_c, r.mass_g, r.carry_over_l, r.threshold, r.baths_in_row,
            r.threshold_reason, r.record_id, r.ended_at, r.ended_well, r.end_words, p.name AS recorded_by
         FROM run r JOIN person p ON p.id = r.recorded_by WHERE r.id = $1"
    ))
    .bind(id.0)
    .opt()
    .await
}

#[derive(sqlx::FromRow)]
struct PartRow {
    #[sqlx(try_from = "Uuid")]
    find_id: FindId,
    quantity: Option<i64>,
}

/// The finds of a run, each with its quantity.
pub async fn list_finds(tx: &mut Tx, id: RunId) -> Result<Vec<(FindId, Option<i64>)>> {
    let rows: Vec<PartRow> = tx
        .sql(sql!(
            "SELECT rf.find_id, rf.quantity FROM run_find rf JOIN find f ON f.id = rf.find_id
             WHERE rf.run_id = $1 ORDER BY f.sort_key, f.id"
        ))
        .bind(id.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| (row.find_id, row.quantity)).collect())
}

/// A run with one of its finds, as lists show it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct RunLine {
    #[sqlx(try_from = "Uuid")]
    pub id: RunId,
    #[sqlx(try_from = "String")]
    pub kind: RunKind,
    pub started_at: Instant,
    pub ended_at: Option<Instant>,
    pub ended_well: Option<bool>,
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    pub find_number: String,
    pub find_words: String,
    pub restricted: bool,
    /// Weighings or baths that stand.
    pub readings: i64,
}

/// The runs of a find, the latest first.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<RunLine>> {
    tx.sql(sql!(
        "SELECT r.id, r.kind, r.started_at, r.ended_at, r.ended_well, r.record_id, f.number AS find_number,
            f.object_type AS find_words, f.restricted,
            CAST((SELECT COUNT(*) FROM weighing w WHERE w.run_id = r.id AND w.withdrawn_why IS NULL)
               + (SELECT COUNT(*) FROM bath b WHERE b.run_id = r.id AND b.withdrawn_why IS NULL) AS BIGINT) AS readings
         FROM run_find rf JOIN run r ON r.id = rf.run_id JOIN find f ON f.id = rf.find_id
         WHERE rf.find_id = $1 ORDER BY r.started_at DESC, r.id DESC"
    ))
    .bind(find.0)
    .all()
    .await
}

/// The runs of a project, running ones first, then the latest; a run of several finds once for each.
pub async fn list_of_project(tx: &mut Tx, project: ProjectId, most: i64) -> Result<Vec<RunLine>> {
    tx.sql(sql!(
        "SELECT r.id, r.kind, r.started_at, r.ended_at, r.ended_well, r.record_id, f.number AS find_number,
            f.object_type AS find_words, f.restricted,
            CAST((SELECT COUNT(*) FROM weighing w WHERE w.run_id = r.id AND w.withdrawn_why IS NULL)
               + (SELECT COUNT(*) FROM bath b WHERE b.run_id = r.id AND b.withdrawn_why IS NULL) AS BIGINT) AS readings
         FROM run r JOIN run_find rf ON rf.run_id = r.id JOIN find f ON f.id = rf.find_id
         WHERE r.project_id = $1
         ORDER BY CASE WHEN r.ended_at IS NULL THEN 0 ELSE 1 END, r.started_at DESC, r.id, f.sort_key LIMIT $2"
    ))
    .bind(project.0)
    .bind(most)
    .all()
    .await
}

/// A run that is on, with the record that tells of it.
#[derive(Debug, Clone, Copy, sqlx::FromRow)]
pub struct Running {
    #[sqlx(try_from = "Uuid")]
    pub id: RunId,
    #[sqlx(try_from = "Uuid")]
    pub record: RecordId,
}

/// The run of a find that does this and is on, if there is one.
pub async fn find_running(tx: &mut Tx, find: FindId, kind: RunKind) -> Result<Option<Running>> {
    tx.sql(sql!(
        "SELECT r.id, r.record_id AS record FROM run_find rf JOIN run r ON r.id = rf.run_id
         WHERE rf.find_id = $1 AND r.kind = $2 AND r.ended_at IS NULL ORDER BY r.id LIMIT 1"
    ))
    .bind(find.0)
    .bind(kind.code())
    .opt()
    .await
}

/// Whether a run tells of itself by this record.
pub async fn is_of_run(tx: &mut Tx, record: RecordId) -> Result<bool> {
    let run: Option<Uuid> =
        tx.sql(sql!("SELECT id FROM run WHERE record_id = $1")).bind(record.0).cell().await?;
    Ok(run.is_some())
}

/// Ends a running run; false if it has ended already.
pub async fn update_end(tx: &mut Tx, id: RunId, ending: &Ending, now: Instant) -> Result<bool> {
    let rows = tx
        .sql(sql!(
            "UPDATE run SET record_id = $2, ended_at = $3, ended_well = $4, end_words = $5
             WHERE id = $1 AND ended_at IS NULL"
        ))
        .bind(id.0)
        .bind(ending.record.0)
        .bind(domain::cut(now))
        .bind(ending.well)
        .bind(ending.words.clone())
        .run()
        .await?;
    Ok(rows == 1)
}

/// Lets an ended run go on; false if it runs.
pub async fn update_reopened(tx: &mut Tx, id: RunId) -> Result<bool> {
    let rows = tx
        .sql(sql!(
            "UPDATE run SET ended_at = NULL, ended_well = NULL, end_words = NULL WHERE id = $1 AND ended_at IS NOT NULL"
        ))
        .bind(id.0)
        .run()
        .await?;
    Ok(rows == 1)
}
