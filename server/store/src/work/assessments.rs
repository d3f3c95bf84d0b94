//! Condition assessments, and the words a project keeps for them.
use crate::{Result, StoreError, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::condition::{Alteration, Assessment, Scale, Term, default_terms, read_terms, write_terms};
use domain::ids::{FindId, ProjectId, RecordId};
use uuid::Uuid;

/// An assessment as kept, with the record it belongs to.
#[derive(Debug, Clone, PartialEq)]
pub struct Assessed {
    pub record: RecordId,
    pub done_by: String,
    pub done_on: NaiveDate,
    pub method: String,
    pub note: String,
    pub finished: bool,
    pub recorded_by: String,
    pub recorded_at: Instant,
    pub superseded_at: Option<Instant>,
    pub assessment: Assessment,
}

/// The words of a scale with the revision their form starts from; 0 while they are those every project starts with.
#[derive(Debug, Clone, PartialEq)]
pub struct Vocabulary {
    pub terms: Vec<Term>,
    pub revision: i64,
}

pub(super) async fn insert(tx: &mut Tx, record: RecordId, new: &Assessment) -> Result<()> {
    tx.sql(sql!(
        "INSERT INTO assessment (record_id, reason, light, extent, unaltered, condition_word, condition_meaning,
            stability_word, stability_meaning, past_treatment, risk, recommendation, review_on)
         VALUES ($1, $2, $3, $4, $5, $6, $7, $8, $9, $10, $11, $12, $13)"
    ))
    .bind(record.0)
    .bind(new.reason.clone())
    .bind(new.light.clone())
    .bind(new.extent.clone())
    .bind(new.unaltered)
    .bind(new.condition.word.clone())
    .bind(new.condition.meaning.clone())
    .bind(new.stability.word.clone())
    .bind(new.stability.meaning.clone())
    .bind(new.past_treatment.clone())
    .bind(new.risk.clone())
    .bind(new.recommendation.clone())
    .bind(new.review_on)
    .run()
    .await?;
    for (position, alteration) in (1i64..).zip(&new.alterations) {
        tx.sql(sql!(
            "INSERT INTO alteration (record_id, position, word, place, extent_pct, cause) VALUES ($1, $2, $3, $4, $5, $6)"
        ))
        .bind(record.0)
        .bind(position)
        .bind(alteration.word.clone())
        .bind(alteration.place.clone())
        .bind(alteration.extent_pct)
        .bind(alteration.cause.clone())
        .run()
        .await?;
    }
    Ok(())
}

#[derive(sqlx::FromRow)]
struct Row {
    #[sqlx(try_from = "Uuid")]
    id: RecordId,
    done_by: String,
    done_on: NaiveDate,
    method: String,
    note: String,
    finished: bool,
    recorded_by: String,
    recorded_at: Instant,
    superseded_at: Option<Instant>,
    reason: String,
    light: String,
    extent: String,
    unaltered: bool,
    condition_word: String,
    condition_meaning: String,
    stability_word: String,
    stability_meaning: String,
    past_treatment: String,
    risk: String,
    recommendation: String,
    review_on: Option<NaiveDate>,
}

#[derive(sqlx::FromRow)]
struct Seen {
    #[sqlx(try_from = "Uuid")]
    record_id: RecordId,
    word: String,
    place: String,
    extent_pct: Option<f64>,
    cause: String,
}

/// The assessments of a find, the latest day first, corrected ones among them.
pub async fn list_of_find(tx: &mut Tx, find: FindId) -> Result<Vec<Assessed>> {
    let rows: Vec<Row> = tx
        .sql(sql!(
            "SELECT w.id, w.done_by, w.done_on, w.method, w.note, w.finished, p.name AS recorded_by, w.recorded_at,
                w.superseded_at, a.reason, a.light, a.extent, a.unaltered, a.condition_word, a.condition_meaning,
                a.stability_word, a.stability_meaning, a.past_treatment, a.risk, a.recommendation, a.review_on
             FROM work_record_find wf JOIN work_record w ON w.id = wf.record_id JOIN person p ON p.id = w.recorded_by
             JOIN assessment a ON a.record_id = w.id
             WHERE wf.find_id = $1 ORDER BY w.done_on DESC, w.recorded_at DESC, w.id DESC"
        ))
        .bind(find.0)
        .all()
        .await?;
    let seen: Vec<Seen> = tx
        .sql(sql!(
            "SELECT a.record_id, a.word, a.place, a.extent_pct, a.cause
             FROM work_record_find wf JOIN alteration a ON a.record_id = wf.record_id
             WHERE wf.find_id = $1 ORDER BY a.record_id, a.position"
        ))
        .bind(find.0)
        .all()
        .await?;
    Ok(rows.into_iter().map(|row| row.assessed(&seen)).collect())
}

