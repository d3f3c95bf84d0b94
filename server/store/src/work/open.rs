//! Records that are not closed yet, with what they hold so far.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::ids::{FindId, PersonId, ProjectId, RecordId};
use domain::stages::Stage;
use domain::treatment::{Need, lacking};
use uuid::Uuid;

/// An open record on one of its finds.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Open {
    #[sqlx(try_from = "Uuid")]
    pub id: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub find_number: String,
    pub project_code: String,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    pub done_on: NaiveDate,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub restricted: bool,
    method: String,
    materials: String,
    outcome: String,
    aim: Option<String>,
    area: Option<String>,
    begun_min: Option<i64>,
    ended_min: Option<i64>,
    removed: Option<String>,
    end_rule: Option<String>,
    checked_by: Option<String>,
    container: Option<String>,
    layers_to_keep: Option<String>,
    evidence: Option<String>,
    consulted: Option<String>,
    materials_named: i64,
    tests: i64,
    images: i64,
}

impl Open {
    /// What it still lacks, a photograph among it.
    pub fn lacks(&self) -> Vec<Need> {
        let said = |words: &Option<String>| words.as_ref().is_some_and(|words| !words.is_empty());
        let has = |need: Need| match need {
            Need::Aim => said(&self.aim),
            Need::Method => !self.method.is_empty(),
            Need::Materials => !self.materials.is_empty() || self.materials_named > 0,
            Need::Area => said(&self.area),
            Need::Times => self.begun_min.is_some() && self.ended_min.is_some(),
            Need::Outcome => !self.outcome.is_empty(),
            Need::Removed => said(&self.removed),
            Need::EndRule => said(&self.end_rule),
            Need::CheckedBy => said(&self.checked_by),
            Need::Container => said(&self.container),
            Need::Layers => said(&self.layers_to_keep),
            Need::Evidence => said(&self.evidence) || self.tests > 0 || self.images > 0,
            Need::Consulted => said(&self.consulted),
            Need::Photograph => self.images > 0,
        };
        lacking(self.stage, has)
    }
}

/// The open records of a find.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Open>> {
    tx.sql(sql!(
        "SELECT w.id, f.id AS find_id, f.number AS find_number, p.code AS project_code, w.stage, w.done_on, w.project_id, f.restricted, w.method,
            w.materials, w.outcome, t.aim, t.area, t.begun_min, t.ended_min, t.removed, d.end_rule, d.checked_by,
            k.container, l.layers_to_keep, l.evidence, l.consulted,
            (SELECT COUNT(*) FROM treatment_material m WHERE m.record_id = w.id) AS materials_named,
            (SELECT COUNT(*) FROM level_evidence e WHERE e.record_id = w.id) AS tests,
            (SELECT COUNT(*) FROM image_record i WHERE i.record_id = w.id) AS images
         FROM work_record_find wf JOIN work_record w ON w.id = wf.record_id JOIN find f ON f.id = wf.find_id
         JOIN project p ON p.id = w.project_id LEFT JOIN treatment t ON t.record_id = w.id
         LEFT JOIN drying d ON d.record_id = w.id LEFT JOIN package k ON k.record_id = w.id
         LEFT JOIN cleaning_level l ON l.record_id = w.id
         WHERE wf.find_id = $1 AND NOT w.finished AND w.superseded_at IS NULL ORDER BY w.done_on, w.id"
    ))
    .bind(find.0)
    .all()
    .await
}

/// The open records of a person, the oldest first.
pub async fn list_of_person(tx: &mut Tx, person: PersonId, most: i64) -> Result<Vec<Open>> {
    tx.sql(sql!(
        "SELECT w.id, f.id AS find_id, f.number AS find_number, p.code AS project_code, w.stage, w.done_on, w.project_id, f.restricted, w.method,
            w.materials, w.outcome, t.aim, t.area, t.begun_min, t.ended_min, t.removed, d.end_rule, d.checked_by,
            k.container, l.layers_to_keep, l.evidence, l.consulted,
            (SELECT COUNT(*) FROM treatment_material m WHERE m.record_id = w.id) AS materials_named,
            (SELECT COUNT(*) FROM level_evidence e WHERE e.record_id = w.id) AS tests,
            (SELECT COUNT(*) FROM image_record i WHERE i.record_id = w.id) AS images
         FROM work_record w JOIN work_record_find wf ON wf.record_id = w.id JOIN find f ON f.id = wf.find_id
         JOIN project p ON p.id = w.project_id LEFT JOIN treatment t ON t.record_id = w.id
         LEFT JOIN drying d ON d.record_id = w.id LEFT JOIN package k ON k.record_id = w.id
         LEFT JOIN cleaning_level l ON l.record_id = w.id
         WHERE w.recorded_by = $1 AND NOT w.finished AND w.superseded_at IS NULL ORDER BY w.done_on, w.id LIMIT $2"
    ))
    .bind(person.0)
    .bind(most)
    .all()
    .await
}
