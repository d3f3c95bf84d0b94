//! Cleaning levels and the answer of a lead.
use crate::{Result, StoreError, Tx, sql};
use chrono::NaiveDate;
use domain::Instant;
use domain::ids::{FindId, PersonId, ProjectId, RecordId};
use uuid::Uuid;

/// A level that waits for an answer.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Waiting {
    #[sqlx(try_from = "Uuid")]
    pub record_id: RecordId,
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub find_number: String,
    pub object_type: String,
    pub project_code: String,
    pub level: String,
    pub stop_point: String,
    pub decided_by: String,
    pub done_on: NaiveDate,
}

/// The finished proposals of a project that wait for a lead, the oldest first.
pub async fn list_waiting(tx: &mut Tx, project: ProjectId, restricted_too: bool) -> Result<Vec<Waiting>> {
    tx.sql(sql!(
        "SELECT l.record_id, f.id AS find_id, f.number AS find_number, f.object_type, p.code AS project_code, l.level,
            l.stop_point, l.decided_by, w.done_on
         FROM work_record w JOIN cleaning_level l ON l.record_id = w.id
         JOIN work_record_find wf ON wf.record_id = w.id JOIN find f ON f.id = wf.find_id
         JOIN project p ON p.id = w.project_id
         WHERE w.project_id = $1 AND l.answer = 'waiting' AND w.finished AND w.superseded_at IS NULL AND ($2 OR NOT f.restricted)
         ORDER BY w.recorded_at, f.sort_key LIMIT 200"
    ))
    .bind(project.0)
    .bind(restricted_too)
    .all()
    .await
}

/// The levels of a project that wait for a lead and that a person proposed or has on the bench, the oldest first.
pub async fn list_waiting_of(
    tx: &mut Tx,
    project: ProjectId,
    person: PersonId,
    restricted_too: bool,
) -> Result<Vec<Waiting>> {
    tx.sql(sql!(
        "SELECT l.record_id, f.id AS find_id, f.number AS find_number, f.object_type, p.code AS project_code, l.level,
            l.stop_point, l.decided_by, w.done_on
         FROM work_record w JOIN cleaning_level l ON l.record_id = w.id
         JOIN work_record_find wf ON wf.record_id = w.id JOIN find f ON f.id = wf.find_id
         JOIN project p ON p.id = w.project_id
         WHERE w.project_id = $1 AND l.answer = 'waiting' AND w.superseded_at IS NULL AND ($3 OR NOT f.restricted)
            AND (w.recorded_by = $2 OR f.assignee_id = $2)
         ORDER BY w.recorded_at, f.sort_key LIMIT 60"
    ))
    .bind(project.0)
    .bind(person.0)
    .bind(restricted_too)
    .all()
    .await
}

/// Writes a lead's answer, `authorised` or `refused`; `Changed` when it was answered before.
pub async fn update_answer(
    tx: &mut Tx,
    record: RecordId,
    answer: &'static str,
    by: PersonId,
    now: Instant,
) -> Result<()> {
    let touched = tx
        .sql(sql!(
            "UPDATE cleaning_level SET answer = $2, authorised_by = $3, authorised_at = $4
             WHERE record_id = $1 AND answer = 'waiting'"
        ))
        .bind(record.0)
        .bind(answer)
        .bind(by.0)
        .bind(domain::cut(now))
        .run()
        .await?;
    if touched == 1 { Ok(()) } else { Err(StoreError::Changed) }
}

/// Why a level was chosen.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Reasons {
    pub question: String,
    /// What else might have been done.
    pub options: String,
    /// In words, besides tests and photographs.
    pub evidence: String,
    pub consulted: String,
    /// Spot tests that speak for it.
    pub tests: Vec<RecordId>,
}

/// Adds its reasons to a level just proposed.
pub async fn update_reasons(tx: &mut Tx, record: RecordId, reasons: &Reasons) -> Result<()> {
    tx.sql(sql!(
        "UPDATE cleaning_level SET question = $2, options = $3, evidence = $4, consulted = $5 WHERE record_id = $1"
    ))
    .bind(record.0)
    .bind(reasons.question.clone())
    .bind(reasons.options.clone())
    .bind(reasons.evidence.clone())
    .bind(reasons.consulted.clone())
    .run()
    .await?;
    for test in &reasons.tests {
        tx.sql(sql!("INSERT INTO level_evidence (record_id, test_id) VALUES ($1, $2)"))
            .bind(record.0)
            .bind(test.0)
            .run()
            .await?;
    }
    Ok(())
}

/// What a lead said with the answer.
pub async fn update_answer_words(tx: &mut Tx, record: RecordId, words: &str) -> Result<()> {
    tx.sql(sql!("UPDATE cleaning_level SET answer_words = $2 WHERE record_id = $1"))
        .bind(record.0)
        .bind(words.to_owned())
        .run()
        .await?;
    Ok(())
}

/// Reasons and answer of a level as read.
#[derive(Debug, Clone)]
pub struct Reasoned {
    pub record: RecordId,
    pub reasons: Reasons,
    /// Name of the lead who answered, when, and what was said with it.
    pub answered: Option<(String, Instant, String)>,
}

