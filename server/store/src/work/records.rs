//! What was done, by whom, with what, to which finds.
use crate::review::reopenings;
use crate::{Result, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::examination::{Method, Verdict};
use domain::ids::{FindId, PersonId, ProjectId, RecordId, StandingId};
use domain::review::Reopened;
use domain::stages::Stage;
use domain::work::Detail;
use uuid::Uuid;

/// A record to be kept.
#[derive(Debug, Clone)]
pub struct NewRecord {
    pub project: ProjectId,
    pub stage: Stage,
    pub done_by: String,
    pub done_on: NaiveDate,
    pub method: String,
    pub materials: String,
    pub outcome: String,
    pub note: String,
    pub finished: bool,
    pub standing: Option<StandingId>,
    pub supersedes: Option<RecordId>,
    pub detail: Detail,
    /// The finds treated together, each with the number of pieces where it is bulk.
    pub finds: Vec<(FindId, Option<i64>)>,
}

/// A record as read, with the details of its kind where it has them.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Record {
    #[sqlx(try_from = "Uuid")]
    pub id: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    #[sqlx(try_from = "String")]
    pub stage: Stage,
    pub done_by: String,
    pub done_on: NaiveDate,
    pub method: String,
    pub materials: String,
    pub outcome: String,
    pub note: String,
    pub finished: bool,
    pub recorded_by: String,
    pub recorded_at: Instant,
    pub superseded_at: Option<Instant>,
    pub standing_words: Option<String>,
    pub quantity: Option<i64>,
    pub test_site: Option<String>,
    pub test_mixture: Option<String>,
    pub test_dwell_s: Option<i64>,
    pub test_soiling: Option<String>,
    pub test_original: Option<String>,
    pub test_decision: Option<String>,
    pub level: Option<String>,
    pub layers_to_keep: Option<String>,
    pub stop_point: Option<String>,
    pub decided_by: Option<String>,
    pub level_answer: Option<String>,
    pub wet_mixture: Option<String>,
    pub start_mass_g: Option<f64>,
    pub end_mass_g: Option<f64>,
    pub end_rule: Option<String>,
    pub checked_by: Option<String>,
    pub container: Option<String>,
    pub microclimate: Option<String>,
    pub sealed_on: Option<NaiveDate>,
    pub next_check_on: Option<NaiveDate>,
}

/// Keeps a record with its details and finds; a corrected record is marked as superseded.
pub async fn insert(tx: &mut Tx, record: &NewRecord, by: PersonId, now: Instant) -> Result<RecordId> {
    let id = RecordId::new(now);
    tx.sql(sql!(
        "INSERT INTO work_record (id, project_id, stage, done_by, done_on, method, materials, outcome, note, finished,
            standing_id, supersedes_id, recorded_by, recorded_at)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13, $14)"
    ))
    .bind(id.0)
    .bind(record.project.0)
    .bind(record.stage.code())
    .bind(record.done_by.clone())
    .bind(record.done_on)
    .bind(record.method.clone())
    .bind(record.materials.clone())
    .bind(record.outcome.clone())
    .bind(record.note.clone())
    .bind(record.finished)
    .bind(record.standing.map(Uuid::from))
    .bind(record.supersedes.map(Uuid::from))
    .bind(by.0)
    .bind(domain::cut(now))
    .run()
    .await?;
    for (find, quantity) in &record.finds {
        tx.sql(sql!("INSERT INTO work_record_find (record_id, find_id, quantity) VALUES ($1, $2, $3)"))
            .bind(id.0)
            .bind(find.0)
            .bind(*quantity)
            .run()
            .await?;
    }
    if let Some(old) = record.supersedes {
        tx.sql(sql!("UPDATE work_record SET superseded_at = $2 WHERE id = $1"))
            .bind(old.0)
            .bind(domain::cut(now))
            .run()
            .await?;
    }
    insert_detail(tx, id, &record.detail).await?;
    reopen(tx, record, by, now).await?;
    Ok(id)
}

/// A finished X-ray that answers something opens what was settled again.
async fn reopen(tx: &mut Tx, record: &NewRecord, by: PersonId, now: Instant) -> Result<()> {
    let Detail::Examination(seen) = &record.detail else { return Ok(()) };
    if seen.method != Method::Xray || seen.verdict == Verdict::NotPossible || !record.finished {
        return Ok(());
    }
    for (find, _) in &record.finds {
        let here = seen.regions.iter().find(|region| region.find == *find).map(|region| region.seen.as_str());
        let words = here.filter(|words| !words.is_empty()).unwrap_or(&seen.seen);
        let words = format!("{}. {words}", seen.verdict);
        reopenings::insert(tx, *find, (Reopened::Xray, words.trim_end()), Some(by), now).await?;
    }
    Ok(())
}

