//! What a report is drawn from: every record of a project, read in one go.
pub mod care;

use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{FindId, ImageId, ProjectId};
use domain::stages::{Stage, StageState};
use uuid::Uuid;

/// A find as a report prints it.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct ReportFind {
    #[sqlx(try_from = "Uuid")]
    pub id: FindId,
    pub number: String,
    pub bulk: bool,
    pub context_number: Option<String>,
    pub material: String,
    pub material_name: String,
    pub material_words: String,
    pub object_type: String,
    pub description: String,
    pub quantity: i64,
    /// An event took the last piece away, so that nought is a count.
    pub counted_to_none: bool,
    pub weight_g: Option<f64>,
    pub length_mm: Option<f64>,
    pub width_mm: Option<f64>,
    pub thickness_mm: Option<f64>,
    pub diameter_mm: Option<f64>,
    pub period: String,
    pub condition_note: String,
    pub own_route: Option<String>,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    #[sqlx(try_from = "String")]
    pub stage_state: StageState,
    pub registered_at: Instant,
}

/// The finds of a project that may be printed, by number: neither void nor restricted.
pub async fn list_finds(tx: &mut Tx, project: ProjectId) -> Result<Vec<ReportFind>> {
    tx.sql(sql!(
        "SELECT f.id, f.number, f.bulk, c.number AS context_number, f.material, m.name AS material_name, f.material_words,
            f.object_type, f.description, f.quantity, (f.quantity = 0 AND EXISTS (SELECT 1 FROM quantity_event_find q
                WHERE q.find_id = f.id AND q.quantity_before > 0 AND q.quantity_after = 0)) AS counted_to_none, f.weight_g, f.length_mm, f.width_mm, f.thickness_mm, f.diameter_mm,
            f.period, f.condition_note, f.own_route, f.stage, f.stage_state, f.registered_at
         FROM find f JOIN material m ON m.project_id = f.project_id AND m.code = f.material
         LEFT JOIN context c ON c.id = f.context_id
         WHERE f.project_id = $1 AND f.void_at IS NULL AND NOT f.restricted ORDER BY f.sort_key, f.id"
    ))
    .bind(project.0)
    .all()
    .await
}

/// How many finds are left out because they are restricted.
pub async fn count_restricted(tx: &mut Tx, project: ProjectId) -> Result<i64> {
    let count = tx
        .sql(sql!("SELECT CAST(COUNT(*) AS BIGINT) FROM find WHERE project_id = $1 AND restricted AND void_at IS NULL"))
        .bind(project.0)
        .cell()
        .await?;
    Ok(count.unwrap_or(0))
}

/// The mark of one stage of one find.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct ReportMark {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    #[sqlx(try_from = "String")]
    pub state: StageState,
}

/// Every mark of a project.
pub async fn list_marks(tx: &mut Tx, project: ProjectId) -> Result<Vec<ReportMark>> {
    tx.sql(sql!(
        "SELECT s.find_id, s.stage, s.state FROM find_stage s JOIN find f ON f.id = s.find_id
         WHERE f.project_id = $1 AND NOT f.restricted AND f.void_at IS NULL"
    ))
    .bind(project.0)
    .all()
    .await
}

/// How far a stage of work went, in the words of its record.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Extent {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    pub words: String,
    pub done_on: NaiveDate,
}