#[derive(sqlx::FromRow)]
struct ReasonRow {
    #[sqlx(try_from = "Uuid")]
    record_id: RecordId,
    question: String,
    options: String,
    evidence: String,
    consulted: String,
    answer_words: String,
    answered_by: Option<String>,
    authorised_at: Option<Instant>,
}

#[derive(sqlx::FromRow)]
struct EvidenceRow {
    #[sqlx(try_from = "Uuid")]
    record_id: RecordId,
    #[sqlx(try_from = "Uuid")]
    test_id: RecordId,
}

/// Reasons and answers of every level proposed for a find.
pub async fn list_reasoned(tx: &mut Tx, find: FindId) -> Result<Vec<Reasoned>> {
    let rows: Vec<ReasonRow> = tx
        .sql(sql!(
            "SELECT l.record_id, l.question, l.options, l.evidence, l.consulted, l.answer_words, p.name AS answered_by,
                l.authorised_at
             FROM work_record_find wf JOIN cleaning_level l ON l.record_id = wf.record_id
             LEFT JOIN person p ON p.id = l.authorised_by WHERE wf.find_id = $1"
        ))
        .bind(find.0)
        .all()
        .await?;
    let evidence: Vec<EvidenceRow> = tx
        .sql(sql!(
            "SELECT e.record_id, e.test_id FROM work_record_find wf JOIN level_evidence e ON e.record_id = wf.record_id
             WHERE wf.find_id = $1"
        ))
        .bind(find.0)
        .all()
        .await?;
    let reasoned = |row: ReasonRow| Reasoned {
        reasons: Reasons {
            tests: evidence.iter().filter(|e| e.record_id == row.record_id).map(|e| e.test_id).collect(),
            question: row.question,
            options: row.options,
            evidence: row.evidence,
            consulted: row.consulted,
        },
        record: row.record_id,
        answered: row.answered_by.zip(row.authorised_at).map(|(by, at)| (by, at, row.answer_words)),
    };
    Ok(rows.into_iter().map(reasoned).collect())
}

/// The level that is authorised for a find.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Agreed {
    pub level: String,
    pub layers_to_keep: String,
    pub stop_point: String,
    pub answer_words: String,
    pub answered_by: Option<String>,
    pub answered_at: Option<Instant>,
}

/// The latest level authorised for a find, where there is one.
pub async fn find_agreed(tx: &mut Tx, find: FindId) -> Result<Option<Agreed>> {
    tx.sql(sql!(
        "SELECT l.level, l.layers_to_keep, l.stop_point, l.answer_words, p.name AS answered_by,
            l.authorised_at AS answered_at
         FROM work_record_find wf JOIN work_record w ON w.id = wf.record_id JOIN cleaning_level l ON l.record_id = w.id
         LEFT JOIN person p ON p.id = l.authorised_by
         WHERE wf.find_id = $1 AND l.answer = 'authorised' AND w.superseded_at IS NULL
         ORDER BY w.recorded_at DESC, w.id DESC LIMIT 1"
    ))
    .bind(find.0)
    .opt()
    .await
}

/// Who recorded a level, to be told of the answer.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Asker {
    #[sqlx(try_from = "Uuid")]
    pub id: PersonId,
    pub name: String,
    pub email: String,
    pub disabled_at: Option<Instant>,
}

/// Who asked for a level.
pub async fn find_asker(tx: &mut Tx, record: RecordId) -> Result<Option<Asker>> {
    tx.sql(sql!(
        "SELECT p.id, p.name, p.email, p.disabled_at FROM work_record w JOIN person p ON p.id = w.recorded_by WHERE w.id = $1"
    ))
    .bind(record.0)
    .opt()
    .await
}

/// A level that was answered.
#[derive(Debug, Clone, sqlx::FromRow)]
pub struct Answered {
    #[sqlx(try_from = "Uuid")]
    pub find_id: FindId,
    pub find_number: String,
    pub object_type: String,
    pub project_code: String,
    pub level: String,
    pub answer: String,
    pub answer_words: String,
    pub answered_by: String,
    pub answered_at: Instant,
    #[sqlx(try_from = "Uuid")]
    pub project_id: ProjectId,
    pub restricted: bool,
}

/// Answers since an instant to what this person asked, the latest first.
pub async fn list_answered(tx: &mut Tx, asker: PersonId, since: Instant, most: i64) -> Result<Vec<Answered>> {
    tx.sql(sql!(
        "SELECT f.id AS find_id, f.number AS find_number, f.object_type, j.code AS project_code, l.level, l.answer,
            l.answer_words, p.name AS answered_by, l.authorised_at AS answered_at, w.project_id, f.restricted
         FROM cleaning_level l JOIN work_record w ON w.id = l.record_id JOIN person p ON p.id = l.authorised_by
         JOIN work_record_find wf ON wf.record_id = w.id JOIN find f ON f.id = wf.find_id
         JOIN project j ON j.id = w.project_id
         WHERE l.authorised_at IS NOT NULL AND l.authorised_at >= $2 AND w.recorded_by = $1 AND l.authorised_by <> $1
            AND w.superseded_at IS NULL
         ORDER BY l.authorised_at DESC, f.sort_key LIMIT $3"
    ))
    .bind(asker.0)
    .bind(domain::cut(since))
    .bind(most)
    .all()
    .await
}
