//! Treatment steps: aim, area, times, masses, what came off, materials; and how a step went beyond the level agreed.
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::ids::{FindId, ProjectId, RecordId};
use domain::treatment::{Basis, Material, Treatment};

/// Keeps what a record of work holds besides its words.
pub async fn insert(tx: &mut Tx, record: RecordId, treatment: &Treatment) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO treatment (record_id, aim, area, area_cm2, begun_min, ended_min, people, mass_before_g, mass_after_g,
            removed, kept) VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11)"
    ))
    .bind(record.0)
    .bind(treatment.aim.clone())
    .bind(treatment.area.clone())
    .bind(treatment.area_cm2)
    .bind(treatment.begun_min)
    .bind(treatment.ended_min)
    .bind(treatment.people)
    .bind(treatment.mass_before_g)
    .bind(treatment.mass_after_g)
    .bind(treatment.removed.clone())
    .bind(treatment.kept.clone())
    .run()
    .await?;
    for (position, material) in (1i64..).zip(&treatment.materials) {
        tx.sql(sql!(
            "INSERT INTO treatment_material (record_id, position, name, batch, concentration_pct, basis)
             VALUES ($1, $2, $3, $4, $5, $6)"
        ))
        .bind(record.0)
        .bind(position)
        .bind(material.name.clone())
        .bind(material.batch.clone())
        .bind(material.concentration.map(|(percent, _)| percent))
        .bind(material.concentration.map_or("", |(_, basis)| basis.code()))
        .run()
        .await?;
    }
    Ok(())
}

#[derive(sqlx::FromRow)]
struct TreatmentRow {
    #[sqlx(try_from = "uuid::Uuid")]
    record_id: RecordId,
    aim: String,
    area: String,
    area_cm2: Option<f64>,
    begun_min: Option<i64>,
    ended_min: Option<i64>,
    people: i64,
    mass_before_g: Option<f64>,
    mass_after_g: Option<f64>,
    removed: String,
    kept: String,
}

#[derive(sqlx::FromRow)]
struct MaterialRow {
    #[sqlx(try_from = "uuid::Uuid")]
    record_id: RecordId,
    name: String,
    batch: String,
    concentration_pct: Option<f64>,
    basis: String,
}

/// The steps of a find, by their records.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<(RecordId, Treatment)>> {
    let rows: Vec<TreatmentRow> = tx
        .sql(sql!(
            "SELECT t.record_id, t.aim, t.area, t.area_cm2, t.begun_min, t.ended_min, t.people, t.mass_before_g,
                t.mass_after_g, t.removed, t.kept
             FROM work_record_find wf JOIN treatment t ON t.record_id = wf.record_id WHERE wf.find_id = $1"
        ))
        .bind(find.0)
        .all()
        .await?;
    if rows.is_empty() {
        return Ok(Vec::new());
    }
    let materials: Vec<MaterialRow> = tx
        .sql(sql!(
            "SELECT m.record_id, m.name, m.batch, m.concentration_pct, m.basis FROM work_record_find wf
             JOIN treatment_material m ON m.record_id = wf.record_id WHERE wf.find_id = $1 ORDER BY m.record_id, m.position"
        ))
        .bind(find.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| gather(row, &materials)).collect())
}

fn gather(row: TreatmentRow, materials: &[MaterialRow]) -> (RecordId, Treatment) {
    let material = |used: &MaterialRow| Material {
        name: used.name.clone(),
        batch: used.batch.clone(),
        concentration: used.concentration_pct.zip(used.basis.parse::<Basis>().ok()),
    };
    let of_it = materials.iter().filter(|used| used.record_id == row.record_id);
    let treatment = Treatment {
        materials: of_it.map(material).collect(),
        aim: row.aim,
        area: row.area,
        area_cm2: row.area_cm2,
        begun_min: row.begun_min,
        ended_min: row.ended_min,
        people: row.people,
        mass_before_g: row.mass_before_g,
        mass_after_g: row.mass_after_g,
        removed: row.removed,
        kept: row.kept,
    };
    (row.record_id, treatment)
}

/// How a step went beyond what was agreed for a find.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Beyond {
    #[sqlx(try_from = "uuid::Uuid")]
    pub record_id: RecordId,
    #[sqlx(try_from = "uuid::Uuid")]
    pub find_id: FindId,
    pub find_number: String,
    pub object_type: String,
    pub stage: String,
    pub done_on: NaiveDate,
    pub done_by: String,
    pub words: String,
}

/// Notes that a step went beyond the level agreed for a find.
pub async fn insert_beyond(tx: &mut Tx, record: RecordId, find: FindId, words: &str) -> Result<()> {
    tx.sql(sql!("INSERT INTO step_beyond (record_id, find_id, words) VALUES ($1, $2, $3)"))
        .bind(record.0)
        .bind(find.0)
        .bind(words.to_owned())
        .run()
        .await?;
    Ok(())
}

/// The standing steps of a find that went beyond, the first first.
pub async fn list_beyond(tx: &mut Tx, find: FindId) -> Result<Vec<Beyond>> {
    tx.sql(sql!(
        "SELECT b.record_id, b.find_id, f.number AS find_number, f.object_type, w.stage, w.done_on, w.done_by, b.words
         FROM step_beyond b JOIN work_record w ON w.id = b.record_id JOIN find f ON f.id = b.find_id
         WHERE b.find_id = $1 AND w.superseded_at IS NULL ORDER BY w.recorded_at, w.id"
    ))
    .bind(find.0)
    .all()
    .await
}

/// The standing steps of a project that went beyond, the latest first.
pub async fn list_beyond_in(tx: &mut Tx, project: ProjectId, restricted_too: bool) -> Result<Vec<Beyond>> {
    tx.sql(sql!(
        "SELECT b.record_id, b.find_id, f.number AS find_number, f.object_type, w.stage, w.done_on, w.done_by, b.words
         FROM step_beyond b JOIN work_record w ON w.id = b.record_id JOIN find f ON f.id = b.find_id
         WHERE w.project_id = $1 AND w.superseded_at IS NULL AND ($2 OR NOT f.restricted)
         ORDER BY w.recorded_at DESC, f.sort_key LIMIT 500"
    ))
    .bind(project.0)
    .bind(restricted_too)
    .all()
    .await
}
