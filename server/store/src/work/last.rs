//! What a person recorded last, to be offered again.
use crate::{Result, Tx, sql};
use domain::ids::{FindId, PersonId, ProjectId, RecordId};
use domain::stages::Stage;
use uuid::Uuid;

/// The latest record of this person for this stage in the project, with one of its finds.
#[derive(Debug, Clone, Copy, sqlx::FromRow)]
pub struct Last {
    #[sqlx(try_from = "Uuid")]
    pub record: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub find: FindId,
}

/// Where the latest record stands.
pub async fn find(tx: &mut Tx, project: ProjectId, stage: Stage, by: PersonId) -> Result<Option<Last>> {
    tx.sql(sql!(
        "SELECT w.id AS record, (SELECT wf.find_id FROM work_record_find wf WHERE wf.record_id = w.id
                                 ORDER BY wf.find_id LIMIT 1) AS find
         FROM work_record w WHERE w.project_id = $1 AND w.stage = $2 AND w.recorded_by = $3 AND w.superseded_at IS NULL
         ORDER BY w.recorded_at DESC, w.id DESC LIMIT 1"
    ))
    .bind(project.0)
    .bind(stage.code())
    .bind(by.0)
    .opt()
    .await
}