impl Row {
    fn assessed(self, seen: &[Seen]) -> Assessed {
        let of_it = seen.iter().filter(|line| line.record_id == self.id);
        let alterations = of_it.map(|line| Alteration {
            word: line.word.clone(),
            place: line.place.clone(),
            extent_pct: line.extent_pct,
            cause: line.cause.clone(),
        });
        Assessed {
            record: self.id,
            done_by: self.done_by,
            done_on: self.done_on,
            method: self.method,
            note: self.note,
            finished: self.finished,
            recorded_by: self.recorded_by,
            recorded_at: self.recorded_at,
            superseded_at: self.superseded_at,
            assessment: Assessment {
                reason: self.reason,
                light: self.light,
                extent: self.extent,
                alterations: alterations.collect(),
                unaltered: self.unaltered,
                condition: Term { word: self.condition_word, meaning: self.condition_meaning },
                stability: Term { word: self.stability_word, meaning: self.stability_meaning },
                past_treatment: self.past_treatment,
                risk: self.risk,
                recommendation: self.recommendation,
                review_on: self.review_on,
            },
        }
    }
}

#[derive(sqlx::FromRow)]
struct ReviewRow {
    done_on: NaiveDate,
    review_on: Option<NaiveDate>,
}

/// When the latest standing assessment of a find was made, and the day it names for the next.
pub async fn find_review(tx: &mut Tx, find: FindId) -> Result<Option<(NaiveDate, NaiveDate)>> {
    let row: Option<ReviewRow> = tx
        .sql(sql!(
            "SELECT w.done_on, a.review_on
             FROM work_record_find wf JOIN work_record w ON w.id = wf.record_id JOIN assessment a ON a.record_id = w.id
             WHERE wf.find_id = $1 AND w.superseded_at IS NULL
             ORDER BY w.done_on DESC, w.recorded_at DESC, w.id DESC LIMIT 1"
        ))
        .bind(find.0)
        .opt()
        .await?;
    Ok(row.and_then(|row| Some((row.done_on, row.review_on?))))
}

#[derive(sqlx::FromRow)]
struct Kept {
    words: String,
    revision: i64,
}

/// The words of a scale in a project.
pub async fn find_vocabulary(tx: &mut Tx, project: ProjectId, scale: Scale) -> Result<Vocabulary> {
    let kept: Option<Kept> = tx
        .sql(sql!("SELECT words, revision FROM vocabulary WHERE project_id = $1 AND scale = $2"))
        .bind(project.0)
        .bind(scale.code())
        .opt()
        .await?;
    Ok(match kept {
        Some(kept) => Vocabulary {
            terms: read_terms(&kept.words).unwrap_or_else(|_| default_terms(scale)),
            revision: kept.revision,
        },
        None => Vocabulary { terms: default_terms(scale), revision: 0 },
    })
}

/// Gives a scale other words; `Changed` when somebody else did since `revision`.
pub async fn update_vocabulary(
    tx: &mut Tx,
    project: ProjectId,
    scale: Scale,
    terms: &[Term],
    revision: i64,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "INSERT INTO vocabulary (project_id, scale, words, revision) VALUES ($1, $2, $3, $4)
             ON CONFLICT (project_id, scale) DO UPDATE SET words = excluded.words, revision = excluded.revision
             WHERE vocabulary.revision = $5"
        ))
        .bind(project.0)
        .bind(scale.code())
        .bind(write_terms(terms))
        .bind(revision + 1)
        .bind(revision)
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}