/// The extents of all standing records of a project, the earliest first.
pub async fn list_extents(tx: &mut Tx, project: ProjectId) -> Result<Vec<Extent>> {
    tx.sql(sql!(
        "SELECT wf.find_id, w.stage, COALESCE(l.level, k.container, w.outcome) AS words, w.done_on
         FROM work_record w JOIN work_record_find wf ON wf.record_id = w.id
         LEFT JOIN cleaning_level l ON l.record_id = w.id LEFT JOIN package k ON k.record_id = w.id
         WHERE w.project_id = $1 AND w.superseded_at IS NULL ORDER BY w.done_on, w.recorded_at"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A hold that stands.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct OpenHold {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub reason: String,
    pub placed_at: Instant,
}

/// The standing holds of a project.
pub async fn list_holds(tx: &mut Tx, project: ProjectId) -> Result<Vec<OpenHold>> {
    tx.sql(sql!(
        "SELECT h.find_id, h.reason, h.placed_at FROM hold h JOIN find f ON f.id = h.find_id
         WHERE f.project_id = $1 AND h.released_at IS NULL ORDER BY h.placed_at"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A find a specialist still owes an opinion on.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct OwedOpinion {
    pub find_number: String,
    pub specialist_name: String,
    pub due_on: NaiveDate,
}

/// The opinions still owed in a project, the soonest due first.
pub async fn list_owed_opinions(tx: &mut Tx, project: ProjectId) -> Result<Vec<OwedOpinion>> {
    tx.sql(sql!(
        "SELECT f.number AS find_number, s.name AS specialist_name, a.due_on
         FROM assignment a JOIN assignment_find af ON af.assignment_id = a.id JOIN find f ON f.id = af.find_id
         JOIN person s ON s.id = a.specialist_id
         WHERE a.project_id = $1 AND a.closed_at IS NULL AND NOT f.restricted AND f.void_at IS NULL
            AND NOT EXISTS (SELECT 1 FROM opinion o WHERE o.find_id = f.id AND o.author_id = a.specialist_id)
         ORDER BY a.due_on, f.sort_key"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A person with a role in a project, credited in its report.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Credited {
    pub name: String,
    pub qualification: String,
    pub role: String,
}

/// Who prepares the report: the managers and the lead conservators.
pub async fn list_credited(tx: &mut Tx, project: ProjectId) -> Result<Vec<Credited>> {
    tx.sql(sql!(
        "SELECT p.name, p.qualification, m.role FROM membership m JOIN person p ON p.id = m.person_id
         WHERE m.project_id = $1 AND m.role IN ('manager', 'lead') ORDER BY m.role DESC, p.name"
    ))
    .bind(project.0)
    .all()
    .await
}

/// A photograph with a find it shows.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct ReportImage {
    pub id: Uuid,
    pub sha256: String,
    pub caption: String,
    pub credit: String,
    pub find_number: String,
    pub object_type: String,
}

/// The checksum of a photograph that may be printed; nothing of any other.
pub async fn find_photograph(tx: &mut Tx, project: ProjectId, image: ImageId) -> Result<Option<String>> {
    tx.sql(sql!(
        "SELECT i.sha256 FROM image i
         WHERE i.project_id = $1 AND i.id = $2 AND i.withdrawn_at IS NULL
            AND EXISTS (SELECT 1 FROM image_find l JOIN find f ON f.id = l.find_id
                        WHERE l.image_id = i.id AND NOT f.restricted AND f.void_at IS NULL)
            AND NOT EXISTS (SELECT 1 FROM image_find o JOIN find r ON r.id = o.find_id
                            WHERE o.image_id = i.id AND r.restricted)"
    ))
    .bind(project.0)
    .bind(image.0)
    .cell()
    .await
}

/// The photographs of finds that may be printed, by find and order.
pub async fn list_photographs(tx: &mut Tx, project: ProjectId, most: i64) -> Result<Vec<ReportImage>> {
    tx.sql(sql!(
        "SELECT i.id, i.sha256, i.caption, i.credit, f.number AS find_number, f.object_type
         FROM image i JOIN image_find l ON l.image_id = i.id JOIN find f ON f.id = l.find_id
         WHERE i.project_id = $1 AND i.withdrawn_at IS NULL AND NOT f.restricted AND f.void_at IS NULL
            AND NOT EXISTS (SELECT 1 FROM image_find o JOIN find r ON r.id = o.find_id
                            WHERE o.image_id = i.id AND r.restricted)
         ORDER BY f.sort_key, l.position, i.id LIMIT $2"
    ))
    .bind(project.0)
    .bind(most)
    .all()
    .await
}
