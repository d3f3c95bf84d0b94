//! What was seen on the finds of a project and done to them, for its report: standing, closed records; neither void nor
//! restricted finds.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::examination::{Method, Verdict};
use domain::ids::{FindId, ProjectId, RecordId};
use domain::stages::Stage;
use uuid::Uuid;

/// A condition assessment of one find.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Assessment {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub done_on: NaiveDate,
    pub condition_word: String,
    pub stability_word: String,
    pub risk: String,
    pub recommendation: String,
}

/// The assessments of a project, the earliest first.
pub async fn list_assessments(tx: &mut Tx, project: ProjectId) -> Result<Vec<Assessment>> {
    tx.sql(sql!(
        "SELECT w.id AS record_id, wf.find_id, w.done_on, a.condition_word, a.stability_word, a.risk, a.recommendation
         FROM work_record w JOIN assessment a ON a.record_id = w.id JOIN work_record_find wf ON wf.record_id = w.id
         JOIN find f ON f.id = wf.find_id
         WHERE w.project_id = $1 AND w.finished AND w.superseded_at IS NULL AND NOT f.restricted AND f.void_at IS NULL
         ORDER BY w.done_on, w.recorded_at, w.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// Something seen on an assessment.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Alteration {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    pub word: String,
    pub place: String,
    pub extent_pct: Option<f64>,
}

/// What the assessments of a project saw, in their order.
pub async fn list_alterations(tx: &mut Tx, project: ProjectId) -> Result<Vec<Alteration>> {
    tx.sql(sql!(
        "SELECT a.record_id, a.word, a.place, a.extent_pct FROM alteration a JOIN work_record w ON w.id = a.record_id
         WHERE w.project_id = $1 AND w.finished AND w.superseded_at IS NULL ORDER BY a.record_id, a.position"
    ))
    .bind(project.0)
    .all()
    .await
}

/// An examination as far as it speaks of one find.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Examination {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub done_on: NaiveDate,
    #[sqlx(try_from = "String")]
    pub method: Method,
    pub question: String,
    #[sqlx(try_from = "String")]
    pub result: Verdict,
    /// What is seen of this find where a picture shows several, else what is seen.
    pub seen: String,
}

/// The examinations of a project, the earliest first.
pub async fn list_examinations(tx: &mut Tx, project: ProjectId) -> Result<Vec<Examination>> {
    tx.sql(sql!(
        "SELECT wf.find_id, w.done_on, e.method, e.question, e.result, COALESCE(NULLIF(r.seen, ''), e.seen) AS seen
         FROM work_record w JOIN examination e ON e.record_id = w.id JOIN work_record_find wf ON wf.record_id = w.id
         JOIN find f ON f.id = wf.find_id LEFT JOIN plate_region r ON r.record_id = w.id AND r.find_id = wf.find_id
         WHERE w.project_id = $1 AND w.finished AND w.superseded_at IS NULL AND NOT f.restricted AND f.void_at IS NULL
         ORDER BY w.done_on, w.recorded_at, w.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A treatment step on one find.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Step {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    pub done_on: NaiveDate,
    pub done_by: String,
    pub method: String,
    pub materials: String,
    pub outcome: String,
    pub mixture: Option<String>,
    pub removed: Option<String>,
    /// How it went beyond the agreed level.
    pub beyond: Option<String>,
}

/// The steps of a project that treated finds, the earliest first.
pub async fn list_steps(tx: &mut Tx, project: ProjectId) -> Result<Vec<Step>> {
    tx.sql(sql!(
        "SELECT w.id AS record_id, wf.find_id, w.stage, w.done_on, w.done_by, w.method, w.materials, w.outcome, c.mixture,
            t.removed, b.words AS beyond
         FROM work_record w JOIN work_record_find wf ON wf.record_id = w.id JOIN find f ON f.id = wf.find_id
         LEFT JOIN treatment t ON t.record_id = w.id LEFT JOIN wet_clean c ON c.record_id = w.id
         LEFT JOIN step_beyond b ON b.record_id = w.id AND b.find_id = wf.find_id
         WHERE w.project_id = $1 AND w.finished AND w.superseded_at IS NULL AND NOT f.restricted AND f.void_at IS NULL
            AND w.stage IN ('dry_clean', 'wet_clean', 'drying', 'desalination')
         ORDER BY w.done_on, w.recorded_at, w.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A material used in a step.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Used {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    pub name: String,
    pub batch: String,
    pub concentration_pct: Option<f64>,
    pub basis: String,
}

/// What the steps of a project used, in their order.
pub async fn list_used(tx: &mut Tx, project: ProjectId) -> Result<Vec<Used>> {
    tx.sql(sql!(
        "SELECT m.record_id, m.name, m.batch, m.concentration_pct, m.basis
         FROM treatment_material m JOIN work_record w ON w.id = m.record_id
         WHERE w.project_id = $1 AND w.finished AND w.superseded_at IS NULL ORDER BY m.record_id, m.position"
    ))
    .bind(project.0)
    .all()
    .await
}