async fn insert_detail(tx: &mut Tx, id: RecordId, detail: &Detail) -> Result<()> {
    let statement = match detail {
        Detail::Plain => return Ok(()),
        Detail::Condition(assessment) => return super::assessments::insert(tx, id, assessment).await,
        Detail::Examination(examination) => return super::examinations::insert(tx, id, examination).await,
        Detail::SpotTest { site, mixture, dwell_s, effect_on_soiling, effect_on_original, decision } => tx
            .sql(sql!(
                "INSERT INTO spot_test (record_id, site, mixture, dwell_s, effect_on_soiling, effect_on_original, decision)
                 VALUES ($1, $2, $3, $4, $5, $6, $7)"
            ))
            .bind(id.0)
            .bind(site.clone())
            .bind(mixture.clone())
            .bind(*dwell_s)
            .bind(effect_on_soiling.clone())
            .bind(effect_on_original.code())
            .bind(decision.code()),
        Detail::Level { level, layers_to_keep, stop_point, decided_by } => tx
            .sql(sql!(
                "INSERT INTO cleaning_level (record_id, level, layers_to_keep, stop_point, decided_by, answer)
                 VALUES ($1, $2, $3, $4, $5, 'waiting')"
            ))
            .bind(id.0)
            .bind(level.clone())
            .bind(layers_to_keep.clone())
            .bind(stop_point.clone())
            .bind(decided_by.clone()),
        Detail::WetClean { mixture } => tx
            .sql(sql!("INSERT INTO wet_clean (record_id, mixture) VALUES ($1, $2)"))
            .bind(id.0)
            .bind(mixture.clone()),
        Detail::Drying { start_mass_g, end_mass_g, end_rule, checked_by } => tx
            .sql(sql!(
                "INSERT INTO drying (record_id, start_mass_g, end_mass_g, end_rule, checked_by) VALUES ($1, $2, $3, $4, $5)"
            ))
            .bind(id.0)
            .bind(*start_mass_g)
            .bind(*end_mass_g)
            .bind(end_rule.clone())
            .bind(checked_by.clone()),
        Detail::Package { container, microclimate, sealed_on, next_check_on } => tx
            .sql(sql!(
                "INSERT INTO package (record_id, container, microclimate, sealed_on, next_check_on)
                 VALUES ($1, $2, $3, $4, $5)"
            ))
            .bind(id.0)
            .bind(container.clone())
            .bind(microclimate.clone())
            .bind(*sealed_on)
            .bind(*next_check_on),
    };
    statement.run().await?;
    Ok(())
}

/// The records of a find, the latest first, superseded ones among them.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Record>> {
    tx.sql(sql!(
        "SELECT w.id, w.project_id, w.stage, w.done_by, w.done_on, w.method, w.materials, w.outcome, w.note, w.finished,
            p.name AS recorded_by, w.recorded_at, w.superseded_at, s.words AS standing_words, wf.quantity,
            t.site AS test_site, t.mixture AS test_mixture, t.dwell_s AS test_dwell_s, t.effect_on_soiling AS test_soiling,
            t.effect_on_original AS test_original, t.decision AS test_decision, l.level, l.layers_to_keep, l.stop_point,
            l.decided_by, l.answer AS level_answer, c.mixture AS wet_mixture, d.start_mass_g, d.end_mass_g, d.end_rule,
            d.checked_by, k.container, k.microclimate, k.sealed_on, k.next_check_on
         FROM work_record_find wf JOIN work_record w ON w.id = wf.record_id JOIN person p ON p.id = w.recorded_by
         LEFT JOIN standing_authorisation s ON s.id = w.standing_id
         LEFT JOIN spot_test t ON t.record_id = w.id LEFT JOIN cleaning_level l ON l.record_id = w.id
         LEFT JOIN wet_clean c ON c.record_id = w.id LEFT JOIN drying d ON d.record_id = w.id
         LEFT JOIN package k ON k.record_id = w.id
         WHERE wf.find_id = $1 ORDER BY w.recorded_at DESC, w.id DESC"
    ))
    .bind(find.0)
    .all()
    .await
}

/// One record; its quantity is that of the first find.
pub async fn find(tx: &mut Tx, id: RecordId) -> Result<Option<Record>> {
    let first: Option<Uuid> = tx
        .sql(sql!("SELECT find_id FROM work_record_find WHERE record_id = $1 ORDER BY find_id LIMIT 1"))
        .bind(id.0)
        .cell()
        .await?;
    let Some(first) = first else { return Ok(None) };
    Ok(list_of_find(tx, FindId(first)).await?.into_iter().find(|record| record.id == id))
}

/// The finds of a record, each with its quantity.
pub async fn list_finds(tx: &mut Tx, id: RecordId) -> Result<Vec<(FindId, Option<i64>)>> {
    let rows: Vec<PartRow> = tx
        .sql(sql!(
            "SELECT wf.find_id, wf.quantity FROM work_record_find wf JOIN find f ON f.id = wf.find_id
             WHERE wf.record_id = $1 ORDER BY f.sort_key, f.id"
        ))
        .bind(id.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| (row.find_id, row.quantity)).collect())
}

#[derive(sqlx::FromRow)]
struct PartRow {
    #[sqlx(try_from = "Uuid")]
    find_id: FindId,
    quantity: Option<i64>,
}

/// The words a person used last for a stage in a project, to be offered again.
#[derive(Debug, Clone, Default, sqlx::FromRow)]
pub struct LastWords {
    pub done_by: String,
    pub method: String,
    pub materials: String,
}

/// The latest words of this person for this stage.
pub async fn find_last_words(
    tx: &mut Tx,
    project: ProjectId,
    stage: Stage,
    by: PersonId,
) -> Result<Option<LastWords>> {
    tx.sql(sql!(
        "SELECT done_by, method, materials FROM work_record WHERE project_id = $1 AND stage = $2 AND recorded_by = $3
         ORDER BY recorded_at DESC LIMIT 1"
    ))
    .bind(project.0)
    .bind(stage.code())
    .bind(by.0)
    .opt()
    .await
}

/// The latest record of this person for this stage, corrections included.
pub async fn find_last(
    tx: &mut Tx,
    project: ProjectId,
    stage: Stage,
    by: PersonId,
) -> Result<Option<RecordId>> {
    let id: Option<Uuid> = tx
        .sql(sql!(
            "SELECT id FROM work_record WHERE project_id = $1 AND stage = $2 AND recorded_by = $3
             AND superseded_at IS NULL ORDER BY recorded_at DESC, id DESC LIMIT 1"
        ))
        .bind(project.0)
        .bind(stage.code())
        .bind(by.0)
        .cell()
        .await?;
    Ok(id.map(RecordId))
}
